#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "base/words.hpp"
#include "edit/path.hpp"
#include "study/check.hpp"

/// A layout calculated over a grid or a sample of any numbers that it states.
namespace ductledger::study {

/// Distributions by the names and parameters of statistics.
enum class DistributionKind {
  normal,      ///< mean, standard deviation
  lognormal,   ///< median, standard deviation of the logarithm [1]
  uniform,     ///< lowest, highest
  triangular,  ///< lowest, mode, highest
};
inline constexpr auto kDistributionWords =
    base::words<DistributionKind>({{DistributionKind::normal, "normal"},
                                   {DistributionKind::lognormal, "lognormal"},
                                   {DistributionKind::uniform, "uniform"},
                                   {DistributionKind::triangular, "triangular"}});
struct Distribution {
  DistributionKind kind = DistributionKind::normal;
  std::array<double, 3> parameters{};  ///< SI

  /// @param probability [1] between 0 and 1, ends excluded
  [[nodiscard]] double quantile(double probability) const;
};

/// One value that changes from row to row.
struct Varied {
  edit::Path path;
  /// A number's; nothing: words, such as types or sections.
  std::optional<units::Dimension> dimension;
  std::vector<std::string> texts;              ///< of a grid: as the layout then writes them
  std::vector<double> values;                  ///< of a grid of numbers, SI
  std::optional<Distribution> distribution{};  ///< of a sample

  /// As a column: the path, behind a number's the ending of its SI unit.
  [[nodiscard]] std::string name() const;
};

/// `run.pieces[3].length=2ft..40ft:20` (evenly spaced, ends included), `PATH=a,b,c`.
/// @return one diagnostic, its text the source
[[nodiscard]] base::Checked<Varied> read_vary(const std::string& text);
/// `house.leakage.airflow=lognormal(900cfm, 40 %)`.
[[nodiscard]] base::Checked<Varied> read_sample(const std::string& text);

struct SweepAsked {
  std::vector<Varied> grid;
  std::vector<Varied> sample;
  std::size_t count = 1000;  ///< draws of a sample, the same ones at every place of the grid
  std::uint64_t seed = 20250101;
};
inline constexpr std::size_t kMostRows = 10'000'000;

/// One row: what was put into the layout.
struct SweepRow {
  std::vector<std::variant<double, std::string>> values;  ///< the grid's, then the sample's; SI
  std::vector<edit::Setting> settings;
};

class Sweep {
 public:
  /// Tries every place with its outermost values first, so that what does not fit is told at once.
  /// @param layout and catalogue outlive the sweep
  [[nodiscard]] static base::Checked<Sweep> of(const layout::Layout& layout,
                                               const fitting::Catalogue& catalogue,
                                               SweepAsked asked);

  [[nodiscard]] const SweepAsked& asked() const { return asked_; }
  [[nodiscard]] std::size_t rows() const { return rows_; }
  /// The last of a grid changes fastest, a sample faster still. Any order, any thread.
  [[nodiscard]] SweepRow row(std::size_t index) const;
  [[nodiscard]] base::Checked<CheckResult> calculate(const SweepRow& row,
                                                     const CheckOptions& options) const;

 private:
  Sweep(const layout::Layout& layout, const fitting::Catalogue& catalogue, SweepAsked asked)
      : layout_(&layout), catalogue_(&catalogue), asked_(std::move(asked)) {}

  const layout::Layout* layout_;
  const fitting::Catalogue* catalogue_;
  SweepAsked asked_;
  std::size_t rows_ = 1;
};

/// What is kept of a row for views.
struct SweepPoint {
  bool failed = false;
  solve::Status status = solve::Status::not_determined;
  std::optional<double> airflow_m3_s{};  ///< nothing: none is known
  std::optional<result::Band> band_m3_s{};
};
[[nodiscard]] SweepPoint sweep_point(const base::Checked<CheckResult>& result);

/// A sample in few numbers: of the rows whose airflow is known.
struct SweepBin {
  double low_m3_s = 0.0;
  double high_m3_s = 0.0;
  std::size_t count = 0;
};
struct SweepSummary {
  std::size_t rows = 0;
  std::size_t known = 0;
  std::size_t failed = 0;
  std::size_t bounds = 0;   ///< beyond or below the curve: a bound and no answer
  std::size_t no_flow = 0;  ///< among the known
  double mean_m3_s = 0.0;
  std::array<double, 5> quantiles_m3_s{};  ///< of `kSweepQuantiles`
  std::vector<SweepBin> bins{};
  std::optional<std::size_t> below_required{};  ///< where the layout requires an airflow
};
inline constexpr std::array<double, 5> kSweepQuantiles{0.05, 0.25, 0.5, 0.75, 0.95};
[[nodiscard]] SweepSummary sweep_summary(std::span<const SweepPoint> points,
                                         std::optional<double> required_m3_s);

}  // namespace ductledger::study
