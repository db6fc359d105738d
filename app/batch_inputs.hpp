#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "base/checked.hpp"

/// Layouts that a call names by the thousand.
namespace ductledger::app {

/// `3/16`: of sixteen shares the third. A layout's share follows from its name alone, so that it
/// stays where other layouts come or go.
struct Shard {
  std::size_t number = 1;
  std::size_t count = 1;
};
/// @return `bad-value` where the text is no such share
[[nodiscard]] base::Checked<Shard> read_shard(const std::string& text);
[[nodiscard]] bool belongs(const Shard& shard, const std::string& name);

/// One layout: a path to read, a text that is there, or what is wrong with the line that named it.
struct BatchInput {
  std::string name;                 ///< the row's `file`
  std::optional<std::string> text;  ///< nothing: `name` is the path
  base::Diagnostics faults{};
};

/// Layouts in the order in which they were named.
class BatchInputs {
 public:
  /// Finds what paths, patterns and folders stand for; a folder gives every `*.yaml` and `*.yml`
  /// below it by name. `-` is JSON Lines on standard input, read as they are needed: a path as a
  /// string, or `{"path": ...}`, or `{"text": ..., "name": ...}`.
  /// @return what stands for nothing
  [[nodiscard]] static base::Checked<BatchInputs> of(const std::vector<std::string>& words,
                                                     const Shard& shard);

  /// Nothing: that were all.
  [[nodiscard]] std::optional<BatchInput> next();
  /// How many there are; nothing where standard input is among them.
  [[nodiscard]] std::optional<std::size_t> count() const;
  /// The files, without standard input.
  [[nodiscard]] const std::vector<std::string>& paths() const { return names_; }

 private:
  [[nodiscard]] std::optional<BatchInput> next_line();

  Shard shard_;
  std::vector<std::string> names_;  ///< `-`: here comes standard input
  std::size_t at_ = 0;
  bool reading_ = false;
  std::size_t line_ = 0;
};

}  // namespace ductledger::app
