#include "picture/route.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>
#include <optional>
#include <utility>

#include "base/text.hpp"
#include "document/figures.hpp"
#include "duct/section.hpp"
#include "layout/direction.hpp"
#include "layout/piece_number.hpp"
#include "units/constants.hpp"
#include "words/words.hpp"

namespace ductledger::picture {
namespace {

using layout::Piece;
using layout::PieceKind;
using units::Dimension;

constexpr double kNarrowPx = 520.0;
constexpr double kLabelPx = 13.0;
constexpr double kSmallPx = 12.0;
constexpr double kBalloonPx = 10.0;   ///< radius of a number's circle
constexpr double kFittingPx = 22.0;   ///< room of a piece without a stated length
constexpr double kShortestPx = 26.0;  ///< a straight shorter than this takes the scale away
constexpr double kSeenPx = 0.2;       ///< a direction foreshortened more than this is seen end-on

SvgPoint plus(const SvgPoint& a, const SvgPoint& b, double times = 1.0) {
  return {a.x + times * b.x, a.y + times * b.y};
}
double norm(const SvgPoint& a) { return std::hypot(a.x, a.y); }
SvgPoint unit(const SvgPoint& a) {
  const double n = norm(a);
  return n > 1e-9 ? SvgPoint{a.x / n, a.y / n} : SvgPoint{1.0, 0.0};
}
SvgPoint square_to(const SvgPoint& a) { return {-a.y, a.x}; }

/// Where the three axes point on the paper.
struct Eye {
  SvgPoint right;
  SvgPoint back;
  SvgPoint up;
};
SvgPoint projected(const layout::Direction& d, const Eye& eye) {
  return {d[0] * eye.right.x + d[1] * eye.back.x + d[2] * eye.up.x,
          d[0] * eye.right.y + d[1] * eye.back.y + d[2] * eye.up.y};
}

/// One piece on the paper.
struct Drawn {
  const Piece* piece = nullptr;
  const solve::LedgerRow* row = nullptr;  ///< nothing where nothing is calculated
  int number = 0;
  SvgPoint start;
  SvgPoint corner;
  SvgPoint end;
  bool bends = false;
  double toward = 0.0;  ///< seen end-on: 1 toward the reader, -1 away; else 0
  bool mitred = false;
  /// Of what is drawn: an elbow with a radius is an arc whose middle lies inside its corner.
  [[nodiscard]] SvgPoint middle() const {
    const double weight = !bends ? 0.0 : mitred ? 1.0 : 0.5;
    return {weight * corner.x + (1.0 - weight) * (start.x + end.x) / 2.0,
            weight * corner.y + (1.0 - weight) * (start.y + end.y) / 2.0};
  }
};

struct LabelText {
  int number = 0;  ///< 0: no circle
  std::vector<std::string> lines;
  bool strong = false;
};

std::string hyphenless(std::string text) {
  std::replace(text.begin(), text.end(), '-', ' ');
  return text;
}

class Route {
 public:
  Route(const study::CheckResult& result, const RouteOptions& options)
      : result_(result), options_(options), narrow_(options.width_px < kNarrowPx) {
    collect_rows();
  }

  RoutePicture draw() {
    picture_.schematic = !result_.route;
    titles();
    if (picture_.schematic) {
      draw_strip();
    } else {
      draw_in_space();
    }
    return std::move(picture_);
  }

 private:
  // --- what is said --------------------------------------------------------------------------

  void collect_rows() {
    rows_.assign(pieces().size(), nullptr);
    if (!result_.ledger_speed || !result_.speeds[*result_.ledger_speed].ledger) {
      return;
    }
    const solve::Ledger& ledger = *result_.speeds[*result_.ledger_speed].ledger;
    costliest_ = document::costliest(ledger);
    for (const solve::LedgerRow& row : ledger.rows) {
      if (row.piece_index >= 0 && row.number > 0) {
        rows_[static_cast<std::size_t>(row.piece_index)] = &row;
      }
    }
  }

  [[nodiscard]] const std::vector<Piece>& pieces() const { return result_.layout.run.pieces; }
  [[nodiscard]] std::string show(double si, Dimension dimension) const {
    return units::display(si, dimension, options_.system);
  }
  [[nodiscard]] std::string section(const duct::Section& section) const {
    return duct::to_text(section, options_.system);
  }
  [[nodiscard]] bool is_costliest(const solve::LedgerRow* row) const {
    return row != nullptr && row == costliest_;
  }

  [[nodiscard]] std::string name_of(const Piece& piece, const solve::LedgerRow* row) const {
    const std::string kind = layout::word(piece.kind);
    const std::string type = row != nullptr && !row->type.empty() ? row->type : piece.type;
    switch (piece.kind) {
      case PieceKind::straight: {
        const std::string length = show(piece.length_m.value_or(0.0), Dimension::length);
        return piece.through.empty() ? length : length + ", " + hyphenless(piece.through);
      }
      case PieceKind::flex:
        return "flex " + show(piece.length_m.value_or(0.0), Dimension::length);
      case PieceKind::elbow:
        return fmt::format("{} elbow",
                           units::display(piece.angle_rad, Dimension::angle, options_.system));
      case PieceKind::transition:
        return "to " + section(piece.downstream);
      case PieceKind::loss:
        return piece.note.empty() ? kind : shortened_note(piece.note);
      default:
        return words::piece_name(kind, type);
    }
  }
  static std::string shortened_note(const std::string& note) {
    constexpr std::size_t kMost = 24;
    const std::string text = base::escaped(note);
    return base::character_count(text) <= kMost ? text : text.substr(0, kMost - 3) + "...";
  }

