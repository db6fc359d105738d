#pragma once

#include <string>

#include "base/checked.hpp"
#include "command_line.hpp"
#include "layout/layout.hpp"
#include "study/review.hpp"

/// The rule sets that a layout is judged by.
namespace ductledger::app {

/// Those of `--rules`, else those that the layout names, else the default ones. A file that the
/// layout names lies in the layout's folder or below, unless `--allow-outside` is given; so does
/// what that file extends. @param path of the layout, `-` for standard input
[[nodiscard]] base::Checked<study::ReviewAsked> rule_sets(const layout::Layout& layout,
                                                          const std::string& path,
                                                          const Options& options);

/// As above without a layout: those of `--rules`, else every set in the program.
[[nodiscard]] base::Checked<study::RuleSetsPtr> rule_sets(const Options& options);

}  // namespace ductledger::app
