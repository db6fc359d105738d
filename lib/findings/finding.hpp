#pragma once

#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "base/words.hpp"
#include "result/case.hpp"
#include "units/message.hpp"

/// Judged statements about a calculated layout; one file a finding in `findings/`.
namespace ductledger::findings {

enum class Level { note, warn, fail };
inline constexpr auto kLevelWords =
    base::words<Level>({{Level::note, "note"}, {Level::warn, "warn"}, {Level::fail, "fail"}});
[[nodiscard]] constexpr const char* word(Level level) { return kLevelWords.of(level); }

/// A named SI value for the result document; the key ends in its unit (`airflow_m3_s`).
struct NamedValue {
  std::string key;
  double value = 0.0;
};

struct Finding {
  Level level = Level::note;
  std::string code;        ///< states the bad thing: `delivered-below-required`
  units::Message message;  ///< what was seen, against what
  units::Message why;      ///< may be empty
  std::vector<NamedValue> observed;
  std::vector<NamedValue> limit;
  /// What the message lists one after another, where it is a list; for views that show it short.
  std::vector<units::Message> items;
  std::string source;     ///< citation of the bound, or `common practice`
  base::Span span;        ///< line 0: the file as a whole
  units::Message remedy;  ///< may be empty
  /// The speed it speaks of, where that is not the headline speed; empty: the headline speed, or
  /// the run whatever the speed.
  std::string other_speed;
};

/// One kind of finding: its text, its source and its check, in one file.
struct Check {
  const char* code;
  const char* title;  ///< one line
  const char* what;   ///< what it looks at
  const char* why;
  const char* instead;  ///< how to mend it
  const char* source;
  std::vector<Finding> (*check)(const result::Case&);
};

/// Every check, in the order they are asked.
[[nodiscard]] std::span<const Check> checks();

/// All findings, in their order.
[[nodiscard]] std::vector<Finding> findings(const result::Case& subject);

}  // namespace ductledger::findings
