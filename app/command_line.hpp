#pragma once

#include <string>
#include <vector>

#include "base/checked.hpp"
#include "report/text.hpp"
#include "units/message.hpp"

namespace ductledger::app {

enum class Format { text, json };
enum class FailOn { fail, warn, note, never };
enum class Color { automatic, always, never };
enum class Wanted { run, short_help, long_help, version };

/// A command line that makes sense.
struct Options {
  Wanted wanted = Wanted::run;
  std::string command;             ///< empty: none given
  std::vector<std::string> words;  ///< what follows the command
  std::string speed;
  FailOn fail_on = FailOn::fail;
  units::System system = units::System::ip;
  Format format = Format::text;
  std::string output = "-";
  Color color = Color::automatic;
  report::Detail detail = report::Detail::usual;
  bool force = false;
};

[[nodiscard]] const char* word(FailOn fail_on) noexcept;

/// All that is wrong with a command line at once.
[[nodiscard]] base::Checked<Options> parse_command_line(const std::vector<std::string>& arguments);

/// Whether a command line asks for JSON, told even where the rest of it is wrong.
[[nodiscard]] bool asks_for_json(const std::vector<std::string>& arguments);

}  // namespace ductledger::app
