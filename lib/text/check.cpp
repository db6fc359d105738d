#include "text/check.hpp"

#include <fmt/format.h>

#include <cmath>
#include <string_view>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "duct/section.hpp"
#include "text/advice.hpp"
#include "text/band.hpp"
#include "text/house.hpp"
#include "text/page.hpp"
#include "text/profile.hpp"
#include "text/verdict.hpp"
#include "units/message.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using units::Dimension;

constexpr std::size_t kNoteLength = 22;

class CheckText : private Page {
 public:
  CheckText(const study::CheckResult& result, const TextOptions& options)
      : Page(options), result_(result) {}

  std::string text() {
    title({.title = result_.layout.title, .file = result_.layout.file});
    write_verdict(*this, result_);
    answer();
    if (options().detail != Detail::brief) {
      ledger();
    }
    write_profile(*this, result_);
    if (options().detail != Detail::brief) {
      speeds();
      house_block(*this, result_);
      resistance();
      write_advice(*this, result_);
      if (options().detail == Detail::verbose) {
        details();
      }
    }
    findings(result_.findings);
    safety(result_);
    return take();
  }

 private:
  // --- the parts, in the order they are read

  [[nodiscard]] std::string required_text() const {
    if (!result_.requirement || !result_.layout.fan) {
      return {};
    }
    return fmt::format(" {} required: {}.",
                       show(result_.requirement->required_m3_s, Dimension::airflow),
                       result::word(result_.requirement->state));
  }

  void answer() {
    std::string first;
    if (result_.headline) {
      first = words::answer(result_.speeds[*result_.headline], options().system);
    } else if (result_.speeds.empty()) {
      first = "No fan is stated: below stands what the run asks of one.";
    } else {
      first = "Every speed is locked out: the appliance does not run as the layout has it.";
    }
    const std::string required = required_text();
    if (kIndent + base::character_count(first) + base::character_count(required) <= width()) {
      first += required;
      strong_paragraph(first);
    } else {
      strong_paragraph(first);
      strong_paragraph(required);
    }
    for (const study::ResistancePoint& point : result_.resistance) {
      if (point.at_required) {
        paragraph(fmt::format("At {} the fan has to make {} static, {} total.",
                              show(point.airflow_m3_s, Dimension::airflow),
                              show(point.static_pressure_pa, Dimension::pressure),
                              show(point.total_pressure_pa, Dimension::pressure)));
      }
    }
    if (const solve::Ledger* shown = shown_ledger(); shown != nullptr) {
      if (const solve::LedgerRow* most = shown->costliest(); most != nullptr) {
        paragraph(fmt::format(
            "Largest loss: {}, {}.", words::row_name(*most), show(most->share, Dimension::ratio)));
      }
    }
    doubt();
    if (options().detail != Detail::brief) {
      write_comparisons(*this, result_);
    }
  }

  /// What makes the headline's band, and how samples ended where they speak.
  void doubt() {
    if (!result_.headline || !result_.speeds[*result_.headline].band) {
      return;
    }
    const solve::AirflowBand& band = *result_.speeds[*result_.headline].band;
    if (const std::string sentence = words::doubt_sentence(result_, TextFigures(*this));
        !sentence.empty()) {
      paragraph(sentence);
    }
    if (result_.samples_asked) {
      paragraph(method_sentence(band, options().system) + '.');
    }
    const std::string ended = samples_sentence(band);
    if (!ended.empty()) {
      paragraph(ended);
    }
  }

  [[nodiscard]] const solve::Ledger* shown_ledger() const {
    if (!result_.ledger_speed) {
      return nullptr;
    }
    const auto& ledger = result_.speeds[*result_.ledger_speed].ledger;
    return ledger ? &*ledger : nullptr;
  }

  /// The section in which a piece begins; empty for what is no piece.
  [[nodiscard]] std::string section_before(const solve::LedgerRow& row) const {
    const units::System system = options().system;
    if (const layout::Piece* piece = piece_of(row); piece != nullptr) {
      return duct::to_text(piece->upstream, system);
    }
    for (const solve::CompiledPiece& piece : result_.run.pieces) {
      if (row.number >= 0 && !piece.piece && piece.word == row.piece) {
        return duct::to_text(piece.upstream, system);
      }
    }
    return {};
  }

