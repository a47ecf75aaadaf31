#pragma once
// The language of manual pages, mdoc(7), and how the texts of the repository become it.

#include <string>
#include <string_view>

namespace stillwell::manual {

/// A line of Markdown text, with `code`, **bold**, *italic* and [links](…), as a text line of mdoc.
std::string text_line(std::string_view markdown);

/// The same as text lines, a sentence each, as mdoc wants it.
std::string text_lines(std::string_view markdown);

/// Plain words as arguments of a macro: none is taken for a macro itself.
std::string arguments(std::string_view plain);

/// A document: headings, paragraphs, bullets, tables and fenced code. Its title (#) is left out; ## becomes a
/// section.
std::string from_markdown(std::string_view document);

/// What stands in a document below the heading "## NAME", up to the next of its rank. Throws
/// std::runtime_error when there is none.
std::string section_of(std::string_view document, std::string_view name);

}  // namespace stillwell::manual
