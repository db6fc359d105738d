#pragma once

#include <optional>
#include <string>
#include <vector>

#include "site/measured.hpp"

/// What single runs and networks judge readings with.
namespace ductledger::site {

/// What a reading is judged against: the pieces that a fault may be of.
struct Judging {
  const layout::Run& pieces;
  const solve::CompiledRun& run;
  const fitting::Catalogue& catalogue;
  std::size_t first_piece = 0;
  bool fan_falls = false;                       ///< throughout its curve
  Verdict where_less = Verdict::less_pressure;  ///< of a pressure by which the run costs less
};

/// The doubt of the gauge that read, one standard uncertainty.
[[nodiscard]] double static_uncertainty_pa(const layout::Measurement& reading);
/// Puts the airflow that was read. @return one standard uncertainty of it
double put_airflow(double density_kg_m3, Judged& judged);
/// A pressure alone: the airflows that it may belong to, and what the run costs there.
void judge_gauge(const Judging& judging, const Gauge& gauge, Doubts& doubts, Judged& judged);
/// An airflow on the curve, with a pressure beside it or without.
void judge_on_curve(
    const Judging& judging, const Gauge& gauge, Doubts& doubts, double u_m3_s, Judged& judged);
/// What would explain a verdict, by what the readings say together, likeliest first.
[[nodiscard]] std::vector<units::Message> causes(const Judged& judged);
[[nodiscard]] ByMeasurement requirement(const Judged& judged);

/// At a reading's place in the file, where it has one.
[[nodiscard]] base::Diagnostic reading_fault(const layout::Layout& layout,
                                             const base::Span& span,
                                             std::string rule,
                                             std::string message);
/// No speed of that name.
[[nodiscard]] base::Diagnostic unknown_speed(const layout::Layout& layout,
                                             const layout::Measurement& reading,
                                             const std::vector<std::string>& names);

}  // namespace ductledger::site
