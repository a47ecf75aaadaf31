#include "stillwell/report/wrap.hpp"

namespace stillwell::report {
namespace {

bool is_digit(char letter) {
  return letter >= '0' && letter <= '9';
}

/// Words, the one behind a number joined to it.
std::vector<std::string> words_of(std::string_view text) {
  std::vector<std::string> words;
  bool joins = false;
  while (!text.empty()) {
    const std::size_t end = text.find(' ');
    const std::string_view word = text.substr(0, end);
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    if (word.empty()) continue;
    if (joins) {
      words.back().append(" ").append(word);
    } else {
      words.emplace_back(word);
    }
    joins = is_digit(word.back());
  }
  return words;
}

class Lines {
 public:
  Lines(double limit, const Measure& measure) : limit_{limit}, measure_{measure} {}

  void add(const std::string& word) {
    const std::string with_blank = lines_.back().empty() ? word : " " + word;
    if (fits(with_blank)) return put(with_blank);
    if (!lines_.back().empty()) next();
    if (fits(word)) return put(word);
    std::string_view rest = word;  // of "lift-contact/contact-unreachable" the kind goes into the next line
    for (auto end = rest.find('/'); end != std::string_view::npos; end = rest.find('/')) {
      break_anywhere(rest.substr(0, end + 1));
      rest.remove_prefix(end + 1);
    }
    break_anywhere(rest);
  }
  [[nodiscard]] std::vector<std::string> taken() { return std::move(lines_); }

 private:
  [[nodiscard]] bool fits(std::string_view text) const { return used_ + measured(text, measure_) <= limit_; }
  void break_anywhere(std::string_view piece) {
    if (!fits(piece) && !lines_.back().empty()) next();
    for (const Letter& letter : letters_of(piece)) {
      if (!lines_.back().empty() && used_ + measure_(letter) > limit_) next();
      put(letter.bytes);
    }
  }
  void put(std::string_view text) {
    lines_.back() += text;
    used_ += measured(text, measure_);
  }
  void next() {
    lines_.emplace_back();
    used_ = 0.0;
  }

  double limit_;
  const Measure& measure_;
  double used_ = 0.0;
  std::vector<std::string> lines_{""};
};

/// What letters_of leaves of it: plain, without controls.
std::string plain_text(std::string_view text) {
  std::string plain;
  for (const Letter& letter : letters_of(text))
    plain += letter.bytes;
  return plain;
}

}  // namespace

double measured(std::string_view text, const Measure& measure) {
  double width = 0.0;
  for (const Letter& letter : letters_of(text))
    width += measure(letter);
  return width;
}

std::vector<std::string> wrapped(std::string_view text, double limit, const Measure& measure) {
  Lines lines(limit, measure);
  for (const std::string& word : words_of(plain_text(text)))
    lines.add(word);
  return lines.taken();
}

}  // namespace stillwell::report
