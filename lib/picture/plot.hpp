#pragma once

#include <optional>
#include <string>
#include <vector>

#include "picture/svg.hpp"
#include "units/message.hpp"

/// Plots of one quantity over another, readable in greyscale: dashes and marks tell the lines
/// apart, colour only helps.
namespace ductledger::picture {

enum class Tint { ink, quiet, first, second };
enum class Dash { solid, dashed, dotted, dash_dot };
enum class Mark { none, dot, ring, square, diamond, triangle, cross };
enum class AxisScale { linear, logarithmic };

struct PlotAxis {
  std::string title{};  ///< without the unit, which is added
  units::Dimension dimension = units::Dimension::number;
  AxisScale scale = AxisScale::linear;
  /// Ends in SI that the data does not decide; a linear axis of lengths, airflows or pressures
  /// begins at 0 unless told otherwise.
  std::optional<double> lowest{};
  std::optional<double> highest{};
};

struct PlotPoint {
  double x = 0.0;  ///< SI
  double y = 0.0;  ///< SI
  /// What is read here, for a page's hover and keyboard; empty: nothing.
  std::string reading{};
};

struct PlotLine {
  std::string label{};  ///< beside its end, or in the key of a narrow plot; empty: none
  std::vector<PlotPoint> points{};
  Tint tint = Tint::first;
  Dash dash = Dash::solid;
};

/// The area between two lines.
struct PlotBand {
  struct At {
    double x = 0.0;
    double low = 0.0;
    double high = 0.0;
  };
  std::string label{};
  std::vector<At> points{};
  Tint tint = Tint::first;
};

/// Points without a line, such as printed nodes or an operating point.
struct PlotMarks {
  std::string label{};  ///< of all of them, in the key; of a single point beside it
  std::vector<PlotPoint> points{};
  Mark mark = Mark::dot;
  Tint tint = Tint::ink;
};

struct Plot {
  std::string id = "plot";
  std::string title{};
  std::string reading{};  ///< one sentence that says what the plot shows
  PlotAxis x;
  PlotAxis y;
  std::vector<PlotBand> bands{};
  std::vector<PlotLine> lines{};
  std::vector<PlotMarks> marks{};
};

struct PlotOptions {
  units::System system = units::System::ip;
  double width_px = 720.0;  ///< below 520: the narrow variant, labels in a key under the plot
  PictureUse use = PictureUse::file;
};

/// The plot as SVG. Points that are not finite (or not above 0 on a logarithmic axis) part a line
/// and are not drawn. @param plot at least one point that can be drawn
[[nodiscard]] std::string plot_svg(const Plot& plot, const PlotOptions& options = {});

/// Values 1, 2 or 5 times a power of ten apart that cover `low` to `high`, the first at or below
/// `low`, the last at or above `high`. @param about how many intervals are wanted, 2 to 20
struct TickRange {
  double low = 0.0;
  double high = 1.0;
};
[[nodiscard]] std::vector<double> ticks(const TickRange& range, int about);

/// A tick's text with the decimals that its step needs.
[[nodiscard]] std::vector<std::string> tick_texts(const std::vector<double>& values);

/// The one unit of an axis: what to divide SI by, and its name. Lengths up to 1 m are in or mm.
struct AxisUnit {
  double si_per_unit = 1.0;
  double offset_si = 0.0;  ///< of a temperature: (si - offset_si) / si_per_unit
  std::string name{};      ///< empty: no unit
};
struct LengthScale {
  double greatest_si = 0.0;
};
[[nodiscard]] AxisUnit axis_unit(units::Dimension dimension,
                                 units::System system,
                                 const LengthScale& scale = {});

}  // namespace ductledger::picture
