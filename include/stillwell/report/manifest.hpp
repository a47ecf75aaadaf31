#pragma once
// Every topic that is retained at the broker by us, in $STATE_DIRECTORY/retained.json, so that what a later
// configuration has no more can be deleted: a broker keeps it for ever, and a hub shows a tank that is gone.

#include "stillwell/quantity/result.hpp"

#include <filesystem>
#include <map>
#include <optional>
#include <string>

namespace stillwell::report {

/// The entities of a discovery document, and the kind of each.
using Parts = std::map<std::string, std::string>;
/// By topic; those of the Homie convention have no parts.
using Retained = std::map<std::string, Parts>;

class Manifest {
 public:
  /// What was found is of the same site, or is forgotten: the card of one gateway that became another must
  /// not delete what the first one still tells. Without a directory nothing is kept.
  Manifest(const std::filesystem::path& directory, std::string site);

  /// What is at the broker and has no place in `now`: a whole topic, or the parts that it has lost.
  [[nodiscard]] Retained gone(const Retained& now) const;
  /// Before the first of `now` is published: whatever happens, they are known to be ours.
  std::optional<Failure> add(const Retained& now);
  /// All others are deleted now.
  std::optional<Failure> keep_only(const Retained& now);

  /// Why what was kept cannot be used, for a person; empty when it can, or at the first start.
  [[nodiscard]] const std::string& trouble() const { return trouble_; }

 private:
  std::optional<Failure> save() const;

  std::filesystem::path path_;
  std::string site_;
  Retained retained_;
  std::string trouble_;
};

}  // namespace stillwell::report
