#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/checked.hpp"
#include "base/words.hpp"
#include "duct/section.hpp"
#include "units/quantity.hpp"

/// Readings on site, as a layout or a file of readings states them.
namespace ductledger::layout {

struct Layout;

/// Velocity pressures read across a duct, one list a line of points: a diameter of a round duct, a
/// row of a rectangular one.
struct Traverse {
  duct::Section section = duct::Section::round(units::inches(6.0));
  std::vector<std::vector<double>> velocity_pressure_pa;
  std::optional<double> straight_upstream_m;  ///< of the plane, free of fittings
  base::Span span;
};

/// What an airflow was read with.
enum class Instrument { not_stated, powered_flow_hood, flow_hood };
inline constexpr auto kInstrumentWords =
    base::words<Instrument>({{Instrument::powered_flow_hood, "powered-flow-hood"},
                             {Instrument::flow_hood, "flow-hood"},
                             {Instrument::not_stated, "not-stated"}});
[[nodiscard]] constexpr const char* word(Instrument instrument) {
  return kInstrumentWords.of(instrument);
}

/// One reading: a static pressure against the room, an airflow, a traverse, or a static pressure
/// with one of the others.
struct Measurement {
  std::string speed;                         ///< empty: not stated
  std::optional<double> static_pressure_pa;  ///< at the collar, against the room
  std::optional<double> airflow_m3_s;
  Instrument instrument = Instrument::not_stated;
  std::optional<Traverse> traverse;
  std::string at = "collar";
  base::Span span;
  base::Span static_span;
};

/// Reads a file of readings (`readings: 1`, `measurements: [...]`) taken on a layout; speeds are
/// checked against its fan. All independent faults in one pass.
[[nodiscard]] base::Checked<std::vector<Measurement>> read_readings(const base::SourcePtr& text,
                                                                    const Layout& layout);

}  // namespace ductledger::layout
