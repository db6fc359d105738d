#pragma once

#include <fcntl.h>
#include <sys/inotify.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

/// Runs the built program as a user would.
namespace ductledger::test {

/// A folder of its own for one test, removed at its end.
class Folder {
 public:
  Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "ductledger.XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) {
      throw std::runtime_error("no temporary folder");
    }
    path_ = name;
  }
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  [[nodiscard]] std::string path(const std::string& name) const { return path_ + "/" + name; }
  [[nodiscard]] std::string write(const std::string& name, const std::string& text) const {
    std::ofstream(path(name), std::ios::binary) << text;
    return path(name);
  }
  [[nodiscard]] std::string read(const std::string& name) const { return contents(path(name)); }
  [[nodiscard]] std::vector<std::string> names() const {
    std::vector<std::string> out;
    for (const auto& entry : std::filesystem::directory_iterator(path_)) {
      out.push_back(entry.path().filename().string());
    }
    std::sort(out.begin(), out.end());
    return out;
  }

  [[nodiscard]] static std::string contents(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  }

 private:
  std::string path_;
};

struct Call {
  std::vector<std::string> arguments;
  std::string input = {};                     ///< standard input
  std::vector<std::string> environment = {};  ///< `NAME=value`; nothing else is inherited
  std::string out = {};                       ///< where standard output goes; empty: captured
  std::string input_file = {};                ///< standard input, in place of `input`
  rlim_t largest_file = 0;                    ///< [bytes] that it may write; 0: any
  int signal_at_write = 0;                    ///< sent as soon as a file appears in `watched`
  std::string watched = {};                   ///< a folder
  int delay_ms = 0;                           ///< the signal is sent so much later
};

struct Outcome {
  int exit = -1;  ///< -1: ended by a signal
  std::string out;
  std::string err;
};

/// Runs in the project's own folder, so that names of examples in the output are short.
[[nodiscard]] inline Outcome run(const Call& call) {
  const Folder folder;
  const std::string input =
      call.input_file.empty() ? folder.write("in", call.input) : call.input_file;
  const std::string out = call.out.empty() ? folder.path("out") : call.out;
  const std::string err = folder.path("err");
  const int watch = inotify_init1(IN_CLOEXEC);
  if (call.signal_at_write != 0) {
    (void)inotify_add_watch(watch, call.watched.c_str(), IN_CREATE | IN_MOVED_TO);
  }
  const pid_t child = fork();
  if (child == 0) {
    if (call.largest_file > 0) {
      const rlimit limit{call.largest_file, call.largest_file};
      (void)setrlimit(RLIMIT_FSIZE, &limit);
    }
    const int create = O_WRONLY | O_CREAT;
    if (dup2(open(input.c_str(), O_RDONLY), 0) < 0 ||
        dup2(open(out.c_str(), create, 0600), 1) < 0 ||
        dup2(open(err.c_str(), create, 0600), 2) < 0 || chdir(DUCTLEDGER_SOURCE_DIR) != 0) {
      _exit(99);
    }
    std::vector<std::string> words{DUCTLEDGER_BINARY};
    words.insert(words.end(), call.arguments.begin(), call.arguments.end());
    std::vector<char*> argv;
    for (std::string& word : words) {
      argv.push_back(word.data());
    }
    argv.push_back(nullptr);
    std::vector<std::string> environment = call.environment;
    std::vector<char*> envp;
    for (std::string& one : environment) {
      envp.push_back(one.data());
    }
    envp.push_back(nullptr);
    execve(DUCTLEDGER_BINARY, argv.data(), envp.data());
    _exit(98);
  }
  if (call.signal_at_write != 0) {
    alignas(inotify_event) std::array<char, 4096> event{};
    (void)!read(watch, event.data(), event.size());
    usleep(static_cast<useconds_t>(call.delay_ms) * 1000);
    kill(child, call.signal_at_write);
  }
  close(watch);
  int status = 0;
  waitpid(child, &status, 0);
  Outcome outcome;
  outcome.exit = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  outcome.out = call.out.empty() ? Folder::contents(out) : "";
  outcome.err = Folder::contents(err);
  return outcome;
}
[[nodiscard]] inline Outcome run(std::vector<std::string> arguments) {
  return run(Call{std::move(arguments)});
}

[[nodiscard]] inline bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// Names of the example layouts, as the command line takes them.
[[nodiscard]] inline std::vector<std::string> examples() {
  std::vector<std::string> out;
  for (const auto& entry :
       std::filesystem::directory_iterator(std::string(DUCTLEDGER_SOURCE_DIR) + "/examples")) {
    if (entry.path().extension() == ".yaml") {
      out.push_back("examples/" + entry.path().filename().string());
    }
  }
  std::sort(out.begin(), out.end());
  return out;
}

}  // namespace ductledger::test