  [[nodiscard]] const layout::Piece* piece_of(const solve::LedgerRow& row) const {
    const std::vector<layout::Piece>& pieces = result_.layout.run.pieces;
    const auto index = static_cast<std::size_t>(row.piece_index);
    return row.piece_index >= 0 && index < pieces.size() ? &pieces[index] : nullptr;
  }

  [[nodiscard]] std::string label(const solve::LedgerRow& row) const {
    if (!row.type.empty()) {
      return row.piece + " " + row.type;
    }
    const layout::Piece* piece = piece_of(row);
    if (piece == nullptr || piece->note.empty()) {
      return row.piece;
    }
    return fmt::format("{} ({})", row.piece, shortened(base::escaped(piece->note), kNoteLength));
  }

  /// Footnote marks: what a reader has to know about where a figure comes from.
  struct Marks {
    bool stated = false;
    bool defaulted = false;
    bool assumed = false;
    bool close = false;
  };
  static std::string marks(const solve::LedgerRow& row, Marks& seen) {
    std::string out;
    if (row.entry == "stated") {
      out += " *";
      seen.stated = true;
    }
    if (row.type_defaulted) {
      out += " +";
      seen.defaulted = true;
    }
    if (words::is_assumed(row)) {
      out += " ?";
      seen.assumed = true;
    }
    if (row.interaction != 1.0) {
      out += " ~";
      seen.close = true;
    }
    return out;
  }

  void ledger() {
    const solve::Ledger* shown = shown_ledger();
    if (shown == nullptr) {
      return;
    }
    heading(fmt::format("Ledger of {} at {}",
                        words::spoken_speed(result_.speeds[*result_.ledger_speed].name),
                        show(shown->airflow_m3_s, Dimension::airflow)));
    Table table = ledger_table();
    Marks seen;
    std::string section;
    const solve::LedgerRow* const costliest = shown->costliest();
    for (const solve::LedgerRow& row : shown->rows) {
      const std::string before = section_before(row);
      if (!before.empty() && before != section) {
        table.heading(before);
        section = before;
      }
      const bool most = &row == costliest;
      std::vector<std::string> cells =
          ledger_cells(row, label(row) + marks(row, seen) + takes(row, *shown));
      if (most) {
        table.heading("largest loss:");
        table.strong_row(std::move(cells));
      } else {
        table.row(std::move(cells));
      }
    }
    Page::table(table);
    footnotes(seen);
  }

  /// What wind or back pressure take of the headline speed, in its ledger.
  [[nodiscard]] std::string takes(const solve::LedgerRow& row, const solve::Ledger& shown) const {
    const auto& without = row.piece == "wind"            ? result_.without_wind_m3_s
                          : row.piece == "back pressure" ? result_.without_back_pressure_m3_s
                                                         : std::nullopt;
    if (!without || result_.ledger_speed != result_.headline) {
      return {};
    }
    const std::string amount = show(std::abs(shown.airflow_m3_s - *without), Dimension::airflow);
    return fmt::format(" {} {}", shown.airflow_m3_s > *without ? "gives" : "takes", amount);
  }

  void footnotes(const Marks& seen) {
    if (seen.stated) {
      paragraph("* stated in the layout, not from the catalogue");
    }
    if (seen.defaulted) {
      paragraph("+ no type stated: the usual one was taken");
    }
    if (seen.assumed) {
      paragraph(
          "? assumed: no published figure for this piece, so its uncertainty is wide; the "
          "manufacturer's "
          "narrows it");
    }
    if (seen.close) {
      paragraph("~ close to another elbow: charged as the published pair, not as single ones");
    }
  }

