#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <utility>

#include "base/fault.hpp"
#include "fitting/stock.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/written_system.hpp"
#include "study/advice_changes_internal.hpp"
#include "study/check.hpp"
#include "units/constants.hpp"

namespace ductledger::study {
namespace {

using layout::Layout;
using layout::Piece;
using layout::PieceKind;
using units::Dimension;

constexpr double kSharpTurn = 80.0 * units::kRadPerDegree;  // two for one from here on
constexpr double kUsualRadius = 1.5;                        // r/D of smooth round elbows on a shelf
constexpr double kLongRadius = 2.0;
constexpr double kFlatRadius = 1.0;  // r/W of rectangular ones
constexpr double kTight = 0.95;      // pulled by hand
constexpr double kShortenedFrom = 6.0 * units::kMetresPerFoot;
constexpr double kWideOpen = 0.7;  // free area of a louver with few blades
/// So many changes are tried, those at the costliest pieces.
constexpr std::size_t kMostChanges = 96;
constexpr double kRaisedGap = 0.75;  // of a rain cap, over its diameter
constexpr double kSlimAngle = 20.0;  // deg, included angle of a slim transition

units::Message::Value length(double length_m) { return {length_m, Dimension::length}; }

units::Message section_words(const duct::Section& section) {
  switch (section.shape()) {
    case duct::Shape::round:
      return {"{} round", {length(section.width_m())}};
    case duct::Shape::rectangular:
      return {"{} x {}", {length(section.width_m()), length(section.height_m())}};
    case duct::Shape::flat_oval:
      break;
  }
  return {"{} x {} oval", {length(section.width_m()), length(section.height_m())}};
}

/// The piece of the file, in a layout that was edited since.
std::optional<std::size_t> find(const Layout& layout, const Piece& piece) {
  const auto& pieces = layout.run.pieces;
  const auto found = std::find_if(pieces.begin(), pieces.end(), [&](const Piece& each) {
    return each.kind == piece.kind && each.span.offset == piece.span.offset;
  });
  if (found == pieces.end()) {
    return std::nullopt;
  }
  return static_cast<std::size_t>(found - pieces.begin());
}

base::Diagnostic gone(const Layout& layout, const Piece& piece) {
  return base::fault_at(
      {layout.source, piece.span}, "cannot-edit", "another change took this piece out");
}

/// An edit of one piece, found again by its place in the file.
template <class Edit>
std::function<edit::Edited(const Layout&)> at(const Piece& piece, Edit edit) {
  return [piece, edit = std::move(edit)](const Layout& layout) -> edit::Edited {
    const auto index = find(layout, piece);
    return index ? edit(layout, *index) : edit::Edited(gone(layout, piece));
  };
}

class Finder {
 public:
  Finder(const CheckResult& result, const fitting::Catalogue& catalogue)
      : result_(result),
        catalogue_(catalogue),
        layout_(result.layout),
        pieces_(result.layout.run.pieces) {
    for (const solve::CompiledPiece& piece : result.run.pieces) {
      if (piece.piece) {
        compiled_.resize(std::max(compiled_.size(), *piece.piece + 1), nullptr);
        compiled_[*piece.piece] = &piece;
      }
    }
    compiled_.resize(pieces_.size(), nullptr);
  }

  std::vector<Change> find_all() {
    duct_sizes();
    if (layout_.run.changes_at_collar) {
      abrupt_collar();
    }
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      switch (pieces_[i].kind) {
        case PieceKind::elbow:
          elbow(i);
          break;
        case PieceKind::flex:
          flexible(i);
          break;
        case PieceKind::damper:
          damper(i);
          break;
        case PieceKind::screen:
          screen(i);
          break;
        case PieceKind::transition:
          transition(i);
          break;
        default:
          break;
      }
    }
    all_elbows();
    for (const edit::Offset& offset : edit::offsets(layout_)) {
      jog(offset);
    }
    cap();
    shorter();
    fan_place();
    keep_the_costliest();
    return std::move(changes_);
  }

