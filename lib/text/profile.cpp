#include "text/profile.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numeric>
#include <optional>
#include <string_view>

namespace ductledger::text {
namespace {

using units::Dimension;

/// Columns that the picture keeps free of a line, and its most: wider it says no more.
constexpr std::size_t kMargin = 4;
constexpr std::size_t kWidest = 116;
constexpr std::size_t kBarRows = 5;  // with zero line, numbers and names: 8 lines
constexpr std::size_t kUsualLeast = 3;
/// A side of the zero line with less than this share of the other has no row.
constexpr double kVisible = 1.0 / 80.0;

struct Glyphs {
  std::array<std::string_view, 9> up;    ///< filled from below, empty to full
  std::array<std::string_view, 9> down;  ///< filled from above
  std::string_view side;
  std::string_view named;  ///< the side where a pressure is named
  std::string_view zero;
  std::string_view joint;  ///< on the zero line, where a piece begins
};

// There are blocks for every eighth from below, but only three from above.
constexpr Glyphs kBlocks{.up = {" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"},
                         .down = {" ", "▔", "▔", "▀", "▀", "▀", "▀", "█", "█"},
                         .side = "│",
                         .named = "┤",
                         .zero = "─",
                         .joint = "┬"};
constexpr Glyphs kAscii{.up = {" ", " ", ".", ".", ":", ":", ":", "#", "#"},
                        .down = {" ", " ", "'", "'", "'", "'", "'", "#", "#"},
                        .side = "|",
                        .named = "+",
                        .zero = "-",
                        .joint = "+"};

/// A part of the run between two points of its pressure.
struct Stretch {
  double from_pa = 0.0;
  double to_pa = 0.0;
  double length_m = 0.0;  ///< 0: none known
  std::string label;
  bool fan = false;
  std::size_t first = 0;  ///< column
  std::size_t columns = 0;
};

struct Way {
  std::vector<Stretch> stretches;
  std::size_t collar = 0;  ///< index of the stretch that begins at it
  std::string end;         ///< `cap`
};

bool of_the_hood(const study::CheckResult& result, const solve::LedgerRow& row) {
  if (result.run.fan_at_collar || row.piece_index < 0) {
    return false;
  }
  const layout::PieceKind kind =
      result.layout.run.pieces[static_cast<std::size_t>(row.piece_index)].kind;
  return kind == layout::PieceKind::entry || kind == layout::PieceKind::filter ||
         kind == layout::PieceKind::screen;
}

Way way(const study::CheckResult& result) {
  Way all;
  const std::vector<study::ProfilePoint>& points = result.profile;
  if (points.empty()) {
    return all;
  }
  const auto& rows = result.speeds[*result.ledger_speed].ledger->rows;
  double before_pa = rows.front().total_pressure_after_pa + rows.front().loss_pa;
  double before_m = 0.0;
  bool collar_seen = false;
  for (const study::ProfilePoint& point : points) {
    const solve::LedgerRow& row = rows[point.row];
    const bool fan = row.number < 0 && row.piece == "fan";
    // Stack and wind are no places along the run, and a fan at the collar stands before it.
    if (row.number >= 0 || (fan && !all.stretches.empty())) {
      if (!collar_seen && row.number >= 0 && !of_the_hood(result, row)) {
        all.collar = all.stretches.size();
        collar_seen = true;
      }
      Stretch stretch;
      stretch.from_pa = before_pa;
      stretch.to_pa = point.total_pressure_pa;
      stretch.length_m = point.way_m - before_m;
      stretch.label = fan ? "fan" : fmt::format("{}", row.number);
      stretch.fan = fan;
      all.stretches.push_back(std::move(stretch));
      if (row.number >= 0) {
        all.end = row.piece;
      }
    }
    before_pa = point.total_pressure_pa;
    before_m = point.way_m;
  }
  return all;
}

/// Columns for every stretch: its least, or its part of what is left by length where that is more.
/// @return whether they fit
bool divide(std::vector<Stretch>& stretches, std::size_t width) {
  std::vector<std::size_t> least(stretches.size());
  const auto sum = [&] { return std::accumulate(least.begin(), least.end(), std::size_t{0}); };
  for (std::size_t i = 0; i < least.size(); ++i) {
    least[i] = std::max(kUsualLeast, stretches[i].label.size() + 1);
  }
  if (sum() > width) {
    for (std::size_t i = 0; i < least.size(); ++i) {
      least[i] = stretches[i].label.size();
    }
  }
  if (sum() > width) {
    std::fill(least.begin(), least.end(), 1);
  }
  if (sum() > width) {
    return false;
  }
  const bool none_known = std::all_of(
      stretches.begin(), stretches.end(), [](const Stretch& s) { return s.length_m <= 0.0; });
  const auto weight = [&](std::size_t i) { return none_known ? 1.0 : stretches[i].length_m; };
  std::vector<char> fixed(stretches.size());
  for (std::size_t i = 0; i < fixed.size(); ++i) {
    fixed[i] = weight(i) > 0.0 ? 0 : 1;
  }
  double free_columns = 0.0;
  double free_weight = 0.0;
  for (bool changed = true; changed;) {
    changed = false;
    free_columns = static_cast<double>(width);
    free_weight = 0.0;
    for (std::size_t i = 0; i < fixed.size(); ++i) {
      free_columns -= fixed[i] != 0 ? static_cast<double>(least[i]) : 0.0;
      free_weight += fixed[i] != 0 ? 0.0 : weight(i);
    }
    for (std::size_t i = 0; i < fixed.size(); ++i) {
      if (fixed[i] == 0 && free_columns * weight(i) < static_cast<double>(least[i]) * free_weight) {
        fixed[i] = 1;
        changed = true;
      }
    }
  }
  // Rounding the running sum keeps the columns together exactly as wide as the picture.
  double running = 0.0;
  std::size_t given = 0;
  std::size_t first = 0;
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    stretches[i].columns = least[i];
    if (fixed[i] == 0) {
      running += free_columns * weight(i) / free_weight;
      const auto until = static_cast<std::size_t>(std::llround(running));
      stretches[i].columns = until - given;
      given = until;
    }
    stretches[i].first = first;
    first += stretches[i].columns;
  }
  return true;
}

/// The pressure of each column; nothing at the fan, where it jumps.
std::vector<std::optional<double>> pressures(const std::vector<Stretch>& stretches) {
  std::vector<std::optional<double>> out;
  for (const Stretch& stretch : stretches) {
    for (std::size_t i = 0; i < stretch.columns; ++i) {
      if (stretch.fan) {
        out.emplace_back();
        continue;
      }
      const double part = stretch.columns == 1
                              ? 1.0
                              : static_cast<double>(i) / static_cast<double>(stretch.columns - 1);
      out.emplace_back(stretch.from_pa + part * (stretch.to_pa - stretch.from_pa));
    }
  }
  return out;
}

/// How many rows stand above and below the zero line, and what one row holds.
struct Scale {
  double highest_pa = 0.0;  ///< 0: nothing above
  double lowest_pa = 0.0;
  std::size_t up = 0;
  std::size_t down = 0;
  double row_pa = 0.0;
};

Scale scale_of(const std::vector<Stretch>& stretches) {
  Scale scale;
  for (const Stretch& stretch : stretches) {
    scale.highest_pa = std::max({scale.highest_pa, stretch.from_pa, stretch.to_pa});
    scale.lowest_pa = std::min({scale.lowest_pa, stretch.from_pa, stretch.to_pa});
  }
  const double above_pa = scale.highest_pa > -kVisible * scale.lowest_pa ? scale.highest_pa : 0.0;
  const double below_pa = -scale.lowest_pa > kVisible * scale.highest_pa ? -scale.lowest_pa : 0.0;
  for (std::size_t up = 0; up <= kBarRows; ++up) {
    const std::size_t down = kBarRows - up;
    if ((up == 0) != (above_pa == 0.0) || (down == 0) != (below_pa == 0.0)) {
      continue;
    }
    const double row_pa = std::max(up > 0 ? above_pa / static_cast<double>(up) : 0.0,
                                   down > 0 ? below_pa / static_cast<double>(down) : 0.0);
    if (scale.row_pa == 0.0 || row_pa < scale.row_pa) {
      scale.up = up;
      scale.down = down;
      scale.row_pa = row_pa;
    }
  }
  return scale;
}

/// How much of a row is filled, in eighths. @param row from the zero line outward
struct Bar {
  double height_pa = 0.0;
  std::size_t row = 0;
};
std::size_t eighths(const Bar& bar, double row_pa) {
  const double fill = bar.height_pa / row_pa - static_cast<double>(bar.row);
  return static_cast<std::size_t>(std::lround(8.0 * std::clamp(fill, 0.0, 1.0)));
}

/// The row in which the tip of a bar stands.
std::size_t tip_row(double height_pa, double row_pa) {
  const double rows = std::ceil(height_pa / row_pa - 1e-9);
  return rows < 1.0 ? 0 : static_cast<std::size_t>(rows) - 1;
}

std::string without_trailing_spaces(std::string text) {
  text.erase(text.find_last_not_of(' ') + 1);
  return text;
}

class Picture {
 public:
  Picture(const Way& way, const Scale& scale, const TextOptions& options)
      : way_(way),
        scale_(scale),
        glyphs_(options.profile == Profile::ascii ? kAscii : kBlocks),
        system_(options.system),
        picture_width_(std::min(options.width - kMargin, kWidest)) {}

