#include "edit/edit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <utility>

#include "base/text.hpp"
#include "edit/draft_internal.hpp"
#include "edit/path.hpp"
#include "layout/direction.hpp"
#include "layout/geometry.hpp"
#include "layout/piece_number.hpp"
#include "units/constants.hpp"

namespace ductledger::edit {
namespace {

using layout::Piece;
using layout::PieceKind;
using yaml::Node;

/// The piece, where the layout has one of that index and of one of these kinds.
struct Wanted {
  std::size_t piece = 0;
  std::vector<PieceKind> kinds;  ///< empty: any
};
std::optional<base::Diagnostic> unfit(const layout::Layout& layout, const Wanted& wanted) {
  if (layout.tree == nullptr) {
    return refusal(layout, {}, "this layout was not read from a text, so it cannot be edited");
  }
  if (wanted.piece >= layout.run.pieces.size()) {
    return refusal(layout,
                   layout.run.span,
                   fmt::format("the run has no piece {}", layout::piece_number(wanted.piece)));
  }
  const Piece& piece = layout.run.pieces[wanted.piece];
  if (wanted.kinds.empty() ||
      std::find(wanted.kinds.begin(), wanted.kinds.end(), piece.kind) != wanted.kinds.end()) {
    return std::nullopt;
  }
  std::vector<std::string> words;
  for (const PieceKind kind : wanted.kinds) {
    words.emplace_back(layout::word(kind));
  }
  return refusal(layout,
                 piece.span,
                 fmt::format("piece {} is a {}, not a {}",
                             layout::piece_number(wanted.piece),
                             layout::word(piece.kind),
                             base::joined(words)));
}

/// Only the text is needed, no piece.
std::optional<base::Diagnostic> no_text(const layout::Layout& layout) {
  if (layout.tree == nullptr) {
    return refusal(layout, {}, "this layout was not read from a text, so it cannot be edited");
  }
  return std::nullopt;
}

bool is_duct(const Piece& piece) {
  return piece.kind == PieceKind::straight || piece.kind == PieceKind::flex;
}

bool measured_to_centres(const Piece& piece) { return piece.states("measured"); }

}  // namespace

Edited with_elbow(const layout::Layout& layout,
                  const fitting::Catalogue& catalogue,
                  const ElbowChange& change) {
  if (auto fault = unfit(layout, {change.piece, {PieceKind::elbow}})) {
    return *std::move(fault);
  }
  const Piece& piece = layout.run.pieces[change.piece];
  Draft draft(layout, catalogue);
  Node& keys = draft.keys(change.piece);
  for (const char* key : {"coefficient", "reference", "error", "equivalent_length", "source"}) {
    Draft::erase(keys, key);
  }
  if (!change.type.empty()) {
    const auto taken = catalogue.parameters(fitting::Kind::elbow, change.type);
    for (const auto& [name, value] : piece.parameters) {
      if (std::none_of(taken.begin(), taken.end(), [&, key = name](const auto& parameter) {
            return parameter.name == key;
          })) {
        Draft::erase(keys, name);
      }
    }
    Draft::set(keys, "type", change.type);
  }
  if (change.radius_ratio) {
    Draft::set(keys, "radius_ratio", fmt::format("{}", *change.radius_ratio));
  }
  return std::move(draft).read();
}

Edited with_elbow_halved(const layout::Layout& layout,
                         const fitting::Catalogue& catalogue,
                         std::size_t index) {
  if (auto fault = unfit(layout, {index, {PieceKind::elbow}})) {
    return *std::move(fault);
  }
  const Piece& piece = layout.run.pieces[index];
  if (piece.loss_is_stated()) {
    return refusal(layout,
                   piece.span,
                   fmt::format("the loss of elbow {} is stated: what half of it turns is not known",
                               layout::piece_number(index)));
  }
  Draft draft(layout, catalogue);
  Node& keys = draft.keys(index);
  // The second one turns what is left, so that the heading behind it is the same to the last digit.
  const bool all_the_way = Draft::has(keys, "turn") && !Draft::has(keys, "angle");
  const std::string half =
      fmt::format("{:.10g} deg", piece.as<layout::Elbow>().angle_rad / 2.0 / units::kRadPerDegree);
  Draft::set(keys, "angle", half);
  Draft::erase(keys, "leg");
  Draft::erase(keys, "legs");
  std::vector<Node>& items = draft.pieces();
  Node second = items[index];
  const auto legs = [&](Node& of, double before_m, double after_m) {
    if (!piece.states("legs")) {
      return;
    }
    Node list;
    list.kind = yaml::NodeKind::sequence;
    list.span = of.span;
    for (const double leg_m : {before_m, after_m}) {
      Node leg;
      leg.kind = yaml::NodeKind::scalar;
      leg.span = of.span;
      leg.text = length_value(leg_m);
      list.items.push_back(std::move(leg));
    }
    of.entries.push_back({"legs", of.span, std::move(list)});
  };
  legs(keys, piece.as<layout::Elbow>().legs_m[0], 0.0);
  Node& second_keys = second.entries.front().value;
  legs(second_keys, 0.0, piece.as<layout::Elbow>().legs_m[1]);
  if (all_the_way) {
    Draft::erase(second_keys, "angle");
  }
  items.insert(items.begin() + static_cast<std::ptrdiff_t>(index) + 1, std::move(second));
  return std::move(draft).read();
}

std::vector<Offset> offsets(const layout::Layout& layout) {
  constexpr double kSame = 1e-6;  // of a unit vector
  const auto route = layout::run_geometry(layout);
  const std::vector<Piece>& pieces = layout.run.pieces;
  std::vector<Offset> found;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (pieces[i].kind != PieceKind::elbow || !pieces[i].heading_in) {
      continue;
    }
    std::size_t j = i + 1;
    double between_m = pieces[i].as<layout::Elbow>().legs_m[1];
    while (j < pieces.size() && is_duct(pieces[j])) {
      between_m += pieces[j].length_m.value_or(0.0);
      ++j;
    }
    if (j == pieces.size() || pieces[j].kind != PieceKind::elbow || !pieces[j].heading_out ||
        layout::angle_between(*pieces[i].heading_in, *pieces[j].heading_out) > kSame) {
      continue;
    }
    between_m += pieces[j].as<layout::Elbow>().legs_m[0];
    if (route) {
      // From corner to corner as holes are placed, legs that are not stated by their nominal
      // length.
      const layout::Point& a = route->pieces[i].corner;
      const layout::Point& b = route->pieces[j].corner;
      between_m = std::hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2]);
    }
    found.push_back({i, j, between_m * std::sin(pieces[i].as<layout::Elbow>().angle_rad)});
  }
  return found;
}

