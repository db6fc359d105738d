#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <iterator>
#include <sstream>
#include <utility>

#include "base/text.hpp"
#include "picture/svg.hpp"
#include "sheet/rough_in_internal.hpp"

namespace ductledger::sheet {
namespace {

using picture::Svg;
using picture::SvgPoint;
using units::Dimension;

constexpr double kPxPerMm = 96.0 / 25.4;  // of CSS
constexpr double kRowMm = 3.5;
constexpr double kTextMm = 2.0;
constexpr double kHeadMm = 2.4;
constexpr std::size_t kMostRows = 24;  ///< of a table; what is beyond is counted
constexpr const char* kBroken =
    "Where a break mark stands, length is left out of the drawing; every figure is the whole one.";
constexpr const char* kShrunk =
    "At no scale does this drawing fit the paper: it is shrunk, measure nothing on it. Every "
    "figure "
    "is the whole one.";
constexpr const char* kCaution =
    "Look for wires, pipes, gas lines and framing before cutting. Local code and the authority "
    "having jurisdiction decide; this sheet is no permit.";

std::vector<std::string> wrapped(const std::string& text, double room_mm) {
  std::vector<std::string> lines{""};
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    std::string longer = lines.back().empty() ? word : lines.back() + ' ' + word;
    if (lines.back().empty() || text_width_mm(longer, kTextMm) <= room_mm) {
      lines.back() = std::move(longer);
    } else {
      lines.push_back(word);
    }
  }
  return lines;
}

/// Of bold text, which is wider than what is estimated.
std::string shortened(std::string text, double height_mm, double room_mm) {
  room_mm /= 1.15;
  if (text_width_mm(text, height_mm) <= room_mm) {
    return text;
  }
  while (!text.empty() && text_width_mm(text + "...", height_mm) > room_mm) {
    text.pop_back();
    while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xC0U) == 0x80U) {
      text.pop_back();
    }
  }
  return text + "...";
}

std::string part_text(const RoughIn& sheet) {
  return sheet.count == 1
             ? sheet.part
             : fmt::format("{}, sheet {} of {}", sheet.part, sheet.number, sheet.count);
}

/// The tables below the drawing, in millimeters from their own top.
class Tables {
 public:
  explicit Tables(const RoughIn& sheet) : sheet_(sheet), paper_(paper_of(sheet.system)) {}

  /// Writes them where a drawing is given. @return their height
  double write(Svg* svg, double top_mm) {
    svg_ = svg;
    y_ = top_mm;
    const double width = paper_.width_mm;
    double lowest = top_mm;
    const auto column = [&](double x, double end, const char* title, const auto& rows) {
      y_ = top_mm;
      head(x, title);
      rows(x, end - 3.0);
      lowest = std::max(lowest, y_);
    };
    column(0.0, 0.31 * width, "Center to center", [&](double x, double end) { lengths(x, end); });
    column(0.31 * width, 0.62 * width, "Duct", [&](double x, double end) {
      list(x, end, sheet_.sections);
    });
    column(0.62 * width, width + 3.0, "To be measured on site", [&](double x, double end) {
      blanks(x, end);
    });
    y_ = lowest + 1.5;
    title_block();
    return y_ - top_mm;
  }

 private:
  void text(double x, const std::string& words, double height_mm = kTextMm, bool strong = false) {
    if (svg_ != nullptr) {
      svg_->text("text",
                 words,
                 {{"x", kPxPerMm * x},
                  {"y", kPxPerMm * y_},
                  {"font-size", picture::svg_number(kPxPerMm * height_mm / 0.72)},
                  {"font-weight", strong ? "650" : "400"}});
    }
  }
  void rule(double x1, double y1, double x2, double y2) {
    if (svg_ != nullptr) {
      svg_->leaf(
          "path",
          {{"class", "line thin quiet"},
           {"d",
            picture::svg_path({{kPxPerMm * x1, kPxPerMm * y1}, {kPxPerMm * x2, kPxPerMm * y2}})}});
    }
  }
  void head(double x, const std::string& words) {
    y_ += kRowMm + 1.0;
    text(x, words, kHeadMm, true);
    y_ += 1.2;
  }

