#include "picture/signs.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "picture/vector_internal.hpp"

namespace ductledger::picture {
namespace {

using fitting::Sign;
using layout::Piece;
using layout::PieceKind;

/// Draws in the sign's own frame: `along` the air, `across` to its left.
class Pen {
 public:
  Pen(Svg& svg, const SignPlace& at)
      : svg_(svg),
        place_(at),
        across_(square_to(at.flow)),
        accent_(at.emphasized ? " second" : "") {}

  [[nodiscard]] SvgPoint at(double along, double across) const {
    return plus(plus(place_.at, place_.flow, along), across_, across);
  }
  void line(const std::vector<SvgPoint>& points, const char* weight = "line") const {
    svg_.leaf("path", {{"class", weight + accent_}, {"d", svg_path(points)}});
  }
  void face(const std::vector<SvgPoint>& points) const {
    svg_.leaf("path",
              {{"class", "line paper" + accent_}, {"d", svg_path(points, PathEnd::closed)}});
  }
  void ring(const SvgPoint& middle, double radius) const {
    svg_.leaf(
        "circle",
        {{"class", "line paper" + accent_}, {"cx", middle.x}, {"cy", middle.y}, {"r", radius}});
  }
  void dot(const SvgPoint& middle, double radius = 2.4) const {
    svg_.leaf("circle",
              {{"class", "fill" + accent_}, {"cx", middle.x}, {"cy", middle.y}, {"r", radius}});
  }
  void box(double from, double to, double half) const {
    face({at(from, half), at(to, half), at(to, -half), at(from, -half)});
  }
  void arrow(const std::vector<SvgPoint>& points) const {
    line(points);
    const SvgPoint tip = points.back();
    const SvgPoint way = unit(plus(tip, points[points.size() - 2], -1.0));
    const SvgPoint side = square_to(way);
    line({plus(plus(tip, way, -5), side, 4), tip, plus(plus(tip, way, -5), side, -4)});
  }
  [[nodiscard]] const SignPlace& place() const { return place_; }

