#pragma once

#include <string>

/// Help in the forms that other programs read, all of it from the tables of commands and options.
namespace ductledger::app {

/// The manual page, section 1 (roff).
[[nodiscard]] std::string man_page();

/// What a shell offers behind TAB: commands, the options of the command typed, their values, files.
[[nodiscard]] std::string bash_completion();
[[nodiscard]] std::string zsh_completion();
[[nodiscard]] std::string fish_completion();

// What the manual page and the long help share.
extern const char* const kPurpose;      ///< two lines, each with its line end
extern const char* const kExits;        ///< with its heading
extern const char* const kEnvironment;  ///< with its heading

}  // namespace ductledger::app
