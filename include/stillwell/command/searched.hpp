#pragma once
// What came of a search, printed.

#include "stillwell/field/search_proposal.hpp"

#include <iosfwd>
#include <string>

namespace stillwell::command {

void print_text(const field::SearchResult& result, const std::string& proposal, std::ostream& out);
void print_json(const field::SearchResult& result, const std::string& proposal, std::ostream& out);

}  // namespace stillwell::command
