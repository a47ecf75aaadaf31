#include "support/broker.hpp"

#include <algorithm>
#include <csignal>
#include <filesystem>
#include <stdexcept>

#include <unistd.h>

namespace support {
namespace {

/// A free port may be taken by somebody else before the broker binds it.
constexpr int kAttempts = 5;
/// What every mosquitto retains, and what it says (mosquitto(8), "BROKER STATUS").
constexpr const char* kAlwaysRetained = "$SYS/broker/version";
constexpr const char* kVersion = "mosquitto version";

}  // namespace

Broker::Broker(const std::vector<std::string>& lines) : lines_{lines} {
  for (int attempt = 0; attempt < kAttempts; ++attempt) {
    port_ = free_port();
    if (try_start()) return;
  }
  throw std::runtime_error{"mosquitto does not start: " + (mosquitto_ ? mosquitto_->err() : std::string{})};
}

bool Broker::try_start() {
  std::string text = "listener " + std::to_string(port_) + " 127.0.0.1\nlog_dest stderr\n";
  // Started as root it would become another user and lose sight of its files.
  if (::geteuid() == 0) text += "user root\n";
  const auto says = [this](const std::string& word) {
    return std::any_of(lines_.begin(), lines_.end(),
                       [&](const std::string& line) { return line.rfind(word, 0) == 0; });
  };
  if (!says("allow_anonymous")) text += "allow_anonymous true\n";
  if (!says("persistence ")) text += "persistence false\n";
  for (const auto& line : lines_)
    text += line + "\n";
  write_file(directory_.file("mosquitto.conf"), text);
  const std::string program =
      std::filesystem::exists("/usr/sbin/mosquitto") ? "/usr/sbin/mosquitto" : "mosquitto";
  mosquitto_ =
      std::make_unique<Process>(std::vector<std::string>{program, "-c", directory_.file("mosquitto.conf")});
  return mosquitto_->wait_line(" running").has_value();
}

void Broker::start() {
  if (!try_start()) throw std::runtime_error{"mosquitto does not start again: " + mosquitto_->err()};
}
void Broker::stop() {
  mosquitto_->signal(SIGTERM);
  if (!mosquitto_->wait_exit()) kill();
}
void Broker::kill() {
  mosquitto_->signal(SIGKILL);
  mosquitto_->wait_exit();
}
void Broker::freeze(bool frozen) {
  mosquitto_->signal(frozen ? SIGSTOP : SIGCONT);
}

std::unique_ptr<Process> Broker::subscriber(const std::string& filter, const std::string& format) const {
  auto result = std::make_unique<Process>(std::vector<std::string>{
      "stdbuf", "-oL", "mosquitto_sub", "-h", "127.0.0.1", "-p", std::to_string(port_), "-V", "5", "-q", "1",
      "-t", filter, "-t", kAlwaysRetained, "-F", format});
  // Both filters go in one request and are answered in order: with this line nothing of the first is missed.
  if (!result->wait_line(kVersion)) throw std::runtime_error{"mosquitto_sub: " + result->err()};
  return result;
}

void Broker::publish(const std::string& topic, const std::vector<std::string>& options,
                     const std::string& input) const {
  std::vector<std::string> argv{
      "mosquitto_pub", "-h", "127.0.0.1", "-p", std::to_string(port_), "-V", "5", "-q", "1", "-t", topic};
  argv.insert(argv.end(), options.begin(), options.end());
  Process sender{argv};
  sender.write(input);
  sender.close_input();
  if (sender.wait_exit() != 0) throw std::runtime_error{"mosquitto_pub: " + sender.err()};
}

std::string Broker::retained(const std::string& topic) const {
  const auto reader = subscriber(topic, "%t %p");
  const auto line = reader->wait_line(topic + " ", Bound{0});
  return line ? line->substr(topic.size() + 1) : std::string{};
}

}  // namespace support
