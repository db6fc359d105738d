#pragma once

#include <optional>
#include <type_traits>
#include <utility>
#include <variant>

#include "base/diagnostic.hpp"
#include "base/expects.hpp"

namespace ductledger::base {

/// A value, or the non-empty list of what is wrong with the input it should have come from.
/// Names follow `std::expected`, which this compiler's library lacks.
template <class T>
class [[nodiscard]] Checked {
 public:
  Checked(T value)
      : state_(std::in_place_index<0>, std::move(value)) {}  // NOLINT(google-explicit-constructor)
  Checked(Diagnostics errors)
      : state_(std::in_place_index<1>, std::move(errors)) {  // NOLINT(google-explicit-constructor)
    DUCTLEDGER_EXPECTS(!std::get<1>(state_).empty());
  }
  Checked(Diagnostic error)  // NOLINT(google-explicit-constructor)
      : state_(std::in_place_index<1>, Diagnostics{std::move(error)}) {}

  [[nodiscard]] bool has_value() const noexcept { return state_.index() == 0; }
  explicit operator bool() const noexcept { return has_value(); }

  [[nodiscard]] const T& value() const& {
    DUCTLEDGER_EXPECTS(has_value());
    return *std::get_if<0>(&state_);
  }
  [[nodiscard]] T& value() & {
    DUCTLEDGER_EXPECTS(has_value());
    return *std::get_if<0>(&state_);
  }
  [[nodiscard]] T&& value() && {
    DUCTLEDGER_EXPECTS(has_value());
    return std::move(*std::get_if<0>(&state_));
  }
  const T& operator*() const& { return value(); }
  T& operator*() & { return value(); }
  T&& operator*() && { return std::move(*this).value(); }
  const T* operator->() const { return &value(); }
  T* operator->() { return &value(); }

  [[nodiscard]] const Diagnostics& error() const& {
    DUCTLEDGER_EXPECTS(!has_value());
    return *std::get_if<1>(&state_);
  }
  [[nodiscard]] Diagnostics&& error() && {
    DUCTLEDGER_EXPECTS(!has_value());
    return std::move(*std::get_if<1>(&state_));
  }

  /// Applies a function that may itself fail; `f(T) -> Checked<U>`.
  template <class F>
  auto and_then(F&& f) && -> std::invoke_result_t<F, T&&> {
    if (has_value()) {
      return std::forward<F>(f)(std::move(*this).value());
    }
    return std::move(*this).error();
  }
  /// Applies a function that cannot fail; `f(T) -> U`.
  template <class F>
  auto transform(F&& f) && -> Checked<std::invoke_result_t<F, T&&>> {
    if (has_value()) {
      return std::forward<F>(f)(std::move(*this).value());
    }
    return std::move(*this).error();
  }

 private:
  std::variant<T, Diagnostics> state_;
};

}  // namespace ductledger::base
