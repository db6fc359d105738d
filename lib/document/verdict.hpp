#pragma once

#include "study/check.hpp"

/// The one line above the answer: the worst that was found.
namespace ductledger::document {

enum class Standing {
  clear,      ///< no failure and no warning among what was checked; no approval
  warn,       ///< the worst is a warning
  not_shown,  ///< the required airflow lies within the doubt
  not_met,    ///< less than the required airflow is delivered
  fail,       ///< another finding at `fail`
};
/// `fail`, `not-met`, `not-shown`, `warn`, `clear`.
[[nodiscard]] const char* word(Standing standing) noexcept;
struct Verdict {
  Standing standing = Standing::clear;
  const findings::Finding* worst = nullptr;  ///< of the result; null where clear
  /// Clear, and the low end of what is delivered reaches what is required.
  bool required_met = false;
  double required_m3_s = 0.0;

  /// `FAIL`, `NOT MET`, `MET`, as a reader sees it.
  [[nodiscard]] const char* mark() const noexcept;

  /// With its number and limit; of a clear result what is not claimed.
  [[nodiscard]] std::string text(units::System system) const;
};

/// The highest level first, whatever the speed; among those of one level the house that is drawn
/// down, then an outlet that ends inside, then the required airflow, then by place.
[[nodiscard]] Verdict verdict(const study::CheckResult& result);

}  // namespace ductledger::document
