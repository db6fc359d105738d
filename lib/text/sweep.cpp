#include "text/sweep.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/text.hpp"
#include "text/page.hpp"
#include "text/verdict.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using study::SweepPoint;
using study::Varied;
using units::Dimension;

constexpr std::size_t kRowsShown = 24;
constexpr std::size_t kColumnsShown = 6;
constexpr std::size_t kBarWidth = 30;

/// About so many of `count` places, ends included.
std::vector<std::size_t> thinned(std::size_t count, std::size_t most) {
  std::vector<std::size_t> out;
  const std::size_t shown = std::min(count, most);
  for (std::size_t i = 0; i < shown; ++i) {
    out.push_back(shown == 1 ? 0 : i * (count - 1) / (shown - 1));
  }
  return out;
}

class SweepPage {
 public:
  SweepPage(const study::CheckResult& as_it_is,
            const study::Sweep& sweep,
            std::span<const SweepPoint> points,
            const TextOptions& options)
      : check_(as_it_is), sweep_(sweep), points_(points), page_(options) {}

  std::string text() {
    page_.title({check_.layout.title, check_.layout.file});
    if (is_bad(check_)) {
      write_verdict(page_, check_);
      page_.paragraph("That is said of the file as it is.");
      page_.blank();
    }
    page_.strong_paragraph(heading());
    page_.blank();
    const auto& grid = sweep_.asked().grid;
    if (!sweep_.asked().sample.empty()) {
      if (!grid.empty()) {
        page_.paragraph(
            fmt::format("Of all {} rows together, over the grid and the sample:", points_.size()));
      }
      sample();
    } else if (grid.size() == 1) {
      line_table();
    } else {
      matrix();
    }
    remarks();
    return page_.take();
  }

 private:
  [[nodiscard]] std::string value(const Varied& varied, std::size_t i) const {
    return varied.dimension ? page_.show(varied.values[i], *varied.dimension) : varied.texts[i];
  }

  [[nodiscard]] std::string heading() const {
    std::vector<std::string> parts;
    for (const Varied& varied : sweep_.asked().grid) {
      parts.push_back(fmt::format("{} from {} to {} ({})",
                                  varied.path.text(),
                                  value(varied, 0),
                                  value(varied, varied.texts.size() - 1),
                                  varied.texts.size()));
    }
    for (const Varied& varied : sweep_.asked().sample) {
      parts.push_back(
          fmt::format("{} drawn from {}, median {}",
                      varied.path.text(),
                      study::kDistributionWords.of(varied.distribution->kind),
                      page_.show(varied.distribution->quantile(0.5), *varied.dimension)));
    }
    const std::string speed =
        check_.ledger_speed ? " at " + words::spoken_speed(check_.speeds[*check_.ledger_speed].name)
                            : std::string();
    return fmt::format("Airflow{} over {}.", speed, base::joined(parts, "and"));
  }

  [[nodiscard]] std::string cell(const SweepPoint& point) const {
    if (point.failed) {
      return "failed";
    }
    if (!point.airflow_m3_s) {
      return "-";
    }
    const char* const mark = point.status == solve::Status::beyond_curve  ? ">"
                             : point.status == solve::Status::below_curve ? "<"
                                                                          : "";
    return mark + page_.bare(*point.airflow_m3_s, Dimension::airflow);
  }

  [[nodiscard]] double greatest() const {
    double most = 0.0;
    for (const SweepPoint& point : points_) {
      most = std::max(most, point.airflow_m3_s.value_or(0.0));
    }
    return most;
  }

  [[nodiscard]] std::string bar(double share) const {
    if (page_.options().profile == Profile::ascii) {
      return std::string(static_cast<std::size_t>(std::lround(share * kBarWidth)), '#');
    }
    static constexpr std::array<const char*, 8> kEighths{"", "▏", "▎", "▍", "▌", "▋", "▊", "▉"};
    const auto eighths = static_cast<std::size_t>(std::lround(share * kBarWidth * 8.0));
    std::string out;
    for (std::size_t i = 0; i < eighths / 8; ++i) {
      out += "█";
    }
    return out + kEighths[eighths % 8];
  }

  void line_table() {
    const Varied& varied = sweep_.asked().grid.front();
    const bool bands = std::ranges::any_of(
        points_, [](const SweepPoint& point) { return point.band_m3_s.has_value(); });
    std::vector<Column> columns{{varied.path.text(), "", Align::left},
                                {"airflow", page_.unit(Dimension::airflow), Align::right}};
    if (bands) {
      columns.push_back({"band", page_.unit(Dimension::airflow), Align::left});
    }
    columns.push_back({"", "", Align::left, 1});
    Table table(columns);
    const double most = greatest();
    for (const std::size_t i : thinned(points_.size(), kRowsShown)) {
      const SweepPoint& point = points_[i];
      std::vector<std::string> cells{value(varied, i), cell(point)};
      if (bands) {
        cells.push_back(
            point.band_m3_s
                ? words::band_text(*point.band_m3_s, Dimension::airflow, page_.options().system)
                : "-");
      }
      cells.push_back(most > 0.0 ? bar(point.airflow_m3_s.value_or(0.0) / most) : "");
      table.row(std::move(cells));
    }
    page_.table(table);
    thinned_said(points_.size(), kRowsShown);
  }

