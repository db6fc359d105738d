#include "command_line.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <iterator>
#include <map>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "flags.hpp"

namespace ductledger::app {
namespace {

using base::fault;

/// Values by option name; an option that takes none holds an empty one.
using Given = std::map<std::string, std::string, std::less<>>;

std::string see_help(std::string_view command) {
  return command.empty() ? "`ductledger help` lists the commands"
                         : fmt::format("`ductledger help {}` lists its options", command);
}

base::Diagnostic unknown_option(const std::string& argument, std::string_view command) {
  const std::string name = argument.substr(0, argument.find('='));
  std::vector<std::string> names;
  for (const Flag& flag : flags()) {
    if (belongs(flag, command)) {
      names.emplace_back(flag.name);
    }
  }
  const auto near = base::nearest(name, names);
  return fault("unknown-option",
               fmt::format("no option is named `{}`", base::escaped(name)),
               near ? fmt::format("did you mean `{}`?", *near) : see_help(command));
}

base::Diagnostics check_command(const std::string& command) {
  if (find_command(command) != nullptr) {
    return {};
  }
  const auto near = base::nearest(command, command_names());
  std::string help = see_help("");
  if (near) {
    help = fmt::format("did you mean `{}`?", *near);
  } else if (command.find_first_of("./") != std::string::npos) {
    help = fmt::format("to calculate a layout: `ductledger check {}`", base::escaped(command));
  }
  return {fault("unknown-command",
                fmt::format("no command is named `{}`", base::escaped(command)),
                std::move(help))};
}

bool repeats(std::string_view name) {
  return std::ranges::any_of(flags(),
                             [&](const Flag& flag) { return name == flag.name && flag.repeats; });
}

std::vector<std::string> formats_of(std::string_view command) {
  if (command == "batch") {
    return {"jsonl", "csv", "columns"};
  }
  if (command == "sweep") {
    return {"text", "jsonl", "csv", "columns"};
  }
  if (command == "parts") {
    return {"text", "json", "csv"};
  }
  return command == "review" ? std::vector<std::string>{"text", "json", "html"}
                             : std::vector<std::string>{"text", "json"};
}

base::Diagnostics check_flags(const Given& given, const std::string& command) {
  base::Diagnostics faults;
  for (const Flag* known : flags_for(command)) {
    const Flag& flag = *known;
    const auto found = given.find(flag.name);
    if (found == given.end()) {
      continue;
    }
    if (!command.empty() && !belongs(flag, command)) {
      faults.push_back(fault("misplaced-option",
                             fmt::format("`{}` does not take `{}`", command, flag.name),
                             see_help(command)));
    }
    if (!flag.choices.empty() &&
        std::find(flag.choices.begin(), flag.choices.end(), found->second) == flag.choices.end()) {
      const auto near = base::nearest(found->second, flag.choices);
      faults.push_back(fault("bad-value",
                             fmt::format("`{}` takes {}, not `{}`",
                                         flag.name,
                                         base::joined(flag.choices),
                                         base::escaped(found->second)),
                             near ? fmt::format("did you mean `{}`?", *near) : ""));
    }
  }
  const auto format = given.find("--format");
  if (format != given.end() && !command.empty()) {
    const std::vector<std::string> all = formats_of(command);
    if (std::ranges::find(all, format->second) == all.end()) {
      faults.push_back(
          fault("bad-value",
                fmt::format("`{}` prints no {}", command, base::escaped(format->second)),
                "it prints " + base::joined(all)));
    }
  }
  if (given.count("--json") > 0 && format != given.end() && format->second != "json") {
    faults.push_back(fault("contradiction",
                           fmt::format("`--json` and `--format {}` contradict each other",
                                       base::escaped(format->second)),
                           "leave one of them out"));
  }
  if (given.count("--watch") > 0 && given.count("--output") > 0) {
    faults.push_back(fault("contradiction",
                           "`--watch` answers on the screen, `--output` into a file",
                           "leave one of them out"));
  }
  if (given.count("--verbose") > 0 && given.count("--quiet") > 0) {
    faults.push_back(fault("contradiction",
                           "`--verbose` and `--quiet` contradict each other",
                           "leave one of them out"));
  }
  return faults;
}

base::Diagnostics check_words(const Options& options) {
  base::Diagnostics faults;
  const Command* command = find_command(options.command);
  if (command == nullptr) {
    return faults;
  }
  const std::size_t count = options.words.size();
  if (count < command->words.least) {
    faults.push_back(fault("missing-file",
                           fmt::format("`{}` needs {}", command->name, command->words.missing),
                           command->words.help));
  } else if (count > command->words.most) {
    faults.push_back(
        fault("too-many-words",
              fmt::format("`{}` takes {}, {} are given",
                          command->name,
                          command->words.most == 1 ? "one word"
                                                   : fmt::format("{} words", command->words.most),
                          count),
              command->words.help));
  }
  if (std::count(options.words.begin(), options.words.end(), "-") > 1) {
    faults.push_back(
        fault("repeated-input", "standard input can be read only once", "name `-` once"));
  }
  if (options.command == "help" && count == 1) {
    for (base::Diagnostic& one : check_command(options.words.front())) {
      faults.push_back(std::move(one));
    }
  }
  return faults;
}

Options resolved(Given given, Options options) {
  options.given = std::move(given);
  options.speed = options.value("--speed");
  const std::string fail_on = options.value("--fail-on");
  options.fail_on = fail_on == "warn"    ? FailOn::warn
                    : fail_on == "note"  ? FailOn::note
                    : fail_on == "never" ? FailOn::never
                                         : FailOn::fail;
  if (options.has("--units")) {
    options.system = options.value("--units") == "si" ? units::System::si : units::System::ip;
  }
  const std::string format = options.value("--format");
  options.format = options.has("--json") || format == "json" ? Format::json
                   : format == "csv"                         ? Format::csv
                   : format == "html"                        ? Format::html
                                                             : Format::text;
  options.output = options.has("--output") ? options.value("--output") : "-";
  const std::string color = options.value("--color");
  options.color = color == "always"  ? Color::always
                  : color == "never" ? Color::never
                                     : Color::automatic;
  options.detail = options.has("--verbose") ? text::Detail::verbose
                   : options.has("--quiet") ? text::Detail::brief
                                            : text::Detail::usual;
  options.force = options.has("--force");
  return options;
}

/// The options as declared to the parser, and what it reads.
class Parser {
 public:
  /// @param command an option may mean another thing to another command
  explicit Parser(std::string_view command) {
    parser_.set_help_flag();
    parser_.allow_extras();
    parser_.add_option("words", words_);
    parser_.add_flag("-h", short_help_);
    for (const Flag* known : flags_for(command)) {
      const Flag& flag = *known;
      const std::string name = flag.name;
      const bool is_help = name == "--help";
      const std::string names =
          is_help || *flag.letter == '\0' ? name : fmt::format("{},{}", flag.letter, name);
      if (*flag.value == '\0') {
        options_[name] = parser_.add_flag(names)->disable_flag_override();
      } else {
        options_[name] = parser_.add_option(names, values_[name]);
        options_[name]->multi_option_policy(CLI::MultiOptionPolicy::TakeLast);
      }
    }
  }

