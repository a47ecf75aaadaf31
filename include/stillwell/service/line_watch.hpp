#pragma once
// Notices when a line closes or opens again, so that it is told once and with its reason.

#include "stillwell/site/event.hpp"
#include "stillwell/site/model.hpp"

#include <string>
#include <vector>

namespace stillwell::service {

class LineWatch {
 public:
  /// `troubles` as the field gives them: why a line is not open, in the order of the model's lines, empty for
  /// one that is. Returns what has changed since the last call; at first every line counts as open.
  std::vector<Event> changes(const Model& model, const std::vector<std::string>& troubles);

 private:
  std::vector<std::string> last_;
};

}  // namespace stillwell::service
