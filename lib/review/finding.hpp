#pragma once

#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "house/answers.hpp"
#include "solve/airflow_band.hpp"
#include "solve/ledger.hpp"
#include "units/message.hpp"

/// Judged statements about a calculated layout; one file a finding in `findings/`.
namespace ductledger::review {

enum class Level { note, warn, fail };
[[nodiscard]] const char* word(Level level) noexcept;

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
  std::string source;     ///< citation of the bound, or `common practice`
  base::Span span;        ///< line 0: the file as a whole
  units::Message remedy;  ///< may be empty
  /// The speed it speaks of, where that is not the headline speed; empty: the headline speed, or
  /// the run whatever the speed.
  std::string other_speed;
};

/// A value with its band.
struct Band {
  double low = 0.0;
  double high = 0.0;
};

/// One speed, calculated.
struct SpeedResult {
  std::size_t index = 0;  ///< in layout.fan->speeds
  std::string name;
  bool locked_out = false;
  solve::SpeedFan fan;
  solve::OperatingPoint point;
  std::optional<solve::OperatingPoint> other_shape;  ///< two points: the straight line's answer
  std::optional<solve::RatedAirflow> rated;
  std::optional<solve::Ledger> ledger;     ///< where an airflow is known (found, or a curve's end)
  std::optional<solve::AirflowBand> band;  ///< status found
  std::optional<Band> airflow_band_m3_s;   ///< its limits
  std::optional<house::SpeedHouse> house;  ///< where the layout has a house
};

/// All that a finding may look at.
struct Case {
  const layout::Layout* layout = nullptr;
  const fitting::Catalogue* catalogue = nullptr;
  const solve::CompiledRun* run = nullptr;
  const house::CompiledHouse* house = nullptr;  ///< null: the layout has none
  std::span<const SpeedResult> speeds;
  std::optional<std::size_t> headline;  ///< in `speeds`: the highest speed not locked out
};

/// One kind of finding: its text, its source and its check, in one file.
struct Check {
  const char* code;
  const char* title;  ///< one line
  const char* what;   ///< what it looks at
  const char* why;
  const char* instead;  ///< how to mend it
  const char* source;
  std::vector<Finding> (*check)(const Case&);
};

/// Every check, in the order they are asked.
[[nodiscard]] std::span<const Check> checks();

/// All findings, worst first, then by place in the file. Findings of lower or locked-out speeds
/// never rank above those of the headline speed.
[[nodiscard]] std::vector<Finding> findings(const Case& subject);

}  // namespace ductledger::review