  [[nodiscard]] bool short_help() const { return short_help_; }

  /// Lets the parser read the arguments; what it complains of, in our words.
  [[nodiscard]] std::optional<base::Diagnostic> read(std::vector<std::string> arguments) {
    for (const std::string& one : arguments) {
      const std::string name = one.substr(0, one.size() - 1);
      if (one.starts_with("--") && one.ends_with('=') && values_.contains(name)) {
        return needs_value(name);
      }
    }
    try {
      std::ranges::reverse(arguments);  // as the parser takes them
      parser_.parse(arguments);
    } catch (const CLI::ArgumentMismatch& error) {
      const std::string what = error.what();
      const std::string name = base::escaped(what.substr(0, what.find(':')));
      return what.find("required") != std::string::npos
                 ? needs_value(name)
                 : fault("bad-option", fmt::format("`{}` takes no value", name), see_help(""));
    } catch (const CLI::ParseError& error) {
      return fault(
          "bad-option",
          fmt::format("an option is not given as it should be: {}", base::escaped(error.what())),
          see_help(""));
    }
    return std::nullopt;
  }

  /// The options that were given, into `given` or `asked.repeated`; one that contradicts itself.
  [[nodiscard]] std::optional<base::Diagnostic> take_given(Given& given, Options& asked) const {
    for (const auto& [name, option] : options_) {
      if (option->count() > 0) {
        const auto value = values_.find(name);
        given[name] = value == values_.end() ? std::string() : value->second;
        const auto& all = option->results();
        if (repeats(name)) {
          asked.repeated[name] = all;
          continue;
        }
        if (value != values_.end() &&
            std::ranges::any_of(all, [&](const std::string& one) { return one != all.front(); })) {
          return fault("contradiction",
                       fmt::format("`{}` is given {} times", name, all.size()),
                       "give it once; a list is written with commas");
        }
      }
    }
    return std::nullopt;
  }