 private:
  /// No change gains more than the pieces cost that it touches.
  void keep_the_costliest() {
    if (changes_.size() <= kMostChanges) {
      return;
    }
    const double airflow_m3_s =
        result_.headline ? solve::best_airflow_m3_s(result_.speeds[*result_.headline].point) : 0.0;
    const double at_m3_s = airflow_m3_s > 0.0 ? airflow_m3_s : result_.run.collar.area_m2();
    std::vector<double> cost_pa;
    for (const Change& change : changes_) {
      double sum_pa = change.pieces.empty() ? std::numeric_limits<double>::infinity() : 0.0;
      for (const std::size_t piece : change.pieces) {
        sum_pa += compiled_[piece] != nullptr ? result_.run.loss.of(compiled_[piece]->loss, at_m3_s)
                                              : 0.0;
      }
      cost_pa.push_back(sum_pa);
    }
    std::vector<double> ranked = cost_pa;
    const auto last = ranked.begin() + static_cast<std::ptrdiff_t>(kMostChanges) - 1;
    std::ranges::nth_element(ranked, last, std::greater<>());
    const double least_pa = *last;
    std::size_t room = kMostChanges - static_cast<std::size_t>(std::ranges::count_if(
                                          cost_pa, [&](double one) { return one > least_pa; }));
    std::vector<Change> kept;
    for (std::size_t i = 0; i < changes_.size(); ++i) {
      const bool equal = cost_pa[i] == least_pa && room > 0;
      room -= equal ? 1 : 0;
      if (cost_pa[i] > least_pa || equal) {
        kept.push_back(std::move(changes_[i]));
      }
    }
    changes_ = std::move(kept);
  }

  Change& add(ChangeKind kind, std::vector<std::size_t> pieces, units::Message words) {
    Change change;
    change.kind = kind;
    change.span = pieces.empty() ? layout_.run.span : pieces_[pieces.front()].span;
    change.pieces = std::move(pieces);
    change.words = std::move(words);
    changes_.push_back(std::move(change));
    return changes_.back();
  }

  /// The type that the catalogue took; what the user stated the loss of has none.
  [[nodiscard]] std::string type_of(std::size_t index) const {
    const solve::CompiledPiece* piece = compiled_[index];
    return piece != nullptr && piece->fitting ? piece->fitting->type : std::string();
  }

  [[nodiscard]] bool is_dryer() const {
    return layout_.appliance.kind == layout::ApplianceKind::clothes_dryer;
  }

  // --- the duct

  void sections_change(ChangeKind kind, units::Message words, const edit::SectionMap& to) {
    int parts = 0;
    double deeper_m = 0.0;
    for (const Piece& piece : pieces_) {
      const duct::Section next = to(piece.upstream);
      if (next == piece.upstream || piece.kind == PieceKind::fan) {
        continue;
      }
      ++parts;
      deeper_m = std::max({deeper_m,
                           next.height_m() - piece.upstream.height_m(),
                           next.width_m() - piece.upstream.width_m()});
    }
    if (parts == 0) {
      return;
    }
    Change& change = add(kind, {}, std::move(words));
    change.parts_new = parts;
    change.room_m = deeper_m;
    change.apply = [to, &catalogue = catalogue_](const Layout& layout) {
      return edit::with_sections(
          layout, catalogue, {.to = to, .joint = edit::CollarJoint::gradual});
    };
    if (const edit::Edited edited = change.apply(layout_)) {
      const auto more =
          static_cast<int>(edited->run.pieces.size()) - static_cast<int>(pieces_.size());
      change.parts_new += std::max(0, more);
    }
  }

  void duct_sizes() {
    if (is_dryer()) {
      return;  // the size of a dryer's duct is fixed
    }
    const duct::Section collar = result_.run.collar;
    const auto narrower = [collar](const duct::Section& section) {
      return section.area_m2() < 0.96 * collar.area_m2() ? collar : section;
    };
    units::Message at_collar = section_words(collar);
    at_collar.pattern = "all at the collar's " + at_collar.pattern;
    sections_change(ChangeKind::collar_size, std::move(at_collar), narrower);

    const auto larger = [series = fitting::series_of(layout::written_system(layout_))](
                            const duct::Section& section) {
      return fitting::next_stock_size(section, series).value_or(section);
    };
    if (std::all_of(pieces_.begin(), pieces_.end(), [&](const Piece& piece) {
          return larger(piece.upstream) == narrower(piece.upstream);
        })) {
      return;  // the collar's size is the next one
    }
    const duct::Section first = pieces_.front().upstream;
    const bool one = std::all_of(pieces_.begin(), pieces_.end(), [&](const Piece& piece) {
      return piece.upstream == first && piece.downstream == first;
    });
    units::Message words{"each size one up", {}};
    if (one && larger(first) != first) {
      words = section_words(larger(first));
      words.pattern = "whole run " + words.pattern;
    }
    sections_change(ChangeKind::larger_duct, std::move(words), larger);
  }