  void speeds() {
    if (result_.speeds.empty()) {
      return;
    }
    blank();
    Table table({{"speed", "", Align::left},
                 {"delivers", "", Align::left},
                 {"static at", "the collar", Align::left},
                 {"share of the", "rated airflow", Align::left}});
    bool any_locked = false;
    for (const result::SpeedResult& speed : result_.speeds) {
      any_locked = any_locked || speed.locked_out;
      table.row(
          {base::escaped(speed.name) + (speed.locked_out ? " x" : ""),
           words::delivers(speed, options().system),
           speed.ledger ? show(speed.ledger->collar_static_pressure_pa, Dimension::pressure) : "-",
           words::share_of_rating(speed, options().system)});
    }
    Page::table(table);
    if (any_locked) {
      paragraph("x locked out: shown for comparison, it cannot run");
    }
  }

  void resistance() {
    if (result_.resistance.empty()) {
      return;
    }
    heading("What the run asks of the fan");
    const std::string pressure = unit(Dimension::pressure);
    Table table({{"airflow", unit(Dimension::airflow), Align::right},
                 {"static", pressure, Align::right},
                 {"total", pressure, Align::right},
                 {"", "", Align::left}});
    for (const study::ResistancePoint& point : result_.resistance) {
      table.row({bare(point.airflow_m3_s, Dimension::airflow),
                 bare(point.static_pressure_pa, Dimension::pressure),
                 bare(point.total_pressure_pa, Dimension::pressure),
                 point.at_required          ? "required"
                 : point.at_rating_pressure ? "usual rating pressure"
                                            : ""});
    }
    Page::table(table);
  }

  // --- verbose

  void details() {
    details_of_pieces();
    details_of_searches();
    details_of_bands();
    details_of_fan();
    const solve::SiteAir& air = result_.run.air;
    heading("Air and files");
    paragraph(fmt::format("air in the duct {}, {:.4g} Pa s; outdoors {}; indoors {}",
                          show(air.density_kg_m3, Dimension::density),
                          air.viscosity_pa_s,
                          show(air.outdoor_density_kg_m3, Dimension::density),
                          show(air.indoor_density_kg_m3, Dimension::density)));
    paragraph("layout sha256 " + result_.layout.sha256);
    paragraph("catalogue " + result_.catalogue_hash);
    if (!result_.layout.defaults.empty()) {
      heading("Defaults taken");
      for (const layout::DefaultTaken& taken : result_.layout.defaults) {
        paragraph(fmt::format("{}: {}", taken.what, taken.value));
      }
    }
  }

  /// The basis of the curve, and what a wind that nobody stated would take.
  void details_of_fan() {
    if (!result_.layout.fan) {
      return;
    }
    const layout::Fan& fan = *result_.layout.fan;
    heading("Fan and wind");
    const char* const basis = fan.basis == fan::PressureBasis::static_pressure  ? "static"
                              : fan.basis == fan::PressureBasis::total_pressure ? "total"
                                                                                : "static-rise";
    std::string text =
        fmt::format("curve on {} pressure{}", basis, fan.basis_stated ? "" : " (the default)");
    const std::string outlet = duct::to_text(result_.run.fan_outlet, options().system);
    if (fan.basis != fan::PressureBasis::total_pressure) {
      text += fmt::format("; velocity pressure in {} {}",
                          outlet,
                          fan.count == 1 ? "at its outlet"
                          : fan.outlet   ? fmt::format("at each of {} outlets", fan.count)
                                         : fmt::format("with the air of {} blowers", fan.count));
    }
    paragraph(text);
    if (result_.leakage_reported) {
      const study::LeakageReported& then = *result_.leakage_reported;
      paragraph(fmt::format(
          "the house's leakage is taken as of the air that flows; `reported_at: standard` would "
          "make it {:+.1f} %, the depressurization {:.1f} Pa and the airflow {}",
          100.0 * (then.airflow_ratio - 1.0),
          then.depressurisation_pa.value_or(0.0),
          show(then.airflow_m3_s, Dimension::airflow)));
    }
    if (result_.house.coupled() != nullptr && !result_.layout.house->leakage->above_collar_m) {
      paragraph(
          "no stack acts on the house's leaks: their height (`leakage: above_collar`) is not "
          "stated");
    }
    if (result_.wind_would_leave) {
      paragraph(fmt::format("no wind is stated: {} on the cap would leave {}",
                            options().system == units::System::ip ? "15 mph" : "6.7 m/s",
                            show(result_.wind_would_leave->airflow_m3_s, Dimension::airflow)));
    }
  }

