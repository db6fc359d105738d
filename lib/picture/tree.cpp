#include "picture/tree.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "base/text.hpp"
#include "picture/signs.hpp"

namespace ductledger::picture {
namespace {

using layout::Piece;
using layout::PieceKind;
using network::kNone;
using study::Inlet;
using study::InletStatus;
using units::Dimension;

constexpr std::size_t kMostInlets = 60;
constexpr double kNarrowPx = 520.0;
constexpr double kTopPx = 30.0;
constexpr double kSmallPx = 11.0;
constexpr double kSignPx = 24.0;  ///< room along the air for one sign

/// Where a leg lies on the paper.
struct LegPlace {
  std::size_t row = 0;
  std::size_t from = 0;  ///< columns: 0 the inlets, then one for each junction in a row
  std::size_t to = 0;
  std::size_t inlet = kNone;
};

class Tree {
 public:
  Tree(const study::NetworkResult& result, const TreeOptions& options)
      : of_(result.network),
        speed_(result.speeds[result.shown]),
        options_(options),
        narrow_(options.width_px < kNarrowPx),
        places_(of_.legs.size()),
        airflow_(of_.legs.size(), 0.0),
        controls_(of_.legs.size(), false) {
    picture_.title = fmt::format("{} inlets, one way out", speed_.inlets.size());
  }

  TreePicture draw() {
    if (speed_.inlets.size() > kMostInlets) {
      picture_.reading =
          fmt::format("{} inlets: more than {} are not drawn.", speed_.inlets.size(), kMostInlets);
      return std::move(picture_);
    }
    place();
    put_airflows();
    put_reading();
    put_left();
    Svg svg({.width_px = options_.width_px,
             .height_px = y_of(rows_) + (narrow_ ? 24.0 : 10.0),
             .title = picture_.title,
             .description = picture_.reading,
             .id = options_.id,
             .use = options_.use});
    for (std::size_t i = 0; i < places_.size(); ++i) {
      write_leg(svg, i);
    }
    for (std::size_t i = 0; i < places_.size(); ++i) {
      write_signs(svg, i);
      write_texts(svg, i);
    }
    const auto note = [&](const char* text, double line) {
      svg.text("text",
               text,
               {{"class", "small quiet"}, {"x", 8.0}, {"y", y_of(rows_) - 2.0 + 14.0 * line}});
    };
    note(narrow_ ? "schematic, not to scale"
                 : "schematic, not to scale; straights and elbows are not drawn",
         0.0);
    if (narrow_) {
      note("straights and elbows are not drawn", 1.0);
    }
    picture_.svg = svg.finish();
    return std::move(picture_);
  }

 private:
  // --- places: legs stand upstream first, so that what a leg needs is placed before it ----------

  void place() {
    for (std::size_t i = 0; i < speed_.inlets.size(); ++i) {
      const Inlet& inlet = speed_.inlets[i];
      places_[inlet.branch ? of_.inlets[*inlet.branch] : of_.collar_leg].inlet = i;
    }
    for (std::size_t i = 0; i < places_.size(); ++i) {
      const std::size_t at = of_.network.legs[i].junction;
      if (at != kNone) {
        const network::Junction& junction = of_.network.junctions[at];
        const std::size_t column =
            std::max(places_[junction.straight].from, places_[junction.branch].from) + 1;
        places_[i].from = column;
        places_[junction.straight].to = column;
        places_[junction.branch].to = column;
      }
    }
    places_.back().to = places_.back().from + 1;
    columns_ = places_.back().to;
    give_rows(places_.size() - 1);
  }

  /// The straight way first, then what joins it, the nearest to the inlet first: no lines cross.
  void give_rows(std::size_t last) {
    std::vector<std::size_t> joining;
    std::size_t leg = last;
    std::vector<std::size_t> straight{leg};
    while (of_.network.legs[leg].junction != kNone) {
      const network::Junction& junction = of_.network.junctions[of_.network.legs[leg].junction];
      joining.push_back(junction.branch);
      leg = junction.straight;
      straight.push_back(leg);
    }
    const std::size_t row = rows_++;
    for (const std::size_t one : straight) {
      places_[one].row = row;
    }
    for (std::size_t i = joining.size(); i-- > 0;) {
      give_rows(joining[i]);
    }
  }

  void put_airflows() {
    for (std::size_t i = 0; i < places_.size(); ++i) {
      if (places_[i].inlet != kNone) {
        airflow_[i] = speed_.inlets[places_[i].inlet].airflow_m3_s;
      }
    }
    for (const network::Junction& junction : of_.network.junctions) {
      airflow_[junction.combined] = airflow_[junction.straight] + airflow_[junction.branch];
    }
    if (!speed_.controlling) {
      return;
    }
    const Inlet& inlet = speed_.inlets[*speed_.controlling];
    std::size_t leg = inlet.branch ? of_.inlets[*inlet.branch] : of_.collar_leg;
    controls_[leg] = true;
    while (of_.legs[leg].ends_at != kNone) {
      leg = of_.network.junctions[of_.legs[leg].ends_at].combined;
      controls_[leg] = true;
    }
  }

