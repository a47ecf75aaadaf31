#pragma once
// What the help of a command ends with: how it is typed at the orchard, and what comes next.

#include <span>
#include <string>
#include <string_view>

namespace stillwell::command {

struct Example {
  std::string_view typed;
  std::string_view shows;
};

struct Lesson {
  std::string_view command;
  std::span<const Example> examples;  ///< one or two
  std::string_view next;
};

std::span<const Lesson> lessons();

/// Empty for a command without a lesson, which a test forbids.
std::string lesson_text(std::string_view command);

}  // namespace stillwell::command
