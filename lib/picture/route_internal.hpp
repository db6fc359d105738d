#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <numbers>
#include <optional>
#include <utility>

#include "base/text.hpp"
#include "duct/section.hpp"
#include "layout/direction.hpp"
#include "layout/piece_number.hpp"
#include "picture/route.hpp"
#include "units/constants.hpp"
#include "words/words.hpp"

/// A run being drawn: laid out on the paper in `route.cpp`, its pieces' signs in
/// `route_symbols.cpp`, labels in `route_labels.cpp`, the strip of a run without headings in
/// `route_strip.cpp`.
namespace ductledger::picture::route {

using layout::Piece;
using layout::PieceKind;
using units::Dimension;

inline constexpr double kNarrowPx = 520.0;
inline constexpr double kLabelPx = 13.0;
inline constexpr double kSmallPx = 12.0;
inline constexpr double kBalloonPx = 10.0;   ///< radius of a number's circle
inline constexpr double kFittingPx = 22.0;   ///< room of a piece without a stated length
inline constexpr double kShortestPx = 26.0;  ///< a straight shorter than this takes the scale away
inline constexpr double kSeenPx = 0.2;  ///< a direction foreshortened more than this is seen end-on

[[nodiscard]] inline SvgPoint plus(const SvgPoint& a, const SvgPoint& b, double times = 1.0) {
  return {a.x + times * b.x, a.y + times * b.y};
}
[[nodiscard]] inline double norm(const SvgPoint& a) { return std::hypot(a.x, a.y); }
[[nodiscard]] inline SvgPoint unit(const SvgPoint& a) {
  const double n = norm(a);
  return n > 1e-9 ? SvgPoint{a.x / n, a.y / n} : SvgPoint{1.0, 0.0};
}
[[nodiscard]] inline SvgPoint square_to(const SvgPoint& a) { return {-a.y, a.x}; }

/// Where the three axes point on the paper.
struct Eye {
  SvgPoint right;
  SvgPoint back;
  SvgPoint up;
};
[[nodiscard]] inline SvgPoint projected(const layout::Direction& d, const Eye& eye) {
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

[[nodiscard]] inline std::string hyphenless(std::string text) {
  std::replace(text.begin(), text.end(), '-', ' ');
  return text;
}

class Route {
 public:
  Route(const study::CheckResult& result, const RouteOptions& options)
      : result_(result), options_(options), narrow_(options.width_px < kNarrowPx) {
    collect_rows();
  }

  RoutePicture draw();

 private:
  // --- what is said --------------------------------------------------------------------------

  void collect_rows();
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

  [[nodiscard]] std::string name_of(const Piece& piece, const solve::LedgerRow* row) const;
  static std::string shortened_note(const std::string& note);
  [[nodiscard]] LabelText label_of(const Drawn& drawn, std::size_t index) const;
  [[nodiscard]] std::string rise_words() const;
  void titles();

  // --- in space ------------------------------------------------------------------------------

  [[nodiscard]] Eye eye_for(RouteView view) const;

  /// How often the line crosses itself on the paper.
  [[nodiscard]] int crossings(double px_per_m) const;
  static bool crossed(const LabelSegment& a, const LabelSegment& b);

  using Scale = std::function<double(double)>;

  /// The pieces on the paper, the collar at the origin. @param room_px of pieces without a length
  [[nodiscard]] std::vector<Drawn> laid_out(const Scale& px_of, double room_px) const;
  [[nodiscard]] double toward_reader(const layout::Direction& heading) const;
  static LabelBox extent(const std::vector<Drawn>& drawn);
  static std::vector<LabelSegment> segments_of(const std::vector<Drawn>& drawn);

  /// The largest factor for which the run fits.
  template <class Lay>
  [[nodiscard]] static double fitted(const Lay& lay,
                                     double most,
                                     double width_px,
                                     double height_px);
  [[nodiscard]] std::vector<Drawn> scaled();
  void draw_in_space();
  [[nodiscard]] LabelText collar_label() const;
  [[nodiscard]] static SvgPoint first_way(const std::vector<Drawn>& drawn);
  [[nodiscard]] static SvgPoint collar_middle(const std::vector<Drawn>& drawn) {
    return plus(drawn.front().start, first_way(drawn), -10.0);
  }
  /// The way the last piece goes on the paper.
  [[nodiscard]] static SvgPoint last_way(const std::vector<Drawn>& drawn);
  static LabelBox around(const SvgPoint& at, double half_px) {
    return {at.x - half_px, at.y - half_px, at.x + half_px, at.y + half_px};
  }

  [[nodiscard]] std::vector<LabelBox> symbol_boxes(const std::vector<Drawn>& drawn) const;
  [[nodiscard]] double width_of(const LabelText& text) const;
  [[nodiscard]] double height_of(const LabelText& text) const {
    return std::max(2.0 * kBalloonPx, 16.0 * static_cast<double>(text.lines.size()) + 2.0);
  }

  void write_leaders(Svg& svg, const std::vector<LabelPlaced>& placed, const SvgPoint& shift);

  /// Left of what it speaks of a label ends with its number, elsewhere it begins with it.
  void write_label(Svg& svg, const LabelText& text, const LabelBox& box, const bool ends_there);
  void write_labels(Svg& svg,
                    const std::vector<LabelPlaced>& placed,
                    const std::vector<LabelText>& texts,
                    const SvgPoint& shift);

  // --- the line and its symbols --------------------------------------------------------------

  void stroke(Svg& svg, const std::vector<SvgPoint>& points, const char* classes) const {
    svg.leaf("path", {{"class", classes}, {"d", svg_path(points)}});
  }

  void write_run(Svg& svg, const std::vector<Drawn>& drawn) const;
  void write_collar(Svg& svg, const std::vector<Drawn>& drawn) const;

  /// An arc where the elbow has a radius, a corner where it is mitred.
  static void write_bend(Svg& svg, const Drawn& one, const std::string& classes);
  void write_flex(Svg& svg, const Drawn& one, const std::string& classes) const;
  void write_symbol(Svg& svg, const Drawn& one) const;

  /// What ends the run: a hood on a capped duct, and the way the air leaves.
  void write_outlet(Svg& svg, const std::vector<Drawn>& drawn) const;

  // --- the footer ----------------------------------------------------------------------------

  [[nodiscard]] std::vector<std::string> footer_notes() const;
  void write_footer(Svg& svg,
                    const SvgPoint& at,
                    const std::vector<std::string>& notes,
                    double paper_px) const;
  void write_axes(Svg& svg, const SvgPoint& at) const;

  /// @return the width taken
  double write_scale_bar(Svg& svg, const SvgPoint& at) const;

  // --- the strip -----------------------------------------------------------------------------

  void draw_strip();
  void write_strip_lines(Svg& svg, const std::vector<Drawn>& drawn) const;
  void write_strip_texts(Svg& svg, const LabelText& text, const Drawn& drawn);

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
}  // namespace ductledger::picture::route
