#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "fitting/entry.hpp"
#include "yaml/reader.hpp"

namespace ductledger::fitting {

struct Document {
  std::vector<Entry> entries;
  std::vector<SupportTable> tables;
  std::vector<Source> sources;
};

/// What a file may refer to beyond itself.
struct Known {
  /// Keys of sources; null: the keys are not checked.
  std::function<std::vector<std::string>()> sources;
  std::function<const SupportTable*(std::string_view)> table;
};

/// Reads a catalogue file: one fitting, one support table, or a list under `fittings`, with its own
/// `sources` if it needs any. Every independent fault in one pass.
Document read_document(const yaml::Tree& tree, const Known& known, yaml::Problems& problems);

/// The traits that a fitting of this kind can have; see fitting/traits.hpp.
Traits read_traits(yaml::MapReader& map, Kind kind, yaml::Problems& problems);

/// `floating_flap` of a cap or damper.
std::optional<FloatingFlap> read_floating_flap(yaml::MapReader& map,
                                               Kind kind,
                                               yaml::Problems& problems);

/// The file of sources alone: a mapping from key to author, title, edition, status.
std::vector<Source> read_sources(const yaml::Node& node, yaml::Problems& problems);

/// Dimension of a variable that follows from geometry, not from a parameter; null: no such one.
[[nodiscard]] const units::Dimension* geometric_variable(std::string_view name);

}  // namespace ductledger::fitting
