#include "chromium.hpp"

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string_view>
#include <system_error>
#include <vector>

#include "base/fault.hpp"
#include "files.hpp"

extern char** environ;

namespace ductledger::app {
namespace {

constexpr std::array<std::string_view, 2> kPrograms{"chromium", "chromium-browser"};

base::Diagnostics no_pdf(std::string message, std::string help) {
  return {base::fault("no-pdf", std::move(message), std::move(help))};
}

/// The first of the programs that stands on the path; empty: none.
std::string installed() {
  const char* path = std::getenv("PATH");
  std::string_view rest = path == nullptr ? "/usr/bin:/bin" : path;
  while (!rest.empty()) {
    const std::string_view folder = rest.substr(0, rest.find(':'));
    rest.remove_prefix(std::min(rest.size(), folder.size() + 1));
    for (const std::string_view program : kPrograms) {
      std::string full = std::string(folder) + "/" + std::string(program);
      if (!folder.empty() && access(full.c_str(), X_OK) == 0) {
        return full;
      }
    }
  }
  return {};
}

/// A folder of its own, gone at the end.
class Scratch {
 public:
  Scratch() {
    std::error_code error;
    std::string name = (std::filesystem::temp_directory_path(error) / "ductledger.XXXXXX").string();
    if (!error && mkdtemp(name.data()) != nullptr) {
      path_ = name;
    }
  }
  ~Scratch() {
    std::error_code ignored;
    if (!path_.empty()) {
      std::filesystem::remove_all(path_, ignored);
    }
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;
  [[nodiscard]] bool made() const { return !path_.empty(); }
  [[nodiscard]] std::string path(std::string_view name) const {
    return path_ + "/" + std::string(name);
  }

 private:
  std::string path_;
};

/// Its exit status, its own output thrown away; -1 where it could not be started.
/// @param signals those that wait in it
int run(std::vector<std::string> words, const sigset_t& signals) {
  std::vector<char*> argv;
  argv.reserve(words.size() + 1);
  for (std::string& word : words) {
    argv.push_back(word.data());
  }
  argv.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  for (const int descriptor : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
    posix_spawn_file_actions_addopen(&actions, descriptor, "/dev/null", O_RDWR, 0);
  }
  posix_spawnattr_t attributes;
  posix_spawnattr_init(&attributes);
  posix_spawnattr_setsigmask(&attributes, &signals);
  posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK);
  pid_t child = 0;
  const int error = posix_spawn(&child, argv[0], &actions, &attributes, argv.data(), environ);
  posix_spawnattr_destroy(&attributes);
  posix_spawn_file_actions_destroy(&actions);
  int status = 0;
  if (error != 0 || waitpid(child, &status, 0) != child) {
    return -1;
  }
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

}  // namespace

base::Diagnostics write_pdf(const PdfWanted& wanted) {
  const std::string program = installed();
  if (program.empty()) {
    return no_pdf(
        "a PDF is printed by Chromium, and none is installed here",
        "install `chromium`, or write the page with `-o report.html` and print it from any "
        "browser");
  }
  const Uninterrupted uninterrupted;  // the folder goes before the program does
  const Scratch scratch;
  if (!scratch.made()) {
    return no_pdf("no temporary folder can be made for the PDF", "");
  }
  const std::string page = scratch.path("report.html");
  const std::string pdf = scratch.path("report.pdf");
  std::ofstream(page, std::ios::binary) << wanted.html;
  std::vector<std::string> words{program,
                                 "--headless",
                                 "--disable-gpu",
                                 "--no-first-run",
                                 "--disable-background-networking",
                                 "--disable-component-update",
                                 "--disable-sync",
                                 "--user-data-dir=" + scratch.path("profile"),
                                 "--no-pdf-header-footer",
                                 "--print-to-pdf=" + pdf,
                                 "file://" + page};
  if (geteuid() == 0) {
    words.insert(words.begin() + 1, "--no-sandbox");  // it refuses to run as root otherwise
  }
  const int status = run(std::move(words), uninterrupted.before());
  std::ifstream file(pdf, std::ios::binary);
  const std::string made{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  if (status != 0 || made.rfind("%PDF", 0) != 0) {
    return no_pdf("`" + program + "` printed no PDF",
                  "write the page with `-o report.html` and print it from any browser");
  }
  return write_file(wanted.output, made, Existing::replace);
}

}  // namespace ductledger::app
