#include "report/text.hpp"

#include <fmt/format.h>

#include <cmath>
#include <string_view>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "duct/section.hpp"
#include "report/figures.hpp"
#include "report/table.hpp"
#include "units/message.hpp"

namespace ductledger::report {
namespace {

using units::Dimension;

constexpr std::size_t kWidth = 80;
constexpr std::size_t kIndent = 2;
constexpr std::size_t kFindingIndent = 8;
constexpr std::size_t kNoteLength = 22;

enum class Ink { bold, dim, red, yellow, cyan, green };

class Writer {
 public:
  Writer(const study::CheckResult& result, const TextOptions& options)
      : result_(result), options_(options) {}

  std::string text() {
    title();
    answer();
    if (options_.detail != Detail::brief) {
      ledger();
      speeds();
      resistance();
      if (options_.detail == Detail::verbose) {
        details();
      }
    }
    findings();
    cautions();
    return std::move(out_);
  }

 private:
  // --- pieces of text

  [[nodiscard]] std::string ink(std::string_view text, Ink ink) const {
    if (options_.paint == base::Paint::plain) {
      return std::string(text);
    }
    const char* code = "";
    switch (ink) {
      case Ink::bold:
        code = "1";
        break;
      case Ink::dim:
        code = "2";
        break;
      case Ink::red:
        code = "1;31";
        break;
      case Ink::yellow:
        code = "1;33";
        break;
      case Ink::cyan:
        code = "1;36";
        break;
      case Ink::green:
        code = "1;32";
        break;
    }
    return fmt::format("\x1b[{}m{}\x1b[0m", code, text);
  }

  [[nodiscard]] std::string show(double si, Dimension dimension) const {
    return units::display(si, dimension, options_.system);
  }
  [[nodiscard]] std::string bare(double si, Dimension dimension) const {
    return units::display_number(si, dimension, options_.system);
  }
  [[nodiscard]] std::string unit(Dimension dimension) const {
    return std::string(units::display_unit(dimension, options_.system));
  }

  void paragraph(std::string_view text) {
    out_ += std::string(kIndent, ' ') + wrapped(text, {kIndent, kIndent, kWidth}) + '\n';
  }
  void strong_paragraph(std::string_view text) {
    if (!text.empty()) {
      out_ += std::string(kIndent, ' ') +
              ink(wrapped(text, {kIndent, kIndent, kWidth}), Ink::bold) + '\n';
    }
  }
  void heading(std::string_view text) {
    out_ += '\n' + std::string(kIndent, ' ') + ink(text, Ink::bold) + '\n';
  }
  void table(const Table& table) { out_ += table.text({0, kIndent, kWidth}); }

  // --- the parts, in the order they are read

  void title() {
    const std::string title = base::escaped(result_.layout.title);
    const std::string file = base::escaped(result_.layout.file);
    const std::size_t used = base::character_count(title) + base::character_count(file);
    if (title.empty() || title == file) {
      out_ += ink(file, Ink::bold) + "\n\n";
    } else if (used + 2 <= kWidth) {
      out_ += ink(title, Ink::bold) + std::string(kWidth - used, ' ') + file + "\n\n";
    } else {
      out_ += ink(wrapped(title, {0, 0, kWidth}), Ink::bold) + '\n' + file + "\n\n";
    }
  }

  [[nodiscard]] std::string required_text() const {
    const Requirement state = requirement(result_);
    if (state == Requirement::none || !result_.layout.fan) {
      return {};
    }
    const std::string airflow =
        show(*result_.layout.appliance.required_airflow_m3_s, Dimension::airflow);
    switch (state) {
      case Requirement::met:
        return fmt::format(" {} required: met.", airflow);
      case Requirement::not_met:
        return fmt::format(" {} required: not met.", airflow);
      default:
        return fmt::format(" {} required: not shown.", airflow);
    }
  }

  [[nodiscard]] std::string delivers(const review::SpeedResult& speed) const {
    const Airflow known = airflow(speed);
    std::string value = show(known.airflow_m3_s, Dimension::airflow);
    switch (known.bound) {
      case Bound::at_least:
        return "at least " + value;
      case Bound::at_most:
        return "at most " + value;
      case Bound::none:
        return "not determined";
      case Bound::exact:
        break;
    }
    if (speed.point.status == solve::Status::no_flow) {
      return "no airflow";
    }
    if (!speed.airflow_band_m3_s) {
      return value;
    }
    const std::string low = bare(speed.airflow_band_m3_s->low, Dimension::airflow);
    const std::string high = bare(speed.airflow_band_m3_s->high, Dimension::airflow);
    return low == high ? value : fmt::format("{} ({} to {})", value, low, high);
  }

