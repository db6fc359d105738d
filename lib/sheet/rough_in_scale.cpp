#include <algorithm>
#include <array>
#include <cmath>
#include <span>
#include <utility>

#include "sheet/rough_in_internal.hpp"

namespace ductledger::sheet {
namespace {

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
                                 Scale{240.0, "1 in = 20 ft"},
                                 Scale{360.0, "1 in = 30 ft"},
                                 Scale{480.0, "1 in = 40 ft"}};

/// Nothing is left out to draw larger than this.
constexpr double kLargeEnough = 25.0;
constexpr double kGapMm = 2.0;           ///< of a break
constexpr double kBesideMm = 7.0;        ///< kept on either side of one
constexpr double kWorthAMm = 20.0;       ///< what is shorter is not left out
constexpr std::size_t kMostBreaks = 12;  ///< in one sheet

void append(Drawing& to, const Drawing& from) {
  to.lines.insert(to.lines.end(), from.lines.begin(), from.lines.end());
  to.circles.insert(to.circles.end(), from.circles.begin(), from.circles.end());
  to.texts.insert(to.texts.end(), from.texts.begin(), from.texts.end());
  to.balloons.insert(to.balloons.end(), from.balloons.begin(), from.balloons.end());
}

/// The elevation that shows more of the run.
Sight elevation_of(const Subject& subject) {
  const std::vector<Node> nodes = nodes_of(subject);
  const layout::Point& start = nodes.front().at;
  std::array<double, 2> reach{0.0, 0.0};
  for (const Node& node : nodes) {
    reach = {std::max(reach[0], std::abs(node.at[0] - start[0])),
             std::max(reach[1], std::abs(node.at[1] - start[1]))};
  }
  return reach[0] >= reach[1] ? Sight{.name = "Elevation from the front", .across = 0, .up = 2}
                              : Sight{.name = "Elevation from the right", .across = 1, .up = 2};
}

/// What has to stay whole along an axis: all but straights that run along it.
std::vector<Kept> kept_along(const Subject& subject, std::size_t axis, double scale) {
  std::vector<Kept> kept;
  const auto around = [&](double a, double b, double half) {
    kept.push_back({std::min(a, b) - half, std::max(a, b) + half});
  };
  const auto size = [](const duct::Section& section) {
    return std::max(section.width_m(), section.height_m());
  };
  around(subject.datum_m(axis), subject.datum_m(axis), 0.0);
  for (const layout::PlacedPiece& placed : subject.route.pieces) {
    const layout::Piece& piece = subject.parts.layout.run.pieces[placed.piece];
    if (piece.kind == layout::PieceKind::straight &&
        std::abs(placed.heading_in[axis]) > 1.0 - 1e-6) {
      around(placed.start[axis], placed.start[axis], 0.0);
      around(placed.end[axis], placed.end[axis], 0.0);
      continue;
    }
    const double half = std::max(size(piece.upstream), size(piece.downstream)) / 2.0;
    around(placed.start[axis], placed.corner[axis], half);
    around(placed.corner[axis], placed.end[axis], half);
  }
  for (const build::Hole& hole : subject.parts.holes) {
    if (hole.centre) {
      around(hole.centre->at_m[axis], hole.centre->at_m[axis], size(hole.size) / 2.0);
    }
  }
  for (const Stub& stub : subject.stubs) {
    const double reach = stub.begins_m + stub_reach_m(stub, scale);
    around(stub.at[axis], stub.at[axis] + reach * stub.way[axis], size(stub.section) / 2.0);
  }
  if (!subject.is_branch() && !subject.is_makeup()) {
    const std::array<double, 2> reach = appliance_reach(subject)[axis];
    around(reach[0], reach[1], 0.0);
  }
  return kept;
}

/// What may be left out at a scale, the longest first.
std::vector<std::pair<std::size_t, Break>> breaks_at(const Subject& subject, double scale) {
  const auto paper_m = [scale](double mm) { return 0.001 * mm * scale; };
  std::vector<std::pair<std::size_t, Break>> found;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    for (const Kept& free : free_between(kept_along(subject, axis, scale), paper_m(kBesideMm))) {
      if (free.to_m - free.from_m > paper_m(kWorthAMm)) {
        found.emplace_back(axis, Break{free.from_m, free.to_m, paper_m(kGapMm)});
      }
    }
  }
  std::ranges::stable_sort(found, [](const auto& a, const auto& b) {
    return a.second.left_out_m() > b.second.left_out_m();
  });
  return found;
}

/// How the plan lies to the elevation.
enum class Placed { above, beside };
constexpr std::array kPlacings{Placed::above, Placed::beside};

/// Both views of a subject at one scale; each is drawn once.
class TwoViews {
 public:
  TwoViews(const Subject& subject, const Sight& elevation, double scale, Labels labels)
      : subject_(subject), elevation_(elevation), scale_(scale), labels_(labels) {}

