#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/checked.hpp"
#include "base/words.hpp"
#include "duct/section.hpp"
#include "units/quantity.hpp"
#include "units/unit_table.hpp"

/// Readings on site, as a layout or a file of readings states them.
namespace ductledger::layout {

struct Layout;
struct Run;

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

/// Where a static pressure was read. `fan`: what it rises by across the fan, from its inlet to its
/// outlet; else against the room.
struct GaugePlace {
  enum class Kind { collar, hole, piece, fan };
  Kind kind = Kind::collar;
  std::size_t piece = 0;      ///< in run.pieces; of Kind::piece: a straight
  double from_start_m = 0.0;  ///< [m] into it
};

/// `collar`, `hole` (the one that `commission` names), `fan`, or `piece 3, 15 in`. Fails where the
/// run has no such piece, where it is no straight, or where it is shorter.
[[nodiscard]] base::Checked<GaugePlace> gauge_place(std::string_view text, const Run& run);

/// What an instrument is good to, one standard uncertainty: a share of what it reads, or an amount.
struct InstrumentDoubt {
  double share = 0.0;   ///< [1]
  double amount = 0.0;  ///< [Pa] or [m3/s]
  [[nodiscard]] double at(double reading) const noexcept;
};
/// `2 %`, or an amount in a unit of the dimension; more than 0, to 50 % or as much as can be read.
[[nodiscard]] base::Checked<InstrumentDoubt> instrument_doubt(std::string_view text,
                                                              units::Dimension dimension);

/// The branch of a name. Fails where the layout has none of it.
[[nodiscard]] base::Checked<std::size_t> branch_named(std::string_view name, const Layout& layout);

/// One reading: a static pressure, an airflow, a traverse, or a static pressure with one of the
/// others.
struct Measurement {
  std::string speed;                         ///< empty: not stated
  std::optional<std::size_t> branch{};       ///< in `Layout::branches`; nothing: on the run
  std::optional<double> static_pressure_pa;  ///< at `at`
  std::optional<double> airflow_m3_s;
  Instrument instrument = Instrument::not_stated;
  std::optional<Traverse> traverse;
  GaugePlace at;
  base::Span at_span{};
  std::optional<InstrumentDoubt> static_doubt;   ///< nothing: a good gauge's
  std::optional<InstrumentDoubt> airflow_doubt;  ///< nothing: as `instrument` or the plane says
  base::Span span;
  base::Span static_span;
};

/// Reads a file of readings (`readings: 1`, `measurements: [...]`) taken on a layout; speeds are
/// checked against its fan. All independent faults in one pass.
[[nodiscard]] base::Checked<std::vector<Measurement>> read_readings(const base::SourcePtr& text,
                                                                    const Layout& layout);

}  // namespace ductledger::layout
