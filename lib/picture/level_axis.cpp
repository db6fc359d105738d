#include <algorithm>
#include <cmath>

#include "picture/level_axis_internal.hpp"
#include "picture/plot.hpp"

namespace ductledger::picture {

void write_level_axis(Svg& svg, const LevelAxis& axis) {
  constexpr double kFontPx = 12.0;
  constexpr double kBetweenPx = 8.0;
  const std::vector<std::string> texts = tick_texts(axis.values);
  const auto text_of = [&](std::size_t i) {
    const std::string sign = axis.differences && axis.values[i] > 1e-9 ? "+" : "";
    return sign + texts[i] + (i + 1 == texts.size() ? " " + axis.unit : "");
  };
  const double last_from = axis.right - text_width_px(text_of(texts.size() - 1), kFontPx);
  double free_from = -1e9;
  for (std::size_t i = 0; i < axis.values.size(); ++i) {
    const double x = axis.at(axis.values[i]);
    const bool zero = axis.differences && std::abs(axis.values[i]) < 1e-9;
    svg.leaf("line",
             {{"class", zero ? "line thin quiet" : "rule"},
              {"x1", x},
              {"y1", axis.top},
              {"x2", x},
              {"y2", axis.bottom}});
    const bool last = i + 1 == axis.values.size();
    const double width = text_width_px(text_of(i), kFontPx);
    const double from = i == 0 ? x : last ? last_from : x - width / 2.0;
    if (!last && (from < free_from || from + width + kBetweenPx > last_from)) {
      continue;
    }
    free_from = from + width + kBetweenPx;
    svg.text("text",
             text_of(i),
             {{"class", "small quiet"},
              {"x", x},
              {"y", axis.bottom + 18.0},
              {"text-anchor",
               i == 0 ? "start"
               : last ? "end"
                      : "middle"}});
  }
}

void write_level_band(Svg& svg, const LevelBand& band, const char* classes) {
  constexpr double kHalfPx = 6.0;
  std::string path = svg_path({{band.from, band.y}, {band.to, band.y}});
  for (const double x : {band.from, band.to}) {
    path += svg_path({{x, band.y - kHalfPx}, {x, band.y + kHalfPx}});
  }
  svg.leaf("path", {{"class", classes}, {"d", path}});
}

double middle_on_sheet(const std::string& text, double x, double width_px) {
  const double half = text_width_px(text, 12.0) * 1.12 / 2.0;
  return std::clamp(x, 2.0 + half, width_px - 2.0 - half);
}

}  // namespace ductledger::picture