Edited without_offset(const layout::Layout& layout,
                      const fitting::Catalogue& catalogue,
                      const Offset& offset) {
  if (auto fault = unfit(layout, {offset.last, {PieceKind::elbow}})) {
    return *std::move(fault);
  }
  const std::vector<Offset> all = offsets(layout);
  if (std::none_of(all.begin(), all.end(), [&](const Offset& each) {
        return each.first == offset.first && each.last == offset.last;
      })) {
    return refusal(layout,
                   layout.run.pieces[offset.last].span,
                   fmt::format("pieces {} to {} are no offset: two elbows whose turns take each "
                               "other back, with nothing but duct between, and headings known",
                               layout::piece_number(offset.first),
                               layout::piece_number(offset.last)));
  }
  const std::vector<Piece>& pieces = layout.run.pieces;
  const Piece& first = pieces[offset.first];
  const Piece& last = pieces[offset.last];
  const std::array<double, 2>& first_legs_m = first.as<layout::Elbow>().legs_m;
  const std::array<double, 2>& last_legs_m = last.as<layout::Elbow>().legs_m;
  const double along = std::cos(first.as<layout::Elbow>().angle_rad);
  // Legs beside a straight measured to centres come back to that straight by themselves.
  double legs_m = along * (first_legs_m[1] + last_legs_m[0]);
  if (first.states("legs") &&
      !(offset.first > 0 && measured_to_centres(pieces[offset.first - 1]))) {
    legs_m += first_legs_m[0];
  }
  if (last.states("legs") &&
      !(offset.last + 1 < pieces.size() && measured_to_centres(pieces[offset.last + 1]))) {
    legs_m += last_legs_m[1];
  }
  Draft draft(layout, catalogue);
  constexpr double kNothingM = 0.001;  // the shortest length that a layout states
  std::vector<std::size_t> gone{offset.last};
  for (std::size_t i = offset.last - 1; i > offset.first; --i) {
    double length_m = along * pieces[i].length_m.value_or(0.0);
    if (i == offset.first + 1) {
      length_m += legs_m;
    }
    if (length_m < kNothingM) {
      gone.push_back(i);
      continue;
    }
    Node& keys = draft.keys(i);
    Draft::set(keys, "length", length_value(length_m));
    Draft::erase(keys, "measured");
  }
  gone.push_back(offset.first);
  draft.take_out(std::move(gone));
  if (draft.pieces().empty()) {
    return refusal(layout, first.span, "nothing would be left of the run");
  }
  return std::move(draft).read();
}