  [[nodiscard]] LabelText label_of(const Drawn& drawn, std::size_t index) const {
    LabelText label;
    label.number = drawn.number;
    label.strong = is_costliest(drawn.row);
    if (narrow_) {
      return label;
    }
    label.lines.push_back(name_of(*drawn.piece, drawn.row));
    std::string second;
    const bool new_section =
        drawn.piece->kind == PieceKind::straight || drawn.piece->kind == PieceKind::flex;
    if (new_section && (index == 0 || !(pieces()[index - 1].upstream == drawn.piece->upstream) ||
                        first_length_ == index)) {
      second = section(drawn.piece->upstream);
    }
    if (drawn.row != nullptr && drawn.number > 0) {
      const std::string share = show(drawn.row->share, Dimension::ratio);
      second += (second.empty() ? "" : ", ") + share + (label.strong ? " of the loss" : "");
    }
    if (!second.empty()) {
      label.lines.push_back(second);
    }
    if (drawn.piece->kind == PieceKind::cap || index + 1 == pieces().size()) {
      if (const std::string rise = rise_words(); !rise.empty()) {
        label.lines.push_back(rise);
      }
    }
    return label;
  }

  [[nodiscard]] std::string rise_words() const {
    if (!result_.route) {
      return {};
    }
    const double rise_m = result_.route->outlet[2];
    if (std::abs(rise_m) < 0.005) {
      return "level with the collar";
    }
    return show(std::abs(rise_m), Dimension::length) +
           (rise_m > 0.0 ? " above the collar" : " below the collar");
  }

  void titles() {
    const char* kind = picture_.schematic                      ? "Schematic"
                       : options_.view == RouteView::plan      ? "Plan"
                       : options_.view == RouteView::elevation ? "Elevation"
                                                               : "Isometric drawing";
    picture_.title = fmt::format("{} of the run", kind);
    std::string way = fmt::format("{} pieces from the collar", pieces().size());
    if (result_.route) {
      way += fmt::format(", {} along the centerline, ending {}",
                         show(result_.route->length_m, Dimension::length),
                         rise_words());
    } else {
      way += "; headings are not known, so directions and lengths are not drawn";
    }
    if (costliest_ != nullptr && costliest_->number > 0) {
      way += fmt::format("; largest loss: {}, {}",
                         words::row_name(*costliest_),
                         show(costliest_->share, Dimension::ratio));
    }
    picture_.reading = way + ".";
  }

  // --- in space ------------------------------------------------------------------------------

  [[nodiscard]] Eye eye_for(RouteView view) const {
    const double c = std::cos(std::numbers::pi / 6.0);
    const double s = std::sin(std::numbers::pi / 6.0);
    switch (view) {
      case RouteView::plan:
        return {{1, 0}, {0, -1}, {0, 0}};
      case RouteView::elevation: {
        // From the front, or from the right side where that shows more.
        double across_m = 0.0;
        double deep_m = 0.0;
        for (const layout::PlacedPiece& placed : result_.route->pieces) {
          across_m = std::max(across_m, std::abs(placed.end[0]));
          deep_m = std::max(deep_m, std::abs(placed.end[1]));
        }
        return across_m >= deep_m ? Eye{{1, 0}, {0, 0}, {0, -1}} : Eye{{0, 0}, {1, 0}, {0, -1}};
      }
      case RouteView::isometric:
        break;
    }
    const Eye from_right{{c, s}, {c, -s}, {0, -1}};
    const Eye from_left{{c, -s}, {-c, -s}, {0, -1}};
    eye_ = from_right;
    const int right = crossings(1.0);
    eye_ = from_left;
    return crossings(1.0) < right ? from_left : from_right;
  }

  /// How often the line crosses itself on the paper.
  [[nodiscard]] int crossings(double px_per_m) const {
    std::vector<Drawn> drawn = laid_out([px_per_m](double m) { return px_per_m * m; }, 0.0);
    const std::vector<LabelSegment> lines = segments_of(drawn);
    int count = 0;
    for (std::size_t j = 0; j < lines.size(); ++j) {
      for (std::size_t i = 0; i + 1 < j; ++i) {
        const LabelBox at{lines[i].from.x - 0.02,
                          lines[i].from.y - 0.02,
                          lines[i].from.x + 0.02,
                          lines[i].from.y + 0.02};
        count += crossed(lines[i], lines[j]) || meets(lines[j], at) ? 1 : 0;
      }
    }
    return count;
  }
  static bool crossed(const LabelSegment& a, const LabelSegment& b) {
    const auto side = [](const LabelSegment& s, const SvgPoint& p) {
      return (s.to.x - s.from.x) * (p.y - s.from.y) - (s.to.y - s.from.y) * (p.x - s.from.x);
    };
    return side(a, b.from) * side(a, b.to) <= 0.0 && side(b, a.from) * side(b, a.to) <= 0.0;
  }

  using Scale = std::function<double(double)>;

