#pragma once

#include <string>
#include <vector>

/// A dimensioned drawing: lines, circles and texts by what they show, at full size. Its views
/// stand beside each other on one plane as they will on the paper; `rough_in_paper.cpp` scales it
/// to a sheet, `dxf.cpp` writes it for other programs.
namespace ductledger::sheet {

/// What an element shows; in a DXF file its layer.
enum class Layer { duct, center, appliance, building, hole, dimension, note };

struct Point {
  double x = 0.0;  ///< [m] to the right
  double y = 0.0;  ///< [m] up the paper
};

enum class Stroke { solid, dashed, chain };

struct Line {
  Layer layer = Layer::duct;
  std::vector<Point> points;
  bool closed = false;
  Stroke stroke = Stroke::solid;
};

struct Circle {
  Layer layer = Layer::duct;
  Point center;
  double radius_m = 0.0;
};

enum class Anchor { start, middle, end };

struct Text {
  Layer layer = Layer::note;
  Point at;                ///< on its base line
  double height_mm = 2.5;  ///< of its capitals, on the paper
  std::string text;
  Anchor anchor = Anchor::start;
};

/// A number in a circle: a piece's of the ledger.
struct Balloon {
  Point center;
  double radius_mm = 2.3;  ///< on the paper
  std::string text;
};

struct Drawing {
  double scale = 1.0;  ///< meters of the building in one meter of paper
  std::vector<Line> lines;
  std::vector<Circle> circles;
  std::vector<Text> texts;
  std::vector<Balloon> balloons;

  /// A length on the paper at full size.
  [[nodiscard]] double paper_m(double mm) const noexcept { return 0.001 * mm * scale; }
};

struct Box {
  Point low;
  Point high;
  [[nodiscard]] double width() const noexcept { return high.x - low.x; }
  [[nodiscard]] double height() const noexcept { return high.y - low.y; }
};
void move(Drawing& drawing, const Point& by);
/// What a drawing covers, its texts by their estimated width.
[[nodiscard]] Box extent(const Drawing& drawing);
/// Estimated width of a text on the paper [mm].
[[nodiscard]] double text_width_mm(const std::string& text, double height_mm);

}  // namespace ductledger::sheet