  void put_reading() {
    picture_.reading = fmt::format("Each inlet on a line of its own, the way out at the right{}.",
                                   known() ? "; lines as wide as their share of the air" : "");
    if (speed_.controlling) {
      picture_.reading +=
          " In color: the controlling path, from " + name_of(*speed_.controlling) + ".";
    }
    const auto any = [&](InletStatus status) {
      return known() && std::ranges::any_of(speed_.inlets, [&](const Inlet& inlet) {
               return inlet.status == status;
             });
    };
    if (any(InletStatus::reversed)) {
      picture_.reading += " Dashed: air comes back.";
    }
    if (any(InletStatus::shut)) {
      picture_.reading += " Dotted: shut by a flap.";
    }
  }

  [[nodiscard]] bool known() const {
    return speed_.status == network::Status::solved &&
           speed_.point.status != solve::Status::not_determined &&
           speed_.point.status != solve::Status::no_fan;
  }

  [[nodiscard]] std::string name_of(std::size_t inlet) const {
    return base::escaped(speed_.inlets[inlet].name);
  }

  // --- coordinates -----------------------------------------------------------------------------

  /// The ducts begin beside what is said of the inlets.
  void put_left() {
    left_px_ = narrow_ ? 104.0 : 206.0;
    for (const Inlet& inlet : speed_.inlets) {
      left_px_ = std::max(left_px_, 8.0 + text_width_px(airflow_text(inlet), kSmallPx) + 10.0);
    }
    left_px_ = std::min(left_px_, 0.6 * options_.width_px);
  }
  [[nodiscard]] double right_px() const { return options_.width_px - (narrow_ ? 34.0 : 44.0); }
  [[nodiscard]] double x_of(std::size_t column) const {
    const double part =
        static_cast<double>(column) / static_cast<double>(std::max<std::size_t>(columns_, 1));
    return left_px_ + (right_px() - left_px_) * part;
  }
  [[nodiscard]] double y_of(std::size_t row) const {
    return kTopPx + 46.0 * static_cast<double>(row);
  }
  [[nodiscard]] bool is_branch_end(std::size_t leg) const {
    return of_.legs[leg].ends_at != kNone &&
           of_.network.junctions[of_.legs[leg].ends_at].branch == leg;
  }

  /// How far before its junction a branch begins to lean into it: at its angle, the last of the
  /// way.
  [[nodiscard]] double lean_px(std::size_t leg) const {
    if (!is_branch_end(leg)) {
      return 0.0;
    }
    const auto [cosine, sine] = of_.network.junctions[of_.legs[leg].ends_at].angle;
    return sine > 0.0 && cosine > 0.07 ? 14.0 * cosine / sine : 0.0;
  }

  // --- drawing ---------------------------------------------------------------------------------

  [[nodiscard]] bool is_shut(std::size_t leg) const {
    return known() && places_[leg].inlet != kNone &&
           speed_.inlets[places_[leg].inlet].status == InletStatus::shut;
  }

  void write_leg(Svg& svg, std::size_t leg) const {
    const LegPlace& at = places_[leg];
    std::vector<SvgPoint> course{{x_of(at.from), y_of(at.row)}, {x_of(at.to), y_of(at.row)}};
    if (is_branch_end(leg)) {
      const network::Junction& junction = of_.network.junctions[of_.legs[leg].ends_at];
      const double joins = x_of(at.to);
      const double above = y_of(places_[junction.straight].row);
      const double lean = lean_px(leg);
      course = {{x_of(at.from), y_of(at.row)},
                {joins - lean, y_of(at.row)},
                {joins - lean, above + 14.0},
                {joins, above}};
    }
    std::string classes = controls_[leg] ? "line second" : "line";
    classes += is_shut(leg) ? " dotted" : airflow_[leg] < 0.0 && known() ? " dashed" : "";
    const double share = known() && speed_.discharge_m3_s > 0.0
                             ? std::clamp(std::abs(airflow_[leg]) / speed_.discharge_m3_s, 0.0, 1.0)
                             : 0.0;
    svg.leaf("path",
             {{"class", classes},
              {"d", svg_path(course)},
              {"style", fmt::format("stroke-width:{}", svg_number(1.6 + 5.4 * share))}});
  }