  /// The pieces on the paper, the collar at the origin. @param room_px of pieces without a length
  [[nodiscard]] std::vector<Drawn> laid_out(const Scale& px_of, double room_px) const {
    std::vector<Drawn> all;
    SvgPoint at{0.0, 0.0};
    for (const layout::PlacedPiece& placed : result_.route->pieces) {
      const Piece& piece = pieces()[placed.piece];
      Drawn drawn;
      drawn.piece = &piece;
      drawn.row = rows_[placed.piece];
      drawn.number = layout::piece_number(placed.piece);
      drawn.start = at;
      const SvgPoint in = projected(placed.heading_in, eye_);
      const SvgPoint out = projected(placed.heading_out, eye_);
      if (piece.kind == PieceKind::elbow) {
        drawn.bends = true;
        drawn.mitred = placed.mitered;
        drawn.corner = plus(at, in, px_of(placed.legs_m[0]));
        at = plus(drawn.corner, out, px_of(placed.legs_m[1]));
      } else {
        const double length_m = piece.length_m.value_or(0.0);
        if (norm(in) < kSeenPx) {
          drawn.toward = toward_reader(placed.heading_in);
        } else if (length_m > 0.0) {
          at = plus(at, in, px_of(length_m));
        } else {
          at = plus(at, unit(in), room_px);
        }
        drawn.corner = drawn.start;
      }
      drawn.end = at;
      all.push_back(drawn);
    }
    return all;
  }

  [[nodiscard]] double toward_reader(const layout::Direction& heading) const {
    // Seen from above a rising duct comes toward the reader; from the front or the right side one
    // that heads that way.
    if (options_.view == RouteView::plan) {
      return heading[2] > 0.0 ? 1.0 : -1.0;
    }
    return norm(eye_.back) < kSeenPx ? (heading[1] < 0.0 ? 1.0 : -1.0)
                                     : (heading[0] > 0.0 ? 1.0 : -1.0);
  }

  static LabelBox extent(const std::vector<Drawn>& drawn) {
    LabelBox box;
    const auto take = [&box](const SvgPoint& p) {
      box.left = std::min(box.left, p.x);
      box.right = std::max(box.right, p.x);
      box.top = std::min(box.top, p.y);
      box.bottom = std::max(box.bottom, p.y);
    };
    for (const Drawn& one : drawn) {
      take(one.start);
      take(one.corner);
      take(one.end);
    }
    return box;
  }

  static std::vector<LabelSegment> segments_of(const std::vector<Drawn>& drawn) {
    std::vector<LabelSegment> lines;
    const auto add = [&lines](const SvgPoint& a, const SvgPoint& b) {
      if (std::hypot(b.x - a.x, b.y - a.y) > 1e-6) {
        lines.push_back({a, b});
      }
    };
    for (const Drawn& one : drawn) {
      if (one.bends) {
        add(one.start, one.corner);
        add(one.corner, one.end);
      } else {
        add(one.start, one.end);
      }
    }
    return lines;
  }

  /// The largest factor for which the run fits.
  template <class Lay>
  [[nodiscard]] static double fitted(const Lay& lay,
                                     double most,
                                     double width_px,
                                     double height_px) {
    double low = 0.0;
    double high = most;
    for (int i = 0; i < 40; ++i) {
      const double middle = i == 0 ? most : (low + high) / 2.0;
      const LabelBox box = extent(lay(middle));
      if (box.right - box.left <= width_px && box.bottom - box.top <= height_px) {
        low = middle;
        if (i == 0) {
          break;
        }
      } else {
        high = middle;
      }
    }
    return low;
  }

  [[nodiscard]] std::vector<Drawn> scaled() {
    const double width_px = options_.width_px - (narrow_ ? 90.0 : 260.0);
    // A long list of pieces needs room for its labels.
    const double many = std::min(12.0, std::max(0.0, static_cast<double>(pieces().size()) - 8.0));
    const double height_px = (narrow_ ? 300.0 : 330.0) + 16.0 * many;
    const auto to_scale = [&](double px_per_m) {
      return laid_out([px_per_m](double m) { return px_per_m * m; }, kFittingPx);
    };
    px_per_m_ = fitted(to_scale, 150.0, width_px, height_px);
    picture_.to_scale = true;
    for (const layout::PlacedPiece& placed : result_.route->pieces) {
      const Piece& piece = pieces()[placed.piece];
      const double seen = norm(projected(placed.heading_in, eye_));
      const double length_m = piece.length_m.value_or(0.0);
      if (length_m > 0.0 && seen > kSeenPx && px_per_m_ * length_m * seen < kShortestPx) {
        picture_.to_scale = false;
      }
    }
    if (picture_.to_scale) {
      return to_scale(px_per_m_);
    }
    const auto free = [&](double px_per_root_m) {
      return laid_out(
          [px_per_root_m](double m) {
            return m > 0.0 ? kShortestPx / 2.0 + px_per_root_m * std::sqrt(m) : 0.0;
          },
          kFittingPx);
    };
    const double px_per_root_m = fitted(free, 60.0, width_px, height_px);
    return free(std::max(px_per_root_m, 16.0));
  }