  /// Of the rows those that are written, and how many are not.
  static std::vector<std::string> most(std::vector<std::string> rows) {
    if (rows.size() > kMostRows) {
      const std::size_t more = rows.size() - kMostRows + 1;
      rows.resize(kMostRows - 1);
      rows.push_back(fmt::format("and {} more that find no room here", more));
    }
    return rows;
  }

  void list(double x, double end, const std::vector<std::string>& rows) {
    for (const std::string& row : most(rows)) {
      for (const std::string& line : wrapped(row, end - x)) {
        y_ += kRowMm;
        text(x, line);
      }
    }
  }

  void lengths(double x, double end) {
    std::vector<std::string> rows;
    for (const CenterLength& one : sheet_.lengths) {
      rows.push_back(fmt::format("{} to {}: {}",
                                 one.from,
                                 one.to,
                                 units::display(one.length_m, Dimension::length, sheet_.system)));
    }
    list(x, end, rows);
  }

  void blanks(double x, double end) {
    for (const std::string& blank : most(sheet_.blanks)) {
      y_ += kRowMm + 0.6;
      text(x, blank);
      rule(std::min(x + text_width_mm(blank, kTextMm) + 1.5, end - 12.0), y_ + 0.4, end, y_ + 0.4);
    }
  }

  void title_block() {
    const double right = paper_.width_mm;
    if (sheet_.broken || sheet_.shrunk) {
      y_ += kRowMm;
      text(0.0, sheet_.shrunk ? kShrunk : kBroken);
      y_ += 0.5;
    }
    for (const std::string& line : wrapped(kCaution, right)) {
      y_ += kRowMm - 0.5;
      text(0.0, line);
    }
    const double top = y_ + 1.5;
    const double middle = top + (sheet_.part.empty() ? 7.0 : 11.0);
    const double bottom = middle + 9.5;
    for (const double y : {top, middle, bottom}) {
      rule(0.0, y, right, y);
    }
    for (const double x : {0.0, right}) {
      rule(x, top, x, bottom);
    }
    const std::array<double, 5> cells{0.0, 0.36 * right, 0.56 * right, 0.78 * right, right};
    for (std::size_t i = 1; i + 1 < cells.size(); ++i) {
      rule(cells[i], middle, cells[i], bottom);
    }
    const std::string title = sheet_.title.empty() ? "Rough-in sheet" : sheet_.title;
    y_ = top + 5.0;
    text(2.0, shortened(base::escaped(title), 3.0, right - 4.0), 3.0, true);
    y_ += 4.0;
    text(2.0, shortened(part_text(sheet_), kHeadMm, right - 4.0), kHeadMm);
    const auto cell = [&](std::size_t i, const std::string& name, const std::string& value) {
      y_ = middle + 3.4;
      text(cells[i] + 2.0, name, 1.8);
      y_ = middle + 7.6;
      text(cells[i] + 2.0, shortened(value, kTextMm, cells[i + 1] - cells[i] - 4.0), kTextMm, true);
    };
    cell(0, "file", base::escaped(sheet_.file));
    cell(1, "sha256 begins", sheet_.sha256.substr(0, 16));
    cell(2, "scale, printed at 100 %", sheet_.paper.scale_text);
    cell(3, "date, and who measured", "");
    y_ = bottom;
  }
  const RoughIn& sheet_;
  Paper paper_;
  Svg* svg_ = nullptr;
  double y_ = 0.0;
};

const char* class_of(Layer layer) {
  switch (layer) {
    case Layer::duct:
      return "line";
    case Layer::building:
      return "line";
    case Layer::hole:
      return "line second";
    case Layer::center:
    case Layer::dimension:
    case Layer::note:
      return "line thin quiet";
    case Layer::appliance:
      return "line thin";
  }
  return "line";
}

const char* stroke_of(Stroke stroke) {
  return stroke == Stroke::dashed ? " dashed" : stroke == Stroke::chain ? " dash-dot" : "";
}

/// The views in the upper room of the paper.
class Views {
 public:
  /// @param shrunk the share of its size that a drawing is drawn at
  Views(const Drawing& drawing, const SvgPoint& room, double shrunk)
      : drawing_(drawing),
        box_(extent(drawing)),
        px_per_mm_(kPxPerMm * shrunk),
        per_m_(1000.0 * px_per_mm_ / drawing.scale),
        corner_{(room.x - per_m_ * box_.width()) / 2.0, (room.y - per_m_ * box_.height()) / 2.0} {}