  /// The command and the words behind it. @return a command or options that there are not
  [[nodiscard]] base::Diagnostics take_words(Options& asked) const {
    base::Diagnostics faults;
    if (!words_.empty()) {
      asked.command = words_.front();
      asked.words.assign(words_.begin() + 1, words_.end());
    }
    if (!asked.command.empty()) {
      faults = check_command(asked.command);
    }
    for (const std::string& extra : parser_.remaining()) {
      if (extra.size() > 1 && extra.front() == '-') {
        faults.push_back(unknown_option(extra, asked.command));
      } else {
        asked.words.push_back(extra);
      }
    }
    return faults;
  }

 private:
  [[nodiscard]] static base::Diagnostic needs_value(const std::string& name) {
    return fault("bad-option", fmt::format("`{}` needs a value", name), see_help(""));
  }

  CLI::App parser_;
  std::vector<std::string> words_;
  bool short_help_ = false;
  std::map<std::string, std::string> values_;  ///< of options that take one
  std::map<std::string, CLI::Option*> options_;
};

}  // namespace

bool asks_for_json(const std::vector<std::string>& arguments) {
  for (std::size_t i = 0; i < arguments.size(); ++i) {
    const bool split =
        arguments[i] == "--format" && i + 1 < arguments.size() && arguments[i + 1] == "json";
    if (split || arguments[i] == "--json" || arguments[i] == "--format=json") {
      return true;
    }
  }
  return false;
}

base::Checked<Options> parse_command_line(const std::vector<std::string>& arguments) {
  // The command may stand behind its options.
  const auto command = std::ranges::find_if(
      arguments, [](const std::string& one) { return find_command(one) != nullptr; });
  Parser parser(command == arguments.end() ? "" : *command);
  // Behind `--` every argument is a word.
  const auto end_of_options = std::ranges::find(arguments, "--");
  if (auto wrong = parser.read({arguments.begin(), end_of_options})) {
    return *std::move(wrong);
  }
  Options asked;
  Given given;
  if (auto contradiction = parser.take_given(given, asked)) {
    return *std::move(contradiction);
  }
  base::Diagnostics faults = parser.take_words(asked);
  if (end_of_options != arguments.end()) {
    asked.words.insert(asked.words.end(), std::next(end_of_options), arguments.end());
  }
  if (!faults.empty()) {
    return faults;
  }
  if (given.count("--version") > 0) {
    asked.wanted = Wanted::version;
    return asked;
  }
  if (parser.short_help() || given.count("--help") > 0) {
    asked.wanted = parser.short_help() ? Wanted::short_help : Wanted::long_help;
    return asked;
  }
  faults = check_flags(given, asked.command);
  for (base::Diagnostic& one : check_words(asked)) {
    faults.push_back(std::move(one));
  }
  if (!faults.empty()) {
    return faults;
  }
  if (asked.command.empty()) {
    asked.wanted = Wanted::short_help;
  }
  return resolved(std::move(given), std::move(asked));
}

}  // namespace ductledger::app