  void draw_in_space() {
    eye_ = eye_for(options_.view);
    std::vector<Drawn> drawn = scaled();
    for (std::size_t i = 0; i < pieces().size() && !first_length_; ++i) {
      if (pieces()[i].length_m.value_or(0.0) > 0.0) {
        first_length_ = i;
      }
    }
    LabelScene scene;
    scene.lines = segments_of(drawn);
    scene.symbols = symbol_boxes(drawn);
    const LabelBox run = extent(drawn);
    const double margin_px = narrow_ ? 34.0 : 128.0;
    scene.area = {run.left - margin_px, run.top - 46.0, run.right + margin_px, run.bottom + 46.0};

    std::vector<LabelText> texts;
    std::vector<LabelWanted> wanted;
    const auto want = [&](LabelText text, const SvgPoint& anchor) {
      LabelWanted label;
      label.anchor = anchor;
      label.width_px = width_of(text);
      label.height_px = height_of(text);
      wanted.push_back(label);
      texts.push_back(std::move(text));
    };
    for (std::size_t i = 0; i < drawn.size(); ++i) {
      LabelText text = label_of(drawn[i], i);
      if (text.number > 0 || !text.lines.empty()) {
        want(std::move(text), drawn[i].middle());
      }
    }
    want(collar_label(), collar_middle(drawn));
    const std::vector<LabelPlaced> placed = place_labels(scene, wanted);

    // The paper: all of it, the footer below.
    LabelBox whole = run;
    const auto take = [&whole](const LabelBox& box) {
      whole.left = std::min(whole.left, box.left);
      whole.right = std::max(whole.right, box.right);
      whole.top = std::min(whole.top, box.top);
      whole.bottom = std::max(whole.bottom, box.bottom);
    };
    for (const LabelPlaced& place : placed) {
      take(place.box);
    }
    for (const LabelBox& symbol : scene.symbols) {
      take(symbol);
    }
    constexpr double kMarginPx = 12.0;
    const double wide = whole.right - whole.left + 2.0 * kMarginPx;
    const double paper_px = std::max(options_.width_px, wide);
    const SvgPoint shift{(paper_px - wide) / 2.0 + kMarginPx - whole.left, kMarginPx - whole.top};
    const double footer_top = whole.bottom + shift.y + 14.0;
    const std::vector<std::string> notes = footer_notes();
    const double footer_px =
        std::max(86.0, 22.0 + 17.0 * static_cast<double>(notes.size()) + (narrow_ ? 70.0 : 0.0));

    Svg svg({.width_px = paper_px,
             .height_px = footer_top + footer_px,
             .title = picture_.title,
             .description = picture_.reading,
             .id = options_.id,
             .use = options_.use});
    for (Drawn& one : drawn) {
      one.start = plus(one.start, shift);
      one.corner = plus(one.corner, shift);
      one.end = plus(one.end, shift);
    }
    write_leaders(svg, placed, shift);
    write_run(svg, drawn);
    write_labels(svg, placed, texts, shift);
    write_footer(svg, {14.0, footer_top}, notes, paper_px);
    picture_.svg = svg.finish();
    picture_.lines = segments_of(drawn);
  }

  [[nodiscard]] LabelText collar_label() const {
    LabelText label;
    const auto& appliance = result_.layout.appliance;
    label.lines.push_back(narrow_                 ? "collar"
                          : appliance.kind_stated ? hyphenless(layout::word(appliance.kind))
                                                  : std::string("appliance"));
    if (!narrow_) {
      label.lines.push_back("collar " + section(appliance.collar
                                                    ? *appliance.collar
                                                    : result_.layout.run.first_section));
    }
    return label;
  }

  [[nodiscard]] static SvgPoint first_way(const std::vector<Drawn>& drawn) {
    for (const Drawn& one : drawn) {
      const SvgPoint& to =
          one.bends && norm(plus(one.corner, one.start, -1.0)) > 1e-6 ? one.corner : one.end;
      const SvgPoint way = plus(to, one.start, -1.0);
      if (norm(way) > 1e-6) {
        return unit(way);
      }
    }
    return {0.0, -1.0};
  }
  [[nodiscard]] static SvgPoint collar_middle(const std::vector<Drawn>& drawn) {
    return plus(drawn.front().start, first_way(drawn), -10.0);
  }
  /// The way the last piece goes on the paper.
  [[nodiscard]] static SvgPoint last_way(const std::vector<Drawn>& drawn) {
    for (auto one = drawn.rbegin(); one != drawn.rend(); ++one) {
      const SvgPoint& from =
          one->bends && norm(plus(one->end, one->corner, -1.0)) > 1e-6 ? one->corner : one->start;
      const SvgPoint way = plus(one->end, from, -1.0);
      if (norm(way) > 1e-6) {
        return unit(way);
      }
    }
    return {0.0, -1.0};
  }

  static LabelBox around(const SvgPoint& at, double half_px) {
    return {at.x - half_px, at.y - half_px, at.x + half_px, at.y + half_px};
  }

