#include <cmath>
#include <optional>
#include <utility>
#include <variant>

#include "findings/checks/list_internal.hpp"
#include "numeric/root.hpp"

namespace ductledger::findings {
namespace {

/// A certified rating and a certified curve of one blower agree within 5 %; twice that is worth a
/// word.
constexpr double kOff = 0.10;

/// The greatest airflow at which the curve makes a pressure; nothing outside the curve.
std::optional<double> airflow_at(const fan::FanCurve& curve, double pressure_pa) {
  const auto knots = curve.knots_m3_s();
  for (std::size_t i = knots.size() - 1; i-- > 0;) {
    const double low = curve.pressure_pa(knots[i]) - pressure_pa;
    const double high = curve.pressure_pa(knots[i + 1]) - pressure_pa;
    if (high == 0.0) {
      return knots[i + 1];
    }
    if (low * high <= 0.0) {
      return numeric::find_root([&](double q) { return curve.pressure_pa(q) - pressure_pa; },
                                {knots[i], knots[i + 1]},
                                {})
          .root;
    }
  }
  return std::nullopt;
}

bool near(double airflow_m3_s, double of_m3_s) {
  return std::abs(airflow_m3_s - of_m3_s) <= kOff * of_m3_s;
}

/// Whether an airflow at a pressure that the curve does not reach stands before or behind it.
bool continues(const fan::FanCurve& curve, double airflow_m3_s) {
  return airflow_m3_s <= curve.first_airflow_m3_s() || airflow_m3_s >= curve.last_airflow_m3_s() ||
         near(airflow_m3_s, curve.last_airflow_m3_s());
}

std::vector<Finding> rating_off_curve(const result::Case& subject) {
  std::vector<Finding> all;
  if (!subject.layout->fan) {
    return all;
  }
  for (const layout::Speed& speed : subject.layout->fan->speeds) {
    const auto made = fan::FanCurve::from_points(speed.curve, fan::CurveShape::parabola);
    const auto* curve = std::get_if<fan::FanCurve>(&made);
    if (curve == nullptr) {
      continue;
    }
    for (const layout::Rating& rating : speed.ratings) {
      const auto by_curve_m3_s = airflow_at(*curve, rating.pressure_pa);
      if (by_curve_m3_s ? near(rating.airflow_m3_s, *by_curve_m3_s)
                        : continues(*curve, rating.airflow_m3_s)) {
        continue;
      }
      units::Message message{spoken(speed) + ": rated {} at {}, where its curve ",
                             {airflow(rating.airflow_m3_s), pressure(rating.pressure_pa)}};
      append(message,
             by_curve_m3_s ? units::Message{"gives {}", {airflow(*by_curve_m3_s)}}
                           : units::Message{"does not reach", {}});
      Finding found =
          finding(kRatingOffCurve,
                  {.level = Level::warn, .message = std::move(message), .span = rating.span});
      found.observed = {{"rated_airflow_m3_s", rating.airflow_m3_s}};
      if (by_curve_m3_s) {
        found.limit = {{"curve_airflow_m3_s", *by_curve_m3_s}};
      }
      all.push_back(std::move(found));
    }
  }
  return all;
}

}  // namespace

const Check kRatingOffCurve{
    .code = "rating-off-curve",
    .title = "a rating and the fan curve contradict each other",
    .what =
        "each rating of a speed that states a curve as well, against the curve at its pressure: "
        "10 % apart or more",
    .why =
        "one of the two is of another fan or another speed; the curve is what the answer stands "
        "on, and codes judge by the rating",
    .instead = "check both against the manufacturer's sheet; keep what belongs to this fan",
    .source = "common practice",
    .check = rating_off_curve,
};

}  // namespace ductledger::findings
