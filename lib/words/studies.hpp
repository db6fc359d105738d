#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "study/branches_advice.hpp"
#include "study/check.hpp"

/// Sentences on what a check adds to its answer, the same in every view.
namespace ductledger::words {

/// How a view writes what a shared sentence holds.
class FigureWriter {
 public:
  virtual ~FigureWriter() = default;
  [[nodiscard]] virtual units::System system() const = 0;
  /// The size of a figure with its unit.
  /// @param at its place in the check document, such as `/dryer_length/total_m`
  [[nodiscard]] virtual std::string figure(const std::string& at,
                                           const std::string& shown) const = 0;
  /// A text of the layout's, made harmless.
  [[nodiscard]] virtual std::string of_layout(std::string_view text) const = 0;
  /// The same of words of ours.
  [[nodiscard]] virtual std::string plain(std::string_view text) const = 0;

  [[nodiscard]] std::string show(const std::string& at,
                                 double si,
                                 units::Dimension dimension) const {
    return figure(at, units::display(si, dimension, system()));
  }

 protected:
  FigureWriter() = default;
  FigureWriter(const FigureWriter&) = default;
  FigureWriter& operator=(const FigureWriter&) = default;
};

/// Each of these is empty where the check has nothing to say.

/// Errors that make less of the variance than this are not named.
inline constexpr double kNamedShare = 0.01;
/// `Main uncertainty: cap conical-rain-cap, 71 %; fan curve, 20 %.`, of the headline speed.
[[nodiscard]] std::string doubt_sentence(const study::CheckResult& result,
                                         const FigureWriter& writer);

/// `Nominal route (40 ft, two elbows, one cap): 441 cfm; this one is 38 cfm (9 %) worse.`
[[nodiscard]] std::string nominal_sentence(const study::CheckResult& result,
                                           const FigureWriter& writer);
/// `By the code's table: 20 ft of duct and 5 ft for elbows, 25 ft where 35 ft is the most.`
[[nodiscard]] std::string dryer_sentence(const study::CheckResult& result,
                                         const FigureWriter& writer);

/// What was tried: `Each of 12 changes was solved again by itself; 4 without gain are left out.`
[[nodiscard]] std::string advice_summary(const study::Advice& advice);
/// Of a network. @param inlet the one that is helped, as the view calls it
[[nodiscard]] std::string advice_summary(const study::NetworkAdvice& advice,
                                         std::string_view inlet);
/// `all`, `3 to 5`, `1, 2, 5`
[[nodiscard]] std::string pieces_changed(const study::Change& change);
/// What a row asks, brings and mends.
[[nodiscard]] std::vector<std::string> advice_notes(const study::AdviceRow& row,
                                                    units::System system);
/// `Best pair: A (piece 2) with B: high 412 cfm (+30 cfm)`, without a full stop.
[[nodiscard]] std::string best_pair_sentence(const study::CheckResult& result,
                                             const FigureWriter& writer);
/// Whether a gain's band holds zero.
[[nodiscard]] bool is_unsure(const study::ChangedSpeed& speed);

// The house, at the headline speed. Pressures are in pascal in either unit system.

/// `12.4 Pa`
[[nodiscard]] std::string pascal(double pressure_pa);
/// `The house leaks 1500 cfm at 50 Pa (exponent 0.65), dryer 150 cfm, makeup air none.`
[[nodiscard]] std::string house_sentence(const study::CheckResult& result,
                                         const FigureWriter& writer);
/// `none`, `by a duct, interlocked`
[[nodiscard]] std::string makeup_text(const study::CheckResult& result, units::System system);
/// What staying within the limit asks.
[[nodiscard]] std::string opening_sentence(const study::CheckResult& result,
                                           const FigureWriter& writer);
[[nodiscard]] std::string airtightness_sentence(const study::CheckResult& result,
                                                const FigureWriter& writer);

}  // namespace ductledger::words