Edited with_type(const layout::Layout& layout,
                 const fitting::Catalogue& catalogue,
                 const TypeChange& change) {
  if (auto fault = unfit(layout,
                         {change.piece,
                          {PieceKind::elbow,
                           PieceKind::transition,
                           PieceKind::damper,
                           PieceKind::cap,
                           PieceKind::screen,
                           PieceKind::filter,
                           PieceKind::entry}})) {
    return *std::move(fault);
  }
  Draft draft(layout, catalogue);
  // A transition's length stays: it is where the next piece begins.
  const PieceKind kind = layout.run.pieces[change.piece].kind;
  Node& keys = draft.keys(change.piece);
  const bool keep_length =
      kind == PieceKind::transition &&
      !catalogue.traits(fitting::Kind::transition, change.type).is(fitting::Make::abrupt);
  const std::optional<double> length_m = layout.run.pieces[change.piece].length_m;
  draft.forget_fitting(change.piece);
  if (keep_length && length_m) {
    Draft::set(keys, "length", length_value(*length_m));
  }
  Draft::set(keys, "type", change.type);
  return std::move(draft).read();
}

std::optional<std::size_t> cap_of(const layout::Layout& layout) {
  const std::vector<Piece>& pieces = layout.run.pieces;
  const auto found = std::find_if(pieces.rbegin(), pieces.rend(), [](const Piece& each) {
    return each.kind == PieceKind::cap;
  });
  if (found == pieces.rend()) {
    return std::nullopt;
  }
  return static_cast<std::size_t>(pieces.rend() - found) - 1;
}

Edited with_rigid(const layout::Layout& layout,
                  const fitting::Catalogue& catalogue,
                  std::size_t index) {
  if (auto fault = unfit(layout, {index, {PieceKind::flex}})) {
    return *std::move(fault);
  }
  Draft draft(layout, catalogue);
  Node& keys = draft.keys(index);
  for (const char* key : {"stretched", "roughness", "sag", "dips"}) {
    Draft::erase(keys, key);
  }
  draft.pieces()[index].entries.front().key = "straight";
  return std::move(draft).read();
}

Edited with_stretch(const layout::Layout& layout,
                    const fitting::Catalogue& catalogue,
                    const Stretch& stretch) {
  if (auto fault = unfit(layout, {stretch.piece, {PieceKind::flex}})) {
    return *std::move(fault);
  }
  Draft draft(layout, catalogue);
  Node& keys = draft.keys(stretch.piece);
  Draft::set(keys, "stretched", fmt::format("{:.10g} %", stretch.stretched * 100.0));
  Draft::erase(keys, "sag");
  Draft::erase(keys, "dips");
  return std::move(draft).read();
}

Edited with_length(const layout::Layout& layout,
                   const fitting::Catalogue& catalogue,
                   const LengthChange& change) {
  if (auto fault = unfit(layout, {change.piece, {PieceKind::straight, PieceKind::flex}})) {
    return *std::move(fault);
  }
  Draft draft(layout, catalogue);
  Node& keys = draft.keys(change.piece);
  Draft::set(keys, "length", length_value(change.length_m));
  Draft::erase(keys, "measured");
  return std::move(draft).read();
}

Edited with_fan_before(const layout::Layout& layout,
                       const fitting::Catalogue& catalogue,
                       std::size_t piece) {
  if (auto fault = no_text(layout)) {
    return *std::move(fault);
  }
  if (piece > layout.run.pieces.size()) {
    return refusal(layout,
                   layout.run.span,
                   fmt::format("the run has no piece {}", layout::piece_number(piece)));
  }
  Draft draft(layout, catalogue);
  std::vector<Node>& items = draft.pieces();
  Node fan;
  fan.kind = yaml::NodeKind::scalar;
  fan.text = "fan";
  fan.span = layout.run.span;
  std::size_t at = piece;
  if (layout.run.fan_piece) {
    const std::size_t old = *layout.run.fan_piece;
    fan = items[old];
    items.erase(items.begin() + static_cast<std::ptrdiff_t>(old));
    at -= old < piece ? 1 : 0;
  }
  items.insert(items.begin() + static_cast<std::ptrdiff_t>(at), std::move(fan));
  return std::move(draft).read();
}