  /// The pieces of a leg that a sign tells: what moves, stops or cleans the air.
  [[nodiscard]] std::vector<Piece> told(std::size_t leg) const {
    std::vector<Piece> pieces;
    const network::LegPart& part = of_.legs[leg];
    if (part.branch && part.layout.fan) {
      pieces.emplace_back(PieceKind::fan);
    } else if (leg == of_.fan_leg && !part.layout.run.fan_piece) {
      pieces.emplace_back(PieceKind::fan);
    }
    for (const Piece& piece : part.layout.run.pieces) {
      if (piece.kind == PieceKind::fan || piece.kind == PieceKind::damper ||
          piece.kind == PieceKind::filter) {
        pieces.push_back(piece);
      }
    }
    return pieces;
  }

  void write_signs(Svg& svg, std::size_t leg) const {
    const LegPlace& at = places_[leg];
    std::vector<Piece> pieces = told(leg);
    const double from = x_of(at.from) + 10.0;
    const double room = x_of(at.to) - 24.0 - from;
    const auto fit = static_cast<std::size_t>(std::max(room / kSignPx, 1.0));
    if (pieces.size() > fit) {  // fans before dampers before filters
      std::ranges::stable_sort(pieces, {}, [](const Piece& piece) {
        return piece.kind == PieceKind::fan ? 0 : piece.kind == PieceKind::damper ? 1 : 2;
      });
      pieces.erase(pieces.begin() + static_cast<std::ptrdiff_t>(fit), pieces.end());
    }
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      const double along = (static_cast<double>(i) + 0.5) / static_cast<double>(pieces.size());
      write_sign(svg,
                 pieces[i],
                 {.at = {from + room * along, y_of(at.row)},
                  .flow = {1.0, 0.0},
                  .downward = std::nullopt,
                  .emphasized = controls_[leg]});
    }
    if (leg + 1 != places_.size()) {
      return;
    }
    const auto& all = of_.legs[leg].layout.run.pieces;
    const bool capped = !all.empty() && all.back().kind == PieceKind::cap;
    const Piece end = capped ? all.back() : Piece(PieceKind::cap);
    const SignPlace place{.at = {x_of(at.to), y_of(at.row)},
                          .flow = {1.0, 0.0},
                          .downward = std::nullopt,
                          .emphasized = controls_[leg]};
    write_sign(svg, end, place);
    write_outflow(svg, end.sign.value_or(fitting::Sign::open_end), place);
  }

  void write_texts(Svg& svg, std::size_t leg) const {
    const LegPlace& at = places_[leg];
    const double y = y_of(at.row);
    if (at.inlet != kNone) {
      const std::size_t most = narrow_ ? 12 : 26;
      std::string name = speed_.inlets[at.inlet].name;
      name = base::escaped(name);
      if (name.size() > most) {
        name = base::escaped(speed_.inlets[at.inlet].name.substr(0, most - 3)) + "...";
      }
      svg.text("text", name, {{"class", "label strong"}, {"x", 8.0}, {"y", y - 2.0}});
      svg.text("text",
               airflow_text(speed_.inlets[at.inlet]),
               {{"class", "small quiet"}, {"x", 8.0}, {"y", y + 12.0}});
    } else if (known() && (!narrow_ || leg + 1 == places_.size())) {
      const std::string text =
          units::display(std::abs(airflow_[leg]), Dimension::airflow, options_.system);
      const double end = x_of(at.to) - lean_px(leg) - (is_branch_end(leg) ? 10.0 : 6.0);
      const double room = end - x_of(at.from) - 10.0;
      if (text_width_px(text, kSmallPx) < room || leg + 1 == places_.size()) {
        svg.text("text",
                 text,
                 {{"class", "small"}, {"x", end}, {"y", y - 14.0}, {"text-anchor", "end"}});
      }
    }
  }

  [[nodiscard]] std::string airflow_text(const Inlet& inlet) const {
    if (!known()) {
      return "not known";
    }
    const std::string figure =
        units::display(std::abs(inlet.airflow_m3_s), Dimension::airflow, options_.system);
    std::string text = inlet.status == InletStatus::shut       ? "shut"
                       : inlet.status == InletStatus::reversed ? figure + " back"
                                                               : figure;
    if (inlet.required_m3_s && !narrow_) {
      text += fmt::format(
          " of {}", units::display(*inlet.required_m3_s, Dimension::airflow, options_.system));
    }
    if (inlet.requirement) {
      text += fmt::format(", {}", result::word(*inlet.requirement));
    }
    return text;
  }

  const network::CompiledNetwork& of_;
  const study::NetworkSpeed& speed_;
  const TreeOptions& options_;
  bool narrow_;
  std::vector<LegPlace> places_;  // [legs]
  std::vector<double> airflow_;   // [legs]
  std::vector<bool> controls_;    // [legs]
  std::size_t rows_ = 0;
  std::size_t columns_ = 1;
  double left_px_ = 0.0;
  TreePicture picture_;
};

}  // namespace

TreePicture tree_picture(const study::NetworkResult& result, const TreeOptions& options) {
  return Tree(result, options).draw();
}

}  // namespace ductledger::picture
