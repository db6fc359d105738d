#pragma once

#include <optional>

#include "base/words.hpp"
#include "result/case.hpp"

namespace ductledger::result {

/// How the airflow stands that the designer requires of the highest speed not locked out.
struct Requirement {
  enum class State {
    met,        ///< the low end of what is delivered reaches it
    not_met,    ///< what is delivered, or the best it can be, is below it
    not_shown,  ///< it lies within the doubt, or nothing is known
  };
  double required_m3_s = 0.0;
  State state = State::not_shown;
  std::optional<std::size_t> by{};  ///< in the case's speeds, the one that answers; none: none can
};

inline constexpr auto kRequirementWords =
    base::words<Requirement::State>({{Requirement::State::met, "met"},
                                     {Requirement::State::not_met, "not met"},
                                     {Requirement::State::not_shown, "not shown"}});
[[nodiscard]] constexpr const char* word(Requirement::State state) {
  return kRequirementWords.of(state);
}

/// Lowest and highest answer known of a speed, whatever the status; an end may be open.
[[nodiscard]] std::optional<Band> band_of(const SpeedResult& speed);
/// The band where bounds are all that is known: a curve that ends before it meets the run, or one
/// rating. An open end is infinite. Nothing where an operating point was found, or no bound is.
[[nodiscard]] std::optional<Band> bounds_of(const SpeedResult& speed);

/// Whether a speed's airflow stands on a shape that was assumed for its fan: a free-air airflow
/// alone. What is required is never met by it.
[[nodiscard]] bool on_assumed_shape(const Case& subject, const SpeedResult& speed);

/// How a speed stands to an airflow [m3/s] that is wanted of it. A part in 1e9 allows for rounding.
[[nodiscard]] Requirement::State stands(const SpeedResult& speed, double wanted_m3_s);

/// Nothing where the layout requires no airflow. A part in 1e9 allows for rounding.
[[nodiscard]] std::optional<Requirement> requirement(const Case& subject);

}  // namespace ductledger::result
