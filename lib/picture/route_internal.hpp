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
#include "picture/signs.hpp"
#include "picture/vector_internal.hpp"
#include "units/constants.hpp"
#include "words/words.hpp"

/// A run being drawn: laid out on the paper in `route_space.cpp`, its line and marks in
/// `route_line.cpp`, labels in `route_labels.cpp`, the strip of a run without headings in
/// `route_strip.cpp`; `route.cpp` puts the sheet together.
namespace ductledger::picture::route {

using layout::Piece;
using layout::PieceKind;
using units::Dimension;

inline constexpr double kNarrowPx = 520.0;
inline constexpr double kLabelPx = 13.0;
inline constexpr double kSmallPx = 12.0;
inline constexpr double kBalloonPx = 10.0;   ///< radius of a number's circle
inline constexpr double kFittingPx = 30.0;   ///< least room of a piece without a stated length
inline constexpr double kShortestPx = 26.0;  ///< a straight is never drawn shorter
inline constexpr std::size_t kMarksInRow = 5;
inline constexpr double kMarkApartPx = 2.0 * kBalloonPx + 2.0;
inline constexpr const char* kApplianceMark = "A";
inline constexpr double kSeenPx = 0.2;  ///< a direction foreshortened more than this is seen end-on

/// One piece on the paper.
struct Drawn {
  const Piece* piece = nullptr;
  const solve::LedgerRow* row = nullptr;  ///< nothing where nothing is calculated
  int index = 0;                          ///< in run.pieces
  int number = 0;
  std::array<layout::Point, 3> space{};  ///< start, corner and end in space, at the paper's scale
  layout::Direction heading_in{};
  layout::Direction heading_out{};
  layout::Direction width{};  ///< where the section's width lies
  SvgPoint start;
  SvgPoint corner;
  SvgPoint end;
  bool bends = false;
  bool mitred = false;
  bool broken = false;   ///< drawn shorter than its length
  bool hatched = false;  ///< the plane of its offset is shown
  double toward = 0.0;   ///< seen end-on: 1 toward the reader, -1 away; else 0

  /// A point of what is drawn: an elbow with a radius is an arc from end to end.
  /// @param share 0 at the start to 1 at the end
  [[nodiscard]] layout::Point space_at(double share) const;
  [[nodiscard]] SvgPoint at(double share) const;
  [[nodiscard]] SvgPoint middle() const { return at(0.5); }
  /// The course as a line of points, from 0 to 1.
  [[nodiscard]] std::vector<double> shares() const;
};

struct LabelText {
  std::string mark;  ///< in the circle: a piece's number, A for the appliance; empty: no circle
  std::vector<std::string> lines;
  bool strong = false;
  std::vector<LabelText> more{};  ///< marks beside it, of what is seen end-on at one place
};

/// Where one duct passes in front of another.
struct Over {
  SvgPoint at;
  std::size_t near = 0;  ///< index among what is drawn
  SvgPoint way;          ///< of the near one, unit length
};

[[nodiscard]] inline std::string hyphenless(std::string text) {
  std::replace(text.begin(), text.end(), '-', ' ');
  return text;
}

/// Which run of a layout is drawn.
struct Subject {
  const layout::Run* run = nullptr;
  bool exhaust = true;  ///< else makeup air, from outdoors to the room
};

class Route {
 public:
  Route(const study::CheckResult& result, const RouteOptions& options, const Subject& subject)
      : result_(result),
        options_(options),
        subject_(subject),
        narrow_(options.width_px < kNarrowPx) {
    collect_rows();
  }

  RoutePicture draw();

 private:
  // --- what is said --------------------------------------------------------------------------

  void collect_rows();
  [[nodiscard]] const std::vector<Piece>& pieces() const { return subject_.run->pieces; }
  [[nodiscard]] std::string show(double si, Dimension dimension) const {
    return units::display(si, dimension, options_.system);
  }
  [[nodiscard]] std::string section(const duct::Section& section) const {
    return duct::to_text(section, options_.system);
  }
  [[nodiscard]] bool is_costliest(const solve::LedgerRow* row) const {
    return row != nullptr && row == costliest_;
  }
  [[nodiscard]] static fitting::Sign outflow_sign(const Drawn& last) {
    return last.piece->kind == PieceKind::cap ? last.piece->sign.value_or(fitting::Sign::open_end)
                                              : fitting::Sign::open_end;
  }

