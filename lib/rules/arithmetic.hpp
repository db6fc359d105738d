#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/words.hpp"
#include "findings/finding.hpp"

/// Figures handed in with a layout, calculated again.
namespace ductledger::rules {

enum class Agreement {
  agrees,       ///< within the rounding of a figure that people write down
  within_band,  ///< differs by less than the band of our own figure
  beyond_band,  ///< differs by more
  differs,      ///< beyond rounding, and our own figure has no band to judge by
  not_reproducible
};
inline constexpr auto kAgreementWords =
    base::words<Agreement>({{Agreement::agrees, "agrees"},
                            {Agreement::within_band, "differs within the band"},
                            {Agreement::beyond_band, "differs beyond the band"},
                            {Agreement::differs, "differs"},
                            {Agreement::not_reproducible, "not reproducible"}});
[[nodiscard]] constexpr const char* word(Agreement agreement) {
  return kAgreementWords.of(agreement);
}

/// Relative difference that rounding explains: figures are handed in at two digits. Common
/// practice.
constexpr double kRounding = 0.02;

/// One figure of `submitted`.
struct Refigured {
  const char* what = "";  ///< `airflow`, `static pressure`, `equivalent length`
  const char* key = "";   ///< `airflow_m3_s`
  units::Dimension dimension = units::Dimension::airflow;
  double submitted = 0.0;
  std::optional<double> ours;        ///< nothing: not reproducible, or only bounds are known
  std::optional<result::Band> band;  ///< k = 2; without `ours` the bounds, an end may be open
  Agreement agreement = Agreement::not_reproducible;
  std::string why_not;  ///< not reproducible: what is missing
};

/// One record of `submitted`.
struct Record {
  std::string speed;
  base::Span span;
  std::vector<Refigured> figures;
  /// The first step of the calculation in which the two part; empty where they agree throughout.
  units::Message first_step;
  /// Airflow and pressure handed in are no point of the fan's curve, whatever the run does; empty
  /// where they are, or where the curve does not say.
  units::Message off_curve;
};

/// Differs by more than rounding and, where our figure has a band, by more than that.
[[nodiscard]] bool differs(const Refigured& figure) noexcept;
/// How many figures differ so.
[[nodiscard]] std::size_t count_differing(const std::vector<Record>& records);

[[nodiscard]] std::vector<Record> recalculate(const result::Case& subject);

/// Straight duct, of the run's first size and wall, that would cost what the whole run costs at an
/// airflow [m]; nothing where the run has no straight duct. @param airflow_m3_s above 0
[[nodiscard]] std::optional<double> equivalent_length_m(const result::Case& subject,
                                                        double airflow_m3_s);

}  // namespace ductledger::rules
