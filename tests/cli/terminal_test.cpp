#include <gtest/gtest.h>
#include <pty.h>

#include <array>
#include <sstream>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "cli/harness.hpp"

namespace ductledger::test {
namespace {

/// What the program shows on a terminal of so many columns, both streams, without colors.
std::string shown(std::vector<std::string> words, unsigned short columns) {
  winsize size{};
  size.ws_row = 24;
  size.ws_col = columns;
  int terminal = -1;
  const pid_t child = forkpty(&terminal, nullptr, nullptr, &size);
  if (child == 0) {
    std::vector<char*> argv;
    words.insert(words.begin(), DUCTLEDGER_BINARY);
    for (std::string& word : words) {
      argv.push_back(word.data());
    }
    argv.push_back(nullptr);
    std::array<char, 11> quiet{"NO_COLOR=1"};
    std::array<char*, 2> environment{quiet.data(), nullptr};
    execve(DUCTLEDGER_BINARY, argv.data(), environment.data());
    _exit(98);
  }
  std::string text;
  std::array<char, 4096> part{};
  for (ssize_t got = 0; (got = read(terminal, part.data(), part.size())) > 0;) {
    text.append(part.data(), static_cast<std::size_t>(got));
  }
  close(terminal);
  waitpid(child, nullptr, 0);
  std::erase(text, '\r');
  return text;
}

/// The first line that is wider; a command with a quoted word is left to the terminal.
std::string too_wide(const std::string& text, std::size_t columns) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    const bool quoted =
        line.rfind("  ductledger", 0) == 0 && line.find_first_of("'\"") != line.npos;
    if (base::character_count(line) > columns && !quoted) {
      return line;
    }
  }
  return {};
}

TEST(Terminal, help_keeps_within_a_narrow_one) {
  for (const unsigned short columns : std::array<unsigned short, 4>{40, 52, 60, 79}) {
    for (const char* command : {"check", "report", "batch", "fittings", "size", "help"}) {
      const std::string text = shown({"help", command}, columns);
      EXPECT_TRUE(holds(text, "Usage: ductledger")) << text;
      EXPECT_EQ(too_wide(text, columns), "") << columns << ' ' << command;
    }
    EXPECT_EQ(too_wide(shown({"help"}, columns), columns), "") << columns;
    EXPECT_EQ(too_wide(shown({}, columns), columns), "") << columns;
  }
}

TEST(Terminal, help_is_that_of_a_pipe_where_there_is_room) {
  EXPECT_EQ(shown({"help", "report"}, 120), run({"help", "report"}).out);
}

TEST(Terminal, an_error_breaks_between_words) {
  const std::vector<std::string> wrong{"report", "--sheet", "rough-out", "kitchen.yaml"};
  const std::string text = shown(wrong, 44);
  EXPECT_EQ(too_wide(text, 44), "");
  const auto words = [](const std::string& of) {
    std::istringstream in(of);
    return std::vector<std::string>{std::istream_iterator<std::string>(in), {}};
  };
  EXPECT_EQ(words(text), words(run(wrong).err));
}

TEST(Terminal, every_view_keeps_within_eighty_columns_where_there_is_none) {
  for (const std::string& example : examples()) {
    for (const std::vector<std::string>& words :
         std::vector<std::vector<std::string>>{{"check", "--advise", "--verbose"},
                                               {"review", "--verbose"},
                                               {"review", "--sheet"},
                                               {"review", "--letter"},
                                               {"review", "--request"},
                                               {"size"},
                                               {"size", "--makeup"},
                                               {"parts"},
                                               {"commission"}}) {
      std::vector<std::string> all = words;
      all.push_back(example);
      const Outcome outcome = run(all);
      EXPECT_LE(outcome.exit, 2) << example;
      EXPECT_EQ(too_wide(outcome.out, 80), "") << example << ' ' << words.back();
    }
  }
}

}  // namespace
}  // namespace ductledger::test
