#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/words.hpp"
#include "study/check.hpp"

/// The makeup air that keeps a house within its limit.
namespace ductledger::study {

enum class MakeupWay { drawn, duct, opening, powered };
inline constexpr auto kMakeupWayWords = base::words<MakeupWay>({{MakeupWay::drawn, "as-drawn"},
                                                                {MakeupWay::duct, "duct"},
                                                                {MakeupWay::opening, "opening"},
                                                                {MakeupWay::powered, "powered"}});
[[nodiscard]] constexpr const char* word(MakeupWay way) { return kMakeupWayWords.of(way); }

/// A speed that can run, with one makeup air.
struct MakeupSpeed {
  std::string name;           ///< empty: the fans of branches alone
  double airflow_m3_s = 0.0;  ///< of all that leaves, on the highest stable crossing
  double depressurisation_pa = 0.0;
  std::optional<result::Band> band_pa{};  ///< k = 2
  house::Verdict verdict = house::Verdict::not_shown;
  std::optional<double> alone_m3_s{};  ///< what leaves with the room at outdoor pressure
};

/// One makeup air, the whole layout calculated with it as `check` would.
struct MakeupTried {
  MakeupWay way = MakeupWay::drawn;
  std::optional<duct::Section> section{};  ///< duct and opening
  double airflow_m3_s = 0.0;               ///< powered: of outdoor air
  std::vector<MakeupSpeed> speeds{};       ///< every speed that is not locked out

  /// Within the limit at every speed, the band too.
  [[nodiscard]] bool keeps() const noexcept;
  /// Brings enough that no speed draws the house down beyond a limit [Pa], the band too. More of it
  /// is enough too, while too much powered air presses the house up until a curve ends.
  [[nodiscard]] bool is_enough(double limit_pa) const noexcept;
  /// Of the speed that draws the house down furthest.
  [[nodiscard]] const MakeupSpeed& worst() const noexcept;
};

/// The result document of `size --makeup`.
struct MakeupSize {
  CheckResult check;  ///< of the layout as it is; with branches `as_single`
  house::Limit limit;
  bool own_duct = false;       ///< the duct's pieces are the layout's; else assumed ones
  std::string duct_why_not{};  ///< why no duct was tried
  /// Transitions of the layout's duct that were taken out, since each size runs throughout.
  std::size_t transitions_out = 0;
  MakeupTried drawn;
  /// Those that were tried, each way by size; the smallest of each way that keeps the limit.
  std::vector<MakeupTried> tried{};
  std::optional<std::size_t> duct{};
  std::optional<std::size_t> opening{};
  std::optional<std::size_t> powered{};
};

/// Powered makeup air is sought in steps of so much.
inline constexpr double kPoweredStepM3S = 5.0 * units::kM3SPerCfm;
/// The duct that is tried where the layout draws none, as its file would say it but for the size.
inline constexpr const char* kAssumedDuct =
    "pieces: [{entry: {type: louver}}, {straight: 6 ft}, {damper: motorised}, {cap: {type: "
    "grille}}]";

/// Sizes the makeup air of a layout: the smallest stock size of a duct (the layout's own pieces, or
/// assumed ones) and of a sharp-edged opening, and the least powered airflow, that keep the
/// depressurisation within the house's limit at every speed that can run, the band (k = 2)
/// included. Makeup air with a motor or a fan is taken as interlocked. More makeup air draws the
/// house down less, so each way is sought upward to its smallest. A layout with branches is judged
/// by all that leaves the house; a makeup duct that branches has one size in all its parts.
///
/// Fails where the layout has no house, its leakage or what burns inside is not stated, it
/// discharges into the room, or no airflow is known.
[[nodiscard]] base::Checked<MakeupSize> size_makeup(layout::Layout layout,
                                                    const fitting::Catalogue& catalogue);

}  // namespace ductledger::study
