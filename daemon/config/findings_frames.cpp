// Findings about range frames.
#include "stillwell/config/findings.hpp"

namespace stillwell::config {
namespace {

constexpr std::string_view kTextWeakness = "a line of text has no sum";
constexpr std::string_view kTextCure = "let it send bytes with a sum if it can";
constexpr std::string_view kBinaryWeakness = "its frames have no sum";
constexpr std::string_view kBinaryCure = "set sum if it sends one";

}  // namespace

void find_frame_without_sum(const Configuration& configuration, Findings& findings) {
  for (std::size_t i = 0; i < configuration.wiring.gauges.size(); ++i) {
    const auto* format = std::get_if<field::FrameFormat>(&configuration.wiring.gauges[i].source);
    if (format == nullptr) continue;
    const bool is_text = format->kind == field::FrameKind::text;
    if (!is_text && format->sum != field::FrameSum::none) continue;
    findings.note("frame-without-sum", {"gauges", configuration.model.gauges.at(i).id},
                  std::string(is_text ? kTextWeakness : kBinaryWeakness) +
                      ": a byte that is damaged on the wire can pass for another reading. Such a sensor is "
                      "believed less (common practice, no source): " +
                      std::string(is_text ? kTextCure : kBinaryCure) +
                      ", keep the wire short, and give the pumps that rely on it a float too");
  }
}

}  // namespace stillwell::config
