#include <gtest/gtest.h>

#include <filesystem>
#include <regex>
#include <string>
#include <vector>

#include "cli/harness.hpp"

// Every command that a page or a help text shows is run, in the order shown, against files that
// exist: the examples, layouts that the page shows under a `# name.yaml`, and what earlier commands
// wrote. A command that cannot calculate (exit 2) is a fault of the page.
namespace ductledger::test {
namespace {

namespace fs = std::filesystem;

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) {
    lines.push_back(line);
  }
  return lines;
}

/// Indented or fenced lines that begin with `ductledger` (or `$ ductledger`).
std::vector<std::string> commands_of(const std::string& page) {
  std::vector<std::string> commands;
  static const std::regex command("^(?: {2,4}|\\$ )?(ductledger (?!COMMAND).*)$");
  bool fenced = false;
  for (const std::string& line : lines_of(page)) {
    fenced = line.starts_with("```") ? !fenced : fenced;
    std::smatch found;
    if ((fenced || line.starts_with("  ")) && std::regex_match(line, found, command)) {
      commands.push_back(found[1]);
    }
  }
  return commands;
}

/// The files that a page shows: blocks of YAML whose first line is `# name.yaml`.
void write_shown_files(const std::string& page, const Folder& folder) {
  static const std::regex block("```yaml\n# ([a-z-]+\\.yaml)\n");
  for (std::sregex_iterator it(page.begin(), page.end(), block), end; it != end; ++it) {
    const auto begin = static_cast<std::size_t>(it->position() + it->length());
    (void)folder.write((*it)[1], page.substr(begin, page.find("```", begin) - begin));
  }
}

void run_all(const std::string& page, const std::string& name) {
  const Folder folder;
  fs::create_directory_symlink(std::string(DUCTLEDGER_SOURCE_DIR) + "/examples",
                               folder.path("examples"));
  write_shown_files(page, folder);
  for (const std::string& command : commands_of(page)) {
    const std::string script = "cd '" + folder.path("") + "' && PATH=\"" +
                               fs::path(DUCTLEDGER_BINARY).parent_path().string() +
                               ":$PATH\" && (" + command + "\n) >out.txt 2>err.txt </dev/null";
    const int status = std::system(script.c_str());
    const int exit = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    // A program may be built without the worksheet's page.
    const bool no_page =
        exit == 2 && folder.read("err.txt").find("error[no-worksheet]") != std::string::npos;
    EXPECT_TRUE(exit == 0 || exit == 1 || no_page)
        << name << ": " << command << "\nexit " << exit << '\n'
        << folder.read("err.txt");
  }
}

TEST(DocsCommands, of_every_page_run) {
  std::size_t commands = 0;
  std::vector<fs::path> pages{fs::path(DUCTLEDGER_SOURCE_DIR) / "README.md"};
  for (const auto& entry : fs::directory_iterator(fs::path(DUCTLEDGER_SOURCE_DIR) / "docs")) {
    if (entry.path().extension() == ".md") {
      pages.push_back(entry.path());
    }
  }
  for (const fs::path& path : pages) {
    const std::string page = Folder::contents(path.string());
    commands += commands_of(page).size();
    run_all(page, path.filename().string());
  }
  EXPECT_GT(commands, 20U);
}

// Helps speak of `kitchen.yaml`, which `new` writes, and of a bath fan and readings beside it.
TEST(DocsCommands, of_every_help_run) {
  const std::string kitchen = run({"new", "-"}).out;
  const std::string bath = Folder::contents(std::string(DUCTLEDGER_SOURCE_DIR) +
                                            "/examples/attic-bath-fan-on-flex.yaml");
  const std::string site =
      "readings: 1\nmeasurements:\n  - {speed: high, static_pressure: 0.2 inH2O, at: collar}\n";
  std::size_t commands = 0;
  const std::string list = run({"--help"}).out;
  static const std::regex named("\n  ([a-z]+)  +[a-z]");
  for (std::sregex_iterator it(list.begin(), list.end(), named), end; it != end; ++it) {
    const std::string name = (*it)[1];
    const std::string help = run({"help", name}).out;
    const std::size_t begin = help.find("\nExamples:\n");
    if (begin == std::string::npos) {
      continue;
    }
    std::string page = help.substr(begin, help.find("\n\n", begin + 1) - begin);
    commands += commands_of(page).size();
    const auto shown = [](const char* file, const std::string& text) {
      return "\n```yaml\n# " + std::string(file) + "\n" + text + "```\n";
    };
    if (name != "new") {
      const auto with_straight = [&](const std::string& length) {
        std::string text = kitchen;
        const std::string straight = "straight: 2 ft 6 in";
        return text.replace(text.find(straight), straight.size(), "straight: " + length);
      };
      page += shown("kitchen.yaml", kitchen) + shown("other-route.yaml", with_straight("9 ft")) +
              shown("as-built.yaml", with_straight("3 ft"));
    }
    run_all(page + shown("bath.yaml", bath) + shown("site.yaml", site), "help " + name);
  }
  EXPECT_GT(commands, 15U);
}

}  // namespace
}  // namespace ductledger::test