 private:
  Svg& svg_;
  const SignPlace& place_;
  SvgPoint across_;
  std::string accent_;
};

void damper(const Pen& pen, Sign sign) {
  if (sign == Sign::hand_blade || sign == Sign::motor_blade) {
    pen.line({pen.at(-6, 7), pen.at(6, -7)});
    pen.dot(pen.at(0, 0), 3.0);
    if (sign == Sign::motor_blade) {
      pen.line({pen.at(0, 0), pen.at(0, -10)}, "line thin");
      pen.face({pen.at(-4, -10), pen.at(4, -10), pen.at(4, -17), pen.at(-4, -17)});
    }
    return;
  }
  // Hinged at one side, opening the way the air goes.
  pen.line({pen.at(-4, 9), pen.at(6, -8)});
  pen.dot(pen.at(-4, 9), 3.0);
  if (sign == Sign::weighted_leaf) {
    pen.ring(pen.at(6, -10), 3.5);
  }
}

void entry(const Pen& pen, Sign sign) {
  if (sign == Sign::flare) {
    for (const double side : {1.0, -1.0}) {
      pen.line(
          {pen.at(8, 4 * side), pen.at(1, 5 * side), pen.at(-4, 8 * side), pen.at(-5, 12 * side)});
    }
  } else if (sign == Sign::taper) {
    pen.face({pen.at(-9, 12), pen.at(6, 5), pen.at(6, -5), pen.at(-9, -12)});
  } else if (sign == Sign::blades) {
    pen.box(-4, 4, 11);
    for (const double across : {-6.0, 0.0, 6.0}) {
      pen.line({pen.at(-4, across - 3), pen.at(4, across + 3)}, "line thin");
    }
  } else if (sign == Sign::flange) {
    pen.line({pen.at(-3, 11), pen.at(-3, -11)});
    pen.line({pen.at(-3, 5), pen.at(7, 5)});
    pen.line({pen.at(-3, -5), pen.at(7, -5)});
  } else {
    pen.line({pen.at(-5, 5), pen.at(7, 5)});
    pen.line({pen.at(-5, -5), pen.at(7, -5)});
  }
  pen.arrow({pen.at(-26, 0), pen.at(-12, 0)});
}

void transition(const Pen& pen, const Piece& piece, Sign sign) {
  const bool wider = piece.downstream.area_m2() > piece.upstream.area_m2();
  const bool same = std::abs(piece.downstream.area_m2() - piece.upstream.area_m2()) <
                    0.02 * piece.upstream.area_m2();
  const double before = same ? 6.0 : wider ? 4.0 : 8.0;
  const double after = same ? 6.0 : wider ? 8.0 : 4.0;
  if (sign == Sign::step) {
    pen.box(-7, 0, before);
    pen.box(0, 7, after);
  } else {
    pen.face({pen.at(-8, before), pen.at(8, after), pen.at(8, -after), pen.at(-8, -before)});
  }
  if (piece.downstream.shape() != piece.upstream.shape()) {
    pen.line({pen.at(sign == Sign::step ? -7 : -8, before), pen.at(7, -after)}, "line thin");
  }
}

void filter(const Pen& pen, Sign sign) {
  pen.box(-5, 5, 10);
  if (sign == Sign::grains) {
    for (const double across : {-6.0, 0.0, 6.0}) {
      pen.dot(pen.at(across == 0.0 ? 1.8 : -1.8, across), 1.8);
    }
  } else if (sign == Sign::mesh) {
    for (const double across : {-5.0, 0.0, 5.0}) {
      pen.line({pen.at(-5, across - 4), pen.at(5, across + 4)}, "line thin");
      pen.line({pen.at(-5, across + 4), pen.at(5, across - 4)}, "line thin");
    }
  } else {
    pen.line({pen.at(-4, 9), pen.at(4, 4.5), pen.at(-4, 0), pen.at(4, -4.5), pen.at(-4, -9)},
             "line thin");
  }
}

void junction(const Pen& pen, Sign sign) {
  const double degrees = sign == Sign::joins_30 ? 30.0 : sign == Sign::joins_90 ? 90.0 : 45.0;
  const double angle = degrees * std::numbers::pi / 180.0;
  const double turn = sign == Sign::divides ? 1.0 : -1.0;
  const SvgPoint far = pen.at(turn * 18 * std::cos(angle), -18 * std::sin(angle));
  pen.dot(pen.at(0, 0), 4.0);
  if (sign == Sign::divides) {
    pen.arrow({pen.at(0, 0), far});
  } else {
    pen.arrow({far, pen.at(turn * 5 * std::cos(angle), -5 * std::sin(angle))});
  }
}

/// Where a hood lets the air out: down, where down is seen and the air does not go there already.
std::optional<SvgPoint> spill(const SignPlace& at) {
  if (!at.downward || std::abs(at.flow.x * at.downward->x + at.flow.y * at.downward->y) > 0.95) {
    return std::nullopt;
  }
  return at.downward;
}

void cap(const Pen& pen, Sign sign) {
  if (sign == Sign::rain_cone) {
    pen.line({pen.at(0, 5), pen.at(6, 8)}, "line thin");
    pen.line({pen.at(0, -5), pen.at(6, -8)}, "line thin");
    pen.face({pen.at(6, 13), pen.at(13, 0), pen.at(6, -13)});
  } else if (sign == Sign::blades) {
    pen.box(-3, 4, 11);
    for (const double across : {-6.0, 0.0, 6.0}) {
      pen.line({pen.at(-3, across - 3), pen.at(4, across + 3)}, "line thin");
    }
  } else if (sign == Sign::bars) {
    pen.box(-3, 3, 11);
    for (const double across : {-6.0, -2.0, 2.0, 6.0}) {
      pen.line({pen.at(-3, across), pen.at(3, across)}, "line thin");
    }
  } else if (sign == Sign::eaves) {
    pen.line({pen.at(0, 14), pen.at(0, -14)});
    pen.box(-4, 4, 8);
    pen.line({pen.at(-4, -8), pen.at(4, 8)}, "line thin");
  } else if (sign == Sign::end_flap) {
    pen.line({pen.at(0, 9), pen.at(9, -7)});
    pen.dot(pen.at(0, 9), 3.0);
  } else if (sign == Sign::roof_hood) {
    pen.line({pen.at(-4, 13), pen.at(-4, -13)});
    pen.face({pen.at(-4, 9), pen.at(10, 9), pen.at(10, -9), pen.at(-4, -9)});
    pen.line({pen.at(-4, 3), pen.at(4, -9)}, "line thin");
  } else if (sign == Sign::open_end) {
    pen.line({pen.at(0, 7), pen.at(0, -7)});
  } else {
    // A hood on the wall: a plate, a quarter round, a flap.
    pen.line({pen.at(-4, 13), pen.at(-4, -13)});
    pen.face({pen.at(-4, 8), pen.at(5, 8), pen.at(11, 0), pen.at(11, -8), pen.at(-4, -8)});
    pen.line({pen.at(-2, 6), pen.at(6, -6)}, "line thin");
  }
}

/// The arrows' courses beyond the end.
std::vector<std::vector<SvgPoint>> outflow(Sign sign, const SignPlace& at) {
  const SvgPoint across = square_to(at.flow);
  const auto point = [&](double along, double side) {
    return plus(plus(at.at, at.flow, along), across, side);
  };
  const auto beside = [&](double along, double side, double back) {
    return std::vector<SvgPoint>{point(along, side),
                                 point(along - back, side + (side > 0 ? 12 : -12))};
  };
  if (sign == Sign::rain_cone) {
    return {beside(4, 10, 5), beside(4, -10, 5)};
  }
  const bool hood = sign == Sign::wall_hood || sign == Sign::roof_hood || sign == Sign::blades;
  if (hood && at.downward) {
    if (const auto down = spill(at)) {
      const SvgPoint from = point(14, 0);
      return {{from, plus(plus(from, at.flow, 7), *down, 15)}};
    }
    if (sign == Sign::roof_hood) {
      return {beside(4, 12, 8)};
    }
  }
  const double begin = sign == Sign::open_end ? 7.0 : 13.0;
  return {{point(begin, 0), point(begin + 14, 0)}};
}

LabelBox around_points(const std::vector<SvgPoint>& points, double margin_px) {
  LabelBox box{points[0].x, points[0].y, points[0].x, points[0].y};
  for (const SvgPoint& p : points) {
    box = united(box, p);
  }
  return grown(box, margin_px);
}

}  // namespace

void write_sign(Svg& svg, const Piece& piece, const SignPlace& at) {
  const Sign sign = piece.sign.value_or(Sign::open_end);
  const Pen pen(svg, at);
  switch (piece.kind) {
    case PieceKind::straight:
    case PieceKind::flex:
    case PieceKind::elbow:
      break;
    case PieceKind::damper:
      damper(pen, sign);
      break;
    case PieceKind::entry:
      entry(pen, sign);
      break;
    case PieceKind::transition:
      transition(pen, piece, sign);
      break;
    case PieceKind::screen:
      for (const double across : {-7.5, -2.5, 2.5, 7.5}) {
        pen.line({pen.at(0, across - 1.6), pen.at(0, across + 1.6)});
      }
      break;
    case PieceKind::filter:
      filter(pen, sign);
      break;
    case PieceKind::fan:
      pen.ring(pen.at(0, 0), 9.0);
      pen.line({pen.at(-4, 5), pen.at(7, 0), pen.at(-4, -5), pen.at(-4, 5)});
      break;
    case PieceKind::junction:
      junction(pen, sign);
      break;
    case PieceKind::loss:
      pen.face({pen.at(-8, 0), pen.at(0, 8), pen.at(8, 0), pen.at(0, -8)});
      break;
    case PieceKind::cap:
      cap(pen, sign);
      break;
  }
}

void write_outflow(Svg& svg, Sign sign, const SignPlace& at) {
  const Pen pen(svg, at);
  for (const auto& course : outflow(sign, at)) {
    pen.arrow(course);
  }
}

std::vector<LabelBox> sign_boxes(const Piece& piece, const SignPlace& at) {
  const SvgPoint across = square_to(at.flow);
  const auto box = [&](double from, double to, double left, double right) {
    return around_points({plus(plus(at.at, at.flow, from), across, left),
                          plus(plus(at.at, at.flow, to), across, left),
                          plus(plus(at.at, at.flow, to), across, right),
                          plus(plus(at.at, at.flow, from), across, right)},
                         1.0);
  };
  switch (piece.kind) {
    case PieceKind::straight:
    case PieceKind::flex:
    case PieceKind::elbow:
      return {};
    case PieceKind::cap:
      return {box(-4, 13, 12, -12)};
    case PieceKind::entry:
      return {box(-26, 8, 9, -9)};
    case PieceKind::damper:
      return {piece.sign == Sign::motor_blade || piece.sign == Sign::weighted_leaf
                  ? box(-5, 6, 9, -16)
                  : box(-5, 6, 9, -9)};
    case PieceKind::junction:
      return {box(-10, 6, 5, -16)};
    default:
      return {box(-8, 8, 9, -9)};
  }
}

std::vector<LabelBox> outflow_boxes(Sign sign, const SignPlace& at) {
  std::vector<LabelBox> boxes;
  for (const auto& course : outflow(sign, at)) {
    boxes.push_back(around_points(course, 4.0));
  }
  return boxes;
}

void write_break(Svg& svg, const SignPlace& at) {
  const SvgPoint n = square_to(at.flow);
  const std::string accent = at.emphasized ? " second" : "";
  svg.leaf("path",
           {{"class", "halo gap"},
            {"d", svg_path({plus(at.at, at.flow, -4), plus(at.at, at.flow, 4)})}});
  for (const double along : {-4.0, 4.0}) {
    const SvgPoint c = plus(at.at, at.flow, along);
    svg.leaf("path",
             {{"class", "line thin" + accent},
              {"d",
               svg_path({plus(c, n, 9),
                         plus(plus(c, n, 2), at.flow, -2.5),
                         plus(plus(c, n, -2), at.flow, 2.5),
                         plus(c, n, -9)})}});
  }
}

void write_toward(Svg& svg, const SignPlace& at) {
  const Pen pen(svg, at);
  pen.ring(at.at, 7.0);
  pen.dot(at.at);
}

void write_away(Svg& svg, const SignPlace& at) {
  const Pen pen(svg, at);
  pen.ring(at.at, 7.0);
  pen.line({{at.at.x - 5, at.at.y - 5}, {at.at.x + 5, at.at.y + 5}}, "line thin");
  pen.line({{at.at.x - 5, at.at.y + 5}, {at.at.x + 5, at.at.y - 5}}, "line thin");
}

}  // namespace ductledger::picture
