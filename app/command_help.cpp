#include <fmt/format.h>

#include <string>
#include <string_view>
#include <vector>

#include "base/text.hpp"
#include "commands.hpp"
#include "console.hpp"
#include "fitting/catalogue.hpp"
#include "flags.hpp"
#include "help_forms.hpp"
#include "text/table.hpp"

namespace ductledger::app {
namespace {

constexpr std::size_t kBriefColumn = 28;
constexpr std::size_t kNameColumn = 14;

}  // namespace

const char* const kPurpose =
    "ductledger keeps the books of pressure of an exhaust duct run: what each piece\n"
    "costs, and what airflow the appliance really delivers.\n";

const char* const kExits =
    "Exit status:\n"
    "  0  calculated, nothing found at or above the --fail-on level\n"
    "  1  calculated, findings at or above it\n"
    "  2  could not calculate: a wrong call, a wrong file, or a fault of ours\n";

const char* const kEnvironment =
    "Environment:\n"
    "  NO_COLOR  set and not empty: no color unless --color always\n"
    "  TERM      dumb: the same\n";

namespace {

enum class Length { brief, full };

std::string names(const Flag& flag) {
  const std::string letter = *flag.letter == '\0' ? "    " : fmt::format("{}, ", flag.letter);
  const std::string value = *flag.value == '\0' ? "" : fmt::format(" {}", flag.value);
  return letter + flag.name + value;
}

std::string option_lines(const Flag& flag, Length length) {
  std::string left = fmt::format("  {:<{}}", names(flag), kBriefColumn - 2);
  if (left.back() != ' ') {
    left += '\n' + std::string(kBriefColumn, ' ');  // a long name has a line of its own
  }
  std::string text = flag.brief;
  if (length == Length::full && flag.range) {
    text += fmt::format(". {}", flag.range->text);
  }
  if (length == Length::full && *flag.text != '\0') {
    text += fmt::format(". {}", flag.text);
  }
  return left + text::wrapped(text, {kBriefColumn, kBriefColumn, 80}) + '\n';
}

std::vector<std::string> groups() {
  std::vector<std::string> out;
  for (const Flag& flag : flags()) {
    if (out.empty() || out.back() != flag.group) {
      out.emplace_back(flag.group);
    }
  }
  return out;
}

std::string options_of(std::string_view command, Length length) {
  std::string out;
  for (const std::string& group : groups()) {
    std::string lines;
    for (const Flag& flag : flags()) {
      if (group == flag.group && belongs(flag, command)) {
        lines += option_lines(flag, length);
      }
    }
    if (lines.empty()) {
      continue;
    }
    if (length == Length::full) {
      out += '\n';
    }
    if (length == Length::full) {
      out += group;
      out += ":\n";
    }
    out += lines;
  }
  return out;
}

std::string command_list() {
  std::string out;
  for (const Command& command : commands()) {
    out += fmt::format("  {:<{}}{}\n", command.name, kNameColumn - 2, command.brief);
  }
  return out;
}

std::string help_text(const Command* command, Length length) {
  std::string out;
  if (command == nullptr) {
    out += kPurpose;
    if (length == Length::full) {
      out += fmt::format("\nExamples:\n{}", commands().front().examples);
    }
    out += fmt::format("\nUsage: ductledger COMMAND [OPTION]...\n\n{}", command_list());
  } else {
    out += fmt::format(
        "Usage: ductledger {}\n\n{}\n",
        command->usage,
        text::wrapped(length == Length::full ? command->text : command->brief, {0, 0, 80}));
    if (length == Length::full) {
      out += fmt::format("\nExamples:\n{}", command->examples);
    }
  }
  const std::string options = options_of(command == nullptr ? "" : command->name, length);
  if (length == Length::full) {
    out += options;
  } else if (command != nullptr) {  // alone it fits a terminal of 24 lines
    out += "\nOptions:\n" + options;
  }
  if (length == Length::full) {
    out += fmt::format("\n{}\n{}", kExits, kEnvironment);
  } else {
    out += command == nullptr
               ? "\nAll of it: ductledger help; of one command: ductledger help COMMAND\n"
               : fmt::format("\nAll of it: ductledger help {}\n", command->name);
  }
  return out;
}

Exit printed(const std::string& text, const Options& options) {
  const base::Diagnostics faults = print(text);
  complain(faults, options.color);
  return faults.empty() ? Exit::fine : Exit::failed;
}

}  // namespace

Exit run_help(const Options& options) {
  if (options.has("--as")) {
    const std::string form = options.value("--as");
    return printed(form == "man"    ? man_page()
                   : form == "bash" ? bash_completion()
                   : form == "zsh"  ? zsh_completion()
                                    : fish_completion(),
                   options);
  }
  const bool asked_by_command = options.command == "help" && options.wanted == Wanted::run;
  const Length length = options.wanted == Wanted::short_help ? Length::brief : Length::full;
  const Command* command = nullptr;
  if (options.command == "help") {
    command = options.words.empty() ? nullptr : find_command(options.words.front());
  } else {
    command = find_command(options.command);
  }
  if (options.command == "help" && !asked_by_command && command == nullptr) {
    command = find_command("help");
  }
  return printed(help_text(command, length), options);
}

Exit run_version(const Options& options) {
  return printed(
      fmt::format(
          "ductledger {}\n"
          "layout format 1; documents ductledger.check/1, ductledger.checks/1, "
          "ductledger.compare/1, ductledger.size/1, ductledger.makeup/1, ductledger.parts/1, "
          "ductledger.fittings/1, "
          "ductledger.review/1, ductledger.commission/1, ductledger.measured/1, "
          "ductledger.report/1, "
          "ductledger.error/1\ncatalogue {}\n",
          DUCTLEDGER_VERSION,
          fitting::Catalogue::built_in().content_hash()),
      options);
}

}  // namespace ductledger::app