  [[nodiscard]] std::vector<LabelBox> symbol_boxes(const std::vector<Drawn>& drawn) const {
    std::vector<LabelBox> boxes;
    boxes.push_back(around(collar_middle(drawn), 13.0));
    for (const Drawn& one : drawn) {
      const bool has_symbol =
          one.piece->kind != PieceKind::straight && one.piece->kind != PieceKind::elbow;
      if (has_symbol || one.toward != 0.0) {
        boxes.push_back(around(one.middle(), 9.0));
      }
    }
    if (drawn.back().toward == 0.0) {
      boxes.push_back(around(plus(drawn.back().end, last_way(drawn), 12.0), 10.0));
    }
    return boxes;
  }
  [[nodiscard]] double width_of(const LabelText& text) const {
    double widest = 0.0;
    for (std::size_t i = 0; i < text.lines.size(); ++i) {
      widest = std::max(widest, text_width_px(text.lines[i], i == 0 ? kLabelPx : kSmallPx));
    }
    const double balloon = text.number > 0 ? 2.0 * kBalloonPx : 0.0;
    const double gap = balloon > 0.0 && widest > 0.0 ? 6.0 : 0.0;
    // Fonts differ from what was estimated.
    return balloon + gap + 1.08 * widest;
  }
  [[nodiscard]] double height_of(const LabelText& text) const {
    return std::max(2.0 * kBalloonPx, 16.0 * static_cast<double>(text.lines.size()) + 2.0);
  }

  void write_leaders(Svg& svg, const std::vector<LabelPlaced>& placed, const SvgPoint& shift) {
    for (const LabelPlaced& place : placed) {
      const LabelSegment leader{plus(place.leader.from, shift), plus(place.leader.to, shift)};
      picture_.leaders.push_back(leader);
      const SvgPoint way = plus(leader.to, leader.from, -1.0);
      if (norm(way) < 10.0) {
        continue;  // close enough to speak for itself
      }
      svg.leaf(
          "path",
          {{"class", "line thin quiet"},
           {"d", svg_path({plus(leader.from, unit(way), 4.0), plus(leader.to, unit(way), -3.0)})}});
    }
  }

  /// Left of what it speaks of a label ends with its number, elsewhere it begins with it.
  void write_label(Svg& svg, const LabelText& text, const LabelBox& box, const bool ends_there) {
    double x = ends_there ? box.right : box.left;
    if (text.number > 0) {
      const SvgPoint middle{ends_there ? box.right - kBalloonPx : box.left + kBalloonPx,
                            box.top + kBalloonPx};
      svg.leaf("circle",
               {{"class", text.strong ? "line thin paper second" : "line thin paper"},
                {"cx", middle.x},
                {"cy", middle.y},
                {"r", kBalloonPx - 0.6}});
      svg.text("text",
               fmt::format("{}", text.number),
               {{"class", text.strong ? "small strong second" : "small"},
                {"x", middle.x},
                {"y", middle.y + 4.2},
                {"text-anchor", "middle"}});
      x += (ends_there ? -1.0 : 1.0) * (2.0 * kBalloonPx + 6.0);
    }
    double y = box.top + 14.5;
    for (std::size_t i = 0; i < text.lines.size(); ++i) {
      const bool first = i == 0;
      svg.text("text",
               text.lines[i],
               {{"class", first ? (text.strong ? "label strong second" : "label") : "small quiet"},
                {"x", x},
                {"y", y},
                {"text-anchor", ends_there ? "end" : "start"}});
      y += 16.0;
    }
  }

  void write_labels(Svg& svg,
                    const std::vector<LabelPlaced>& placed,
                    const std::vector<LabelText>& texts,
                    const SvgPoint& shift) {
    for (std::size_t i = 0; i < placed.size(); ++i) {
      LabelBox box = placed[i].box;
      box = {box.left + shift.x, box.top + shift.y, box.right + shift.x, box.bottom + shift.y};
      picture_.labels.push_back(box);
      write_label(svg, texts[i], box, placed[i].box.right <= placed[i].leader.from.x);
    }
  }

  // --- the line and its symbols --------------------------------------------------------------

  void stroke(Svg& svg, const std::vector<SvgPoint>& points, const char* classes) const {
    svg.leaf("path", {{"class", classes}, {"d", svg_path(points)}});
  }

  void write_run(Svg& svg, const std::vector<Drawn>& drawn) const {
    write_collar(svg, drawn);
    for (std::size_t i = 0; i < drawn.size(); ++i) {
      const Drawn& one = drawn[i];
      const std::string classes = is_costliest(one.row) ? "line run second" : "line run";
      if (one.toward != 0.0) {
        continue;
      }
      if (one.bends) {
        write_bend(svg, one, classes);
      } else if (one.piece->kind == PieceKind::flex) {
        write_flex(svg, one, classes);
      } else {
        stroke(svg, {one.start, one.end}, classes.c_str());
      }
      const bool joint = i > 0 && !one.bends && !drawn[i - 1].bends &&
                         one.piece->kind == PieceKind::straight &&
                         drawn[i - 1].piece->kind == PieceKind::straight;
      if (joint) {
        const SvgPoint across = square_to(unit(plus(one.end, one.start, -1.0)));
        stroke(svg, {plus(one.start, across, 5.0), plus(one.start, across, -5.0)}, "line thin");
      }
    }
    for (const Drawn& one : drawn) {
      write_symbol(svg, one);
    }
    write_outlet(svg, drawn);
  }

  void write_collar(Svg& svg, const std::vector<Drawn>& drawn) const {
    const SvgPoint u = first_way(drawn);
    const SvgPoint n = square_to(u);
    const SvgPoint at = drawn.front().start;
    const SvgPoint behind = plus(at, u, -17.0);
    svg.leaf(
        "path",
        {{"class", "line paper"},
         {"d",
          svg_path(
              {plus(at, n, 6.0), plus(behind, n, 13.0), plus(behind, n, -13.0), plus(at, n, -6.0)},
              PathEnd::closed)}});
  }

