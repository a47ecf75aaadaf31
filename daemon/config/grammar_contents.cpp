// The grammar of what a tank holds: its shape with heads, sections and fittings, its capacity, or a table.
#include "stillwell/config/grammar.hpp"

#include <array>

namespace stillwell::config {
namespace {

using Name = std::string_view;

constexpr Key length_key(Name name, Name most, Name doc) {
  return {.name = name, .kind = Kind::length, .required = true, .least = "1 cm", .most = most, .doc = doc};
}
constexpr Key kDiameter = length_key("diameter", "200 m", "inside");
constexpr Key kLength = length_key("length", "500 m", "inside");
constexpr Key kWidth = length_key("width", "500 m", "inside");
constexpr Key kHeight = length_key("height", "100 m", "inside, from its lowest to its highest point");

// Heads and bottoms.
constexpr std::array<Name, 6> kHeadKinds{"flat",    "hemispherical", "ellipsoidal",
                                         "conical", "dished",        "torispherical"};
constexpr std::array kHeadKeys{
    Key{.name = "kind",
        .kind = Kind::word,
        .required = true,
        .words = kHeadKinds,
        .doc = "dished is a spherical cap; torispherical a crown rounded off by a knuckle"},
    Key{.name = "depth",
        .kind = Kind::length,
        .otherwise = "ellipsoidal: a quarter of the diameter (2:1)",
        .least = "1 mm",
        .most = "100 m",
        .doc = "how far it reaches beyond the shell"},
    Key{.name = "crown",
        .kind = Kind::number,
        .least = "0.5",
        .most = "5",
        .doc = "inside radius of the crown as a fraction of the diameter"},
    Key{.name = "knuckle",
        .kind = Kind::number,
        .least = "0.001",
        .most = "0.5",
        .doc = "inside radius of the knuckle as a fraction of the diameter"},
};
constexpr std::array<Name, 1> kDepth{"depth"};
constexpr std::array<Name, 2> kRadii{"crown", "knuckle"};
constexpr std::array<Name, 3> kDepthAndRadii{"depth", "crown", "knuckle"};
constexpr std::array kHeadWhen{
    When{.key = "kind", .word = "flat", .forbids = kDepthAndRadii},
    When{.key = "kind", .word = "hemispherical", .forbids = kDepthAndRadii},
    When{.key = "kind", .word = "ellipsoidal", .forbids = kRadii},
    When{.key = "kind", .word = "conical", .needs = kDepth, .forbids = kRadii},
    When{.key = "kind", .word = "dished", .needs = kDepth, .forbids = kRadii},
    When{.key = "kind", .word = "torispherical", .needs = kRadii, .forbids = kDepth},
};
constexpr Section kHead{
    .name = "head",
    .doc =
        "What closes an end of a round vessel. Written as its kind alone where that says all: "
        "`bottom: hemispherical`.",
    .keys = kHeadKeys,
    .when = kHeadWhen,
    .form = Form::map_or_word};

// Shapes.
constexpr std::array kVerticalKeys{
    kDiameter,
    Key{.name = "bottom",
        .kind = Kind::section,
        .otherwise = "flat",
        .section = &kHead,
        .doc = "bulges downward; levels count from its lowest point"},
};
constexpr std::array kLyingKeys{
    kDiameter,
    length_key("length", "500 m", "of the shell, without the heads"),
    Key{.name = "heads",
        .kind = Kind::section,
        .list = true,
        .bare = true,
        .items = 2,
        .otherwise = "flat",
        .section = &kHead,
        .doc = "both ends, or the near one and the far one"},
    Key{.name = "tilt",
        .kind = Kind::length,
        .otherwise = "level",
        .least = "1 mm",
        .most = "50 m",
        .doc =
            "how much higher its far end lies over the length, at most a tenth of it; levels count from the "
            "lowest point inside"},
    Key{.name = "gauge_at",
        .kind = Kind::length,
        .otherwise = "0 m, the near end",
        .least = "0 m",
        .most = "500 m",
        .doc = "from the near end along the shell to the floor below the gauge, to which to_floor and "
               "mounted_at are measured"},
};
constexpr std::array<Name, 1> kTilt{"tilt"};
constexpr std::array kLyingWhen{When{.key = "gauge_at", .needs = kTilt}};
constexpr std::array kOvalKeys{kWidth, kHeight, kLength};
constexpr std::array kRectangularKeys{kLength, kWidth};
constexpr Section kRectangle{.name = "rectangle",
                             .doc = "Written as a list of the two: `[1.0 m, 0.6 m]`.",
                             .keys = kRectangularKeys,
                             .form = Form::row};
constexpr std::array kPrismatoidKeys{
    Key{.name = "bottom",
        .kind = Kind::section,
        .required = true,
        .section = &kRectangle,
        .doc = "its floor"},
    Key{.name = "top",
        .kind = Kind::section,
        .required = true,
        .section = &kRectangle,
        .doc = "its upper end"},
    kHeight,
};
constexpr std::array kConeKeys{kDiameter, kHeight};
constexpr Key circle(Name name, Name doc) {
  return {.name = name, .kind = Kind::length, .required = true, .least = "0 m", .most = "200 m", .doc = doc};
}
constexpr std::array kFrustumKeys{circle("bottom", "diameter of its floor"),
                                  circle("top", "diameter of its upper end"), kHeight};
constexpr std::array kSphereKeys{kDiameter};

constexpr Section kVertical{
    .name = "vertical-cylinder", .doc = "An upright round tank.", .keys = kVerticalKeys};
constexpr Section kLying{.name = "horizontal-cylinder",
                         .doc = "A round tank on its side.",
                         .keys = kLyingKeys,
                         .when = kLyingWhen};
constexpr Section kOval{
    .name = "horizontal-oval", .doc = "An ellipse all along, with flat ends.", .keys = kOvalKeys};
constexpr Section kObround{.name = "horizontal-obround",
                           .doc = "Two half circles joined by straight walls, with flat ends.",
                           .keys = kOvalKeys};
constexpr Section kRectangular{
    .name = "rectangular", .doc = "Upright walls on a rectangle.", .keys = kRectangularKeys};
constexpr Section kPrismatoid{.name = "rectangular-frustum",
                              .doc = "A rectangle below, a rectangle above, straight sides between.",
                              .keys = kPrismatoidKeys};
constexpr Section kCone{.name = "cone", .doc = "A cone, point down.", .keys = kConeKeys};
constexpr Section kFrustum{
    .name = "frustum", .doc = "A cone cut off, the wide end up or down.", .keys = kFrustumKeys};
constexpr Section kSphere{
    .name = "sphere", .doc = "A sphere; a dish is a sphere whose full line is low.", .keys = kSphereKeys};

constexpr When with(Name shape, const Section& keys) {
  return {.key = "shape", .word = shape, .adds = &keys};
}
constexpr std::array<Name, 9> kSimpleShapes{"vertical-cylinder",
                                            "horizontal-cylinder",
                                            "horizontal-oval",
                                            "horizontal-obround",
                                            "rectangular",
                                            "rectangular-frustum",
                                            "cone",
                                            "frustum",
                                            "sphere"};

// A stack.
constexpr std::array kStackSectionKeys{
    Key{.name = "shape", .kind = Kind::word, .required = true, .words = kSimpleShapes, .doc = "its inside"},
    length_key("height", "100 m", "how much of the shape, from its own lowest point"),
};
constexpr std::array kStackSectionWhen{
    with("vertical-cylinder", kVertical),
    with("horizontal-cylinder", kLying),
    with("horizontal-oval", kOval),
    with("horizontal-obround", kObround),
    with("rectangular", kRectangular),
    with("rectangular-frustum", kPrismatoid),
    with("cone", kCone),
    with("frustum", kFrustum),
    with("sphere", kSphere),
};
constexpr Section kStackSection{.name = "stack section",
                                .doc = "A part of a tank from one height to another.",
                                .keys = kStackSectionKeys,
                                .when = kStackSectionWhen};
constexpr std::array kStackKeys{Key{.name = "sections",
                                    .kind = Kind::section,
                                    .required = true,
                                    .list = true,
                                    .section = &kStackSection,
                                    .doc = "bottom up, at most 32"}};
constexpr Section kStack{.name = "stack", .doc = "Sections one upon the other.", .keys = kStackKeys};

// What is measured instead of described, and what stands in the way of the water.
constexpr std::array kStrapKeys{
    Key{.name = "level",
        .kind = Kind::length,
        .required = true,
        .least = "0 m",
        .most = "100 m",
        .doc = "above the floor"},
    Key{.name = "volume",
        .kind = Kind::volume,
        .required = true,
        .least = "0 L",
        .most = "1000000 m3",
        .doc = "what the tank holds there"},
};
constexpr Section kStrapPoint{.name = "strapping point",
                              .doc = "Written as a list of the two: `[10 cm, 180 L]`.",
                              .keys = kStrapKeys,
                              .form = Form::row};
constexpr std::array kDeadwoodKeys{
    Key{.name = "from",
        .kind = Kind::length,
        .required = true,
        .least = "0 m",
        .most = "100 m",
        .doc = "level of its lower end"},
    Key{.name = "to",
        .kind = Kind::length,
        .required = true,
        .least = "1 mm",
        .most = "100 m",
        .doc = "level of its upper end"},
    Key{.name = "volume",
        .kind = Kind::volume,
        .required = true,
        .least = "0.001 L",
        .most = "1000000 m3",
        .doc = "the water that it displaces, spread evenly between the two"},
};
constexpr Section kDeadwood{
    .name = "deadwood",
    .doc = "A fitting in a tank that takes the place of water: a ladder, a pipe, a lining.",
    .keys = kDeadwoodKeys};

constexpr std::array<Name, 10> kShapes{"vertical-cylinder",
                                       "horizontal-cylinder",
                                       "horizontal-oval",
                                       "horizontal-obround",
                                       "rectangular",
                                       "rectangular-frustum",
                                       "cone",
                                       "frustum",
                                       "sphere",
                                       "stack"};
constexpr std::array kContentsKeys{
    Key{.name = "shape", .kind = Kind::word, .words = kShapes, .doc = "its inside"},
    Key{.name = "deadwood",
        .kind = Kind::section,
        .list = true,
        .section = &kDeadwood,
        .doc = "fittings, at most 64"},
    Key{.name = "capacity",
        .kind = Kind::volume,
        .least = "1 L",
        .most = "1000000 m3",
        .doc = "between the floor and the full line, with an even section"},
    Key{.name = "strapping",
        .kind = Kind::section,
        .list = true,
        .section = &kStrapPoint,
        .doc =
            "measured points from the floor up, at least two; a smooth curve that never falls goes through "
            "them"},
    Key{.name = "strapping_file",
        .kind = Kind::file,
        .doc = "the same as comma-separated values below the header level_m,volume_l (bare numbers) or "
               "level,volume (with units)"},
};
constexpr std::array<Name, 4> kContentsChoice{"shape", "capacity", "strapping", "strapping_file"};
constexpr std::array kContentsOneOf{OneOf{kContentsChoice}};
constexpr std::array<Name, 1> kFittings{"deadwood"};
constexpr std::array kContentsWhen{
    When{.key = "capacity", .forbids = kFittings},
    When{.key = "strapping", .forbids = kFittings},
    When{.key = "strapping_file", .forbids = kFittings},
    with("vertical-cylinder", kVertical),
    with("horizontal-cylinder", kLying),
    with("horizontal-oval", kOval),
    with("horizontal-obround", kObround),
    with("rectangular", kRectangular),
    with("rectangular-frustum", kPrismatoid),
    with("cone", kCone),
    with("frustum", kFrustum),
    with("sphere", kSphere),
    with("stack", kStack),
};

}  // namespace

constinit const Section kContents{
    .name = "contents",
    .doc = "How much water stands at which level. All measures are inside ones.",
    .keys = kContentsKeys,
    .one_of = kContentsOneOf,
    .when = kContentsWhen};

}  // namespace stillwell::config