  void matrix() {
    const auto& grid = sweep_.asked().grid;
    const Varied& down = grid[0];
    const Varied& across = grid[1];
    std::size_t inner = 1;  // further places stay at their first values
    for (std::size_t i = 2; i < grid.size(); ++i) {
      inner *= grid[i].texts.size();
    }
    std::vector<Column> columns{{down.path.text(), "", Align::left}};
    const auto shown = thinned(across.texts.size(), kColumnsShown);
    for (const std::size_t j : shown) {
      columns.push_back({value(across, j), page_.unit(Dimension::airflow), Align::right});
    }
    page_.paragraph(fmt::format("Across: {}.", across.path.text()));
    Table table(columns);
    for (const std::size_t i : thinned(down.texts.size(), kRowsShown)) {
      std::vector<std::string> cells{value(down, i)};
      for (const std::size_t j : shown) {
        cells.push_back(cell(points_[(i * across.texts.size() + j) * inner]));
      }
      table.row(std::move(cells));
    }
    page_.table(table);
    for (std::size_t i = 2; i < grid.size(); ++i) {
      page_.paragraph(fmt::format(
          "{} at {}: the others are in the rows.", grid[i].path.text(), value(grid[i], 0)));
    }
    thinned_said(down.texts.size(), kRowsShown);
    thinned_said(across.texts.size(), kColumnsShown);
  }

  void thinned_said(std::size_t count, std::size_t most) {
    if (count > most) {
      page_.paragraph(
          fmt::format("{} of {} values are shown; `--format csv` writes all.", most, count));
    }
  }

  void sample() {
    const study::SweepSummary summary =
        study::sweep_summary(points_, check_.layout.appliance.required_airflow_m3_s);
    if (summary.known == 0) {
      return;
    }
    Table quantiles(
        {{"quantile", "", Align::left}, {"airflow", page_.unit(Dimension::airflow), Align::right}});
    for (std::size_t i = 0; i < study::kSweepQuantiles.size(); ++i) {
      quantiles.row({fmt::format("{:.0f} %", study::kSweepQuantiles[i] * 100.0),
                     page_.bare(summary.quantiles_m3_s[i], Dimension::airflow)});
    }
    quantiles.row({"mean", page_.bare(summary.mean_m3_s, Dimension::airflow)});
    page_.table(quantiles);
    page_.blank();
    std::size_t most = 1;
    for (const study::SweepBin& bin : summary.bins) {
      most = std::max(most, bin.count);
    }
    Table bins({{"from", page_.unit(Dimension::airflow), Align::right},
                {"to", page_.unit(Dimension::airflow), Align::right},
                {"rows", "", Align::right},
                {"", "", Align::left, 1}});
    for (const study::SweepBin& bin : summary.bins) {
      bins.row({page_.bare(bin.low_m3_s, Dimension::airflow),
                page_.bare(bin.high_m3_s, Dimension::airflow),
                fmt::format("{}", bin.count),
                bar(static_cast<double>(bin.count) / static_cast<double>(most))});
    }
    page_.table(bins);
    if (summary.below_required) {
      page_.blank();
      page_.paragraph(fmt::format(
          "{} of {} rows ({:.1f} %) deliver less than the required {}.",
          *summary.below_required,
          summary.known,
          100.0 * static_cast<double>(*summary.below_required) / static_cast<double>(summary.known),
          page_.show(*check_.layout.appliance.required_airflow_m3_s, Dimension::airflow)));
    }
  }

  void remarks() {
    const study::SweepSummary summary = study::sweep_summary(points_, std::nullopt);
    const auto say = [&](std::size_t count, const char* what) {
      if (count > 0) {
        page_.paragraph(fmt::format("{} of {} rows {}", count, summary.rows, what));
      }
    };
    page_.blank();
    say(summary.failed, "could not be calculated; their `fault_message` in the rows says why.");
    say(summary.bounds,
        "end outside the printed fan curve: their airflow is a bound (> at least, < at most).");
    say(summary.no_flow, "stand still: the fan does not overcome the pressures against it.");
    say(summary.rows - summary.failed - summary.known, "have no airflow: too little is known.");
    page_.paragraph(
        "Nominal values, one at a time changed as stated; what else would change with "
        "them is not guessed. The local authority decides.");
  }

  const study::CheckResult& check_;
  const study::Sweep& sweep_;
  std::span<const SweepPoint> points_;
  Page page_;
};

}  // namespace

std::string sweep_text(const study::CheckResult& as_it_is,
                       const study::Sweep& sweep,
                       std::span<const SweepPoint> points,
                       const TextOptions& options) {
  return SweepPage(as_it_is, sweep, points, options).text();
}

}  // namespace ductledger::text