  [[nodiscard]] Drawing arranged(Placed placed) {
    if (!front_) {
      front_ = drawn_view(subject_, elevation_, scale_, labels_);
    }
    // Above the elevation what lies to the right stays in line, and is measured once.
    const bool shared = placed == Placed::above && elevation_.across == 0;
    Drawing both = plan(!shared);
    Drawing front = *front_;
    const double gap = both.paper_m(5.0);
    const Box a = extent(both);
    const Box b = extent(front);
    move(front,
         placed == Placed::above ? Point{shared ? 0.0 : a.low.x - b.low.x, a.low.y - gap - b.high.y}
                                 : Point{a.high.x + gap - b.low.x, a.low.y - b.low.y});
    append(both, front);
    return both;
  }

 private:
  const Drawing& plan(bool measured_across) {
    if (!plan_ || plan_measured_ != measured_across) {
      plan_ = drawn_view(subject_,
                         {.name = "Plan",
                          .across = 0,
                          .up = 1,
                          .measured_across = measured_across,
                          .breaks = elevation_.breaks},
                         scale_,
                         labels_);
      plan_measured_ = measured_across;
    }
    return *plan_;
  }

  const Subject& subject_;
  const Sight& elevation_;
  double scale_;
  Labels labels_;
  std::optional<Drawing> front_;
  std::optional<Drawing> plan_;
  bool plan_measured_ = false;
};

/// The room that its tables leave.
Paper room_of(const RoughIn& sheet) {
  const Paper paper = paper_of(sheet.system);
  return {.width_mm = paper.width_mm, .height_mm = paper.height_mm - tables_mm(sheet)};
}

bool fits(const Drawing& drawing, const Paper& room) {
  const Box box = extent(drawing);
  return 1000.0 * box.width() / drawing.scale <= room.width_mm &&
         1000.0 * box.height() / drawing.scale <= room.height_mm;
}

/// Nothing where neither arrangement fits.
std::optional<Drawing> fitting(const Subject& subject,
                               const Sight& elevation,
                               double scale,
                               const Paper& room) {
  TwoViews bare(subject, elevation, scale, Labels::left_out);
  TwoViews labelled(subject, elevation, scale, Labels::placed);
  for (const Placed placed : kPlacings) {
    if (!fits(bare.arranged(placed), room)) {
      continue;
    }
    if (Drawing drawing = labelled.arranged(placed); fits(drawing, room)) {
      return drawing;
    }
  }
  return std::nullopt;
}

/// With as few breaks as make it fit.
std::optional<Drawing> broken(const Subject& subject,
                              Sight elevation,
                              double scale,
                              const Paper& room) {
  const auto all = breaks_at(subject, scale);
  for (std::size_t i = 0; i < std::min(all.size(), kMostBreaks); ++i) {
    elevation.breaks.add(all[i].first, all[i].second);
    if (auto drawing = fitting(subject, elevation, scale, room)) {
      return drawing;
    }
  }
  return std::nullopt;
}

}  // namespace

Paper paper_of(units::System system) noexcept {
  return system == units::System::ip ? Paper{.width_mm = 186.0, .height_mm = 240.0}
                                     : Paper{.width_mm = 180.0, .height_mm = 258.0};
}

double stub_reach_m(const Stub& stub, double scale) {
  constexpr double kSizes = 1.6;
  constexpr double kLeastMm = 5.0;
  return std::max(kSizes * std::max(stub.section.width_m(), stub.section.height_m()),
                  0.001 * kLeastMm * scale);
}

void put_drawings(RoughIn& sheet, const Subject& subject) {
  const Sight elevation = elevation_of(subject);
  const auto scales = sheet.system == units::System::ip ? std::span<const Scale>(kInchScales)
                                                        : std::span<const Scale>(kMetricScales);
  const Paper room = room_of(sheet);
  std::optional<Drawing> whole;
  for (auto scale = scales.begin(); !whole && scale != scales.end(); ++scale) {
    whole = fitting(subject, elevation, scale->ratio, room);
    sheet.whole.scale_text = scale->text;
  }
  const bool whole_fits = whole.has_value();
  sheet.whole.drawing = whole ? *std::move(whole)
                              : TwoViews(subject, elevation, scales.back().ratio, Labels::placed)
                                    .arranged(Placed::above);
  sheet.paper = sheet.whole;
  sheet.broken = true;  // its tables then say so
  const Paper less = room_of(sheet);
  for (const Scale& scale : scales) {
    if (scale.ratio >= sheet.whole.drawing.scale) {
      break;
    }
    if (scale.ratio > 0.9 * kLargeEnough) {
      if (auto drawing = broken(subject, elevation, scale.ratio, less)) {
        sheet.paper = {*std::move(drawing), scale.text};
        return;
      }
    }
  }
  sheet.broken = false;
  if (!whole_fits) {
    sheet.shrunk = true;
    sheet.paper.scale_text = "none: shrunk to fit";
  }
}

}  // namespace ductledger::sheet
