#pragma once
// One number in a file of fixed size, written over in place: also on a disk that is full, and at the price of
// one small write.

#include <cstdint>
#include <filesystem>
#include <optional>

namespace stillwell::report {

class NumberFile {
 public:
  /// An empty path: no file; nothing is read, and writes fail.
  explicit NumberFile(const std::filesystem::path& path);
  ~NumberFile();
  NumberFile(const NumberFile&) = delete;
  NumberFile& operator=(const NumberFile&) = delete;

  /// Empty when there is none, or something else than a number of ours.
  [[nodiscard]] std::optional<std::uint64_t> read() const;
  /// False when the disk refuses.
  [[nodiscard]] bool write(std::uint64_t number) const;

 private:
  int fd_ = -1;
};

}  // namespace stillwell::report
