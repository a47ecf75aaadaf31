// The grammar of gauges.
#include "stillwell/config/grammar_common.hpp"

#include <array>

namespace stillwell::config {
namespace {

using Name = std::string_view;

constexpr std::array kGaugeKeys{
    kOnLine,
    Key{.name = "station",
        .kind = Kind::integer,
        .least = "1",
        .most = "247",
        .doc = "address of the Modbus server; with all but frame"},
    Key{.name = "distance",
        .kind = Kind::section,
        .section = &kLengthRegister,
        .doc = "from the sensor's face down to the water"},
    Key{.name = "depth",
        .kind = Kind::section,
        .section = &kLengthRegister,
        .doc = "of the water above a submerged sensor"},
    Key{.name = "pressure",
        .kind = Kind::section,
        .section = &kPressureRegister,
        .doc = "of the water above a submerged sensor; read as a depth of water of 1000 kg/m3"},
    Key{.name = "frame", .kind = Kind::section, .section = &kFrame, .doc = "a distance in range frames"},
    Key{.name = "air",
        .kind = Kind::section,
        .section = &kTemperatureRegister,
        .doc = "the temperature of the air that it measures through, read beside the distance"},
    Key{.name = "humidity",
        .kind = Kind::section,
        .section = &kHumidityRegister,
        .doc = "relative, of the air above the water, read beside the distance"},
    Key{.name = "water",
        .kind = Kind::section,
        .section = &kTemperatureRegister,
        .doc = "the water's temperature, read beside the depth or pressure and used to correct it"},
    Key{.name = "status",
        .kind = Kind::section,
        .section = &kStatusRegister,
        .doc = "the sensor's own word for its reading; one that is not good is no reading"},
    kEvery,
    kStaleAfter,
    Key{.name = "blanking",
        .kind = Kind::length,
        .fallback = "0 cm",
        .least = "0 m",
        .most = "10 m",
        .doc = "nearer than this the sensor cannot see"},
    Key{.name = "reach",
        .kind = Kind::length,
        .otherwise = "no limit",
        .least = "1 cm",
        .most = "100 m",
        .doc = "farther than this it cannot see"},
    Key{.name = "beam",
        .kind = Kind::angle,
        .otherwise = "not checked",
        .least = "1 deg",
        .most = "90 deg",
        .doc = "the whole angle of its beam; check tells where it would meet the wall"},
    Key{.name = "assumes",
        .kind = Kind::temperature,
        .otherwise = "its distance is taken at its word",
        .least = "-40 degC",
        .most = "60 degC",
        .doc =
            "the air temperature that an ultrasonic sensor's own arithmetic takes for granted: with air the "
            "distance is corrected, without it the level carries the doubt of site.air"},
    Key{.name = "mounted_at",
        .kind = Kind::length,
        .otherwise = "0 cm",
        .least = "0 m",
        .most = "100 m",
        .doc = "height of a depth sensor above the tank's floor"},
};
constexpr std::array<Name, 4> kSources{"distance", "depth", "pressure", "frame"};
constexpr std::array kGaugeOneOf{OneOf{kSources}};
constexpr std::array<Name, 1> kStationName{"station"};
constexpr std::array<Name, 2> kNotForDistance{"water", "mounted_at"};
constexpr std::array<Name, 5> kNotForDepth{"air", "humidity", "blanking", "assumes", "beam"};
constexpr std::array<Name, 6> kNotForFrame{"station", "air", "humidity", "water", "status", "mounted_at"};
constexpr std::array kGaugeWhen{When{.key = "distance", .needs = kStationName, .forbids = kNotForDistance},
                                When{.key = "depth", .needs = kStationName, .forbids = kNotForDepth},
                                When{.key = "pressure", .needs = kStationName, .forbids = kNotForDepth},
                                When{.key = "frame", .forbids = kNotForFrame}};

}  // namespace

constinit const Section kGauge{.name = "gauge",
                               .doc = "A level instrument.",
                               .keys = kGaugeKeys,
                               .one_of = kGaugeOneOf,
                               .when = kGaugeWhen};
}  // namespace stillwell::config
