#include <algorithm>
#include <limits>

#include "base/text.hpp"
#include "findings/finding_internal.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/facts.hpp"
#include "rules/arithmetic.hpp"
#include "rules/fact_internal.hpp"
#include "rules/judge_internal.hpp"

// The run, its pieces and where it ends.
namespace ductledger::rules::worked_out {
namespace {

using layout::PieceKind;

}  // namespace

Values discharge(const result::Case& subject) {
  return {word_of(findings::discharges_into_room(subject) ? "room" : "outdoors",
                  subject.layout->run.span)};
}

namespace {

fitting::Traits traits_of(const result::Case& subject, const layout::Piece& piece) {
  return layout::traits_of(piece, *subject.catalogue);
}

const layout::Piece* last_cap(const result::Case& subject) {
  const auto& pieces = subject.layout->run.pieces;
  return !pieces.empty() && pieces.back().kind == PieceKind::cap ? &pieces.back() : nullptr;
}

}  // namespace

Values termination_place(const result::Case& subject) {
  Values stated = stated_values("run.termination.place", subject);
  if (!stated.empty()) {
    return stated;
  }
  const layout::Piece* cap = last_cap(subject);
  if (findings::discharges_into_room(subject)) {
    return {word_of("inside", subject.layout->run.span)};
  }
  if (cap == nullptr || cap->type.empty() || subject.run->pieces.empty()) {
    return {};  // a cap whose type was not stated shows no place
  }
  const auto outlet = traits_of(subject, *cap).outlet;
  const auto only = outlet ? outlet->only() : std::nullopt;
  return only ? Values{word_of(fitting::word(*only), cap->span)} : Values{};
}

Values termination_damper(const result::Case& subject) {
  Values stated = stated_values("run.termination.damper", subject);
  const layout::Piece* cap = last_cap(subject);
  if (cap != nullptr && !cap->type.empty() && traits_of(subject, *cap).shuts_by_itself()) {
    return {answer_of(Answer::yes, cap->span)};
  }
  return stated;
}

Values backdraft_damper(const result::Case& subject) {
  const layout::Appliance& appliance = subject.layout->appliance;
  bool not_said = false;  // a cap or damper of the user's own that does not say what shuts it
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const layout::Piece* stated = findings::piece_of(subject, piece);
    if (stated == nullptr) {
      continue;
    }
    const fitting::Traits traits = traits_of(subject, *stated);
    const bool chosen = stated->kind == PieceKind::cap || stated->states("type");
    if (chosen && traits.shuts_by_itself()) {
      return {answer_of(Answer::yes, stated->span)};
    }
    const bool can_shut = stated->kind == PieceKind::cap || stated->kind == PieceKind::damper;
    not_said = not_said || (can_shut && !traits.flap);
  }
  if (appliance.includes_damper) {
    return {answer_of(Answer::yes, appliance.span)};
  }
  Values at_end = termination_damper(subject);
  if (!at_end.empty() && at_end.front().yes) {
    return at_end;
  }
  // The pieces are known; what stands inside the appliance only where it is stated.
  if (appliance.includes_stated && !not_said) {
    return {answer_of(Answer::no, subject.layout->run.span)};
  }
  return {};
}

bool is_duct(const layout::Piece& piece) {
  return piece.kind == PieceKind::straight || piece.kind == PieceKind::flex;
}

bool default_taken(const result::Case& subject, std::string_view what) {
  const auto& defaults = subject.layout->defaults;
  return std::any_of(defaults.begin(), defaults.end(), [&](const layout::DefaultTaken& taken) {
    return taken.what == what;
  });
}

namespace {

/// The roughness table tells makes of one metal apart, rules do not.
std::string metal_word(const std::string& material) {
  return material.rfind("galvanized", 0) == 0 ? "galvanized-steel" : material;
}

bool in_view(const layout::Piece& piece) {
  const std::string& through = piece.around().through;
  return through.empty() || through == "conditioned" || through == "garage";
}

}  // namespace

