#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <map>
#include <string_view>

#include "base/text.hpp"
#include "layout/piece_number.hpp"
#include "layout/read_internal.hpp"

namespace ductledger::layout {
namespace {

bool is_piece_kind(const std::string& key) { return kPieceKindWords.find(key).has_value(); }

/// The index that a key such as `3` names.
std::optional<std::size_t> piece_named(const std::string& key, const Run& run) {
  int number = 0;
  const auto read = std::from_chars(key.data(), key.data() + key.size(), number);
  if (read.ec != std::errc() || read.ptr != key.data() + key.size()) {
    return std::nullopt;
  }
  return piece_index(run, number);
}

void read_piece(const yaml::Entry& entry, Variant& variant, Reading& reading) {
  const auto index = piece_named(entry.key, reading.layout.run);
  if (!index) {
    auto& fault =
        reading.problems.error(entry.key_span,
                               "unknown-piece",
                               fmt::format("the run has no piece {}", base::shown(entry.key)));
    const Run& run = reading.layout.run;
    fault.label =
        run.pieces.size() == 1
            ? "it has one, as `check` numbers it"
            : fmt::format("its pieces are 1 to {}, as `check` numbers them", run.pieces.size());
    fault.notes.push_back("pieces: " + piece_list(run));
    return;
  }
  VariantPiece piece;
  piece.piece = *index;
  piece.value = entry.value;
  piece.span = entry.key_span;
  if (entry.value.kind == yaml::NodeKind::scalar &&
      base::canonical_word(entry.value.text) == "out") {
    piece.change = VariantPiece::Change::out;
  } else if (entry.value.kind == yaml::NodeKind::mapping && entry.value.entries.size() == 1 &&
             is_piece_kind(entry.value.entries.front().key)) {
    piece.change = VariantPiece::Change::replace;
  } else if (entry.value.kind == yaml::NodeKind::sequence && !entry.value.items.empty()) {
    piece.change = VariantPiece::Change::replace;
  } else if (entry.value.kind == yaml::NodeKind::mapping && !entry.value.entries.empty()) {
    piece.change = VariantPiece::Change::keys;
  } else {
    reading.problems
        .error(entry.key_span, "wrong-kind", "a piece of a variant is neither changed nor left out")
        .help =
        "write `{type: gored-5}` to change keys, `{elbow: {...}}` for another piece, a list for "
        "several, or `out`";
    return;
  }
  variant.pieces.push_back(std::move(piece));
}

void read_variant(const yaml::Entry& entry, Reading& reading) {
  Variant variant;
  variant.name = entry.key;
  variant.span = entry.key_span;
  yaml::MapReader map(entry.value, "variant", reading.problems);
  if (!map.is_mapping()) {
    return;
  }
  if (const yaml::Node* section = map.get("section")) {
    variant.section = read_section(*section, reading.problems);
  }
  if (const yaml::Node* heading = map.get("heading")) {
    variant.heading = yaml::read_text(*heading, reading.problems).value_or("");
  }
  if (const yaml::Node* material = map.get("material")) {
    variant.material = yaml::read_text(*material, reading.problems).value_or("");
  }
  if (const yaml::Node* pieces = map.get("pieces")) {
    if (pieces->kind != yaml::NodeKind::mapping) {
      reading.problems.error(pieces->span, "wrong-kind", "`pieces` of a variant must be a mapping")
          .help = "name pieces by number: `pieces: {2: {type: gored-5}}`";
    } else {
      for (const yaml::Entry& piece : pieces->entries) {
        read_piece(piece, variant, reading);
      }
    }
  }
  map.finish();
  reading.layout.variants.push_back(std::move(variant));
}

}  // namespace

void read_variants(const yaml::Node& variants, Reading& reading) {
  if (variants.kind != yaml::NodeKind::mapping) {
    reading.problems.error(variants.span, "wrong-kind", "`variants` must be a mapping of names")
        .help = "such as `flat: {section: 10 x 3-1/4 in}`";
    return;
  }
  if (!holds_at_most(variants, kMostVariants, "variants", reading.problems)) {
    return;
  }
  // By name, so that nothing follows from where they stand in the file.
  std::map<std::string_view, const yaml::Entry*> by_name;
  for (const yaml::Entry& entry : variants.entries) {
    by_name.emplace(entry.key, &entry);
  }
  for (const auto& [name, entry] : by_name) {
    read_variant(*entry, reading);
  }
}

}  // namespace ductledger::layout