  std::vector<std::string> lines() {
    highest_ = number(scale_.highest_pa);
    lowest_ = number(scale_.lowest_pa);
    label_width_ = 1;
    if (scale_.up > 0) {
      label_width_ = std::max(label_width_, highest_.size());
    }
    if (scale_.down > 0) {
      label_width_ = std::max(label_width_, lowest_.size());
    }
    width_ = picture_width_ - Page::kIndent - label_width_ - 2;
    if (!divide(way_.stretches, width_)) {
      return {};
    }
    columns_ = pressures(way_.stretches);
    std::vector<std::string> out;
    for (std::size_t row = scale_.up; row-- > 0;) {
      const bool named = row == tip_row(scale_.highest_pa, scale_.row_pa);
      out.push_back(bar_row({.row = row, .sign = 1.0, .label = named ? highest_ : ""}));
    }
    out.push_back(zero_line());
    for (std::size_t row = 0; row < scale_.down; ++row) {
      const bool named = row == tip_row(-scale_.lowest_pa, scale_.row_pa);
      out.push_back(bar_row({.row = row, .sign = -1.0, .label = named ? lowest_ : ""}));
    }
    out.push_back(numbers());
    out.push_back(names());
    return out;
  }

 private:
  [[nodiscard]] std::string number(double pressure_pa) const {
    return units::display_number(pressure_pa, Dimension::pressure, system_);
  }