  void write(Svg& svg) const {
    for (const Line& one : drawing_.lines) {
      write(svg, one);
    }
    for (const Circle& one : drawing_.circles) {
      write(svg, one);
    }
    for (const Balloon& one : drawing_.balloons) {
      write(svg, one);
    }
    for (const Text& one : drawing_.texts) {
      write(svg, one);
    }
  }

 private:
  [[nodiscard]] SvgPoint px(const Point& p) const {
    return {corner_.x + per_m_ * (p.x - box_.low.x), corner_.y + per_m_ * (box_.high.y - p.y)};
  }

  void write(Svg& svg, const Line& line) const {
    std::vector<SvgPoint> points;
    for (const Point& point : line.points) {
      points.push_back(px(point));
    }
    svg.leaf("path",
             {{"class", std::string(class_of(line.layer)) + stroke_of(line.stroke)},
              {"d",
               picture::svg_path(
                   points, line.closed ? picture::PathEnd::closed : picture::PathEnd::open)}});
  }

  void write(Svg& svg, const Circle& circle) const {
    const SvgPoint c = px(circle.center);
    svg.leaf("circle",
             {{"class", class_of(circle.layer)},
              {"cx", c.x},
              {"cy", c.y},
              {"r", per_m_ * circle.radius_m}});
  }

  void write(Svg& svg, const Balloon& balloon) const {
    const SvgPoint c = px(balloon.center);
    svg.leaf("circle",
             {{"class", "line thin paper"},
              {"cx", c.x},
              {"cy", c.y},
              {"r", px_per_mm_ * balloon.radius_mm}});
    svg.text("text",
             balloon.text,
             {{"x", c.x},
              {"y", c.y + px_per_mm_ * 0.8},
              {"font-size", picture::svg_number(px_per_mm_ * 2.8)},
              {"text-anchor", "middle"}});
  }

  void write(Svg& svg, const Text& text) const {
    const SvgPoint at = px(text.at);
    svg.text("text",
             text.text,
             {{"class", "halo"},
              {"x", at.x},
              {"y", at.y},
              {"font-size", picture::svg_number(px_per_mm_ * text.height_mm / 0.72)},
              {"text-anchor",
               text.anchor == Anchor::start ? "start"
               : text.anchor == Anchor::end ? "end"
                                            : "middle"}});
  }

  const Drawing& drawing_;
  Box box_;
  double px_per_mm_;
  double per_m_;
  SvgPoint corner_;
};

}  // namespace

double tables_mm(const RoughIn& sheet) { return Tables(sheet).write(nullptr, 0.0) + 3.0; }

std::string numbered(const std::string& name, const RoughIn& sheet) {
  return sheet.number == 1 ? name : fmt::format("{}-{}", name, sheet.number);
}

std::string rough_in_svg(const RoughIn& sheet, const std::string& id) {
  const Paper paper = paper_of(sheet.system);
  const Drawing& drawing = sheet.paper.drawing;
  const double tables = tables_mm(sheet);
  const double room_mm = paper.height_mm - tables;
  const Box box = extent(drawing);
  const double mm_per_m = 1000.0 / drawing.scale;
  const double shrunk = std::min(
      {1.0, room_mm / (mm_per_m * box.height()), paper.width_mm / (mm_per_m * box.width())});
  const double width_px = kPxPerMm * paper.width_mm;
  Svg svg({.width_px = width_px + kPxPerMm,  // half a line's width beyond the frame
           .height_px = kPxPerMm * (room_mm + tables),
           .title = "Rough-in sheet",
           .description = fmt::format(
               "{}Plan and elevation {} with {} holes dimensioned.",
               sheet.part.empty() ? "" : "Of " + sheet.part + ". ",
               sheet.shrunk ? std::string("to no scale") : "at " + sheet.paper.scale_text,
               sheet.holes),
           .id = id,
           .use = picture::PictureUse::page});
  Views(drawing, {width_px, kPxPerMm * room_mm}, shrunk).write(svg);
  Tables(sheet).write(&svg, room_mm + 3.0);
  return svg.finish();
}

}  // namespace ductledger::sheet
