#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "base/text.hpp"
#include "findings/finding_internal.hpp"
#include "rules/judge_internal.hpp"
#include "rules/prescriptive_table.hpp"

// A duct length by table, and the same question by calculation: does the run cost more than the
// pressure at which the fan's airflow was rated?
namespace ductledger::rules {
namespace {

constexpr std::array<double, 8> kColumns_cfm{50, 80, 100, 125, 150, 200, 250, 300};
constexpr double kNoLimit_ft = -1.0;
constexpr double kNotAllowed_ft = 0.0;
constexpr double NL = kNoLimit_ft;
constexpr double X = kNotAllowed_ft;

struct Row {
  double diameter_in;
  std::array<double, 8> flexible_ft;
  std::array<double, 8> smooth_ft;
};
// International Residential Code, Table M1504.2 (2021 and 2024; M1506.2 in 2015), seen. NL: no
// limit on length; X: not allowed. The last row holds for what is larger.
constexpr std::array<Row, 6> kRows{{
    {3, {X, X, X, X, X, X, X, X}, {5, X, X, X, X, X, X, X}},
    {4, {56, 4, X, X, X, X, X, X}, {114, 31, 10, X, X, X, X, X}},
    {5, {NL, 81, 42, 16, 2, X, X, X}, {NL, 152, 91, 51, 28, 4, X, X}},
    {6, {NL, NL, 158, 91, 55, 18, 1, X}, {NL, NL, NL, 168, 112, 53, 25, 9}},
    {7, {NL, NL, NL, NL, 161, 78, 40, 19}, {NL, NL, NL, NL, NL, 148, 88, 54}},
    {8, {NL, NL, NL, NL, NL, 189, 111, 69}, {NL, NL, NL, NL, NL, NL, 198, 133}},
}};

/// A trade size in millimetres may be a hair under its inch.
constexpr double kLengthRounding = 1e-6;

/// What the table needs of a run.
struct Duct {
  DuctMake make = DuctMake::smooth;
  double diameter_m = 0.0;
  double length_m = 0.0;
  double flexible_m = 0.0;
  int elbows = 0;
};

Duct duct_of(const result::Case& subject) {
  Duct duct;
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const layout::Piece* stated = findings::piece_of(subject, piece);
    if (stated == nullptr) {
      continue;
    }
    duct.length_m += piece.length_m;
    duct.elbows += stated->kind == layout::PieceKind::elbow ? 1 : 0;
    if (stated->kind == layout::PieceKind::flex) {
      duct.make = DuctMake::flexible;
      duct.flexible_m += piece.length_m;
    }
    if (stated->kind == layout::PieceKind::straight || stated->kind == layout::PieceKind::flex) {
      const double diameter_m = 4.0 * piece.upstream.area_m2() / piece.upstream.perimeter_m();
      duct.diameter_m = duct.diameter_m > 0.0 ? std::min(duct.diameter_m, diameter_m) : diameter_m;
    }
  }
  return duct;
}

struct RatedAt {
  double airflow_m3_s = 0.0;
  const char* how = "";
};

/// Airflow of a printed curve where it makes a static pressure; of a speed that is a ratio of the
/// first by that one's points and the fan laws.
std::optional<double> on_curve_m3_s(const layout::Layout& layout, const layout::Speed& speed) {
  if (layout.fan->basis == fan::PressureBasis::total_pressure) {
    return std::nullopt;
  }
  const double ratio = speed.speed_ratio.value_or(1.0);
  const auto& points = speed.speed_ratio ? layout.fan->speeds.front().curve : speed.curve;
  const double wanted_pa = kTableRatingPressure_pa / (ratio * ratio);
  for (std::size_t i = 1; i < points.size(); ++i) {
    const fan::FanPoint& a = points[i - 1];
    const fan::FanPoint& b = points[i];
    if (a.pressure_pa >= wanted_pa && b.pressure_pa < wanted_pa) {
      return layout.fan->count * ratio *
             std::lerp(a.airflow_m3_s,
                       b.airflow_m3_s,
                       (a.pressure_pa - wanted_pa) / (a.pressure_pa - b.pressure_pa));
    }
  }
  return std::nullopt;
}

std::optional<RatedAt> rated_at_table_pressure(const layout::Layout& layout,
                                               const layout::Speed& speed) {
  for (const layout::Rating& rating : speed.ratings) {
    if (std::abs(rating.pressure_pa - kTableRatingPressure_pa) < 0.02 * kTableRatingPressure_pa) {
      return RatedAt{layout.fan->count * rating.airflow_m3_s, "rated at {}"};
    }
  }
  const auto airflow_m3_s = on_curve_m3_s(layout, speed);
  return airflow_m3_s ? std::optional(RatedAt{*airflow_m3_s, "by its curve at {}"}) : std::nullopt;
}

/// Whether the table refuses this duct at an airflow.
bool refused(const Duct& duct, double airflow_m3_s) {
  const TableCell cell = prescriptive_length(
      {.make = duct.make, .airflow_m3_s = airflow_m3_s, .diameter_m = duct.diameter_m});
  const double allowed_m = cell.length_m - duct.elbows * kElbowDeduction_m;
  return cell.answer == TableAnswer::not_allowed ||
         (cell.answer == TableAnswer::length &&
          (allowed_m <= 0.0 || duct.length_m > allowed_m * (1.0 + kLengthRounding)));
}

/// The strongest of the speeds that can run and whose airflow at that pressure is known; one that
/// the table refuses goes before one that lies beyond its end.
std::optional<RatedAt> rated_at_table_pressure(const result::Case& subject, const Duct& duct) {
  std::optional<RatedAt> most;
  const auto rank = [&](const RatedAt& of) {
    return std::pair(refused(duct, of.airflow_m3_s), of.airflow_m3_s);
  };
  for (const result::SpeedResult& speed : subject.speeds) {
    const auto rated =
        speed.locked_out
            ? std::nullopt
            : rated_at_table_pressure(*subject.layout, subject.layout->fan->speeds[speed.index]);
    if (rated && (!most || rank(*rated) > rank(*most))) {
      most = rated;
    }
  }
  return most;
}

/// The calculation's answer to the table's question.
void add_calculation(const result::Case& subject,
                     const RatedAt& rated,
                     const Duct& duct,
                     Judgement& judgement) {
  const solve::CompiledRun& run = *subject.run;
  // The run alone, as the table has it: no wind, stack or house.
  const double static_pa =
      solve::Demand{.loss = run.loss, .outlet_dynamic_pa_s2_m6 = run.outlet_dynamic_pa_s2_m6}
          .static_pa(rated.airflow_m3_s);
  judgement.observed.push_back({"static_pressure_at_rating_pa", static_pa});
  judgement.limit.push_back({"rating_pressure_pa", kTableRatingPressure_pa});
  judgement.remarks.push_back(
      {std::string("by calculation the run costs {} at that airflow, ") +
           (static_pa <= kTableRatingPressure_pa ? "within" : "more than") +
           " the {} of the rating",
       {findings::pressure(static_pa), findings::pressure(kTableRatingPressure_pa)}});
  double fittings_pa = 0.0;
  double duct_pa = 0.0;
  for (const solve::CompiledPiece& piece : run.pieces) {
    const layout::Piece* stated = findings::piece_of(subject, piece);
    const bool length = stated != nullptr && (stated->kind == layout::PieceKind::straight ||
                                              stated->kind == layout::PieceKind::flex);
    (length ? duct_pa : fittings_pa) += run.loss.of(piece.loss, rated.airflow_m3_s);
  }
  if (duct_pa > 0.0 && duct.length_m > 0.0) {
    // All that is no length, in lengths of this duct.
    const double fittings_m = fittings_pa / duct_pa * duct.length_m;
    judgement.remarks.push_back(
        {"the table takes {} off for elbows and ignores caps, dampers and transitions; here "
         "fittings "
         "equal {} of straight duct",
         {findings::length(duct.elbows * kElbowDeduction_m), findings::length(fittings_m)}});
  }
}

bool measured(const result::Case& subject) {
  const auto& readings = subject.layout->measurements;
  return std::any_of(readings.begin(), readings.end(), [](const layout::Measurement& one) {
    return one.airflow_m3_s.has_value();
  });
}

/// What lifts the table: the manufacturer's design rules, or an airflow measured as installed.
bool lifted(const result::Case& subject, Judgement& judgement) {
  if (yes_no("appliance.maker.duct_design", subject).value_or(false)) {
    findings::append(
        judgement.said,
        {"; the duct is said to follow the manufacturer's own design rules, which lifts the table "
         "where the authority accepts them",
         {}});
    judgement.verdict = Verdict::authority;
    return true;
  }
  if (measured(subject)) {
    findings::append(
        judgement.said,
        {"; an airflow measured as installed is stated, which lifts the table where the reading "
         "is accepted",
         {}});
    judgement.verdict = Verdict::authority;
    return true;
  }
  return false;
}

void say_run(const Duct& duct, const RatedAt& rated, Judgement& judgement) {
  judgement.said = {
      std::string("{} of ") + (duct.make == DuctMake::flexible ? "flexible" : "smooth") +
          " duct, {} across, " + base::counted(duct.elbows, "elbow") + ", {} " + rated.how,
      {findings::length(duct.length_m),
       findings::length(duct.diameter_m),
       findings::airflow(rated.airflow_m3_s),
       findings::pressure(kTableRatingPressure_pa)}};
  judgement.observed = {{"length_m", duct.length_m},
                        {"diameter_m", duct.diameter_m},
                        {"elbows", static_cast<double>(duct.elbows)},
                        {"rated_airflow_m3_s", rated.airflow_m3_s}};
}

void judge_cell(const TableCell& cell, const Duct& duct, Judgement& judgement) {
  const double allowed_m = cell.length_m - duct.elbows * kElbowDeduction_m;
  switch (cell.answer) {
    case TableAnswer::no_limit:
      judgement.verdict = Verdict::met;
      findings::append(judgement.said, {"; the table sets no limit for this size", {}});
      return;
    case TableAnswer::not_allowed:
      judgement.verdict = Verdict::not_met;
      findings::append(judgement.said, {"; the table allows no length of this size", {}});
      return;
    case TableAnswer::outside:
      judgement.verdict = Verdict::not_shown;
      findings::append(judgement.said,
                       {"; the table ends at {}", {findings::airflow(cell.column_m3_s)}});
      return;
    case TableAnswer::length:
      break;
  }
  judgement.limit.push_back({"length_m", std::max(0.0, allowed_m)});
  if (allowed_m <= 0.0) {
    judgement.verdict = Verdict::not_met;
    findings::append(
        judgement.said,
        {"; the table's {} leave nothing after {} for elbows",
         {findings::length(cell.length_m), findings::length(duct.elbows * kElbowDeduction_m)}});
    return;
  }
  judgement.verdict =
      duct.length_m <= allowed_m * (1.0 + kLengthRounding) ? Verdict::met : Verdict::not_met;
  findings::append(judgement.said, {"; the table allows {}", {findings::length(allowed_m)}});
  if (duct.elbows > 0) {
    findings::append(
        judgement.said,
        {" ({} less {} for elbows)",
         {findings::length(cell.length_m), findings::length(duct.elbows * kElbowDeduction_m)}});
  }
}

void judge_prescriptive_length(const result::Case& subject, Judgement& judgement) {
  const Duct duct = duct_of(subject);
  judgement.span = subject.layout->run.span;
  const std::optional<RatedAt> rated = rated_at_table_pressure(subject, duct);
  if (!rated || duct.diameter_m <= 0.0) {
    judgement.verdict = Verdict::not_shown;
    judgement.said = {"the table asks for the airflow that the fan is rated at against {}",
                      {findings::pressure(kTableRatingPressure_pa)}};
    if (!lifted(subject, judgement)) {
      ask_for("rating-pressure", judgement);
    }
    return;
  }
  say_run(duct, *rated, judgement);
  const TableCell cell = prescriptive_length(
      {.make = duct.make, .airflow_m3_s = rated->airflow_m3_s, .diameter_m = duct.diameter_m});
  judge_cell(cell, duct, judgement);
  if (judgement.verdict != Verdict::met && !lifted(subject, judgement) &&
      judgement.verdict == Verdict::not_shown) {
    ask_for("appliance.maker.duct_design", judgement);
  }
  if (duct.flexible_m > 0.0 && duct.flexible_m < duct.length_m) {
    judgement.remarks.push_back(
        {"{} of it are flexible; the whole length is read as flexible, which is the stricter "
         "reading",
         {findings::length(duct.flexible_m)}});
  }
  add_calculation(subject, *rated, duct, judgement);
}

}  // namespace

