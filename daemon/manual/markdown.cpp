#include <algorithm>
#include <cctype>
#include <sstream>
#include <vector>

#include "mdoc.hpp"

namespace stillwell::manual {
namespace {

std::string trimmed(std::string_view text) {
  const std::size_t from = text.find_first_not_of(' ');
  if (from == std::string_view::npos) return {};
  return std::string{text.substr(from, text.find_last_not_of(' ') + 1 - from)};
}

std::string upper(std::string_view text) {
  std::string result{text};
  std::transform(result.begin(), result.end(), result.begin(),
                 [](unsigned char letter) { return static_cast<char>(std::toupper(letter)); });
  return result;
}

/// "| a | b \| c |" → "a", "b | c".
std::vector<std::string> cells_of(std::string_view row) {
  std::vector<std::string> cells;
  std::string cell;
  for (std::size_t at = 1; at < row.size(); ++at) {
    if (row.substr(at, 2) == "\\|") {
      cell += '|';
      ++at;
    } else if (row[at] == '|') {
      cells.push_back(trimmed(cell));
      cell.clear();
    } else {
      cell += row[at];
    }
  }
  return cells;
}

/// A row of a table as one entry of a list: the last cell tells what the first one is, those between are
/// asides.
std::string entry_of(const std::vector<std::string>& titles, const std::vector<std::string>& cells) {
  std::string asides;
  for (std::size_t at = 1; at + 1 < std::min(titles.size(), cells.size()); ++at) {
    if (cells[at].empty()) continue;
    const bool is_named = titles[at] == "default" && cells[at] != "**required**";
    asides += (asides.empty() ? "" : "; ") + (is_named ? "default " + cells[at] : cells[at]);
  }
  const std::string text = cells.back() + (asides.empty() ? "" : " (" + asides + ")");
  return ".It " + text_line(cells.front()) + "\n" + text_lines(text);
}

/// A document line by line; what is open is closed by what cannot stand in it.
class Document {
 public:
  void line(std::string_view text) {
    if (is_literal_) {
      literal(text);
    } else if (text.starts_with("```")) {
      close();
      out_ += ".Bd -literal -offset indent\n";
      is_literal_ = true;
    } else if (text.starts_with("#")) {
      close();
      heading(text);
    } else if (text.starts_with("|")) {
      row(cells_of(text));
    } else if (text.starts_with("- ")) {
      flush();
      open_list(".Bl -bullet -width 1n");
      is_item_ = true;
      pending_ = text.substr(2);
    } else if (text.empty() || text.starts_with("<!--")) {
      close();
    } else {
      pending_ += (pending_.empty() ? "" : " ") + trimmed(text);
    }
  }

  std::string page() {
    close();
    return std::move(out_);
  }

 private:
  void literal(std::string_view text) {
    if (text.starts_with("```")) {
      out_ += ".Ed\n";
      is_literal_ = false;
      follows_heading_ = false;
      return;
    }
    if (text.starts_with('.') || text.starts_with('\'')) out_ += "\\&";
    for (const char letter : text)
      out_ += letter == '\\' ? std::string{"\\e"} : letter == '-' ? std::string{"\\-"} : std::string{letter};
    out_ += '\n';
  }

  void heading(std::string_view text) {
    const std::size_t rank = text.find_first_not_of('#');
    if (rank == 1) return;
    const std::string words = trimmed(text.substr(rank));
    out_ += rank == 2 ? ".Sh " + arguments(upper(words)) : ".Ss " + arguments(words);
    out_ += '\n';
    follows_heading_ = true;
  }

  void row(std::vector<std::string> cells) {
    if (cells.empty() || cells.front().starts_with("---")) return;
    if (titles_.empty()) {
      flush();
      open_list(".Bl -tag -width Ds");
      titles_ = std::move(cells);
      return;
    }
    out_ += entry_of(titles_, cells);
  }

  void open_list(std::string_view macro) {
    if (is_list_) return;
    out_ += std::string{macro} + "\n";
    is_list_ = true;
    follows_heading_ = false;
  }

  /// Writes the paragraph or the item that was gathered.
  void flush() {
    if (pending_.empty()) return;
    out_ += is_item_ ? ".It\n" : follows_heading_ ? "" : ".Pp\n";
    out_ += text_lines(pending_);
    pending_.clear();
    is_item_ = false;
    follows_heading_ = false;
  }

  void close() {
    flush();
    if (is_list_) out_ += ".El\n";
    is_list_ = false;
    titles_.clear();
  }

  std::string out_;
  std::string pending_;
  std::vector<std::string> titles_;
  bool is_literal_ = false;
  bool is_item_ = false;
  bool is_list_ = false;
  bool follows_heading_ = true;  ///< and so needs no space before it
};

}  // namespace

std::string from_markdown(std::string_view document) {
  Document result;
  std::istringstream lines{std::string{document}};
  for (std::string line; std::getline(lines, line);)
    result.line(line);
  return result.page();
}

}  // namespace stillwell::manual
