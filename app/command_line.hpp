#pragma once

#include <algorithm>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/checked.hpp"
#include "base/text.hpp"
#include "text/check.hpp"
#include "units/message.hpp"
#include "units/quantity_text.hpp"

namespace ductledger::app {

enum class Format { text, json, csv, html };
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
  std::optional<units::System> system;  ///< nothing: as the file is written
  Format format = Format::text;
  std::string output = "-";
  Color color = Color::automatic;
  text::Detail detail = text::Detail::usual;
  bool force = false;
  /// Every option as given, by name, for those that belong to one command.
  std::map<std::string, std::string, std::less<>> given;

  [[nodiscard]] bool has(std::string_view option) const {
    return given.find(option) != given.end();
  }
  /// Empty where the option is not given.
  [[nodiscard]] std::string value(std::string_view option) const {
    const auto found = given.find(option);
    return found == given.end() ? std::string() : found->second;
  }
  /// Each time that an option which may be repeated was given.
  [[nodiscard]] std::vector<std::string> values(std::string_view option) const {
    const auto found = repeated.find(option);
    return found == repeated.end() ? std::vector<std::string>() : found->second;
  }
  std::map<std::string, std::vector<std::string>, std::less<>> repeated;
};

/// An option's quantity in SI; nothing where it is not given.
[[nodiscard]] base::Checked<std::optional<double>> quantity_option(const Options& options,
                                                                   std::string_view name,
                                                                   units::Dimension dimension);

/// The same of an option that takes a whole number.
[[nodiscard]] base::Checked<std::optional<std::size_t>> whole_option(const Options& options,
                                                                     std::string_view name);
/// An option's list, split at its commas, ends trimmed.
[[nodiscard]] inline std::vector<std::string> list_option(const Options& options,
                                                          std::string_view name) {
  const std::string list = options.value(name);
  std::vector<std::string> out;
  for (std::size_t at = 0; at <= list.size();) {
    const std::size_t comma = std::min(list.find(',', at), list.size());
    out.emplace_back(base::trimmed(std::string_view(list).substr(at, comma - at)));
    at = comma + 1;
  }
  return out;
}

[[nodiscard]] const char* word(FailOn fail_on) noexcept;

/// All that is wrong with a command line at once.
[[nodiscard]] base::Checked<Options> parse_command_line(const std::vector<std::string>& arguments);

/// Whether a command line asks for JSON, told even where the rest of it is wrong.
[[nodiscard]] bool asks_for_json(const std::vector<std::string>& arguments);

}  // namespace ductledger::app
