#include "sheet/rough_in.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "base/text.hpp"
#include "duct/section.hpp"
#include "layout/piece_number.hpp"
#include "picture/svg.hpp"
#include "sheet/rough_in_internal.hpp"

namespace ductledger::sheet {
namespace {

using units::Dimension;

struct Scale {
  double ratio;
  const char* text;
};
constexpr std::array kMetricScales{Scale{10.0, "1:10"},
                                   Scale{20.0, "1:20"},
                                   Scale{25.0, "1:25"},
                                   Scale{50.0, "1:50"},
                                   Scale{100.0, "1:100"},
                                   Scale{200.0, "1:200"},
                                   Scale{500.0, "1:500"}};
constexpr std::array kInchScales{Scale{8.0, "1-1/2 in = 1 ft"},
                                 Scale{12.0, "1 in = 1 ft"},
                                 Scale{16.0, "3/4 in = 1 ft"},
                                 Scale{24.0, "1/2 in = 1 ft"},
                                 Scale{48.0, "1/4 in = 1 ft"},
                                 Scale{96.0, "1/8 in = 1 ft"},
                                 Scale{192.0, "1/16 in = 1 ft"},
                                 Scale{480.0, "1 in = 40 ft"}};

void move(Drawing& drawing, const Point& by) {
  const auto shift = [&by](Point& p) { p = {p.x + by.x, p.y + by.y}; };
  for (Line& line : drawing.lines) {
    std::ranges::for_each(line.points, shift);
  }
  for (Circle& circle : drawing.circles) {
    shift(circle.center);
  }
  for (Text& text : drawing.texts) {
    shift(text.at);
  }
  for (Balloon& balloon : drawing.balloons) {
    shift(balloon.center);
  }
}

void append(Drawing& to, const Drawing& from) {
  to.lines.insert(to.lines.end(), from.lines.begin(), from.lines.end());
  to.circles.insert(to.circles.end(), from.circles.begin(), from.circles.end());
  to.texts.insert(to.texts.end(), from.texts.begin(), from.texts.end());
  to.balloons.insert(to.balloons.end(), from.balloons.begin(), from.balloons.end());
}

/// Both views one above the other, then side by side.
std::array<Drawing, 2> arranged(const Subject& subject, Sight elevation, double scale) {
  std::array<Drawing, 2> all;
  const Drawing front = drawn_view(subject, elevation, scale);
  const Box b = extent(front);
  for (const bool stacked : {true, false}) {
    // Above each other what lies to the right stays in line, and is measured once.
    const bool shared = stacked && elevation.across == 0;
    const Drawing plan = drawn_view(
        subject, {.name = "Plan", .across = 0, .up = 1, .measured_across = !shared}, scale);
    const Box a = extent(plan);
    Drawing& both = all[stacked ? 0 : 1];
    both.scale = scale;
    const double gap = both.paper_m(5.0);
    Drawing moved = front;
    move(moved,
         stacked ? Point{shared ? 0.0 : a.low.x - b.low.x, a.low.y - gap - b.high.y}
                 : Point{a.high.x + gap - b.low.x, a.low.y - b.low.y});
    append(both, plan);
    append(both, moved);
  }
  return all;
}

std::vector<std::string> blanks(const Subject& subject) {
  std::vector<std::string> list;
  const layout::Layout& layout = subject.parts.layout;
  const auto& at = layout.appliance.collar_at;
  if (!at.above_floor_m) {
    list.emplace_back("collar above finished floor");
  }
  if (!at.from_wall_m) {
    list.emplace_back("collar from the wall behind");
  }
  list.emplace_back("appliance: width, depth, height");
  bool ceiling = false;
  bool roof = false;
  for (const build::Hole& hole : subject.parts.holes) {
    ceiling = ceiling || hole.through == "ceiling";
    roof = roof || hole.through == "roof";
    if (!hole.centre) {
      list.push_back(
          fmt::format("center of the hole in the {}, piece {}", hole.through, hole.piece));
    }
  }
  if (ceiling) {
    list.emplace_back("finished ceiling above floor");
  }
  if (roof) {
    list.emplace_back("slope of the roof");
  }
  if (subject.parts.holes.empty()) {
    list.emplace_back("walls, ceilings, roofs crossed");
  }
  list.emplace_back("framing, wires and pipes at each hole");
  return list;
}

/// Which way a flat section lies; empty for a round or square one.
std::string lies(const layout::Piece& piece, const layout::PlacedPiece& placed) {
  const duct::Section& section = piece.upstream;
  if (section.shape() == duct::Shape::round || section.width_m() == section.height_m()) {
    return {};
  }
  const layout::Direction& w = placed.width_in;
  const std::array<double, 3> size{std::abs(w[0]), std::abs(w[1]), std::abs(w[2])};
  const double most = *std::ranges::max_element(size);
  return most < 0.99       ? ", width aslant"
         : size[0] == most ? ", width left-right"
         : size[1] == most ? ", width front-back"
                           : ", width up-down";
}

std::vector<std::string> section_rows(const Subject& subject) {
  std::vector<std::string> rows;
  std::string before;
  int first = 0;
  int last = 0;
  const auto close = [&] {
    if (!before.empty()) {
      rows.push_back(first == last ? fmt::format("piece {}: {}", first, before)
                                   : fmt::format("pieces {} to {}: {}", first, last, before));
    }
  };
  for (const layout::PlacedPiece& placed : subject.route.pieces) {
    const layout::Piece& piece = subject.parts.layout.run.pieces[placed.piece];
    if (piece.kind != layout::PieceKind::straight && piece.kind != layout::PieceKind::flex) {
      continue;
    }
    const std::string now = duct::to_text(piece.upstream, subject.system) + lies(piece, placed);
    const int number = layout::piece_number(placed.piece);
    if (now != before) {
      close();
      before = now;
      first = number;
    }
    last = number;
  }
  close();
  return rows;
}

}  // namespace

Box extent(const Drawing& drawing) {
  Box box{{1e9, 1e9}, {-1e9, -1e9}};
  const auto take = [&box](double x, double y) {
    box.low = {std::min(box.low.x, x), std::min(box.low.y, y)};
    box.high = {std::max(box.high.x, x), std::max(box.high.y, y)};
  };
  for (const Line& line : drawing.lines) {
    for (const Point& p : line.points) {
      take(p.x, p.y);
    }
  }
  for (const Circle& circle : drawing.circles) {
    take(circle.center.x - circle.radius_m, circle.center.y - circle.radius_m);
    take(circle.center.x + circle.radius_m, circle.center.y + circle.radius_m);
  }
  for (const Text& text : drawing.texts) {
    const double width = drawing.paper_m(text_width_mm(text.text, text.height_mm));
    const double before = text.anchor == Anchor::start ? 0.0
                          : text.anchor == Anchor::end ? width
                                                       : width / 2.0;
    const double height = drawing.paper_m(text.height_mm);
    take(text.at.x - before, text.at.y);
    take(text.at.x - before + width, text.at.y + height);
  }
  for (const Balloon& balloon : drawing.balloons) {
    const double radius = drawing.paper_m(balloon.radius_mm);
    take(balloon.center.x - radius, balloon.center.y - radius);
    take(balloon.center.x + radius, balloon.center.y + radius);
  }
  return box;
}

double text_width_mm(const std::string& text, double height_mm) {
  // A font's size is its capitals' height over 0.72.
  return 1.08 * picture::text_width_px(text, height_mm / 0.72);
}

Paper paper_of(units::System system) noexcept {
  return system == units::System::ip ? Paper{.width_mm = 186.0, .height_mm = 240.0}
                                     : Paper{.width_mm = 180.0, .height_mm = 258.0};
}

std::vector<Node> nodes_of(const Subject& subject) {
  std::vector<Node> nodes{{"collar", {}, {}}};
  const std::vector<layout::Piece>& pieces = subject.parts.layout.run.pieces;
  for (const layout::PlacedPiece& placed : subject.route.pieces) {
    if (pieces[placed.piece].kind == layout::PieceKind::elbow) {
      const int number = layout::piece_number(placed.piece);
      nodes.push_back({fmt::format("elbow {}", number), placed.corner, number});
    }
  }
  const layout::Piece& last = pieces.back();
  nodes.push_back({last.kind == layout::PieceKind::cap
                       ? fmt::format("cap {}", layout::piece_number(pieces.size() - 1))
                       : std::string("the end"),
                   subject.route.outlet,
                   {}});
  return nodes;
}

std::optional<RoughIn> rough_in(const build::PartsResult& parts, units::System system) {
  const auto route = layout::run_geometry(parts.layout);
  if (!route || route->pieces.empty()) {
    return std::nullopt;
  }
  const Subject subject{.parts = parts, .route = *route, .system = system};
  RoughIn sheet;
  sheet.title = parts.layout.title;
  sheet.file = parts.layout.file.substr(parts.layout.file.rfind('/') + 1);
  sheet.sha256 = parts.layout.sha256;
  sheet.holes = parts.holes.size();
  sheet.sections = section_rows(subject);
  sheet.blanks = blanks(subject);
  sheet.system = system;
  const std::vector<Node> nodes = nodes_of(subject);
  for (std::size_t i = 0; i + 1 < nodes.size(); ++i) {
    const layout::Point& a = nodes[i].at;
    const layout::Point& b = nodes[i + 1].at;
    const double length_m = std::hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2]);
    if (length_m > 1e-6) {
      sheet.lengths.push_back({nodes[i].name, nodes[i + 1].name, length_m});
    }
  }
  // The elevation that shows more of the run.
  std::array<double, 2> reach{0.0, 0.0};
  for (const Node& node : nodes) {
    reach = {std::max(reach[0], std::abs(node.at[0])), std::max(reach[1], std::abs(node.at[1]))};
  }
  const Sight elevation = reach[0] >= reach[1]
                              ? Sight{.name = "Elevation from the front", .across = 0, .up = 2}
                              : Sight{.name = "Elevation from the right", .across = 1, .up = 2};
  const Paper paper = paper_of(system);
  const Paper room{.width_mm = paper.width_mm, .height_mm = paper.height_mm - tables_mm(sheet)};
  const auto scales = system == units::System::ip ? std::span<const Scale>(kInchScales)
                                                  : std::span<const Scale>(kMetricScales);
  const auto fits = [&](const Drawing& drawing) {
    const Box box = extent(drawing);
    return 1000.0 * box.width() / drawing.scale <= room.width_mm &&
           1000.0 * box.height() / drawing.scale <= room.height_mm;
  };
  for (const Scale& scale : scales) {
    const std::array<Drawing, 2> all = arranged(subject, elevation, scale.ratio);
    const auto found = std::ranges::find_if(all, fits);
    sheet.drawing = found == all.end() ? all.front() : *found;
    sheet.scale_text = scale.text;
    if (found != all.end()) {
      break;
    }
  }
  return sheet;
}

}  // namespace ductledger::sheet