  void details_of_pieces() {
    const solve::Ledger* shown = shown_ledger();
    if (shown == nullptr) {
      return;
    }
    heading("How each figure came about");
    const std::string pressure = unit(Dimension::pressure);
    Table table({{"#", "", Align::right},
                 {"piece", "", Align::left},
                 {"C or", "fL/D", Align::right},
                 {"VP", pressure, Align::right},
                 {"total", pressure, Align::right},
                 {"of the", "variance", Align::right},
                 {"De", "", Align::right},
                 {"Re", "", Align::right},
                 {"f", "", Align::right}});
    for (const solve::LedgerRow& row : shown->rows) {
      if (row.number < 0) {
        continue;
      }
      table.row({fmt::format("{}", row.number),
                 row.piece,
                 fmt::format("{:.3f}", row.coefficient),
                 bare(row.velocity_pressure_pa, Dimension::pressure),
                 bare(row.total_pressure_after_pa, Dimension::pressure),
                 show(row.variance_share, Dimension::ratio),
                 row.equivalent_diameter_m > 0.0
                     ? show(row.equivalent_diameter_m, Dimension::length)
                     : "-",
                 row.reynolds > 0.0 ? fmt::format("{:.0f}", row.reynolds) : "-",
                 row.friction_factor > 0.0 ? fmt::format("{:.5f}", row.friction_factor) : "-"});
    }
    Page::table(table);
    for (const solve::LedgerRow& row : shown->rows) {
      if (row.number >= 0 && !row.entry.empty()) {
        const std::string from = row.source.empty() ? "" : ": " + row.source;
        const std::string status = row.status.empty() ? "" : " (" + row.status + ")";
        const std::string number = fmt::format("{:>2}  ", row.number);
        line(std::string(kIndent, ' ') + number +
             wrapped(row.entry + from + status, {kIndent + 4, kIndent + 4, width()}));
      }
    }
  }

  // Below this a residual is rounding, and its digits say nothing.
  static std::string residual(double residual_pa) {
    return std::abs(residual_pa) < 1e-6 ? "under 1e-6 Pa" : fmt::format("{:.1e} Pa", residual_pa);
  }

  void details_of_searches() {
    bool any = false;
    for (const result::SpeedResult& speed : result_.speeds) {
      const solve::OperatingPoint& point = speed.point;
      if (speed.figures.bound == result::Bound::none) {
        continue;
      }
      if (!any) {
        heading("How each search ended");
        any = true;
      }
      std::string text = fmt::format("{}: {}, residual {} after {} iterations",
                                     words::spoken_speed(speed.name),
                                     solve::word(point.status),
                                     residual(point.residual_pa),
                                     point.iterations);
      if (point.crossing_count > 1) {
        std::vector<std::string> all;
        for (std::size_t i = 0; i < point.crossing_count; ++i) {
          const solve::Crossing& crossing = point.crossings[i];
          all.push_back(fmt::format("{} {}",
                                    show(crossing.airflow_m3_s, Dimension::airflow),
                                    crossing.stable ? "stable" : "unstable"));
        }
        text += "; crossings " + base::joined(all, "and");
      }
      paragraph(text);
    }
  }

  void details_of_bands() {
    if (!result_.ledger_speed || !result_.speeds[*result_.ledger_speed].band) {
      return;
    }
    const result::SpeedResult& speed = result_.speeds[*result_.ledger_speed];
    heading(fmt::format("What the band of {} is made of", words::spoken_speed(speed.name)));
    table(doubt_table(*speed.band, options().system));
    paragraph(method_sentence(*speed.band, options().system));
  }

  const study::CheckResult& result_;
};

}  // namespace

std::string check_text(const study::CheckResult& result, const TextOptions& options) {
  return CheckText(result, options).text();
}

}  // namespace ductledger::text