  void abrupt_collar() {
    Change& change = add(ChangeKind::gradual_transition, {}, {"gradual change at the collar", {}});
    change.span = layout_.run.section_span;
    change.parts_new = 1;
    change.apply = [&catalogue = catalogue_](const Layout& layout) {
      return edit::with_sections(layout,
                                 catalogue,
                                 {.to = [](const duct::Section& section) { return section; },
                                  .joint = edit::CollarJoint::gradual});
    };
  }

  void flexible(std::size_t index) {
    const Piece& piece = pieces_[index];
    Change& rigid = add(ChangeKind::rigid_duct, {index}, {"rigid duct for flexible", {}});
    rigid.parts_new = 1;
    rigid.apply = at(piece, [&catalogue = catalogue_](const Layout& layout, std::size_t i) {
      return edit::with_rigid(layout, catalogue, i);
    });
    const auto& flex = piece.as<layout::Flex>();
    if (flex.stretched >= kTight && flex.sag_m <= 0.0) {
      return;
    }
    const double tight = std::max(kTight, flex.stretched);
    Change& pulled = add(ChangeKind::stretched_flex,
                         {index},
                         {"pulled tight ({}), no sag", {{tight, Dimension::ratio}}});
    pulled.apply = at(piece, [tight, &catalogue = catalogue_](const Layout& layout, std::size_t i) {
      return edit::with_stretch(layout, catalogue, {.piece = i, .stretched = tight});
    });
  }

  /// The longest straight that is not tied to what it passes through.
  void shorter() {
    std::optional<std::size_t> longest;
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      const Piece& piece = pieces_[i];
      const layout::Surroundings& around = piece.around();
      const bool tied =
          around.through == "wall" || around.through == "roof" || around.through == "ceiling";
      if (piece.kind == PieceKind::straight && !tied &&
          piece.length_m.value_or(0.0) >= kShortenedFrom &&
          (!longest || *piece.length_m > *pieces_[*longest].length_m)) {
        longest = i;
      }
    }
    if (!longest) {
      return;
    }
    const double half_m = *pieces_[*longest].length_m / 2.0;
    Change& change =
        add(ChangeKind::shorter_duct, {*longest}, {"half as long ({})", {length(half_m)}});
    change.condition = {"where the appliance or the cap can move", {}};
    change.apply = at(
        pieces_[*longest], [half_m, &catalogue = catalogue_](const Layout& layout, std::size_t i) {
          return edit::with_length(layout, catalogue, {.piece = i, .length_m = half_m});
        });
  }

  // --- elbows

  /// From the elbow's ends to its centre, over the side in the plane of the turn times
  /// tan(angle/2).
  [[nodiscard]] double radius_ratio(std::size_t index) const {
    // A mitre reaches half its side beyond the corner.
    return pieces_[index].as<layout::Elbow>().radius_ratio.value_or(0.5);
  }

  [[nodiscard]] double longer_leg_m(std::size_t index, double ratio) const {
    const Piece& piece = pieces_[index];
    return std::max(0.0,
                    (ratio - radius_ratio(index)) * piece.as<layout::Elbow>().in_plane_m *
                        std::tan(piece.as<layout::Elbow>().angle_rad / 2.0));
  }

  [[nodiscard]] static double smooth_ratio(const Piece& piece) {
    return piece.upstream.shape() == duct::Shape::round ? kUsualRadius : kFlatRadius;
  }