Values duct_material(const result::Case& subject) {
  const bool run_states_none = default_taken(subject, "run.material");
  const std::vector<layout::Piece>& pieces = subject.layout->run.pieces;
  const layout::Piece* transition = findings::transition_duct(subject);
  Values values;
  for (const layout::Piece& piece : pieces) {
    if (piece.kind == PieceKind::flex && &piece != transition) {
      // A dryer's transition duct has rules of its own.
      values.push_back(word_of("flexible-nonmetallic", piece.span));
    }
    if (piece.kind != PieceKind::straight) {
      continue;
    }
    const auto own = piece.key_spans.find("material");
    if (piece.material.empty() || (run_states_none && own == piece.key_spans.end())) {
      return {};
    }
    values.push_back(word_of(metal_word(piece.material),
                             own == piece.key_spans.end() ? piece.span : own->second));
  }
  return values;
}

namespace {

/// Whether an appliance is one that returns its air: only where that is stated, and only for air
/// that stays in the room. A duct that ends in an attic is none, whatever else is stated.
Values returns_its_air(const result::Case& subject, layout::ApplianceKind kind) {
  if (subject.layout->appliance.kind != kind) {
    return {answer_of(Answer::no)};
  }
  const Values place = termination_place(subject);
  if (!place.empty() && place.front().word != "inside") {
    return {answer_of(Answer::no, place.front().span)};
  }
  Values stated = stated_values("appliance.ductless", subject);
  const bool hood_to_room =
      kind == layout::ApplianceKind::range_hood && findings::discharges_into_room(subject);
  if (stated.empty() && !hood_to_room) {
    return {answer_of(Answer::no)};
  }
  return stated;
}

}  // namespace

Values ductless_hood(const result::Case& subject) {
  return returns_its_air(subject, layout::ApplianceKind::range_hood);
}

Values ductless_dryer(const result::Case& subject) {
  return returns_its_air(subject, layout::ApplianceKind::clothes_dryer);
}

Values transition_duct(const result::Case& subject) {
  if (const layout::Piece* piece = findings::transition_duct(subject)) {
    return {answer_of(Answer::yes, piece->span)};
  }
  for (const char* path : {"run.transition_duct.length",
                           "run.transition_duct.pieces",
                           "run.transition_duct.listing",
                           "run.transition_duct.concealed"}) {
    const Values values = stated_values(path, subject);
    if (!values.empty()) {
      return {answer_of(Answer::yes, values.front().span)};
    }
  }
  return {answer_of(Answer::no)};
}

Values transition_duct_length(const result::Case& subject) {
  Values stated = stated_values("run.transition_duct.length", subject);
  const layout::Piece* piece = findings::transition_duct(subject);
  if (stated.empty() && piece != nullptr && piece->length_m) {
    return {value_of(*piece->length_m, piece->span)};
  }
  return stated;
}

Values transition_duct_concealed(const result::Case& subject) {
  const layout::Piece* piece = findings::transition_duct(subject);
  if (piece != nullptr && !in_view(*piece)) {
    return {answer_of(Answer::yes, piece->span)};
  }
  return stated_values("run.transition_duct.concealed", subject);
}

/// A screen where the duct ends: stated, or a piece of the run.
Values termination_screen(const result::Case& subject) {
  for (const layout::Piece& piece : subject.layout->run.pieces) {
    if (piece.kind == PieceKind::screen) {
      return {answer_of(Answer::yes, piece.span)};
    }
  }
  return stated_values("run.termination.screen", subject);
}

Values flexible_duct(const result::Case& subject) {
  const layout::Piece* transition = findings::transition_duct(subject);
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const layout::Piece* stated = findings::piece_of(subject, piece);
    if (stated != nullptr && stated != transition &&
        (stated->kind == PieceKind::flex ||
         traits_of(subject, *stated).is(fitting::Make::flexible))) {
      return {answer_of(Answer::yes, stated->span)};
    }
  }
  return {answer_of(Answer::no)};
}

