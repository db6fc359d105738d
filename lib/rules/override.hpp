#pragma once

#include <optional>
#include <string>
#include <vector>

#include "findings/finding.hpp"

/// Figures of a layout that stand in place of the catalogue's, for a reviewer to ask about.
namespace ductledger::rules {

enum class OverrideKind {
  coefficient,        ///< below half or above twice what the catalogue has
  below_exit,         ///< a cap that costs less than the velocity that leaves it
  equivalent_length,  ///< below half or above twice, as a coefficient
  loss,               ///< a loss of the user's own, with no entry to hold it against
  no_uncertainty      ///< an uncertainty stated as 0
};
inline constexpr auto kOverrideWords =
    base::words<OverrideKind>({{OverrideKind::coefficient, "coefficient"},
                               {OverrideKind::below_exit, "cap-below-exit"},
                               {OverrideKind::equivalent_length, "equivalent-length"},
                               {OverrideKind::loss, "loss"},
                               {OverrideKind::no_uncertainty, "no-uncertainty"}});
[[nodiscard]] constexpr const char* word(OverrideKind kind) { return kOverrideWords.of(kind); }

/// One such figure. Coefficients are on the velocity pressure that the stated one names.
struct Override {
  OverrideKind kind = OverrideKind::coefficient;
  std::string what;                 ///< `6 cap wall-hood-flap`, or a key of `uncertainty`
  std::optional<int> number;        ///< of the piece
  std::optional<double> stated;     ///< [1] coefficient or relative uncertainty
  std::optional<double> catalogue;  ///< [1] the same from the catalogue; none: it has none
  findings::Level level = findings::Level::note;
  units::Message said;
  base::Span span;
};

/// In file order. A coefficient from half to twice the catalogue's is a figure like any other and
/// is not listed; the exit alone costs one velocity head (total pressure; textbook).
[[nodiscard]] std::vector<Override> overrides(const result::Case& subject);

}  // namespace ductledger::rules
