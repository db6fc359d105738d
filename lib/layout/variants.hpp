#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "duct/section.hpp"
#include "yaml/tree.hpp"

/// `variants` of a layout: what `compare` changes before it calculates. Read and checked in form;
/// applied in study/variant.hpp.
namespace ductledger::layout {

/// One piece of a variant.
struct VariantPiece {
  enum class Change {
    keys,     ///< `value` is a mapping of keys to put in the piece
    replace,  ///< `value` is a whole piece, or a list of pieces that follow one another
    out       ///< the piece is left out
  };
  std::size_t piece = 0;  ///< index in run.pieces
  Change change = Change::keys;
  yaml::Node value;
  base::Span span;
};

struct Variant {
  std::string name;
  std::optional<duct::Section> section;  ///< of the whole run
  std::string heading;                   ///< leaving the collar; empty: as it is
  std::string material;                  ///< of the run; empty: as it is
  std::vector<VariantPiece> pieces;
  base::Span span;
};

}  // namespace ductledger::layout
