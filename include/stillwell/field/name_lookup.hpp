#pragma once
// The addresses behind a name. A name server may take many seconds; nobody here waits longer than he wants
// to.

#include "stillwell/config/wiring.hpp"
#include "stillwell/quantity/result.hpp"
#include "stillwell/quantity/time.hpp"

#include <cstddef>
#include <memory>
#include <optional>
#include <vector>

namespace stillwell::field {

/// A socket address as the system has it: some bytes that begin with their family.
using SocketAddress = std::vector<std::byte>;

class NameLookup {
 public:
  /// Begins at once, on a thread of its own that outlives this object if it must.
  explicit NameLookup(const config::TcpAddress& address);

  /// The addresses, at least one, or why there is none; empty when it is not known within `limit`.
  std::optional<Result<std::vector<SocketAddress>>> wait(Duration limit);

 private:
  struct Shared;
  std::shared_ptr<Shared> shared_;
};

}  // namespace stillwell::field
