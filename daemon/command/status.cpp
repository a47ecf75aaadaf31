#include "stillwell/command/status.hpp"

#include "stillwell/report/client.hpp"
#include "stillwell/report/picture.hpp"

#include <algorithm>
#include <csignal>
#include <cstdlib>
#include <ctime>
#include <iostream>
#include <string>
#include <string_view>
#include <vector>

#include <sys/ioctl.h>
#include <unistd.h>

namespace stillwell::command {
namespace {

constexpr int kDone = 0;
constexpr int kAttention = 1;
constexpr int kUnreachable = 3;
constexpr const char* kRequest = R"({"do":"status"})";

// ECMA-48 and the private modes of every terminal emulator in use: another screen, no cursor.
constexpr std::string_view kEnter = "\x1b[?1049h\x1b[?25l";
constexpr std::string_view kLeave = "\x1b[?25h\x1b[?1049l";
constexpr std::string_view kHome = "\x1b[H";
constexpr std::string_view kClearLine = "\x1b[K";
constexpr std::string_view kClearBelow = "\x1b[J";

report::PictureStyle style_for(const Terminal& terminal) {
  report::PictureStyle style;
  winsize size{};
  if (terminal.interactive && ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_row > 0) {
    style.rows = size.ws_row;
    style.columns = size.ws_col;
  }
  style.colour = terminal.colour;
  style.unicode = terminal.unicode;
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  if (::localtime_r(&now, &local) != nullptr) style.utc_offset = std::chrono::minutes{local.tm_gmtoff / 60};
  return style;
}

/// What one look at the daemon gave: the text to print, or why there is none.
struct Look {
  int code = kDone;
  bool attention = false;  ///< the site itself needs a person
  std::vector<std::string> lines;
};

Look look(const StatusOptions& options) {
  const auto answer = report::ask_daemon(options.socket, kRequest);
  if (!answer) return {kUnreachable, false, {answer.error()}};
  const auto snapshot = report::parse_snapshot(*answer);
  if (!snapshot) return {kAttention, false, {"the daemon answered: " + *answer}};
  const bool attention = report::needs_attention(*snapshot);
  if (options.json) return {kDone, attention, {*answer}};
  return {kDone, attention, report::picture(*snapshot, style_for(options.terminal))};
}

void print(const Look& look, std::ostream& out) {
  for (const auto& line : look.lines)
    out << line << '\n';
  out.flush();
}

/// Holds back the signals that end or resize a watch, so that they are waited for instead of interrupting.
class HeldSignals {
 public:
  HeldSignals() {
    ::sigemptyset(&set_);
    for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGWINCH})
      ::sigaddset(&set_, signal);
    ::pthread_sigmask(SIG_BLOCK, &set_, &before_);
  }
  ~HeldSignals() { ::pthread_sigmask(SIG_SETMASK, &before_, nullptr); }
  HeldSignals(const HeldSignals&) = delete;
  HeldSignals& operator=(const HeldSignals&) = delete;

  /// A second, or shorter when the terminal changed its size. False when it is time to end.
  [[nodiscard]] bool wait() const {
    const timespec second{1, 0};
    const int signal = ::sigtimedwait(&set_, nullptr, &second);
    return signal < 0 || signal == SIGWINCH;
  }

 private:
  sigset_t set_{};
  sigset_t before_{};
};

/// The other screen of the terminal, given back whatever happens.
class Stage {
 public:
  explicit Stage(std::ostream& out) : out_{out} { out_ << kEnter << std::flush; }
  ~Stage() {
    try {
      out_ << kLeave << std::flush;
    } catch (...) {  // NOLINT(bugprone-empty-catch): the terminal has gone
    }
  }
  Stage(const Stage&) = delete;
  Stage& operator=(const Stage&) = delete;

  /// Over the picture before, in one write: nothing flickers.
  void show(const std::vector<std::string>& lines) {
    std::string frame{kHome};
    for (std::size_t i = 0; i < lines.size(); ++i) {
      frame.append(i == 0 ? "" : "\r\n").append(lines[i]).append(kClearLine);
    }
    out_ << frame.append(kClearBelow) << std::flush;
  }

 private:
  std::ostream& out_;
};

int watch_in_place(const StatusOptions& options, Look last, std::ostream& out) {
  const HeldSignals signals;
  {
    Stage stage{out};
    do {
      stage.show(last.lines);
      if (!signals.wait()) break;
      auto next = look(options);
      // What was last seen stays, under the sentence that it is old.
      if (next.code == kDone) {
        last = std::move(next);
      } else if (!last.lines.empty()) {
        last.lines.front() = "NO ANSWER, trying again: " + next.lines.front();
        last.lines.front().resize(
            std::min<std::size_t>(last.lines.front().size(), style_for(options.terminal).columns));
      }
    } while (out.good());
  }
  print(last, out);  // so that the last picture remains on the ordinary screen
  return kDone;
}

int watch_as_text(const StatusOptions& options, Look last, std::ostream& out, std::ostream& err) {
  const HeldSignals signals;
  do {
    print(last, last.code == kDone ? out : err);
    if (!signals.wait()) break;
    last = look(options);
  } while (out.good());
  return kDone;
}

/// Empty when it is not set, as NO_COLOR and locale(7) mean it.
std::string environment(const char* name) {
  const char* const value = std::getenv(name);
  return value == nullptr ? std::string{} : std::string{value};
}

/// The first of these that is set decides (locale(7)).
bool says_utf8() {
  for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
    std::string value = environment(name);
    if (value.empty()) continue;
    std::transform(value.begin(), value.end(), value.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    return value.find("utf-8") != std::string::npos || value.find("utf8") != std::string::npos;
  }
  return false;
}

}  // namespace

Terminal terminal_of_stdout() {
  const bool interactive = ::isatty(STDOUT_FILENO) == 1;
  const auto term = environment("TERM");
  const bool draws = interactive && !term.empty() && term != "dumb";
  return {draws, draws && environment("NO_COLOR").empty(), says_utf8()};
}

int status(const StatusOptions& options, std::ostream& out, std::ostream& err) {
  auto first = look(options);
  if (first.code != kDone) {
    err << "stillwell: " << first.lines.front() << '\n';
    return first.code;
  }
  if (!options.watch) {
    print(first, out);
    return first.attention ? kAttention : kDone;
  }
  if (options.terminal.interactive && !options.json) return watch_in_place(options, std::move(first), out);
  return watch_as_text(options, std::move(first), out, err);
}

}  // namespace stillwell::command
