#pragma once

#include <string>
#include <utility>

#include "base/diagnostic.hpp"

namespace ductledger::base {

/// An error without a place in a text: of a call, of a file as a whole.
[[nodiscard]] inline Diagnostic fault(std::string rule,
                                      std::string message,
                                      std::string help = {}) {
  Diagnostic out;
  out.rule = std::move(rule);
  out.message = std::move(message);
  out.help = std::move(help);
  return out;
}

/// Where a text was read from, and which part of it.
struct Place {
  const SourcePtr& source;
  const Span& span;
};

/// An error found after reading, at the place of what it is about. What is found while reading is
/// told by `yaml::Problems`.
[[nodiscard]] inline Diagnostic fault_at(const Place& place,
                                         std::string rule,
                                         std::string message,
                                         std::string help = {}) {
  Diagnostic out = fault(std::move(rule), std::move(message), std::move(help));
  out.source = place.source;
  out.span = place.span;
  return out;
}

}  // namespace ductledger::base
