#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "edit/edit.hpp"

/// A place in a layout by its keys, the one way in which values are named outside the file:
/// `run.pieces[3].length`, `fan.speeds[1].speed_ratio`, `house.leakage.airflow`. Items of a list
/// count from 1, as the ledger numbers pieces.
namespace ductledger::edit {

struct PathStep {
  std::string key;
  std::optional<std::size_t> item{};  ///< from 1
  friend bool operator==(const PathStep&, const PathStep&) = default;
};

struct Path {
  std::vector<PathStep> steps;

  [[nodiscard]] std::string text() const;
  friend bool operator==(const Path&, const Path&) = default;
};

/// @return rule `bad-path`, with the text as its source
[[nodiscard]] base::Checked<Path> read_path(std::string_view text);

/// A value put at a place; mappings on the way are made, a bare value (`- straight: 4 ft`) first
/// becomes the key that it stands for. An empty value takes the key out.
struct Setting {
  Path path;
  std::string value;
};
/// All of them at once, then read again as the edited file would be.
[[nodiscard]] Edited with_settings(const layout::Layout& layout,
                                   const fitting::Catalogue& catalogue,
                                   std::span<const Setting> settings);

}  // namespace ductledger::edit
