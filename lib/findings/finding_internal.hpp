#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "findings/finding.hpp"
#include "layout/spoken_speed.hpp"
#include "result/requirement.hpp"
#include "units/quantity.hpp"

/// What the checks share: words, quantities and the parts of a case they ask for.
namespace ductledger::findings {

/// A finding of a check, with the check's own code, reason, remedy and source filled in.
struct Said {
  Level level = Level::note;
  units::Message message;
  base::Span span;
};
[[nodiscard]] Finding finding(const Check& check, Said said);

using units::append;
using units::literal;

/// A speed, of the layout or of the result, as a message names it.
template <class Speed>
[[nodiscard]] std::string spoken(const Speed& speed) {
  return literal(layout::spoken_speed(speed.name));
}

[[nodiscard]] constexpr units::Message::Value airflow(double airflow_m3_s) {
  return {airflow_m3_s, units::Dimension::airflow};
}
[[nodiscard]] constexpr units::Message::Value pressure(double pressure_pa) {
  return {pressure_pa, units::Dimension::pressure};
}
[[nodiscard]] constexpr units::Message::Value velocity(double velocity_m_s) {
  return {velocity_m_s, units::Dimension::velocity};
}
[[nodiscard]] constexpr units::Message::Value length(double length_m) {
  return {length_m, units::Dimension::length};
}
[[nodiscard]] constexpr units::Message::Value ratio(double fraction) {
  return {fraction, units::Dimension::ratio};
}
[[nodiscard]] constexpr units::Message::Value number(double value) {
  return {value, units::Dimension::number};
}

/// `80 cfm to 97 cfm`, `at most 97 cfm` or `at least 80 cfm` where an end is open.
[[nodiscard]] units::Message band_words(const result::Band& band, units::Dimension dimension);
/// What a speed delivers: `86 cfm (80 cfm to 97 cfm)`; where the airflow is a bound, its range.
[[nodiscard]] units::Message delivered_words(const result::SpeedResult& speed);
/// Adds `; by a falling fan 49 cfm to 62 cfm, about 53 cfm` where the airflow is bounded.
void say_estimate(const result::SpeedResult& speed, units::Message& words);
/// `8 in round`, `10 in x 3-1/4 in`, `12 in x 6 in oval` in either unit system.
[[nodiscard]] units::Message section_words(const duct::Section& section);
/// `a, b and c`.
[[nodiscard]] std::string listed(const std::vector<std::string>& words);

/// Two quantities that people would compare.
struct Shown {
  double value_si = 0.0;
  double bound_si = 0.0;
  units::Dimension dimension = units::Dimension::airflow;
};
/// `just ` where both print alike, else nothing: `400 cfm is just over 400 cfm`.
[[nodiscard]] std::string just(const Shown& shown);

/// Areas within this of each other are one size: rounding of trade sizes. Common practice.
constexpr double kAreaTolerance = 0.04;
[[nodiscard]] bool smaller_by_area(const duct::Section& section, const duct::Section& than);

/// The headline speed, if the layout has one.
[[nodiscard]] const result::SpeedResult* headline(const result::Case& subject);
/// The headline speed's airflow where the operating point was found.
[[nodiscard]] std::optional<double> delivered_m3_s(const result::Case& subject);
/// The airflow that the headline speed has at least: found, the end of its curve, or, of a fan that
/// falls, its lower bound.
[[nodiscard]] std::optional<double> least_airflow_m3_s(const result::Case& subject);
/// The headline speed's airflow below a figure that it should reach, by all that is known of it.
struct Shortfall {
  bool sure = true;  ///< else bounds leave it open
  /// `delivered 173 cfm, just below the ` or `delivered 113 cfm to 363 cfm, not shown to reach the
  /// `
  units::Message words;
  std::vector<NamedValue> observed;
};
/// Nothing where it reaches the figure [m3/s], or nothing is known of it.
[[nodiscard]] std::optional<Shortfall> shortfall(const result::Case& subject, double figure_m3_s);
/// Airflow on which makeup air is judged: the highest stable crossing, or the end of the curve.
[[nodiscard]] std::optional<double> greatest_airflow_m3_s(const result::SpeedResult& speed);

/// The layout's piece behind a compiled one, or nothing (open end, change at the collar).
[[nodiscard]] const layout::Piece* piece_of(const result::Case& subject,
                                            const solve::CompiledPiece& piece);
[[nodiscard]] base::Span span_of(const result::Case& subject, const solve::CompiledPiece& piece);
/// `elbow (piece 3)`, `gored-5 elbow (piece 3)`, `change at the collar`; ready for a pattern.
[[nodiscard]] std::string piece_words(const solve::CompiledPiece& piece);
/// Share of all losses in the headline speed's ledger; 0 where there is none.
[[nodiscard]] double share_of(const result::Case& subject, const solve::CompiledPiece& piece);

/// The flexible piece at a dryer's collar that is its transition duct: stated so, or at most 8 ft
/// and in view; null: there is none.
/// @source irc-2024-new-york M1502.4.3
[[nodiscard]] const layout::Piece* transition_duct(const result::Case& subject);

[[nodiscard]] bool discharges_into_room(const result::Case& subject);
[[nodiscard]] bool is_range_hood(const result::Case& subject);

/// The headline speed solved on another layout or with other options; nothing where that layout
/// does not compile.
struct Resolve {
  const layout::Layout& layout;
  const fitting::Catalogue& catalogue;
  std::size_t speed = 0;
  solve::CompileOptions options;
};
[[nodiscard]] std::optional<solve::OperatingPoint> resolved(const Resolve& what);

}  // namespace ductledger::findings
