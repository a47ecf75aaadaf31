#pragma once
// `stillwell check`: every error of a configuration, then what is unwise in it.

#include <filesystem>
#include <iosfwd>

namespace stillwell::command {

/// Errors go to err, findings to out; with json both go to out as {"problems":[…],"findings":[…]}.
/// Returns 0 (nothing, or notes only), 1 (warnings) or 2 (errors).
int check(const std::filesystem::path& config, bool json, std::ostream& out, std::ostream& err);

}  // namespace stillwell::command
