#include "batch_inputs.hpp"

#include <fmt/format.h>
#include <glob.h>

#include <algorithm>
#include <charconv>
#include <cstdio>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <system_error>
#include <utility>

#include "base/fault.hpp"
#include "base/sha256.hpp"
#include "base/text.hpp"
#include "yaml/parse.hpp"

namespace ductledger::app {
namespace {

using base::fault;
using nlohmann::json;

namespace fs = std::filesystem;

const std::string kStandardInput = "-";
constexpr std::size_t kMostShards = 1'000'000;

base::Checked<std::vector<std::string>> in_folder(const std::string& folder) {
  std::vector<std::string> found;
  std::error_code error;
  fs::recursive_directory_iterator at(folder, error);
  for (const fs::recursive_directory_iterator end; !error && at != end; at.increment(error)) {
    const std::string extension = at->path().extension().string();
    std::error_code unreadable;
    if ((extension == ".yaml" || extension == ".yml") && !at->is_directory(unreadable)) {
      found.push_back(at->path().string());
    }
  }
  if (error) {
    return fault(
        "cannot-read",
        fmt::format("the folder `{}` cannot be read: {}", base::escaped(folder), error.message()));
  }
  if (found.empty()) {
    return fault("no-layouts",
                 fmt::format("the folder `{}` holds no file `*.yaml`", base::escaped(folder)));
  }
  // By name, whatever order the file system gives.
  std::sort(found.begin(), found.end());
  return found;
}

base::Checked<std::vector<std::string>> by_pattern(const std::string& pattern) {
  glob_t found{};
  const int outcome = glob(pattern.c_str(), GLOB_TILDE, nullptr, &found);
  std::vector<std::string> paths(found.gl_pathv, found.gl_pathv + found.gl_pathc);
  globfree(&found);
  if (outcome == GLOB_NOMATCH) {
    return fault("no-layouts",
                 fmt::format("the pattern `{}` matches no file", base::escaped(pattern)));
  }
  if (outcome != 0) {
    return fault("cannot-read",
                 fmt::format("the pattern `{}` cannot be followed", base::escaped(pattern)));
  }
  return paths;
}

/// What one word of the call stands for. A path that is not there is a row that says so.
base::Checked<std::vector<std::string>> files_of(const std::string& word) {
  std::error_code error;
  if (word != kStandardInput && fs::is_directory(word, error)) {
    return in_folder(word);
  }
  if (word.find_first_of("*?[") != std::string::npos && !fs::exists(word, error)) {
    return by_pattern(word);
  }
  return std::vector<std::string>{word};
}

/// A line of standard input without its end; nothing at the end of it all. What goes beyond the
/// greatest size of a layout is passed over, and `cut` says so.
std::optional<std::string> read_line(bool& cut) {
  // A control character takes six bytes in JSON.
  const std::size_t limit = 6 * yaml::Limits{}.bytes;
  std::string line;
  cut = false;
  int letter = std::getc(stdin);
  if (letter == EOF) {
    return std::nullopt;
  }
  for (; letter != EOF && letter != '\n'; letter = std::getc(stdin)) {
    if (line.size() < limit) {
      line.push_back(static_cast<char>(letter));
    } else {
      cut = true;
    }
  }
  return line;
}

/// The path or text that a line names. @param input its name set to that of the line
void read_named(const json& value, BatchInput& input) {
  const auto wrong = [&](std::string message) {
    input.faults.push_back(
        fault("bad-line",
              fmt::format("{}: {}", input.name, message),
              R"(a line is a path, `"a.yaml"`, or `{"text": "layout: 1 ...", "name": "a"}`)"));
  };
  if (value.is_string()) {
    input.name = value.get<std::string>();
    return;
  }
  if (!value.is_object()) {
    return wrong("a line is a string or an object");
  }
  for (const auto& [key, one] : value.items()) {
    if (key != "path" && key != "text" && key != "name") {
      return wrong(fmt::format("no key is named {}", base::shown(key)));
    }
    if (!one.is_string()) {
      return wrong(fmt::format("`{}` is no text", key));
    }
  }
  if (value.contains("path") == value.contains("text")) {
    return wrong("a line needs either `path` or `text`");
  }
  if (value.contains("path")) {
    if (value.contains("name")) {
      return wrong("`name` goes with `text`; a path is its own name");
    }
    input.name = value["path"].get<std::string>();
    return;
  }
  input.text = value["text"].get<std::string>();
  if (value.contains("name")) {
    input.name = value["name"].get<std::string>();
  }
}

}  // namespace

base::Checked<Shard> read_shard(const std::string& text) {
  Shard shard;
  const char* const end = text.data() + text.size();
  const auto number = std::from_chars(text.data(), end, shard.number);
  const bool split = number.ec == std::errc() && number.ptr != end && *number.ptr == '/';
  const auto count = split ? std::from_chars(number.ptr + 1, end, shard.count) : number;
  if (!split || count.ec != std::errc() || count.ptr != end) {
    return fault("bad-value",
                 fmt::format("`--shard` takes a share such as 3/16, not {}", base::shown(text)));
  }
  if (shard.count < 1 || shard.count > kMostShards || shard.number < 1 ||
      shard.number > shard.count) {
    return fault("bad-value",
                 fmt::format("there is no share {} of {}", shard.number, shard.count),
                 shard.count > kMostShards ? fmt::format("at most {} shares", kMostShards)
                                           : fmt::format("shares go from 1/{0} to {0}/{0}",
                                                         std::max(shard.count, std::size_t{1})));
  }
  return shard;
}

bool belongs(const Shard& shard, const std::string& name) {
  if (shard.count == 1) {
    return true;
  }
  std::uint64_t number = 0;
  const std::string digits = base::sha256_hex(name).substr(0, 16);
  std::from_chars(digits.data(), digits.data() + digits.size(), number, 16);
  return number % shard.count == shard.number - 1;
}

base::Checked<BatchInputs> BatchInputs::of(const std::vector<std::string>& words,
                                           const Shard& shard) {
  BatchInputs inputs;
  inputs.shard_ = shard;
  base::Diagnostics faults;
  for (const std::string& word : words) {
    auto files = files_of(word);
    if (!files) {
      faults.insert(faults.end(), files.error().begin(), files.error().end());
      continue;
    }
    for (std::string& file : *files) {
      if (file == kStandardInput || belongs(shard, file)) {
        inputs.names_.push_back(std::move(file));
      }
    }
  }
  if (!faults.empty()) {
    return faults;
  }
  return inputs;
}

std::optional<BatchInput> BatchInputs::next() {
  for (;;) {
    if (reading_) {
      std::optional<BatchInput> input = next_line();
      if (!input) {
        reading_ = false;
      } else if (belongs(shard_, input->name)) {
        return input;
      }
      continue;
    }
    if (at_ == names_.size()) {
      return std::nullopt;
    }
    const std::string& name = names_[at_++];
    if (name != kStandardInput) {
      return BatchInput{name, std::nullopt};
    }
    reading_ = true;
  }
}

std::optional<std::size_t> BatchInputs::count() const {
  if (std::ranges::find(names_, kStandardInput) != names_.end()) {
    return std::nullopt;
  }
  return names_.size();
}

std::optional<BatchInput> BatchInputs::next_line() {
  for (;;) {
    bool cut = false;
    const std::optional<std::string> line = read_line(cut);
    if (!line) {
      return std::nullopt;
    }
    ++line_;
    if (base::trimmed(*line).empty()) {
      continue;
    }
    BatchInput input{fmt::format("<stdin>:{}", line_), std::nullopt};
    const json value = cut ? json() : json::parse(*line, nullptr, false);
    if (cut) {
      input.faults.push_back(fault("too-large", input.name + " is longer than any layout"));
    } else if (value.is_discarded()) {
      input.faults.push_back(fault(
          "bad-line", input.name + " is no JSON", R"(a path is written in quotes: `"a.yaml"`)"));
    } else {
      read_named(value, input);
    }
    return input;
  }
}

}  // namespace ductledger::app
