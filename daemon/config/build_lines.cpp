#include "stillwell/config/build.hpp"
#include "stillwell/config/serial_speed.hpp"

#include <map>

namespace stillwell::config {
namespace {

constexpr int kModbusDataBits =
    8;  // an RTU byte; 7 would be the ASCII mode (Modbus over Serial Line V1.02, 2.5.1)

std::string_view to_word(Carries carries) {
  return carries == Carries::modbus ? "modbus" : "range-frames";
}

/// What only a serial port has.
void build_serial(Build& build, const Checked& section, LineWiring& line) {
  const auto speed = section.get<SerialSpeed>("speed").value_or(SerialSpeed{});
  line.port = value_or<std::string>(section, "port");
  line.speed = speed.baud;
  line.data_bits = speed.data_bits;
  line.parity = speed.parity;
  line.stop_bits = speed.stop_bits;
  const Duration least = least_quiet(speed.baud);
  line.quiet = section.get<Duration>("quiet").value_or(least);
  if (line.quiet < least) {
    build.tell(section.at("quiet"), "shorter than the silence that ends a message at " +
                                        std::to_string(speed.baud) + " baud; expected at least " +
                                        fixed(seconds_of(least) * 1000.0, 2) + " ms");
  }
  if (line.carries == Carries::modbus && line.data_bits != kModbusDataBits) {
    build.tell(section.at("speed"), "Modbus RTU needs 8 data bits");
  }
}

LineWiring build_line(Build& build, const Checked& section) {
  LineWiring line;
  line.id = section.id;
  line.carries =
      value_or<std::string>(section, "carries") == "range-frames" ? Carries::range_frames : Carries::modbus;
  line.timeout = value_or<Duration>(section, "timeout");
  line.tries = static_cast<int>(value_or<std::int64_t>(section, "tries"));
  if (const auto gateway = section.get<HostPort>("tcp")) {
    line.tcp = TcpAddress{.host = gateway->host, .port = gateway->port.value_or(TcpAddress{}.port)};
  } else if (!section.has("tcp")) {
    build_serial(build, section, line);
  }
  return line;
}

/// Two lines on one way would speak into each other's questions.
void expect_own_way(Build& build, const Checked& section, const LineWiring& line,
                    std::map<std::string, std::string>& lines_by_way) {
  const std::string way = line.tcp ? line.tcp->host + " " + std::to_string(line.tcp->port) : line.port;
  const auto [first, is_new] = lines_by_way.emplace(way, section.id);
  if (is_new || way.empty()) return;
  build.tell(section.at(line.tcp ? "tcp" : "port"),
             "line '" + first->second + "' already has this " + (line.tcp ? "gateway" : "port"));
}

}  // namespace

std::optional<std::size_t> Build::refer(const Checked& section, std::string_view key,
                                        std::string_view to) const {
  const auto id = section.get<std::string>(key);
  return id ? root.position(to, *id) : std::nullopt;
}

void build_lines(Build& build) {
  std::map<std::string, std::string> lines_by_way;
  for (const Checked& section : build.root.named("lines")) {
    build.out.model.lines.push_back({section.id});
    build.out.wiring.lines.push_back(build_line(build, section));
    expect_own_way(build, section, build.out.wiring.lines.back(), lines_by_way);
  }
}

Duration stale_after(Build& build, const Checked& section, Duration every) {
  constexpr Duration kAtMost = std::chrono::seconds{60};  // rule 2
  const Duration limit = section.get<Duration>("stale_after").value_or(std::min(every * 3, kAtMost));
  if (section.get<Duration>("every") && limit <= every) {
    build.tell(section.at("stale_after"),
               "every reading would be stale before the next one comes; expected more than "
               "every (" +
                   to_text(every) + ")");
  }
  return limit;
}

LineIndex board_of(Build& build, const Checked& section) {
  const auto id = value_or<std::string>(section, "board");
  std::vector<LineWiring>& lines = build.out.wiring.lines;
  for (std::size_t at = 0; at < lines.size(); ++at) {
    if (lines[at].id != id) continue;
    if (lines[at].carries != Carries::pins)
      build.tell(section.at("board"),
                 "a line has this id too, and status would show two of one name; "
                 "expected another id of the line");
    return {at};
  }
  lines.push_back({.id = id, .port = "/dev/" + id, .carries = Carries::pins});
  build.out.model.lines.push_back({id});
  return {lines.size() - 1};
}

void expect_carries(Build& build, const Checked& section, LineIndex line, Carries needed) {
  if (!section.get<std::string>("line") || line.at >= build.out.wiring.lines.size()) return;
  const LineWiring& wiring = build.out.wiring.lines[line.at];
  if (!build.root.named("lines")[line.at].get<std::string>("carries") || wiring.carries == needed) return;
  build.tell(section.at("line"), "line '" + wiring.id + "' carries " + std::string(to_word(wiring.carries)) +
                                     "; expected a line that carries " + std::string(to_word(needed)));
}

}  // namespace stillwell::config