  [[nodiscard]] std::string name_of(const Piece& piece, const solve::LedgerRow* row) const;
  static std::string shortened_note(const std::string& note);
  [[nodiscard]] std::string lies(const Drawn& drawn) const;
  [[nodiscard]] LabelText label_of(const Drawn& drawn) const;
  [[nodiscard]] std::string rise_words() const;
  void titles();
  /// A sheet of the picture's size, still empty.
  [[nodiscard]] Svg paper() const;

  // --- in space ------------------------------------------------------------------------------

  using Lay = std::vector<Drawn>;
  using Scale = std::function<double(double)>;

  [[nodiscard]] Eye best_eye() const;
  [[nodiscard]] Eye elevation_eye() const;
  [[nodiscard]] std::vector<layout::Direction> headings() const;
  [[nodiscard]] bool tells_apart(const layout::Direction& heading, const Eye& eye) const;

  /// The pieces on the paper, the collar at the origin.
  struct Measures {
    Scale length_px;  ///< of a straight or flex of so many meters
    Scale leg_px;     ///< of an elbow's leg
  };
  [[nodiscard]] static Measures evenly(double px_per_m);
  [[nodiscard]] Lay laid_out(const Measures& measures, const Eye& eye) const;
  [[nodiscard]] std::vector<Over> overs(const Lay& drawn, const Eye& eye) const;
  /// How much of the line lies on another part of it, or crosses it.
  struct Tangle {
    int along = 0;
    int across = 0;
    [[nodiscard]] auto operator<=>(const Tangle&) const = default;
  };
  [[nodiscard]] Tangle tangle(const Lay& drawn, const Eye& eye) const;
  static LabelBox extent(const Lay& drawn);
  static std::vector<LabelSegment> segments_of(const Lay& drawn);
  template <class LayOut>
  [[nodiscard]] static double fitted(const LayOut& lay,
                                     double most,
                                     double width_px,
                                     double height_px);
  [[nodiscard]] Lay scaled();
  /// What is to be labelled, and where labels found room.
  struct Labelled {
    Lay drawn;
    LabelScene scene;
    std::vector<LabelText> texts;
    std::vector<LabelWanted> wanted;
    std::vector<LabelPlaced> placed;
    /// Labels that no place is free for.
    [[nodiscard]] std::vector<std::size_t> unplaced() const {
      return conflicts(scene, wanted, placed);
    }
  };
  void draw_in_space();
  /// All that is drawn, with its labels: what the paper has to hold above its foot.
  [[nodiscard]] LabelBox taken(const Labelled& all) const;
  void write_labels(Svg& svg, const Labelled& all, const SvgPoint& shift);
  [[nodiscard]] Labelled labelled();
  /// Marks alone, of pieces seen end-on at one place: they share a label.
  [[nodiscard]] bool stacked(const Drawn& a, const Drawn& b) const;
  /// The drawing with every label in a place of its own: what finds none beside its piece is a
  /// mark there, told in the key; what is too crowded for that takes a larger sheet.
  [[nodiscard]] Labelled settled();
  /// Without the labels that found no place on the largest sheet; a note tells whose. The costliest
  /// piece's stays.
  void drop_unplaced(Labelled& all);
  [[nodiscard]] SignPlace place_of(const Drawn& one, double share = 0.5) const;
  [[nodiscard]] SignPlace outlet_place(const Lay& drawn) const;

  // --- labels --------------------------------------------------------------------------------

  [[nodiscard]] LabelText collar_label() const;
  [[nodiscard]] std::vector<LabelSymbol> symbol_boxes(const Lay& drawn) const;
  [[nodiscard]] static double widest_line(const LabelText& text);
  [[nodiscard]] double width_of(const LabelText& text) const;
  [[nodiscard]] static double height_of(const LabelText& text);
  static LabelBox around(const SvgPoint& at, double half_px) {
    return {at.x - half_px, at.y - half_px, at.x + half_px, at.y + half_px};
  }
  void write_leaders(Svg& svg, const std::vector<LabelPlaced>& placed, const SvgPoint& shift);
  static void write_balloon(Svg& svg, const LabelText& text, const SvgPoint& middle);
  /// Left of what it speaks of a label ends with its number, elsewhere it begins with it.
  void write_label(Svg& svg, const LabelText& text, const LabelBox& box, bool ends_there);