namespace {

bool is_metal(const std::string& material) {
  return material != "pvc" && material != "flexible-nonmetallic";
}

}  // namespace

Values metal_duct(const result::Case& subject) {
  const Values materials = duct_material(subject);
  for (const FactValue& material : materials) {
    if (!is_metal(material.word)) {
      return {answer_of(Answer::no, material.span)};
    }
  }
  return materials.empty() ? Values{} : Values{answer_of(Answer::yes, materials.front().span)};
}

Values smooth_inside(const result::Case& subject) {
  Values flexible = flexible_duct(subject);
  if (flexible.front().yes) {
    return {answer_of(Answer::no, flexible.front().span)};
  }
  for (const layout::Piece& piece : subject.layout->run.pieces) {
    if (piece.kind == PieceKind::straight &&
        (piece.material.find("ribbed") != std::string::npos ||
         piece.material.find("corrugated") != std::string::npos)) {
      return {answer_of(Answer::no, piece.span)};
    }
  }
  return stated_values("run.construction.smooth_inside", subject);
}

Values duct_thickness(const result::Case& subject) {
  Values stated = stated_values("run.construction.thickness", subject);
  if (!stated.empty()) {
    return stated;
  }
  for (const FactValue& gauge : stated_values("run.construction.gauge", subject)) {
    if (const auto thickness_m = layout::sheet_thickness_m(static_cast<int>(gauge.si))) {
      return {value_of(*thickness_m, gauge.span)};
    }
  }
  return {};
}

Values duct_size(const result::Case& subject) {
  Values values;
  for (const layout::Piece& piece : subject.layout->run.pieces) {
    if (is_duct(piece)) {
      values.push_back(
          value_of(std::max(piece.upstream.width_m(), piece.upstream.height_m()), piece.span));
    }
  }
  return values;
}

Values passes(const result::Case& subject) {
  Values values;
  for (const layout::Piece& piece : subject.layout->run.pieces) {
    if (!is_duct(piece)) {
      continue;
    }
    if (piece.around().through.empty()) {
      return {};
    }
    values.push_back(word_of(piece.around().through, piece.span));
  }
  return values;
}

Values through_garage(const result::Case& subject) {
  bool all_stated = true;
  for (const layout::Piece& piece : subject.layout->run.pieces) {
    if (piece.around().through == "garage") {
      return {answer_of(Answer::yes, piece.span)};
    }
    all_stated = all_stated && (!is_duct(piece) || !piece.around().through.empty());
  }
  return all_stated ? Values{answer_of(Answer::no)} : Values{};
}

Values dryer_equivalent_length(const result::Case& subject) {
  const std::optional<double> length_m = dryer_equivalent_length_m(subject);
  return length_m ? Values{value_of(*length_m, subject.layout->run.span)} : Values{};
}

Values fan_in_duct(const result::Case& subject) {
  const auto& at = subject.layout->run.fan_piece;
  return {at ? answer_of(Answer::yes, subject.layout->run.pieces[*at].span)
             : answer_of(Answer::no)};
}

Values smallest_size_ratio(const result::Case& subject) {
  const layout::Layout& layout = *subject.layout;
  if (!layout.appliance.collar || layout.run.pieces.empty()) {
    return {};
  }
  const double collar_m2 = layout.appliance.collar->area_m2();
  FactValue smallest =
      value_of(layout.run.first_section.area_m2() / collar_m2, layout.run.section_span);
  for (const layout::Piece& piece : layout.run.pieces) {
    const double ratio = piece.downstream.area_m2() / collar_m2;
    if (ratio < smallest.si) {
      smallest = value_of(ratio, piece.span);
    }
  }
  return {smallest};
}

}  // namespace ductledger::rules::worked_out