  [[nodiscard]] std::string left(std::string_view label, std::string_view side) const {
    return fmt::format("{}{:>{}} {}", std::string(Page::kIndent, ' '), label, label_width_, side);
  }

  struct Row {
    std::size_t row = 0;
    double sign = 1.0;
    std::string label;
  };
  [[nodiscard]] std::string bar_row(const Row& row) const {
    std::string out = left(row.label, row.label.empty() ? glyphs_.side : glyphs_.named);
    const auto& fill = row.sign > 0.0 ? glyphs_.up : glyphs_.down;
    for (const std::optional<double>& pressure_pa : columns_) {
      const double height_pa = pressure_pa ? row.sign * *pressure_pa : 0.0;
      out += fill[eighths({.height_pa = height_pa, .row = row.row}, scale_.row_pa)];
    }
    return without_trailing_spaces(std::move(out));
  }

  [[nodiscard]] std::string zero_line() const {
    std::string out = left("0", glyphs_.named);
    for (const Stretch& stretch : way_.stretches) {
      for (std::size_t i = 0; i < stretch.columns; ++i) {
        out += i == 0 && stretch.first > 0 ? glyphs_.joint : glyphs_.zero;
      }
    }
    return out;
  }

  /// Under each stretch its number, where there is room beside the one before.
  [[nodiscard]] std::string numbers() const {
    std::string row;
    for (const Stretch& stretch : way_.stretches) {
      const std::size_t spare =
          stretch.columns > stretch.label.size() ? stretch.columns - stretch.label.size() : 0;
      const std::size_t column = stretch.first + spare / 2;
      if (row.empty() || column > row.size()) {
        row.resize(column, ' ');
        row += stretch.label;
      }
    }
    return left("", " ") + row;
  }

  [[nodiscard]] std::string names() const {
    std::string row(way_.stretches[way_.collar].first, ' ');
    row += "collar";
    if (row.size() + way_.end.size() < width_) {
      row.resize(width_ - way_.end.size(), ' ');
      row += way_.end;
    }
    return left("", " ") + row;
  }

  Way way_;
  Scale scale_;
  const Glyphs& glyphs_;
  units::System system_;
  std::size_t picture_width_;
  std::string highest_;
  std::string lowest_;
  std::size_t label_width_ = 0;
  std::size_t width_ = 0;  ///< of the bars
  std::vector<std::optional<double>> columns_;
};

}  // namespace

std::vector<std::string> profile_lines(const study::CheckResult& result,
                                       const TextOptions& options) {
  if (options.profile == Profile::none) {
    return {};
  }
  const Way run = way(result);
  const Scale scale = scale_of(run.stretches);
  return scale.row_pa > 0.0 ? Picture(run, scale, options).lines() : std::vector<std::string>{};
}

void write_profile(Page& page, const study::CheckResult& result) {
  const std::vector<std::string> lines = profile_lines(result, page.options());
  if (lines.empty()) {
    return;
  }
  page.heading(fmt::format("Total pressure along the run, against outdoors, in {}",
                           page.unit(Dimension::pressure)));
  for (const std::string& line : lines) {
    page.line(line);
  }
}

}  // namespace ductledger::text