  [[nodiscard]] std::string answer_of(const review::SpeedResult& speed) const {
    const std::string name = base::escaped(speed.name);
    switch (speed.point.status) {
      case solve::Status::found:
        return fmt::format("{} delivers {}.", name, delivers(speed));
      case solve::Status::beyond_curve:
        return fmt::format(
            "{} delivers {}: the fan curve ends before it meets the run.", name, delivers(speed));
      case solve::Status::below_curve:
        return fmt::format(
            "{} delivers {}: the run asks for more pressure than the first point of "
            "the fan curve shows.",
            name,
            delivers(speed));
      case solve::Status::no_flow:
        return fmt::format("{} moves no air: the fan cannot overcome the pressure against it.",
                           name);
      case solve::Status::not_determined:
        return fmt::format("What {} delivers is not determined: {}.", name, speed.fan.why_not);
      case solve::Status::no_fan:
        break;
    }
    return "No fan is stated: below stands what the run asks of one.";
  }

  void answer() {
    std::string first;
    if (result_.headline) {
      first = answer_of(result_.speeds[*result_.headline]);
    } else if (result_.speeds.empty()) {
      first = "No fan is stated: below stands what the run asks of one.";
    } else {
      first = "Every speed is locked out: the appliance does not run as the layout has it.";
    }
    const std::string required = required_text();
    if (kIndent + base::character_count(first) + base::character_count(required) <= kWidth) {
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
      if (const solve::LedgerRow* most = costliest(*shown); most != nullptr) {
        paragraph(fmt::format(
            "{} costs most: {} of the loss.", spoken(*most), show(most->share, Dimension::ratio)));
      }
    }
  }

  [[nodiscard]] std::string spoken(const solve::LedgerRow& row) const {
    const std::string what = row.piece + (row.type.empty() ? "" : " " + row.type);
    return row.number > 0 ? fmt::format("Piece {}, {},", row.number, what) : "The " + what;
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
    const auto style = options_.system == units::System::ip ? duct::LengthStyle::inches
                                                            : duct::LengthStyle::millimetres;
    if (const layout::Piece* piece = piece_of(row); piece != nullptr) {
      return duct::to_text(piece->upstream, style);
    }
    for (const solve::CompiledPiece& piece : result_.run.pieces) {
      if (row.number >= 0 && !piece.piece && piece.word == row.piece) {
        return duct::to_text(piece.upstream, style);
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
    if (row.status == "assumed") {
      out += " ?";
      seen.assumed = true;
    }
    return out;
  }

  void ledger() {
    const solve::Ledger* shown = shown_ledger();
    if (shown == nullptr) {
      return;
    }
    heading(fmt::format("Ledger of {} at {}",
                        base::escaped(result_.speeds[*result_.ledger_speed].name),
                        show(shown->airflow_m3_s, Dimension::airflow)));
    const std::string pressure = unit(Dimension::pressure);
    Table table({{"#", "", Align::right},
                 {"piece", "", Align::left},
                 {"length", "", Align::right},
                 {unit(Dimension::velocity), "", Align::right},
                 {"C or", "fL/D", Align::right, 1},
                 {"loss", pressure, Align::right},
                 {"share", "", Align::right},
                 {"total", pressure, Align::right, 2},
                 {"static", pressure, Align::right}});
    Marks seen;
    std::string section;
    for (const solve::LedgerRow& row : shown->rows) {
      const std::string before = section_before(row);
      if (!before.empty() && before != section) {
        table.heading(before);
        section = before;
      }
      const bool is_piece = row.number >= 0;
      table.row({is_piece ? fmt::format("{}", row.number) : "",
                 label(row) + marks(row, seen),
                 row.length_m > 0.0 ? show(row.length_m, Dimension::length) : "",
                 is_piece ? bare(row.velocity_m_s, Dimension::velocity) : "",
                 is_piece ? fmt::format("{:.2f}", row.coefficient) : "",
                 bare(row.loss_pa, Dimension::pressure),
                 is_piece ? show(row.share, Dimension::ratio) : "",
                 bare(row.total_pressure_after_pa, Dimension::pressure),
                 bare(row.static_pressure_after_pa, Dimension::pressure)});
    }
    this->table(table);
    footnotes(seen);
  }

  void footnotes(const Marks& seen) {
    if (seen.stated) {
      paragraph("* stated in the layout, not from the catalogue");
    }
    if (seen.defaulted) {
      paragraph("+ no type stated: the usual one was taken");
    }
    if (seen.assumed) {
      paragraph("? assumed: no published figure for this piece, so its uncertainty is wide");
    }
  }

  [[nodiscard]] std::string rating(const review::SpeedResult& speed) const {
    if (!speed.rated) {
      return "";
    }
    const std::string rated = show(speed.rated->airflow_m3_s, Dimension::airflow);
    std::string basis;
    switch (speed.rated->basis) {
      case solve::RatedAirflow::Basis::rating_at_pressure:
        basis = "at " + show(speed.rated->pressure_pa, Dimension::pressure);
        break;
      case solve::RatedAirflow::Basis::free_air:
        basis = "free air";
        break;
      case solve::RatedAirflow::Basis::curve_end:
        basis = "end of curve";
        break;
    }
    const auto share = share_of_rated(speed);
    const Bound bound = airflow(speed).bound;
    const bool end_of_curve = speed.rated->basis == solve::RatedAirflow::Basis::curve_end;
    if (!share || (end_of_curve && bound == Bound::at_least)) {
      return fmt::format("{} ({})", rated, basis);
    }
    const char* sign = bound == Bound::at_least ? ">= " : bound == Bound::at_most ? "<= " : "";
    return fmt::format("{}{} of {} ({})", sign, show(*share, Dimension::ratio), rated, basis);
  }

  void speeds() {
    if (result_.speeds.empty()) {
      return;
    }
    out_ += '\n';
    Table table({{"speed", "", Align::left},
                 {"delivers", "", Align::left},
                 {"static at", "the collar", Align::left},
                 {"share of the", "rated airflow", Align::left}});
    bool any_locked = false;
    for (const review::SpeedResult& speed : result_.speeds) {
      any_locked = any_locked || speed.locked_out;
      table.row(
          {base::escaped(speed.name) + (speed.locked_out ? " x" : ""),
           delivers(speed),
           speed.ledger ? show(speed.ledger->collar_static_pressure_pa, Dimension::pressure) : "-",
           rating(speed)});
    }
    this->table(table);
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
    this->table(table);
  }

  // --- verbose

  void details() {
    details_of_pieces();
    details_of_searches();
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
                 row.equivalent_diameter_m > 0.0
                     ? show(row.equivalent_diameter_m, Dimension::length)
                     : "-",
                 row.reynolds > 0.0 ? fmt::format("{:.0f}", row.reynolds) : "-",
                 row.friction_factor > 0.0 ? fmt::format("{:.5f}", row.friction_factor) : "-"});
    }
    this->table(table);
    for (const solve::LedgerRow& row : shown->rows) {
      if (row.number >= 0 && !row.entry.empty()) {
        const std::string from = row.source.empty() ? "" : ": " + row.source;
        const std::string status = row.status.empty() ? "" : " (" + row.status + ")";
        const std::string number = fmt::format("{:>2}  ", row.number);
        out_.append(kIndent, ' ');
        out_ += number;
        out_ += wrapped(row.entry + from + status, {kIndent + 4, kIndent + 4, kWidth});
        out_ += '\n';
      }
    }
  }

