#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/words.hpp"
#include "study/review.hpp"

/// Which stock size delivers an airflow, and how far a run may go.
namespace ductledger::study {

/// Why a size is not among those that deliver.
enum class Refusal {
  too_little_air,
  just,  ///< not shown: the low end of its band (k = 2) is below what is wanted, or not known
  too_fast,
  too_deep,
  smaller_than_collar,
  breaks_a_rule,  ///< `review` would not meet a rule, or `check` fail, where another size does
  not_sold,       ///< flexible duct, or a bend of it, of another shape than round
  no_figures,     ///< the run cannot be made of it: what the catalogue or the layout lacks
};
inline constexpr auto kRefusalWords =
    base::words<Refusal>({{Refusal::too_little_air, "too-little-air"},
                          {Refusal::just, "just"},
                          {Refusal::too_fast, "too-fast"},
                          {Refusal::too_deep, "too-deep"},
                          {Refusal::smaller_than_collar, "smaller-than-collar"},
                          {Refusal::breaks_a_rule, "breaks-a-rule"},
                          {Refusal::not_sold, "not-sold"},
                          {Refusal::no_figures, "no-figures"}});
[[nodiscard]] constexpr const char* word(Refusal refusal) { return kRefusalWords.of(refusal); }

/// The whole run at one section, calculated as `check` would.
struct TriedSize {
  duct::Section section = duct::Section::round(units::inches(6.0));
  std::vector<units::Message> changes{};   ///< besides the size: other elbows, another cap
  std::optional<layout::Layout> layout{};  ///< as calculated; nothing: `no_figures`
  solve::Status status = solve::Status::not_determined;
  /// To what is wanted, by the ends of the band.
  result::Requirement::State stands = result::Requirement::State::not_shown;
  double airflow_m3_s = 0.0;                        ///< a bound where the status is not `found`
  std::optional<result::Band> airflow_band_m3_s{};  ///< an end may be open
  bool bounded = false;  ///< beyond or below the curve, the airflow estimated within bounds
  /// Low end of the band; beyond the curve the low quantile of samples, in which the curve's end
  /// counts as what it is, a bound.
  std::optional<double> low_m3_s{};
  double velocity_m_s = 0.0;        ///< the greatest in its straight and flexible duct
  double depth_m = 0.0;             ///< the greatest smaller side of that duct
  double needed_static_pa = 0.0;    ///< what the fan has to make at the airflow wanted, nominal
  std::vector<Refusal> refusals{};  ///< empty: delivers with margin
  std::string why_not{};            ///< `no_figures`: what was missing
  std::vector<units::Message> remarks{};  ///< what the change had to settle besides
  std::vector<std::string> breaks{};      ///< rules not met and findings that fail, by title
  /// The worst that `check` says of it, from warn on.
  std::optional<findings::Finding> worst{};

  [[nodiscard]] bool delivers() const noexcept { return refusals.empty(); }
  [[nodiscard]] bool refused_for(Refusal refusal) const noexcept;
};

/// The best size with the loss of one piece taken out.
struct WithoutPiece {
  int number = 0;  ///< of the ledger; 0: the change at the collar
  std::string piece;
  solve::Status status = solve::Status::not_determined;
  double airflow_m3_s = 0.0;
};

/// What keeps every size from delivering.
struct SizeBound {
  std::optional<std::size_t> best{};          ///< in `tried`: the most air among those not too deep
  std::vector<WithoutPiece> without_piece{};  ///< of `best`, the greatest gain first
  /// Of `best`, where a house is calculated with it.
  std::optional<double> without_house_m3_s{};
};

/// A greatest length. The airflow is just what is wanted there.
struct Reach {
  double length_m = 0.0;
  bool further = false;  ///< still enough at `kLongestExtraM` more: the search ended there
};

/// How far a layout may go, and what fan it would take.
struct Limits {
  std::optional<std::size_t> straight{};     ///< in run.pieces: the longest, made longer or shorter
  double straight_m = 0.0;                   ///< its length in the layout
  std::optional<Reach> reach{};              ///< nothing: no length of it delivers
  std::optional<Reach> reach_with_margin{};  ///< the same for the low end of the band
  bool stack_helps = false;  ///< the longer it is the more: air that is warm to its end is taken
  std::string elbow{};       ///< type of a further 90 degree elbow; empty: unknown
  double elbow_coefficient = 0.0;  ///< [1] whole loss over the velocity pressure before the cap
  std::optional<int> elbows{};     ///< further ones that still deliver; nothing: not even none
  std::optional<int> elbows_with_margin{};
  double needed_static_pa = 0.0;          ///< at the airflow wanted, nominal
  std::optional<double> fan_static_pa{};  ///< the fan's there; nothing: outside its curve
};

/// How far lengths and elbows are searched.
inline constexpr double kLongestExtraM = 300.0;
inline constexpr int kMostElbows = 30;
/// A size is tried with other elbows and caps where it delivers at least this share of the airflow.
inline constexpr double kNarrowShare = 0.85;
/// So many of them, the smallest first.
inline constexpr std::size_t kVaried = 3;

/// Of a run of more pieces no sizes are tried: each costs as much as the run, as does each step of
/// the search for its greatest length.
inline constexpr std::size_t kMostPiecesSized = 300;

struct SizeOptions {
  std::optional<double> deliver_m3_s{};  ///< nothing: the layout's required airflow
  std::string speed{};                   ///< empty: the headline speed
  /// Without a fan in the layout: the static pressure [Pa] that the run may ask of one. A fan that
  /// makes it at every airflow takes its place, without doubt of its own.
  std::optional<double> within_pa{};
  std::optional<double> max_depth_m{};
  std::optional<double> max_velocity_m_s{};
  std::vector<duct::Section> more_sizes{};  ///< the user's own, besides those in stock
  RuleSetsPtr sets{};                       ///< judged for each size; null: none
};

/// The result document of `size`.
struct SizeResult {
  CheckResult check;      ///< of the layout as it is
  std::size_t speed = 0;  ///< in check.speeds
  double wanted_m3_s = 0.0;
  std::optional<double> max_depth_m;
  std::optional<double> max_velocity_m_s;
  TriedSize drawn;                      ///< the layout as it is
  std::vector<TriedSize> tried;         ///< every size, the smallest area first
  std::vector<TriedSize> varied;        ///< that deliver with other elbows or another cap
  std::size_t varied_count = 0;         ///< of them tried
  std::optional<std::size_t> smallest;  ///< in `tried`: the first that delivers
  /// Airflow of the fan without a run, at zero static pressure.
  double free_air_m3_s = 0.0;
  bool free_air_is_curve_end = false;  ///< the curve ends above zero pressure: at least that
  std::optional<SizeBound> bound;      ///< where no size delivers
  Limits limits;                       ///< of the layout as it is
  std::vector<std::string> breaks_at_every_size{};  ///< no size mends them
  /// Of the smallest size that delivers, where that is not the run as it is.
  std::optional<Limits> smallest_limits;
};

/// Fails where the layout has no fan whose curve is known, or no airflow is wanted.
[[nodiscard]] base::Checked<SizeResult> size(layout::Layout layout,
                                             const fitting::Catalogue& catalogue,
                                             const SizeOptions& options);

/// Reads a file of sizes: `sizes: 1` and `stock: [9 in round, 12 x 4 in]`. All independent faults
/// in one pass.
[[nodiscard]] base::Checked<std::vector<duct::Section>> read_sizes(const base::SourcePtr& text);

}  // namespace ductledger::study