  // --- the line and its marks ----------------------------------------------------------------

  void stroke(Svg& svg, const std::vector<SvgPoint>& points, const char* classes) const {
    svg.leaf("path", {{"class", classes}, {"d", svg_path(points)}});
  }
  [[nodiscard]] const char* run_class(const Drawn& one) const {
    return is_costliest(one.row) ? "line run second" : "line run";
  }
  void write_run(Svg& svg, const Lay& drawn) const;
  void write_course(Svg& svg, const Drawn& one) const;
  /// How far a sagging flexible duct hangs below its course.
  [[nodiscard]] double hang_px(const Drawn& one, double share) const;
  void write_flex(Svg& svg, const Drawn& one) const;
  void write_offset(Svg& svg, const Drawn& one) const;
  void write_plane(Svg& svg, const Drawn& one) const;
  void write_section(Svg& svg, const Drawn& one) const;
  [[nodiscard]] bool shows_section(const Drawn& one) const;
  [[nodiscard]] bool crosses_plane(const Drawn& one) const;
  void write_appliance(Svg& svg, const SvgPoint& collar) const;
  [[nodiscard]] std::vector<layout::Point> appliance_corners() const;

  // --- the foot ------------------------------------------------------------------------------

  struct Note {
    std::string text;
    std::function<void(Svg&, const SvgPoint&)> mark{};  ///< drawn before the text; may be empty
  };
  [[nodiscard]] std::vector<Note> foot_notes(const Lay& drawn) const;
  /// The notes' lines: of a long one the second goes on below without its mark.
  [[nodiscard]] std::vector<Note> note_lines(const Lay& drawn, double paper_px) const;
  void write_foot(Svg& svg,
                  const SvgPoint& at,
                  const std::vector<Note>& notes,
                  double paper_px) const;
  void write_axes(Svg& svg, const SvgPoint& at) const;
  /// @return the width taken
  double write_scale_bar(Svg& svg, const SvgPoint& at) const;
  /// Names and lengths by mark, of what has no room for them beside its piece.
  struct Key {
    std::vector<std::vector<LabelText>> columns;
    double column_px = 0.0;
    double height_px = 0.0;
  };
  [[nodiscard]] Key key(const Lay& drawn, double paper_px) const;
  static double key_row_px(const LabelText& text) {
    return std::max(24.0, 16.0 * static_cast<double>(text.lines.size()) + 6.0);
  }
  static void write_key(Svg& svg, const Key& key, const SvgPoint& at);

  // --- the strip -----------------------------------------------------------------------------

  /// The pieces one after the other, in lines of the paper's width.
  struct Strip {
    Lay drawn;
    std::vector<LabelText> texts;  ///< as drawn
    double right_px = 0.0;
    double bottom_px = 0.0;
  };
  [[nodiscard]] Strip strip() const;
  void draw_strip();
  void draw_none();
  [[nodiscard]] SignPlace strip_place(const Drawn& one, const SvgPoint& at) const;
  void write_strip_lines(Svg& svg, const Lay& drawn) const;
  void write_strip_texts(Svg& svg, const LabelText& text, const Drawn& drawn);

  const study::CheckResult& result_;
  const RouteOptions& options_;
  Subject subject_;
  bool narrow_;
  std::vector<const solve::LedgerRow*> rows_;  ///< by piece
  const solve::LedgerRow* costliest_ = nullptr;
  std::optional<int> first_length_;
  Eye eye_{};
  bool isometric_ = false;
  double px_per_m_ = 1.0;
  double roomier_ = 1.0;     ///< a larger sheet, where the labels of a crowded run ask for it
  std::vector<char> keyed_;  ///< by piece, the appliance last: only its mark stands in the drawing
  bool broken_ = false;
  bool lengthened_ = false;  ///< short straights are drawn longer than to scale
  RoutePicture picture_;
};
}  // namespace ductledger::picture::route
