#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "commands.hpp"
#include "units/unit_table.hpp"

/// The commands and options, once: the parser and both help texts are made from these tables.
namespace ductledger::app {

/// How many words a command takes, and what to say where they are too few.
struct Words {
  std::size_t least;
  std::size_t most;
  const char* missing;  ///< `a layout file`
  const char* help;     ///< what to type instead
};
inline constexpr std::size_t kAnyNumber = static_cast<std::size_t>(-1);

struct Command {
  const char* name;
  const char* usage;
  const char* brief;
  const char* text;      ///< for the long help
  const char* examples;  ///< two real ones
  Words words;
  Exit (*run)(const Options&);
};
[[nodiscard]] std::span<const Command> commands();
[[nodiscard]] const Command* find_command(std::string_view name);
[[nodiscard]] std::vector<std::string> command_names();

/// What a numeric option may be, ends included.
struct NumberRange {
  units::Dimension dimension;  ///< `number`: a whole one
  double lowest;               ///< SI
  double highest;
  const char* text;  ///< the range as people read it
};

struct Flag {
  const char* name;                   ///< `--output`
  const char* letter;                 ///< `-o`, or empty
  const char* value;                  ///< `FILE`; empty: takes none
  std::vector<std::string> choices;   ///< values allowed; empty: any
  std::vector<std::string> commands;  ///< where it may stand; empty: everywhere
  const char* group;
  const char* brief;
  const char* text;  ///< more, for the long help; may be empty
  std::optional<NumberRange> range = {};
  bool repeats = false;  ///< may be given several times
};
[[nodiscard]] const std::vector<Flag>& flags();
[[nodiscard]] bool belongs(const Flag& flag, std::string_view command);
/// Flags as a command knows them: of two of one name its own, else the first.
[[nodiscard]] std::vector<const Flag*> flags_for(std::string_view command);

}  // namespace ductledger::app
