#pragma once

#include <string>
#include <utility>

#include "base/diagnostic.hpp"

namespace ductledger::base {

/// An error without a place in a text: of a call, of a file as a whole, of a layout that cannot be
/// edited so. What stands in a text is told by `yaml::Problems`, at its place.
[[nodiscard]] inline Diagnostic fault(std::string rule,
                                      std::string message,
                                      std::string help = {}) {
  Diagnostic out;
  out.rule = std::move(rule);
  out.message = std::move(message);
  out.help = std::move(help);
  return out;
}

}  // namespace ductledger::base
