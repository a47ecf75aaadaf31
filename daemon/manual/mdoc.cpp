#include "mdoc.hpp"

#include <cctype>
#include <stdexcept>

namespace stillwell::manual {
namespace {

std::string escaped(char letter, bool in_code) {
  if (letter == '\\') return "\\e";
  if (letter == '-' && in_code) return "\\-";
  return {letter};
}

/// One line of Markdown, letter by letter. Roman, bold and italic are what the terminal of a manual page has.
class Inline {
 public:
  explicit Inline(std::string_view text) : text_{text} {}

  std::string roff() {
    for (at_ = 0; at_ < text_.size(); ++at_) {
      if (text_[at_] == '`') {
        toggle(code_, "\\fB");
      } else if (code_) {
        out_ += escaped(text_[at_], true);
      } else {
        outside_code();
      }
    }
    if (out_.starts_with('.') || out_.starts_with('\'')) out_.insert(0, "\\&");
    return std::move(out_);
  }

 private:
  void toggle(bool& state, std::string_view font) {
    state = !state;
    out_ += state ? font : "\\fR";
  }

  void outside_code() {
    if (text_.substr(at_, 2) == "**") {
      toggle(bold_, "\\fB");
      ++at_;
    } else if (text_[at_] == '*') {
      toggle(italic_, "\\fI");
    } else if (const std::size_t end = link_end(); end != std::string_view::npos) {
      const std::size_t close = text_.find("](", at_);
      out_ += Inline{text_.substr(at_ + 1, close - at_ - 1)}.roff();
      at_ = end;
    } else {
      out_ += escaped(text_[at_], false);
    }
  }

  /// Where the link that begins here ends; nowhere when none begins.
  [[nodiscard]] std::size_t link_end() const {
    if (text_[at_] != '[') return std::string_view::npos;
    const std::size_t close = text_.find(']', at_);
    if (close == std::string_view::npos || text_.substr(close, 2) != "](") return std::string_view::npos;
    return text_.find(')', close);
  }

  std::string_view text_;
  std::string out_;
  std::size_t at_ = 0;
  bool code_ = false;
  bool bold_ = false;
  bool italic_ = false;
};

}  // namespace

std::string text_line(std::string_view markdown) {
  return Inline{markdown}.roff();
}

std::string text_lines(std::string_view markdown) {
  std::string text = text_line(markdown);
  for (std::size_t at = 0; at + 2 < text.size(); ++at) {
    const bool ends =
        text.compare(at, 2, ". ") == 0 && std::isupper(static_cast<unsigned char>(text[at + 2])) != 0;
    if (ends) text[at + 1] = '\n';
  }
  return text + "\n";
}

std::string arguments(std::string_view plain) {
  std::string out;
  bool begins = true;
  for (const char letter : plain) {
    if (begins && letter != ' ') out += "\\&";
    begins = letter == ' ';
    out += letter == '"' ? "\\(dq" : escaped(letter, true);
  }
  return out;
}

std::string section_of(std::string_view document, std::string_view name) {
  const std::string heading = "\n## " + std::string{name} + "\n";
  const std::size_t begin = document.find(heading);
  if (begin == std::string_view::npos)
    throw std::runtime_error("there is no section '" + std::string{name} + "'");
  const std::size_t from = begin + heading.size();
  const std::size_t end = document.find("\n## ", from);
  return std::string{document.substr(from, end == std::string_view::npos ? end : end + 1 - from)};
}

}  // namespace stillwell::manual