TableCell prescriptive_length(const TableAsked& asked) {
  const double airflow_cfm = asked.airflow_m3_s / units::kM3SPerCfm * (1.0 - kLengthRounding);
  const double diameter_in = asked.diameter_m / units::kMetresPerInch * (1.0 + kLengthRounding);
  TableCell cell;
  const auto column = std::find_if(
      kColumns_cfm.begin(), kColumns_cfm.end(), [&](double cfm) { return airflow_cfm <= cfm; });
  if (column == kColumns_cfm.end()) {
    cell.column_m3_s = kColumns_cfm.back() * units::kM3SPerCfm;
    return cell;
  }
  cell.column_m3_s = *column * units::kM3SPerCfm;
  const Row* row = nullptr;
  for (const Row& one : kRows) {
    if (one.diameter_in <= diameter_in) {
      row = &one;
    }
  }
  if (row == nullptr) {
    cell.answer = TableAnswer::not_allowed;
    return cell;
  }
  cell.row_m = row->diameter_in * units::kMetresPerInch;
  const auto at = static_cast<std::size_t>(column - kColumns_cfm.begin());
  const double printed_ft =
      (asked.make == DuctMake::flexible ? row->flexible_ft : row->smooth_ft).at(at);
  if (printed_ft == kNoLimit_ft) {
    cell.answer = TableAnswer::no_limit;
  } else if (printed_ft == kNotAllowed_ft) {
    cell.answer = TableAnswer::not_allowed;
  } else {
    cell.answer = TableAnswer::length;
    cell.length_m = printed_ft * units::kMetresPerFoot;
  }
  return cell;
}

const RuleCheck kPrescriptiveLength{
    .name = "prescriptive-length",
    .what =
        "duct length, elbows and diameter against the residential code's length table, and beside "
        "it what the run costs by calculation at the airflow of the rating",
    .parameters = {},
    .judge = judge_prescriptive_length,
};

}  // namespace ductledger::rules
