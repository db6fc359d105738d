#pragma once

#include <cmath>
#include <cstddef>
#include <limits>
#include <string>
#include <vector>

#include "picture/plot.hpp"

/// A plot in the making: axes in `plot_axis.cpp`, marks and their labels in `plot_marks.cpp`, the
/// rest in `plot.cpp`.
namespace ductledger::picture::plot {

inline constexpr double kNarrowPx = 520.0;
inline constexpr double kFontPx = 13.0;
inline constexpr double kSmallPx = 12.0;
inline constexpr double kLabelGapPx = 17.0;
inline constexpr double kMarkPx = 4.5;
inline constexpr double kKeySamplePx = 30.0;
inline constexpr double kKeyRowPx = 20.0;

[[nodiscard]] const char* tint_class(Tint tint);

/// An axis laid out: from SI to pixels, with its ticks.
class Axis {
 public:
  struct Ends {
    double low = std::numeric_limits<double>::infinity();
    double high = -std::numeric_limits<double>::infinity();
  };

  /// @param about how many ticks are wanted
  Axis(const PlotAxis& axis, Ends si, units::System system, int about);

  void place(double low_px, double high_px) {
    low_px_ = low_px;
    high_px_ = high_px;
  }
  [[nodiscard]] bool can_draw(double si) const {
    return std::isfinite(si) && (!logarithmic_ || shown(si) > 0.0);
  }
  [[nodiscard]] double at(double si) const { return at_shown(shown(si)); }
  [[nodiscard]] double at_shown(double value) const {
    const double share = logarithmic_ ? std::log(value / low_) / std::log(high_ / low_)
                                      : (value - low_) / (high_ - low_);
    return low_px_ + share * (high_px_ - low_px_);
  }
  [[nodiscard]] const std::vector<double>& values() const { return values_; }
  [[nodiscard]] const std::vector<std::string>& texts() const { return texts_; }
  [[nodiscard]] const std::string& unit() const { return unit_.name; }

 private:
  [[nodiscard]] double shown(double si) const { return (si - unit_.offset_si) / unit_.si_per_unit; }

  // Ticks at 1, 2 and 5 of each decade, or the powers of ten alone where they are many.
  void decades(double low, double high);

  bool logarithmic_;
  AxisUnit unit_;
  double low_ = 0.0;
  double high_ = 1.0;
  double low_px_ = 0.0;
  double high_px_ = 1.0;
  std::vector<double> values_;
  std::vector<std::string> texts_;
};
struct Box {
  double left = 0.0;
  double top = 0.0;
  double right = 0.0;
  double bottom = 0.0;
  [[nodiscard]] bool meets(const Box& other) const {
    return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
  }
  [[nodiscard]] bool holds(const SvgPoint& p) const {
    return p.x > left && p.x < right && p.y > top && p.y < bottom;
  }
};

/// The plot in the making.
class Drawing {
 public:
  Drawing(const Plot& plot, const PlotOptions& options)
      : plot_(&plot),
        options_(&options),
        narrow_(options.width_px < kNarrowPx),
        x_(plot.x, ends(plot.x, &PlotPoint::x), options.system, narrow_ ? 4 : 7),
        y_(plot.y, ends(plot.y, &PlotPoint::y), options.system, 5) {
    margins();
  }

  std::string svg();

 private:
  struct KeyRow {
    std::string label;
    const PlotLine* line = nullptr;
    const PlotBand* band = nullptr;
    const PlotMarks* marks = nullptr;
  };

  [[nodiscard]] Axis::Ends ends(const PlotAxis& axis, double PlotPoint::*part) const;
  void margins();
  void axes(Svg& svg) const;
  void bands(Svg& svg) const;
  void lines(Svg& svg);
  void line_labels(Svg& svg);
  void marks(Svg& svg);
  void key(Svg& svg) const;
  void readings(Svg& svg) const;
  void mark(Svg& svg, const SvgPoint& at, Mark shape, Tint tint) const;
  [[nodiscard]] static std::vector<SvgPoint> leader(const SvgPoint& at, const Box& label);
  [[nodiscard]] double crossed(const std::vector<SvgPoint>& leader) const;
  void mark_label(Svg& svg, const SvgPoint& at, const std::string& label);
  [[nodiscard]] SvgPoint pixel(const PlotPoint& p) const { return {x_.at(p.x), y_.at(p.y)}; }
  [[nodiscard]] bool can_draw(const PlotPoint& p) const {
    return x_.can_draw(p.x) && y_.can_draw(p.y);
  }
  [[nodiscard]] double clutter(const Box& box) const;

  const Plot* plot_;
  const PlotOptions* options_;
  bool narrow_;
  Axis x_;
  Axis y_;
  Box area_;
  double height_px_ = 0.0;
  std::vector<KeyRow> key_;
  std::vector<std::vector<SvgPoint>> drawn_;  ///< lines in pixels
  std::vector<Box> taken_;                    ///< labels and marks
};

}  // namespace ductledger::picture::plot