  void elbow(std::size_t index) {
    const Piece& piece = pieces_[index];
    const std::string type = type_of(index);
    if (type.empty()) {
      return;  // its loss is the user's own figure: another elbow's would not be like with like
    }
    const fitting::Traits is = catalogue_.traits(fitting::Kind::elbow, type);
    const bool smooth_made = is.is(fitting::Make::smooth);
    const bool takes_radius = smooth_made || is.is(fitting::Make::gored);
    if (!smooth_made) {
      smooth_.push_back(index);
      const double ratio = smooth_ratio(piece);
      Change& change = add(ChangeKind::smooth_elbow,
                           {index},
                           {"smooth elbow, r/D {}", {{ratio, Dimension::number}}});
      change.parts_new = 1;
      change.room_m = longer_leg_m(index, ratio);
      change.apply = smooth(piece, ratio);
    }
    if (takes_radius) {
      longer_radius(index);
    }
    if (is.is(fitting::Make::mitered) && piece.upstream.shape() == duct::Shape::rectangular) {
      Change& change = add(ChangeKind::vaned_elbow, {index}, {"turning vanes in the elbow", {}});
      change.parts_new = 1;
      change.apply = at(piece, [&catalogue = catalogue_](const Layout& layout, std::size_t i) {
        return edit::with_elbow(
            layout,
            catalogue,
            {.piece = i,
             .type = catalogue.type_with(fitting::Kind::elbow, fitting::made(fitting::Make::vaned)),
             .radius_ratio = {}});
      });
    }
    if (piece.as<layout::Elbow>().angle_rad >= kSharpTurn) {
      const double half = piece.as<layout::Elbow>().angle_rad / 2.0 / units::kRadPerDegree;
      Change& change = add(ChangeKind::two_elbows,
                           {index},
                           {fmt::format("two {:.3g} deg elbows for one", half), {}});
      change.parts_new = 2;
      change.apply = at(piece, [&catalogue = catalogue_](const Layout& layout, std::size_t i) {
        return edit::with_elbow_halved(layout, catalogue, i);
      });
    }
  }

  [[nodiscard]] std::function<edit::Edited(const Layout&)> smooth(const Piece& piece,
                                                                  double ratio) const {
    return at(piece, [ratio, &catalogue = catalogue_](const Layout& layout, std::size_t i) {
      return edit::with_elbow(
          layout,
          catalogue,
          {.piece = i,
           .type = catalogue.type_with(fitting::Kind::elbow, fitting::made(fitting::Make::smooth)),
           .radius_ratio = ratio});
    });
  }

  void longer_radius(std::size_t index) {
    const Piece& piece = pieces_[index];
    const double now = radius_ratio(index);
    for (const double ratio : {smooth_ratio(piece), kLongRadius}) {
      if (ratio <= now + 0.05) {
        continue;
      }
      Change& change = add(ChangeKind::longer_radius,
                           {index},
                           {"longer radius, r/D {}", {{ratio, Dimension::number}}});
      change.parts_new = 1;
      change.room_m = longer_leg_m(index, ratio);
      change.apply =
          at(piece, [ratio, &catalogue = catalogue_](const Layout& layout, std::size_t i) {
            return edit::with_elbow(
                layout, catalogue, {.piece = i, .type = {}, .radius_ratio = ratio});
          });
      return;
    }
  }

  void all_elbows() {
    if (smooth_.size() < 2) {
      return;
    }
    std::vector<std::function<edit::Edited(const Layout&)>> each;
    double room_m = 0.0;
    for (const std::size_t index : smooth_) {
      each.push_back(smooth(pieces_[index], smooth_ratio(pieces_[index])));
      room_m = std::max(room_m, longer_leg_m(index, smooth_ratio(pieces_[index])));
    }
    Change& change = add(
        ChangeKind::smooth_elbow,
        smooth_,
        {"smooth elbows, r/D {}", {{smooth_ratio(pieces_[smooth_.front()]), Dimension::number}}});
    change.parts_new = static_cast<int>(smooth_.size());
    change.room_m = room_m;
    change.apply = [each](const Layout& layout) {
      edit::Edited edited = layout;
      for (const auto& one : each) {
        edited = std::move(edited).and_then(one);
      }
      return edited;
    };
  }

  void jog(const edit::Offset& offset) {
    std::vector<std::size_t> touched;
    int out = 0;
    for (std::size_t i = offset.first; i <= offset.last; ++i) {
      touched.push_back(i);
      out += pieces_[i].kind == PieceKind::elbow ? 1 : 0;
    }
    Change& change = add(ChangeKind::no_offset, std::move(touched), {"without the offset", {}});
    change.condition = {"where the run beyond it can stand {} aside", {length(offset.sideways_m)}};
    change.parts_out = out;
    change.apply = [first = pieces_[offset.first],
                    last = pieces_[offset.last],
                    &catalogue = catalogue_](const Layout& layout) -> edit::Edited {
      const auto begin = find(layout, first);
      const auto end = find(layout, last);
      if (!begin || !end) {
        return gone(layout, first);
      }
      return edit::without_offset(
          layout, catalogue, {.first = *begin, .last = *end, .sideways_m = 0.0});
    };
  }

  // --- what else stands in the run

  [[nodiscard]] bool shuts_by_itself(std::size_t index) const {
    return layout::traits_of(pieces_[index], catalogue_).shuts_by_itself();
  }