  /// An arc where the elbow has a radius, a corner where it is mitred.
  static void write_bend(Svg& svg, const Drawn& one, const std::string& classes) {
    std::string path = svg_path({one.start});
    if (one.mitred) {
      path = svg_path({one.start, one.corner, one.end});
    } else {
      path += fmt::format("Q{} {} {} {}",
                          svg_number(one.corner.x),
                          svg_number(one.corner.y),
                          svg_number(one.end.x),
                          svg_number(one.end.y));
    }
    svg.leaf("path", {{"class", classes}, {"d", path}});
  }

  void write_flex(Svg& svg, const Drawn& one, const std::string& classes) const {
    const SvgPoint way = plus(one.end, one.start, -1.0);
    const double length_px = norm(way);
    const SvgPoint u = unit(way);
    const SvgPoint n = square_to(u);
    const int waves = std::max(2, static_cast<int>(length_px / 12.0));
    std::vector<SvgPoint> points{one.start};
    for (int i = 0; i < waves; ++i) {
      const double along = length_px * (i + 0.5) / waves;
      points.push_back(plus(plus(one.start, u, along), n, i % 2 == 0 ? 4.0 : -4.0));
    }
    points.push_back(one.end);
    stroke(svg, points, classes.c_str());
  }

  void write_symbol(Svg& svg, const Drawn& one) const {
    const SvgPoint c = one.middle();
    const SvgPoint way = plus(one.end, one.start, -1.0);
    const SvgPoint u = unit(way);
    const SvgPoint n = square_to(u);
    const char* line = is_costliest(one.row) ? "line second" : "line";
    const char* face = is_costliest(one.row) ? "line paper second" : "line paper";
    if (one.toward != 0.0) {
      svg.leaf("circle", {{"class", face}, {"cx", c.x}, {"cy", c.y}, {"r", 7.0}});
      if (one.toward > 0.0) {
        svg.leaf("circle", {{"class", "fill"}, {"cx", c.x}, {"cy", c.y}, {"r", 2.2}});
      } else {
        stroke(svg, {{c.x - 5, c.y - 5}, {c.x + 5, c.y + 5}}, "line thin");
        stroke(svg, {{c.x - 5, c.y + 5}, {c.x + 5, c.y - 5}}, "line thin");
      }
      return;
    }
    switch (one.piece->kind) {
      case PieceKind::straight:
      case PieceKind::flex:
      case PieceKind::elbow:
      case PieceKind::cap:
        break;
      case PieceKind::damper:
        stroke(svg, {plus(plus(c, n, 8.0), u, 5.0), plus(plus(c, n, -8.0), u, -5.0)}, line);
        break;
      case PieceKind::transition: {
        const bool wider = one.piece->downstream.area_m2() > one.piece->upstream.area_m2();
        const double before = wider ? 4.0 : 8.0;
        const double after = wider ? 8.0 : 4.0;
        const SvgPoint a = plus(c, u, -7.0);
        const SvgPoint b = plus(c, u, 7.0);
        svg.leaf(
            "path",
            {{"class", face},
             {"d",
              svg_path(
                  {plus(a, n, before), plus(b, n, after), plus(b, n, -after), plus(a, n, -before)},
                  PathEnd::closed)}});
        break;
      }
      case PieceKind::screen:
      case PieceKind::filter:
        for (const double off : {-3.0, 3.0}) {
          const SvgPoint p = plus(c, u, off);
          stroke(svg,
                 {plus(p, n, 8.0), plus(p, n, -8.0)},
                 one.piece->kind == PieceKind::screen ? "line thin" : line);
        }
        break;
      case PieceKind::fan:
        svg.leaf("circle", {{"class", face}, {"cx", c.x}, {"cy", c.y}, {"r", 8.0}});
        stroke(svg, {plus(plus(c, u, -4), n, 5), plus(c, u, 6), plus(plus(c, u, -4), n, -5)}, line);
        break;
      case PieceKind::entry:
        stroke(svg, {plus(plus(c, u, -6), n, 8), c, plus(plus(c, u, -6), n, -8)}, line);
        break;
      case PieceKind::junction:
      case PieceKind::loss:
        svg.leaf("path",
                 {{"class", face},
                  {"d",
                   svg_path({plus(c, u, -7), plus(c, n, 7), plus(c, u, 7), plus(c, n, -7)},
                            PathEnd::closed)}});
        break;
    }
  }

  /// What ends the run: a hood on a capped duct, and the way the air leaves.
  void write_outlet(Svg& svg, const std::vector<Drawn>& drawn) const {
    const Drawn& last = drawn.back();
    if (last.toward != 0.0) {
      return;
    }
    const SvgPoint u = last_way(drawn);
    const SvgPoint n = square_to(u);
    const SvgPoint e = last.end;
    const char* line = is_costliest(last.row) ? "line second" : "line";
    if (last.piece->kind == PieceKind::cap) {
      svg.leaf("path",
               {{"class", is_costliest(last.row) ? "line paper second" : "line paper"},
                {"d",
                 svg_path({plus(plus(e, u, -8), n, 5),
                           plus(plus(e, u, 2), n, 10),
                           plus(plus(e, u, 2), n, -10),
                           plus(plus(e, u, -8), n, -5)},
                          PathEnd::closed)}});
    }
    const SvgPoint tip = plus(e, u, 20.0);
    stroke(svg, {plus(e, u, 7.0), tip}, line);
    stroke(svg, {plus(plus(tip, u, -5), n, 4), tip, plus(plus(tip, u, -5), n, -4)}, line);
  }

