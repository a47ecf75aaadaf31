#pragma once
// A value or the reason why there is none. Inside the scan and in parsers a failure is a value, not an
// exception.

#include <string>
#include <utility>
#include <variant>

namespace stillwell {

struct Failure {
  std::string text;  ///< for a person: what was wrong and what was expected
};

template <class T>
class Result {
 public:
  Result(T value) : state_{std::move(value)} {}            // NOLINT(google-explicit-constructor)
  Result(Failure failure) : state_{std::move(failure)} {}  // NOLINT(google-explicit-constructor)

  [[nodiscard]] bool ok() const { return std::holds_alternative<T>(state_); }
  explicit operator bool() const { return ok(); }

  /// Only when ok().
  [[nodiscard]] const T& value() const { return std::get<T>(state_); }
  [[nodiscard]] const T& operator*() const { return value(); }
  [[nodiscard]] const T* operator->() const { return &value(); }

  /// Only when not ok().
  [[nodiscard]] const std::string& error() const { return std::get<Failure>(state_).text; }

 private:
  std::variant<T, Failure> state_;
};

}  // namespace stillwell
