#include "edit/variant.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "edit/draft_internal.hpp"

namespace ductledger::edit {
namespace {

bool same_piece(const layout::Piece& a, const layout::Piece& b) {
  return a.detail == b.detail && a.type == b.type && a.source == b.source &&
         a.upstream == b.upstream && a.downstream == b.downstream && a.length_m == b.length_m &&
         a.roughness_m == b.roughness_m && a.material == b.material &&
         a.parameters == b.parameters && a.coefficient == b.coefficient &&
         a.equivalent_length_m == b.equivalent_length_m && a.equivalent_of == b.equivalent_of &&
         a.heading_in == b.heading_in && a.heading_out == b.heading_out;
}

/// A key of a piece as the file writes it, in place of the one that is there.
void put(yaml::Node& keys, const yaml::Entry& entry) {
  Draft::erase(keys, entry.key);
  keys.entries.push_back(entry);
}

}  // namespace

bool same_run(const layout::Run& a, const layout::Run& b) {
  return a.first_section == b.first_section && a.changes_at_collar == b.changes_at_collar &&
         a.heading == b.heading && a.rise_m == b.rise_m &&
         std::equal(a.pieces.begin(), a.pieces.end(), b.pieces.begin(), b.pieces.end(), same_piece);
}

namespace {

/// The pieces as the variant has them, by the numbers that they have without it.
void change_pieces(Draft& draft, const std::vector<layout::VariantPiece>& changes) {
  std::vector<std::size_t> gone;
  std::vector<const layout::VariantPiece*> followed;  // by further pieces
  for (const layout::VariantPiece& change : changes) {
    switch (change.change) {
      case layout::VariantPiece::Change::out:
        gone.push_back(change.piece);
        break;
      case layout::VariantPiece::Change::replace:
        if (change.value.kind == yaml::NodeKind::sequence) {
          draft.pieces().at(change.piece) = change.value.items.front();
          followed.push_back(&change);
        } else {
          draft.pieces().at(change.piece) = change.value;
        }
        break;
      case layout::VariantPiece::Change::keys:
        if (change.value.find("type") != nullptr) {
          draft.forget_fitting(change.piece);
        }
        for (const yaml::Entry& entry : change.value.entries) {
          put(draft.keys(change.piece), entry);
        }
        break;
    }
  }
  draft.take_out(gone);
  std::ranges::sort(followed, std::greater{}, &layout::VariantPiece::piece);
  for (const layout::VariantPiece* change : followed) {
    const auto before =
        std::ranges::count_if(gone, [&](std::size_t piece) { return piece < change->piece; });
    const auto& items = change->value.items;
    auto& pieces = draft.pieces();
    pieces.insert(pieces.begin() + static_cast<std::ptrdiff_t>(change->piece) - before + 1,
                  items.begin() + 1,
                  items.end());
  }
}

}  // namespace

Edited with_variant(const layout::Layout& layout,
                    const fitting::Catalogue& catalogue,
                    const layout::Variant& variant) {
  Draft draft(layout, catalogue);
  Draft::erase(draft.root(), "variants");
  if (!variant.heading.empty()) {
    Draft::set(draft.run(), "heading", variant.heading);
  }
  if (!variant.material.empty()) {
    Draft::set(draft.run(), "material", variant.material);
  }
  change_pieces(draft, variant.pieces);
  Edited edited = std::move(draft).read();
  if (edited && variant.section) {
    edited = with_section(*edited, catalogue, {.section = *variant.section});
  }
  if (!edited) {
    return edited;
  }
  if (same_run(layout.run, edited->run)) {
    base::Diagnostic fault = base::fault_at(
        {layout.source, variant.span},
        "variant-changes-nothing",
        fmt::format("the variant {} changes nothing of the run", base::shown(variant.name)),
        "take it out, or state what differs: `section`, `heading`, `material` or `pieces`");
    fault.label = "the run is the same with it";
    return fault;
  }
  edited->title = variant.name;
  // What the file states of its pieces is one and the same figure in all its variants.
  edited->sha256 = layout.sha256;
  return edited;
}

}  // namespace ductledger::edit