  // --- the footer ----------------------------------------------------------------------------

  [[nodiscard]] std::vector<std::string> footer_notes() const {
    std::vector<std::string> notes;
    if (picture_.to_scale) {
      bool room = false;
      for (const Piece& piece : pieces()) {
        room = room || (piece.kind != PieceKind::elbow && piece.length_m.value_or(0.0) <= 0.0);
      }
      notes.emplace_back(options_.view == RouteView::isometric ? "lengths to scale along the axes"
                                                               : "lengths to scale");
      if (room) {
        notes.emplace_back("pieces without a length: room for their sign");
      }
    } else {
      notes.emplace_back("not to scale");
    }
    if (result_.route->nominal_legs) {
      notes.emplace_back("elbow legs not stated: drawn by their radius");
    }
    return notes;
  }

  void write_footer(Svg& svg,
                    const SvgPoint& at,
                    const std::vector<std::string>& notes,
                    double paper_px) const {
    svg.leaf("path", {{"class", "rule"}, {"d", svg_path({{at.x, at.y}, {paper_px - 14.0, at.y}})}});
    write_axes(svg, {at.x + 34.0, at.y + 44.0});
    double x = at.x + 110.0;
    if (picture_.to_scale) {
      x += write_scale_bar(svg, {x, at.y + 30.0});
    }
    double y = at.y + 22.0;
    if (narrow_) {
      x = at.x;
      y = at.y + 90.0;
    }
    for (const std::string& note : notes) {
      svg.text("text", note, {{"class", "small quiet"}, {"x", x}, {"y", y}});
      y += 17.0;
    }
  }

  void write_axes(Svg& svg, const SvgPoint& at) const {
    const auto axis = [&](const SvgPoint& way, const char* name) {
      if (norm(way) < kSeenPx) {
        return;
      }
      const SvgPoint tip = plus(at, way, 20.0);
      stroke(svg, {at, tip}, "line thin quiet");
      const bool upright = std::abs(way.x) < kSeenPx;
      svg.text("text",
               name,
               {{"class", "small quiet"},
                {"x",
                 tip.x + (upright       ? 0.0
                          : way.x > 0.0 ? 4.0
                                        : -4.0)},
                {"y",
                 tip.y + (upright        ? -3.0
                          : way.y > 0.1  ? 9.0
                          : way.y < -0.1 ? 2.0
                                         : 4.0)},
                {"text-anchor",
                 upright       ? "middle"
                 : way.x > 0.0 ? "start"
                               : "end"}});
    };
    axis(eye_.right, "right");
    axis(eye_.back, "back");
    axis(eye_.up, "up");
  }

  /// @return the width taken
  double write_scale_bar(Svg& svg, const SvgPoint& at) const {
    const bool ip = options_.system == units::System::ip;
    const double unit_m = ip ? units::kMetresPerFoot : 1.0;
    double bar_m = unit_m;
    for (const double steps : {0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0}) {
      if (ip && steps < 1.0) {
        continue;
      }
      if (steps * unit_m * px_per_m_ <= 110.0 || steps <= (ip ? 1.0 : 0.1)) {
        bar_m = steps * unit_m;
      }
    }
    const double bar_px = bar_m * px_per_m_;
    stroke(svg,
           {{at.x, at.y - 4}, {at.x, at.y}, {at.x + bar_px, at.y}, {at.x + bar_px, at.y - 4}},
           "line thin");
    const std::string text = show(bar_m, Dimension::length);
    svg.text("text",
             text,
             {{"class", "small"},
              {"x", at.x + bar_px / 2.0},
              {"y", at.y - 8.0},
              {"text-anchor", "middle"}});
    return std::max(bar_px, text_width_px(text, kSmallPx)) + 40.0;
  }

  // --- the strip -----------------------------------------------------------------------------

