#include "stillwell/report/password_file.hpp"

#include <fstream>
#include <stdexcept>

namespace stillwell::report {
namespace {

constexpr std::size_t kLongestPassword = 4096;

}  // namespace

std::string read_password(const std::string& file) {
  std::ifstream stream{file, std::ios::binary};
  if (!stream) throw std::runtime_error{"the password file " + file + " cannot be read"};
  std::string text(kLongestPassword + 1, '\0');
  stream.read(text.data(), static_cast<std::streamsize>(text.size()));
  text.resize(static_cast<std::size_t>(stream.gcount()));
  if (text.size() > kLongestPassword) {
    throw std::runtime_error{"the password file " + file + " is longer than a password"};
  }
  // Editors end a file with a newline; no password does.
  while (!text.empty() && (text.back() == '\n' || text.back() == '\r'))
    text.pop_back();
  return text;
}

}  // namespace stillwell::report