  void damper(std::size_t index) {
    bool another = layout_.appliance.includes_damper;
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      const PieceKind kind = pieces_[i].kind;
      another = another || (i != index && (kind == PieceKind::damper || kind == PieceKind::cap) &&
                            shuts_by_itself(i));
    }
    if (!another || !shuts_by_itself(index)) {
      return;
    }
    Change& change = add(ChangeKind::damper_out,
                         {index},
                         {layout_.appliance.includes_damper ? "out: the appliance has one"
                                                            : "out: another damper is there",
                          {}});
    take_out(change, index);
  }

  void screen(std::size_t index) {
    Change& change = add(ChangeKind::screen_out, {index}, {"without the screen", {}});
    take_out(change, index);
  }

  void take_out(Change& change, std::size_t index) {
    change.parts_out = 1;
    change.apply =
        at(pieces_[index], [&catalogue = catalogue_](const Layout& layout, std::size_t i) {
          return edit::without_piece(layout, catalogue, i);
        });
  }

  void transition(std::size_t index) {
    const Piece& piece = pieces_[index];
    const fitting::Traits is = catalogue_.traits(fitting::Kind::transition, type_of(index));
    if (is.is(fitting::Make::abrupt)) {
      Change& change =
          add(ChangeKind::gradual_transition, {index}, {"gradual transition for abrupt", {}});
      change.parts_new = 1;
      change.apply = at(piece, [&catalogue = catalogue_](const Layout& layout, std::size_t i) {
        return edit::with_type(
            layout,
            catalogue,
            {.piece = i,
             .type = catalogue.type_with(fitting::Kind::transition,
                                         fitting::made(fitting::Make::gradual))});
      });
      return;
    }
    const bool round = piece.upstream.shape() == duct::Shape::round &&
                       piece.downstream.shape() == duct::Shape::round;
    if (!is.is(fitting::Make::gradual) || !round) {
      return;
    }
    const double step_m = std::abs(piece.downstream.width_m() - piece.upstream.width_m());
    const double slim_m = step_m / 2.0 / std::tan(kSlimAngle / 2.0 * units::kRadPerDegree);
    if (piece.length_m.value_or(0.0) >= slim_m) {
      return;
    }
    const double long_m = std::ceil(slim_m / units::kMetresPerInch) * units::kMetresPerInch;
    Change& change =
        add(ChangeKind::gradual_transition, {index}, {"transition {} long", {length(long_m)}});
    change.parts_new = 1;
    change.room_m = long_m - piece.length_m.value_or(0.0);
    change.apply =
        at(piece, [long_m, &catalogue = catalogue_](const Layout& layout, std::size_t i) {
          return edit::with_piece_key(
                     layout, catalogue, {.piece = i, .key = "included_angle", .value = {}})
              .and_then([&](const Layout& edited) {
                return edit::with_piece_key(
                    edited,
                    catalogue,
                    {.piece = i, .key = "length", .value = edit::length_value(long_m)});
              });
        });
  }

  void cap() {
    const std::optional<std::size_t> index = edit::cap_of(layout_);
    if (!index || layout_.run.discharge == layout::Discharge::room) {
      return;
    }
    const std::string type = type_of(*index);
    const fitting::Traits is = catalogue_.traits(fitting::Kind::cap, type);
    if (!is.outlet) {
      return;  // the user's own figure, or a cap that does not say where it stands
    }
    const Piece& piece = pieces_[*index];
    const bool roof = is.stands_at(fitting::Outlet::roof);
    if (roof && !is.shuts_by_itself()) {
      other_cap(*index,
                cap_with([](const fitting::Traits& other) {
                  return other.stands_at(fitting::Outlet::roof) && other.has_gravity_flap();
                }),
                {"roof hood with flap", {}});
    } else if (roof && piece.upstream.shape() == duct::Shape::round && !is_dryer()) {
      other_cap(*index,
                cap_with([](const fitting::Traits& other) {
                  return other.stands_at(fitting::Outlet::roof) && !other.shuts_by_itself();
                }),
                {"conical rain cap", {}});
    } else if (!is.outlet->roof && is.is_open_work()) {
      other_cap(*index,
                cap_with([](const fitting::Traits& other) {
                  return other.stands_at(fitting::Outlet::wall) && other.has_gravity_flap();
                }),
                {"wall hood with flap", {}});
    } else if (!is.outlet->roof && !is_dryer()) {
      other_cap(*index,
                cap_with([](const fitting::Traits& other) {
                  return other.is_open_work() && other.outlet && !other.outlet->roof;
                }),
                {"louver with {} free area", {{kWideOpen, Dimension::ratio}}});
    }
    if (is.is_open_work()) {
      open_up(*index,
              type,
              {.key = "free_area", .value = kWideOpen, .text = "70 %"},
              {fitting::in_words(type) + " with {} free area", {{kWideOpen, Dimension::ratio}}});
    }
    open_up(*index,
            type,
            {.key = "gap_ratio", .value = kRaisedGap, .text = "0.75"},
            {"rain cap raised to {} gap", {length(kRaisedGap * piece.upstream.width_m())}});
  }

  [[nodiscard]] std::string cap_with(
      const std::function<bool(const fitting::Traits&)>& such) const {
    return catalogue_.type_with(fitting::Kind::cap, such);
  }

  void other_cap(std::size_t index, const std::string& type, units::Message words) {
    Change& change = add(ChangeKind::other_cap, {index}, std::move(words));
    change.parts_new = 1;
    change.apply =
        at(pieces_[index], [type, &catalogue = catalogue_](const Layout& layout, std::size_t i) {
          edit::Edited edited = edit::with_type(layout, catalogue, {.piece = i, .type = type});
          if (catalogue.traits(fitting::Kind::cap, type).is_open_work()) {
            edited = std::move(edited).and_then([&](const Layout& of) {
              return edit::with_piece_key(
                  of, catalogue, {.piece = i, .key = "free_area", .value = "70 %"});
            });
          }
          return edited;
        });
  }

  struct Opening {
    std::string key;
    double value = 0.0;
    std::string text;
  };
  void open_up(std::size_t index,
               const std::string& type,
               const Opening& opening,
               units::Message words) {
    const auto taken = catalogue_.parameters(fitting::Kind::cap, type);
    const auto own = std::ranges::find(taken, opening.key, &fitting::Catalogue::Parameter::name);
    if (own == taken.end()) {
      return;
    }
    const auto stated = pieces_[index].parameters.find(opening.key);
    const std::optional<double> now = stated == pieces_[index].parameters.end()
                                          ? own->default_value
                                          : std::optional(stated->second);
    if (!now || *now >= opening.value) {
      return;
    }
    Change& change = add(ChangeKind::wider_cap, {index}, std::move(words));
    change.parts_new = 1;
    change.apply =
        at(pieces_[index], [opening, &catalogue = catalogue_](const Layout& layout, std::size_t i) {
          return edit::with_piece_key(
              layout, catalogue, {.piece = i, .key = opening.key, .value = opening.text});
        });
  }

  void fan_place() {
    if (!layout_.fan || is_dryer()) {
      return;
    }
    if (layout_.run.fan_piece) {
      Change& change =
          add(ChangeKind::fan_moved, {*layout_.run.fan_piece}, {"the fan at the collar", {}});
      change.apply = [&catalogue = catalogue_](const Layout& layout) {
        return edit::with_fan_at_collar(layout, catalogue);
      };
      return;
    }
    const std::optional<std::size_t> index = edit::cap_of(layout_);
    if (!index || *index == 0) {
      return;
    }
    Change& change = add(ChangeKind::fan_moved, {}, {"the fan before the cap", {}});
    change.span = layout_.fan->span;
    change.parts_new = 1;
    change.condition = {
        "by a fan of the same curve; the hood's entry is then charged, its filter is not", {}};
    change.apply =
        at(pieces_[*index], [&catalogue = catalogue_](const Layout& layout, std::size_t i) {
          return edit::with_fan_before(layout, catalogue, i).and_then([&](const Layout& edited) {
            return edit::with_piece_inserted(
                edited, catalogue, {.piece = 0, .text = "entry: flanged"});
          });
        });
  }

  const CheckResult& result_;
  const fitting::Catalogue& catalogue_;
  const Layout& layout_;
  const std::vector<Piece>& pieces_;
  std::vector<const solve::CompiledPiece*> compiled_;
  std::vector<std::size_t> smooth_;  ///< elbows for which a smooth one could stand
  std::vector<Change> changes_;
};

}  // namespace

std::vector<Change> possible_changes(const CheckResult& result,
                                     const fitting::Catalogue& catalogue) {
  return Finder(result, catalogue).find_all();
}

}  // namespace ductledger::study
