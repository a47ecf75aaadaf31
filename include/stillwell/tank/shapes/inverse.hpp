#pragma once
// From contents to depth for every shape that has no formula for it.

#include "stillwell/tank/shape.hpp"

namespace stillwell {

/// Two depths between which an answer lies: the contents at `low` are not more, at `high` not less.
struct DepthBracket {
  Metres low;
  Metres high;
};

/// The depth in `between` at which `shape` holds `contents`: Newton's steps, a halving whenever they leave
/// the bracket or creep. Bounded in its steps and always inside the bracket, whatever the shape does.
Metres depth_between(const Shape& shape, Litres contents, DepthBracket between);

}  // namespace stillwell
