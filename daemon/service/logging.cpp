#include "stillwell/service/logging.hpp"

#include <cstdlib>
#include <memory>

#include <spdlog/pattern_formatter.h>
#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

namespace stillwell::service {
namespace {

/// The "<N>" of sd-daemon(3): syslog priorities by level.
class PriorityFlag final : public spdlog::custom_flag_formatter {
 public:
  void format(const spdlog::details::log_msg& message, const std::tm& /*time*/,
              spdlog::memory_buf_t& line) override {
    const std::string_view prefix = prefix_of(message.level);
    line.append(prefix.data(), prefix.data() + prefix.size());
  }
  [[nodiscard]] std::unique_ptr<custom_flag_formatter> clone() const override {
    return std::make_unique<PriorityFlag>();
  }

 private:
  static std::string_view prefix_of(spdlog::level::level_enum level) {
    switch (level) {
      case spdlog::level::critical: return "<2>";
      case spdlog::level::err: return "<3>";
      case spdlog::level::warn: return "<4>";
      case spdlog::level::info: return "<6>";
      default: return "<7>";
    }
  }
};

}  // namespace

void set_up_logging() {
  auto logger =
      std::make_shared<spdlog::logger>("stillwell", std::make_shared<spdlog::sinks::stderr_sink_mt>());
  auto formatter = std::make_unique<spdlog::pattern_formatter>();
  if (std::getenv("JOURNAL_STREAM") != nullptr) {  // journald stamps each line itself
    formatter->add_flag<PriorityFlag>('*').set_pattern("%*%v");
  } else {
    formatter->set_pattern("%Y-%m-%d %H:%M:%S.%e %l: %v");
  }
  logger->set_formatter(std::move(formatter));
  logger->flush_on(spdlog::level::info);
  spdlog::set_default_logger(logger);
}

}  // namespace stillwell::service