  void draw_strip() {
    struct Cell {
      LabelText text;
      double width_px = 0.0;
      double left = 0.0;
      std::size_t line = 0;
      std::size_t piece = 0;
    };
    std::vector<Cell> cells;
    double x = 62.0;
    std::size_t line = 0;
    for (std::size_t i = 0; i < pieces().size() && !first_length_; ++i) {
      if (pieces()[i].length_m.value_or(0.0) > 0.0) {
        first_length_ = i;
      }
    }
    for (std::size_t i = 0; i < pieces().size(); ++i) {
      Drawn drawn;
      drawn.piece = &pieces()[i];
      drawn.row = rows_[i];
      drawn.number = layout::piece_number(i);
      Cell cell;
      cell.text = label_of(drawn, i);
      cell.piece = i;
      double widest = 2.0 * kBalloonPx;
      for (std::size_t k = 0; k < cell.text.lines.size(); ++k) {
        widest = std::max(widest, text_width_px(cell.text.lines[k], k == 0 ? kLabelPx : kSmallPx));
      }
      cell.width_px = std::max(widest + 16.0, 46.0);
      if (x + cell.width_px > options_.width_px - 34.0 && x > 62.0) {
        ++line;
        x = 34.0;
      }
      cell.left = x;
      cell.line = line;
      x += cell.width_px;
      cells.push_back(std::move(cell));
    }
    const double line_px = narrow_ ? 70.0 : 112.0;
    const double height_px = line_px * static_cast<double>(line + 1) + 44.0;
    double paper_px = options_.width_px;
    for (const Cell& cell : cells) {
      paper_px = std::max(paper_px, cell.left + cell.width_px + 34.0);
    }
    Svg svg({.width_px = paper_px,
             .height_px = height_px,
             .title = picture_.title,
             .description = picture_.reading,
             .id = options_.id,
             .use = options_.use});
    std::vector<Drawn> drawn;
    for (const Cell& cell : cells) {
      Drawn one;
      one.piece = &pieces()[cell.piece];
      one.row = rows_[cell.piece];
      one.number = cell.text.number;
      const double y = 52.0 + line_px * static_cast<double>(cell.line);
      one.start = {cell.left, y};
      one.end = {cell.left + cell.width_px, y};
      one.corner = one.start;
      drawn.push_back(one);
    }
    write_strip_lines(svg, drawn);
    for (std::size_t i = 0; i < cells.size(); ++i) {
      write_strip_texts(svg, cells[i].text, drawn[i]);
    }
    svg.text("text",
             narrow_ ? "schematic: no headings, not to scale"
                     : "schematic, not to scale: the layout states no headings for all of the run",
             {{"class", "small quiet"}, {"x", 14.0}, {"y", height_px - 14.0}});
    picture_.svg = svg.finish();
    picture_.lines = segments_of(drawn);
  }

  void write_strip_lines(Svg& svg, const std::vector<Drawn>& drawn) const {
    write_collar(svg, drawn);
    const std::string collar = narrow_ ? "" : "collar";
    if (!collar.empty()) {
      svg.text(
          "text", collar, {{"class", "small quiet"}, {"x", 14.0}, {"y", drawn[0].start.y - 20}});
    }
    for (std::size_t i = 0; i < drawn.size(); ++i) {
      const Drawn& one = drawn[i];
      const std::string classes = is_costliest(one.row) ? "line run second" : "line run";
      if (one.piece->kind == PieceKind::flex) {
        write_flex(svg, one, classes);
      } else {
        stroke(svg, {one.start, one.end}, classes.c_str());
      }
      if (one.piece->kind == PieceKind::elbow) {
        const SvgPoint c = one.middle();
        svg.leaf("path",
                 {{"class", is_costliest(one.row) ? "line second" : "line"},
                  {"d",
                   fmt::format("M{0} {1}Q{2} {1} {2} {3}",
                               svg_number(c.x - 9.0),
                               svg_number(c.y - 4.0),
                               svg_number(c.x),
                               svg_number(c.y - 13.0))}});
      } else {
        write_symbol(svg, one);
      }
      // Where a row ends and another follows, both ends are open.
      if (i + 1 < drawn.size() && drawn[i + 1].start.y != one.end.y) {
        stroke(svg, {one.end, plus(one.end, {1.0, 0.0}, 14.0)}, "line run dotted");
        stroke(svg,
               {plus(drawn[i + 1].start, {1.0, 0.0}, -14.0), drawn[i + 1].start},
               "line run dotted");
      }
    }
    write_outlet(svg, drawn);
  }

  void write_strip_texts(Svg& svg, const LabelText& text, const Drawn& drawn) {
    const SvgPoint c = drawn.middle();
    if (text.number > 0) {
      const double y = c.y - 28.0;
      svg.leaf("circle",
               {{"class", text.strong ? "line thin paper second" : "line thin paper"},
                {"cx", c.x},
                {"cy", y},
                {"r", kBalloonPx - 0.6}});
      svg.text("text",
               fmt::format("{}", text.number),
               {{"class", text.strong ? "small strong second" : "small"},
                {"x", c.x},
                {"y", y + 4.2},
                {"text-anchor", "middle"}});
      picture_.labels.push_back(around({c.x, y}, kBalloonPx));
    }
    double y = c.y + 28.0;
    for (std::size_t i = 0; i < text.lines.size(); ++i) {
      const bool first = i == 0;
      svg.text("text",
               text.lines[i],
               {{"class", first ? (text.strong ? "label strong second" : "label") : "small quiet"},
                {"x", c.x},
                {"y", y},
                {"text-anchor", "middle"}});
      const double half = text_width_px(text.lines[i], first ? kLabelPx : kSmallPx) / 2.0;
      picture_.labels.push_back({c.x - half, y - 12.0, c.x + half, y + 3.0});
      y += 16.0;
    }
  }

  const study::CheckResult& result_;
  const RouteOptions& options_;
  bool narrow_;
  std::vector<const solve::LedgerRow*> rows_;  ///< by piece
  const solve::LedgerRow* costliest_ = nullptr;
  std::optional<std::size_t> first_length_;
  mutable Eye eye_;
  double px_per_m_ = 1.0;
  RoutePicture picture_;
};

}  // namespace

RoutePicture route_picture(const study::CheckResult& result, const RouteOptions& options) {
  return Route(result, options).draw();
}

}  // namespace ductledger::picture
