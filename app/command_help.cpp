#include <fmt/format.h>

#include <algorithm>
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

constexpr std::size_t kNameColumn = 14;
constexpr std::size_t kWritten = 80;
constexpr const char* kGoesOn = " \\";  ///< a command on the next line

/// A narrow terminal's own width; else 80, as help is written.
std::size_t width() { return std::min(columns(), kWritten); }
/// Where the words on an option begin.
std::size_t brief_column() { return width() < 60 ? 8 : 28; }

/// A line that is longer than a narrow terminal, broken between words; what stands in columns keeps
/// them. @param mark at the end of what goes on, such as a shell's
std::string broken(std::string_view line, std::string_view mark) {
  constexpr std::size_t kRest = 4;
  const std::size_t indent = std::min(line.find_first_not_of(' '), line.size());
  const std::size_t gap = line.find("  ", indent);
  const std::size_t column = line.find_first_not_of(' ', gap);
  const bool columned = gap != std::string_view::npos && column != std::string_view::npos;
  const std::size_t begin = columned ? column : indent;
  std::string out(line.substr(0, begin));
  for (const char c : text::wrapped(
           line.substr(begin), {begin, columned ? begin : indent + kRest, width() - mark.size()})) {
    out += c == '\n' ? std::string(mark) + c : std::string(1, c);
  }
  return out;
}

/// Lines as they are written, those broken that a narrow terminal cannot hold. A command with a
/// quoted word is not: it could be broken in it.
std::string kept_within(std::string_view lines, std::string_view mark = {}) {
  std::string out;
  while (!lines.empty()) {
    const std::size_t end = std::min(lines.find('\n'), lines.size());
    const std::string_view line = lines.substr(0, end);
    const bool whole = width() == kWritten || line.size() <= width() ||
                       (!mark.empty() && line.find_first_of("'\"") != std::string_view::npos);
    out += whole ? std::string(line) : broken(line, mark);
    out += '\n';
    lines.remove_prefix(std::min(end + 1, lines.size()));
  }
  return out;
}

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

std::string purpose() {
  std::string text = kPurpose;
  if (width() == kWritten) {
    return text;
  }
  std::ranges::replace(text, '\n', ' ');
  return text::wrapped(text, {0, 0, width()}) + '\n';
}

std::string names(const Flag& flag) {
  const std::string letter = *flag.letter == '\0' ? "    " : fmt::format("{}, ", flag.letter);
  const std::string value = *flag.value == '\0' ? "" : fmt::format(" {}", flag.value);
  return letter + flag.name + value;
}

std::string option_lines(const Flag& flag, Length length) {
  const std::size_t column = brief_column();
  std::string left = fmt::format("  {:<{}}", names(flag), column - 2);
  if (left.back() != ' ') {
    left += '\n' + std::string(column, ' ');  // a long name has a line of its own
  }
  std::string text = flag.brief;
  if (length == Length::full && flag.range) {
    text += fmt::format(". {}", flag.range->text);
  }
  if (length == Length::full && *flag.text != '\0') {
    text += fmt::format(". {}", flag.text);
  }
  return left + text::wrapped(text, {column, column, width()}) + '\n';
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
    out += fmt::format("  {:<{}}{}\n",
                       command.name,
                       kNameColumn - 2,
                       text::wrapped(command.brief, {kNameColumn, kNameColumn, width()}));
  }
  return out;
}

std::string help_text(const Command* command, Length length) {
  std::string out;
  if (command == nullptr) {
    out += purpose();
    if (length == Length::full) {
      out += fmt::format("\nExamples:\n{}", kept_within(commands().front().examples, kGoesOn));
    }
    out += fmt::format("\nUsage: ductledger COMMAND [OPTION]...\n\n{}", command_list());
  } else {
    out += fmt::format(
        "{}\n{}\n",
        kept_within(fmt::format("Usage: ductledger {}", command->usage)),
        text::wrapped(length == Length::full ? command->text : command->brief, {0, 0, width()}));
    if (length == Length::full) {
      out += fmt::format("\nExamples:\n{}", kept_within(command->examples, kGoesOn));
    }
  }
  const std::string options = options_of(command == nullptr ? "" : command->name, length);
  if (length == Length::full) {
    out += options;
  } else if (command != nullptr) {  // alone it fits a terminal of 24 lines
    out += "\nOptions:\n" + options;
  }
  if (length == Length::full) {
    out += fmt::format("\n{}\n{}", kept_within(kExits), kept_within(kEnvironment));
  } else {
    out += command == nullptr
               ? '\n' + kept_within(
                            "All of it: ductledger help; of one command: ductledger help "
                            "COMMAND")
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
