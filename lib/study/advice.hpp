#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/words.hpp"
#include "edit/edit.hpp"
#include "findings/finding.hpp"

/// What would help most: changes that a person could really make, each solved again exactly.
namespace ductledger::study {

struct CheckResult;

enum class ChangeKind {
  larger_duct,         ///< every section at the next stock size
  collar_size,         ///< every narrower section at the collar's size
  smooth_elbow,        ///< in place of an adjustable, gored, mitered or flexible one
  longer_radius,       ///< of an elbow of the same type
  vaned_elbow,         ///< vanes in a mitered rectangular elbow
  two_elbows,          ///< two of half the angle for one
  no_offset,           ///< a jog taken out
  other_cap,           ///< a cap of another type for the same place
  wider_cap,           ///< more free area, or a rain cap set higher
  rigid_duct,          ///< in place of flexible duct
  stretched_flex,      ///< pulled tight and held without sag
  shorter_duct,        ///< the longest straight, half as long
  fan_moved,           ///< from the collar to the end of the run, or back
  damper_out,          ///< one of two or more dampers
  screen_out,          ///< a screen in the run
  gradual_transition,  ///< in place of an abrupt change, or with less included angle
  balancing_damper     ///< on another inlet's way, in a layout with branches
};
inline constexpr auto kChangeKindWords =
    base::words<ChangeKind>({{ChangeKind::larger_duct, "larger-duct"},
                             {ChangeKind::collar_size, "collar-size"},
                             {ChangeKind::smooth_elbow, "smooth-elbow"},
                             {ChangeKind::longer_radius, "longer-radius"},
                             {ChangeKind::vaned_elbow, "vaned-elbow"},
                             {ChangeKind::two_elbows, "two-elbows"},
                             {ChangeKind::no_offset, "no-offset"},
                             {ChangeKind::other_cap, "other-cap"},
                             {ChangeKind::wider_cap, "wider-cap"},
                             {ChangeKind::rigid_duct, "rigid-duct"},
                             {ChangeKind::stretched_flex, "stretched-flex"},
                             {ChangeKind::shorter_duct, "shorter-duct"},
                             {ChangeKind::fan_moved, "fan-moved"},
                             {ChangeKind::damper_out, "damper-out"},
                             {ChangeKind::screen_out, "screen-out"},
                             {ChangeKind::gradual_transition, "gradual-transition"},
                             {ChangeKind::balancing_damper, "balancing-damper"}});
[[nodiscard]] constexpr const char* word(ChangeKind kind) { return kChangeKindWords.of(kind); }

/// One change, with what it takes.
struct Change {
  ChangeKind kind = ChangeKind::larger_duct;
  std::vector<std::size_t> pieces;  ///< indices in run.pieces that it touches; empty: the whole run
  units::Message words;             ///< short: `smooth elbow, r/D 1.5`
  units::Message condition;         ///< when it is possible at all; may be empty
  int parts_new = 0;                ///< pieces to buy or make, those replaced among them
  int parts_out = 0;                ///< pieces taken out for good
  /// Extra room [m]: the side of a larger duct that grows most, leg of an elbow, length of a
  /// transition; 0: none, or less.
  double room_m = 0.0;
  base::Span span;
  /// Makes it on a layout that still holds the pieces, whatever else was changed.
  std::function<edit::Edited(const layout::Layout&)> apply;
};

/// What a change gives at one speed.
struct ChangedSpeed {
  solve::Status status = solve::Status::no_fan;
  double airflow_m3_s = 0.0;  ///< beyond the curve: at least that, unless estimated
  bool estimated = false;     ///< beyond or below the curve, within bounds by the falling fan
  double gain_m3_s = 0.0;
  /// k = 2, what the run and the changed one share counted once; nothing unless both are found.
  std::optional<result::Band> gain_band_m3_s{};
};

/// One row: a change, or the best pair of them, solved together.
struct AdviceRow {
  std::vector<Change> changes;
  std::vector<ChangedSpeed> speeds;  ///< as Advice::speeds; empty without a usable fan
  double pressure_pa = 0.0;          ///< without a usable fan: total pressure needed
  double pressure_saved_pa = 0.0;    ///< without a usable fan
  /// Of the house at the highest speed, where one is calculated.
  std::optional<double> depressurisation_pa{};
  bool over_limit = false;                ///< ... over what burns inside allows, nominal
  std::vector<findings::Finding> brings;  ///< findings (warn and fail) that it would bring
  std::vector<std::string> mends;         ///< codes of findings (warn and fail) that it would mend
};

struct Advice {
  std::optional<double> depressurisation_pa{};  ///< as drawn, as in the rows
  std::optional<double> limit_pa{};             ///< of the house; nothing: no house, or not known
  std::vector<std::size_t> speeds;     ///< in CheckResult::speeds: the highest, then the lowest
  std::optional<double> airflow_m3_s;  ///< without a usable fan: where pressures are compared
  std::string why_not;                 ///< why nothing can be compared; empty: compared
  std::size_t tried = 0;               ///< changes solved
  std::vector<AdviceRow> rows;         ///< with a gain, the greatest first, at most kMostAdvised
  std::size_t smaller = 0;             ///< further ones with a smaller gain
  std::optional<AdviceRow> best_pair;  ///< better than each change alone
  bool pairs_left_out = false;         ///< the run has more pieces than `kMostPiecesPaired`
};

inline constexpr std::size_t kMostAdvised = 24;
/// Of a run of more pieces no changes are compared: each costs as much as the run.
inline constexpr std::size_t kMostPiecesAdvised = 500;
/// Of a run of more pieces no pairs are tried.
inline constexpr std::size_t kMostPiecesPaired = 150;
/// A gain below this is none.
inline constexpr double kLeastGainM3S = 0.5 * units::kM3SPerCfm;
inline constexpr double kLeastSavedPa = 0.5;

/// @param result of `check`, whose layout was read from a text
/// @param catalogue outlives the advice
[[nodiscard]] Advice advice(const CheckResult& result, const fitting::Catalogue& catalogue);

/// The layout of a row: its changes made one after the other, as they were solved.
[[nodiscard]] edit::Edited with_changes(const layout::Layout& layout, const AdviceRow& row);

}  // namespace ductledger::study