Edited with_fan_at_collar(const layout::Layout& layout, const fitting::Catalogue& catalogue) {
  if (auto fault = no_text(layout)) {
    return *std::move(fault);
  }
  if (!layout.run.fan_piece) {
    return refusal(layout, layout.run.span, "the fan is at the collar already");
  }
  return without_piece(layout, catalogue, *layout.run.fan_piece);
}

Edited without_piece(const layout::Layout& layout,
                     const fitting::Catalogue& catalogue,
                     std::size_t piece) {
  if (auto fault = unfit(layout, {piece, {}})) {
    return *std::move(fault);
  }
  Draft draft(layout, catalogue);
  draft.take_out({piece});
  return std::move(draft).read();
}

Edited with_piece_replaced(const layout::Layout& layout,
                           const fitting::Catalogue& catalogue,
                           const PieceText& piece) {
  if (auto fault = unfit(layout, {piece.piece, {}})) {
    return *std::move(fault);
  }
  Draft draft(layout, catalogue);
  auto made = draft.piece(piece.text, layout.run.pieces[piece.piece].span);
  if (!made) {
    return std::move(made).error();
  }
  draft.pieces()[piece.piece] = *std::move(made);
  return std::move(draft).read();
}

Edited with_piece_inserted(const layout::Layout& layout,
                           const fitting::Catalogue& catalogue,
                           const PieceText& piece) {
  if (auto fault = no_text(layout)) {
    return *std::move(fault);
  }
  const std::size_t count = layout.run.pieces.size();
  if (piece.piece > count) {
    return refusal(layout,
                   layout.run.span,
                   fmt::format("the run has no piece {}", layout::piece_number(piece.piece)));
  }
  Draft draft(layout, catalogue);
  auto made = draft.piece(piece.text, layout.run.pieces[std::min(piece.piece, count - 1)].span);
  if (!made) {
    return std::move(made).error();
  }
  std::vector<Node>& items = draft.pieces();
  items.insert(items.begin() + static_cast<std::ptrdiff_t>(piece.piece), *std::move(made));
  return std::move(draft).read();
}

Edited with_piece_key(const layout::Layout& layout,
                      const fitting::Catalogue& catalogue,
                      const PieceKey& change) {
  if (auto fault = unfit(layout, {change.piece, {}})) {
    return *std::move(fault);
  }
  const Setting setting{.path = {{{"run"}, {"pieces", change.piece + 1}, {change.key}}},
                        .value = change.value};
  return with_settings(layout, catalogue, {&setting, 1});
}

Edited with_value(const layout::Layout& layout,
                  const fitting::Catalogue& catalogue,
                  const ValueChange& change) {
  if (change.keys.empty()) {
    return refusal(layout, {}, "no key is named");
  }
  Setting setting{.path = {}, .value = change.value};
  for (const std::string& key : change.keys) {
    setting.path.steps.push_back({key});
  }
  return with_settings(layout, catalogue, {&setting, 1});
}

Edited with_text(const layout::Layout& layout,
                 const fitting::Catalogue& catalogue,
                 const ValueChange& change) {
  if (auto fault = no_text(layout)) {
    return *std::move(fault);
  }
  if (change.keys.empty()) {
    return refusal(layout, {}, "no key is named");
  }
  Draft draft(layout, catalogue);
  auto made = draft.piece(change.value, layout.run.span);
  if (!made) {
    return std::move(made).error();
  }
  Node* node = &draft.root();
  for (std::size_t i = 0; i + 1 < change.keys.size(); ++i) {
    node = &draft.mapping(*node, change.keys[i]);
    if (node->kind != yaml::NodeKind::mapping) {
      return refusal(layout, node->span, fmt::format("`{}` holds no keys", change.keys[i]));
    }
  }
  Draft::erase(*node, change.keys.back());
  node->entries.push_back({change.keys.back(), node->span, *std::move(made)});
  return std::move(draft).read();
}

}  // namespace ductledger::edit