  // Below this a residual is rounding, and its digits say nothing.
  static std::string residual(double residual_pa) {
    return std::abs(residual_pa) < 1e-6 ? "under 1e-6 Pa" : fmt::format("{:.1e} Pa", residual_pa);
  }

  void details_of_searches() {
    bool any = false;
    for (const review::SpeedResult& speed : result_.speeds) {
      const solve::OperatingPoint& point = speed.point;
      if (airflow(speed).bound == Bound::none) {
        continue;
      }
      if (!any) {
        heading("How each search ended");
        any = true;
      }
      std::string text = fmt::format("{}: {}, residual {} after {} iterations",
                                     base::escaped(speed.name),
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

  // --- findings and cautions

  [[nodiscard]] std::string level(review::Level level) const {
    const std::string word = fmt::format("{:<4}", review::word(level));
    switch (level) {
      case review::Level::fail:
        return ink(word, Ink::red);
      case review::Level::warn:
        return ink(word, Ink::yellow);
      case review::Level::note:
        break;
    }
    return ink(word, Ink::cyan);
  }

  void under_finding(std::string_view text, std::string_view lead = {}) {
    const std::string indent(kFindingIndent, ' ');
    const std::size_t used = kFindingIndent + base::character_count(lead);
    out_ += indent + std::string(lead) + wrapped(text, {used, kFindingIndent, kWidth}) + '\n';
  }

  void findings() {
    if (!result_.findings.empty()) {
      out_ += '\n';
    }
    bool first = true;
    for (const review::Finding& finding : result_.findings) {
      if (!first && options_.detail != Detail::brief) {
        out_ += '\n';
      }
      first = false;
      out_ +=
          std::string(kIndent, ' ') + level(finding.level) + "  " +
          wrapped(finding.message.text(options_.system), {kFindingIndent, kFindingIndent, kWidth}) +
          '\n';
      if (options_.detail == Detail::brief) {
        continue;
      }
      if (!finding.why.empty()) {
        under_finding(finding.why.text(options_.system));
      }
      if (!finding.remedy.empty()) {
        under_finding(finding.remedy.text(options_.system), "Remedy: ");
      }
      std::string where = finding.span.line > 0 ? fmt::format("line {}, ", finding.span.line) : "";
      where += finding.code;
      if (!finding.source.empty()) {
        where += "; " + finding.source;
      }
      out_ += std::string(kFindingIndent, ' ') +
              ink(wrapped("[" + where + "]", {kFindingIndent, kFindingIndent, kWidth}), Ink::dim) +
              '\n';
    }
  }

  void cautions() {
    if (result_.cautions.empty()) {
      return;
    }
    heading("Before and after work");
    for (const std::string& caution : result_.cautions) {
      out_ += std::string(kIndent, ' ') + "- " +
              wrapped(caution, {kIndent + 2, kIndent + 2, kWidth}) + '\n';
    }
  }

  const study::CheckResult& result_;
  const TextOptions& options_;
  std::string out_;
};

}  // namespace

std::string check_text(const study::CheckResult& result, const TextOptions& options) {
  return Writer(result, options).text();
}

}  // namespace ductledger::report
