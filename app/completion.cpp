#include <fmt/format.h>
#include <fmt/ranges.h>

#include <string>
#include <string_view>
#include <vector>

#include "flags.hpp"
#include "help_forms.hpp"

namespace ductledger::app {
namespace {

bool takes_value(const Flag& flag) { return *flag.value != '\0'; }

/// Whether the value is a path, by the word that stands for it.
bool takes_path(const Flag& flag) {
  const std::string_view value = flag.value;
  return value.find("FILE") != std::string_view::npos ||
         value.find("DIR") != std::string_view::npos;
}

/// The options that a command takes, names first, letters behind.
std::vector<std::string> option_words(std::string_view command) {
  std::vector<std::string> words;
  for (const Flag& flag : flags()) {
    if (belongs(flag, command)) {
      words.emplace_back(flag.name);
    }
  }
  return words;
}

/// Between single quotes of a shell, as zsh and fish read them.
std::string in_shell_quotes(std::string_view text) {
  std::string out = "'";
  for (const char c : text) {
    if (c == '\'') {
      out += "'\\''";
    } else {
      out += c;
    }
  }
  return out + "'";
}

/// Without what zsh takes for the end of a description.
std::string plain(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '[' || c == ']' || c == ':' || c == '\\') {
      out += '\\';
    }
    out += c;
  }
  return out;
}

}  // namespace

std::string bash_completion() {
  std::string out =
      "# What bash offers behind `ductledger`.\n"
      "_ductledger() {\n"
      "  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} options=\n"
      "  COMPREPLY=()\n"
      "  if [ \"$COMP_CWORD\" -eq 1 ]; then\n";
  out += fmt::format(
      "    mapfile -t COMPREPLY < <(compgen -W '{} {}' -- \"$word\")\n    return\n  fi\n",
      fmt::join(command_names(), " "),
      fmt::join(option_words(""), " "));
  out += "  case $before in\n";
  for (const Flag& flag : flags()) {
    if (!takes_value(flag)) {
      continue;
    }
    const std::string names =
        *flag.letter == '\0' ? flag.name : fmt::format("{}|{}", flag.letter, flag.name);
    const std::string offered =
        !flag.choices.empty()
            ? fmt::format("mapfile -t COMPREPLY < <(compgen -W '{}' -- \"$word\"); return",
                          fmt::join(flag.choices, " "))
        : takes_path(flag) ? "mapfile -t COMPREPLY < <(compgen -f -- \"$word\"); return"
                           : "return";
    out += fmt::format("    {}) {} ;;\n", names, offered);
  }
  out += "  esac\n  case ${COMP_WORDS[1]} in\n";
  for (const Command& command : commands()) {
    out += fmt::format(
        "    {}) options='{}' ;;\n", command.name, fmt::join(option_words(command.name), " "));
  }
  out += fmt::format(
      "  esac\n"
      "  case ${{COMP_WORDS[1]}}:$word in\n"
      "    help:*) mapfile -t COMPREPLY < <(compgen -W '{}' -- \"$word\") ;;\n"
      "    *:-*) mapfile -t COMPREPLY < <(compgen -W \"$options\" -- \"$word\") ;;\n"
      "    *) mapfile -t COMPREPLY < <(compgen -f -- \"$word\") ;;\n"
      "  esac\n"
      "}}\n"
      "complete -o filenames -F _ductledger ductledger\n",
      fmt::join(command_names(), " "));
  return out;
}

std::string zsh_completion() {
  std::string out =
      "#compdef ductledger\n# What zsh offers behind `ductledger`.\n"
      "_ductledger() {\n  local -a commands\n  commands=(\n";
  for (const Command& command : commands()) {
    out +=
        fmt::format("    {}\n", in_shell_quotes(fmt::format("{}:{}", command.name, command.brief)));
  }
  out +=
      "  )\n  if (( CURRENT == 2 )); then\n    _describe command commands\n    return\n  fi\n"
      "  case $words[2] in\n";
  for (const Command& command : commands()) {
    out += fmt::format("    {})\n      _arguments \\\n", command.name);
    for (const Flag& flag : flags()) {
      if (!belongs(flag, command.name)) {
        continue;
      }
      std::string value;
      if (takes_value(flag)) {
        value =
            fmt::format(":{}:{}",
                        plain(flag.value),
                        !flag.choices.empty() ? fmt::format("({})", fmt::join(flag.choices, " "))
                        : takes_path(flag)    ? "_files"
                                              : " ");
      }
      out += fmt::format(
          "        {} \\\n",
          in_shell_quotes(fmt::format("{}[{}]{}", flag.name, plain(flag.brief), value)));
    }
    const bool of_help = std::string_view(command.name) == "help";
    out += of_help ? fmt::format("        '*:command:({})'\n", fmt::join(command_names(), " "))
                   : std::string("        '*:file:_files'\n");
    out += "      ;;\n";
  }
  out += "  esac\n}\n_ductledger \"$@\"\n";
  return out;
}

std::string fish_completion() {
  std::string out = "# What fish offers behind `ductledger`.\n";
  for (const Command& command : commands()) {
    out += fmt::format("complete -c ductledger -n __fish_use_subcommand -f -a {} -d {}\n",
                       command.name,
                       in_shell_quotes(command.brief));
  }
  for (const Flag& flag : flags()) {
    std::string line = "complete -c ductledger";
    if (!flag.commands.empty()) {
      line += fmt::format(" -n '__fish_seen_subcommand_from {}'", fmt::join(flag.commands, " "));
    }
    line += fmt::format(" -l {}", std::string_view(flag.name).substr(2));
    if (*flag.letter != '\0') {
      line += fmt::format(" -s {}", std::string_view(flag.letter).substr(1));
    }
    if (!flag.choices.empty()) {
      line += fmt::format(" -x -a '{}'", fmt::join(flag.choices, " "));
    } else if (takes_value(flag)) {
      line += takes_path(flag) ? " -r -F" : " -x";
    }
    out += fmt::format("{} -d {}\n", line, in_shell_quotes(flag.brief));
  }
  out += fmt::format("complete -c ductledger -n '__fish_seen_subcommand_from help' -f -a '{}'\n",
                     fmt::join(command_names(), " "));
  return out;
}

}  // namespace ductledger::app
