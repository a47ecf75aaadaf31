#pragma once
// Files that a power cut leaves as they were or as they shall be, and never between. Each failure names the
// file and says why.

#include "stillwell/quantity/result.hpp"

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

namespace stillwell::report {

/// A file that may be of any size and hold anything: no more than `most` bytes are taken.
Result<std::string> read_bounded(const std::filesystem::path& path, std::uintmax_t most);
/// All of a text; false: the disk refused it, and errno says why. Some of it may be written then.
bool write_all(int file, const std::string& text);
/// Everything of a text in a new file, on the disk when it returns.
std::optional<Failure> write_durably(const std::filesystem::path& path, const std::string& text);
/// A rename is on the disk when the directory is.
std::optional<Failure> make_durable(const std::filesystem::path& directory);
/// Both, by way of a file beside it.
std::optional<Failure> replace_durably(const std::filesystem::path& path, const std::string& text);

}  // namespace stillwell::report
