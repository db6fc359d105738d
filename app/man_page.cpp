#include <fmt/format.h>

#include <string>
#include <string_view>

#include "flags.hpp"
#include "help_forms.hpp"

namespace ductledger::app {
namespace {

/// Text as roff shows it unchanged: no line of it is a request, no hyphen turns into a dash.
std::string roff(std::string_view text) {
  std::string out;
  bool line_begins = true;
  for (const char c : text) {
    if (line_begins && (c == '.' || c == '\'')) {
      out += "\\&";
    }
    line_begins = c == '\n';
    if (c == '\\') {
      out += "\\e";
    } else if (c == '-') {
      out += "\\-";
    } else {
      out += c;
    }
  }
  return out;
}

/// Lines whose breaks and columns stay.
std::string verbatim(std::string_view lines) { return ".nf\n" + roff(lines) + ".fi\n"; }

std::string option_entry(const Flag& flag) {
  std::string names = *flag.letter == '\0' ? "" : fmt::format("\\fB{}\\fR, ", roff(flag.letter));
  names += fmt::format("\\fB{}\\fR", roff(flag.name));
  if (*flag.value != '\0') {
    names += fmt::format(" \\fI{}\\fR", roff(flag.value));
  }
  std::string text = fmt::format("{}.", flag.brief);
  if (flag.range) {
    text += fmt::format(" {}.", flag.range->text);
  }
  if (*flag.text != '\0') {
    text += fmt::format(" {}", flag.text);
  }
  return fmt::format(".TP\n{}\n{}\n", names, roff(text));
}

std::string command_entry(const Command& command) {
  std::string out = fmt::format(".SS {}\n.B ductledger {}\n.PP\n{}\n",
                                roff(command.name),
                                roff(command.usage),
                                roff(command.text));
  out += fmt::format(".PP\nExamples:\n{}", verbatim(command.examples));
  for (const Flag& flag : flags()) {
    if (!flag.commands.empty() && belongs(flag, command.name)) {
      out += option_entry(flag);
    }
  }
  return out;
}

/// `Exit status:\n  0 ...` as a section.
std::string section_of(std::string_view text) {
  const std::size_t end = text.find(":\n");
  std::string heading(text.substr(0, end));
  for (char& c : heading) {
    c = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
  }
  return fmt::format(".SH {}\n{}", heading, verbatim(text.substr(end + 2)));
}

}  // namespace

std::string man_page() {
  std::string out = fmt::format(
      ".TH DUCTLEDGER 1 \"\" \"ductledger {}\" \"User Commands\"\n"
      ".SH NAME\nductledger \\- delivered airflow of an exhaust duct run, piece by piece\n"
      ".SH SYNOPSIS\n.B ductledger\n.I COMMAND\n[\\fIOPTION\\fR]...\n"
      ".SH DESCRIPTION\n{}",
      DUCTLEDGER_VERSION,
      roff(kPurpose));
  out += ".SH COMMANDS\n";
  for (const Command& command : commands()) {
    out += command_entry(command);
  }
  out += ".SH OPTIONS OF EVERY COMMAND\n";
  for (const Flag& flag : flags()) {
    if (flag.commands.empty()) {
      out += option_entry(flag);
    }
  }
  out += section_of(kExits);
  out += section_of(kEnvironment);
  out +=
      ".SH CAUTIONS\nExhaust can draw flue gas into a house. Local code and the authority decide; "
      "work on duct, gas and wiring is for qualified, licensed persons.\n";
  return out;
}

}  // namespace ductledger::app
