#include "stillwell/command/deliver.hpp"

#include "stillwell/service/exit_codes.hpp"

#include <fstream>
#include <ostream>

namespace stillwell::command {

int deliver(const std::string& text, const std::string& file, std::ostream& out, std::ostream& err) {
  if (file.empty() || file == "-") {
    out << text;
    return service::kDone;
  }
  std::ofstream stream(file, std::ios::binary | std::ios::trunc);
  stream << text;
  stream.close();
  if (stream) return service::kDone;
  err << "stillwell: " << file << " cannot be written; check its folder, its mode and the disk\n";
  return service::kUsage;
}

}  // namespace stillwell::command
