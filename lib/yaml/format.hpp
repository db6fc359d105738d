#pragma once

#include <string>

#include "yaml/tree.hpp"

namespace ductledger::yaml {

/// The tree's own text in one form: two blanks a level, dashes of a list under its key's level, one
/// blank behind a colon and a comma, none inside braces, no blanks at line ends, at most one empty
/// line at a time, one line end at the end. Comments stay, each with the line it stands above or
/// behind; so do order, quotes and the way that values are written. Formatted again it is the same.
///
/// @return the text; empty: it cannot be told apart without a change of what it says (a list
/// directly inside a list's dash, a dash alone on its line)
[[nodiscard]] std::string formatted(const Tree& tree);

}  // namespace ductledger::yaml
