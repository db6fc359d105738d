#pragma once

#include <optional>
#include <string>
#include <vector>

#include "duct/section_text.hpp"
#include "layout/direction.hpp"
#include "layout/layout.hpp"
#include "yaml/key_log.hpp"
#include "yaml/reader.hpp"

namespace ductledger::layout {

/// The branches that the file names, and where a junction enters each.
struct BranchTable {
  struct Row {
    std::string name;
    base::Span span;
    std::optional<base::Span> entered;  ///< by the first junction that names it
  };
  std::vector<Row> rows;    ///< in file order until the branches are read
  bool unreadable = false;  ///< no name can be looked up, and that is said already
};

/// Beyond these a file is refused: nobody draws more, and each is tried at its limit.
inline constexpr std::size_t kMostPieces = 20'000;  ///< of one run
inline constexpr std::size_t kMostPoints = 2'000;   ///< of one curve; ratings of a speed
inline constexpr std::size_t kMostSpeeds = 500;
inline constexpr std::size_t kMostBranches = 2'000;
inline constexpr std::size_t kMostVariants = 500;
inline constexpr std::size_t kMostReadings = 50'000;  ///< of `measurements`, of `submitted`

/// What every part of the reader needs.
struct Reading {
  yaml::Problems& problems;
  const fitting::Catalogue& catalogue;
  Layout& layout;
  bool heading_failed = false;      ///< the run states a heading that is no direction
  BranchTable* branches = nullptr;  ///< null: nothing may join the run that is read
  std::string branch{};             ///< the branch whose run is read; empty: the run itself

  void take_default(std::string what, std::string value) {
    layout.defaults.push_back({std::move(what), std::move(value)});
  }
};

/// A section's text; one diagnostic at the place of the fault when it cannot be read.
std::optional<duct::Section> read_section(const yaml::Node& node, yaml::Problems& problems);

/// A quantity that must lie in a range; the message names both.
struct Range {
  double lowest;
  double highest;
  const char* text;  ///< the range as people read it
};
std::optional<double> read_within(const yaml::Node& node,
                                  units::Dimension dimension,
                                  const Range& range,
                                  yaml::Problems& problems);
inline constexpr Range kAirflow{1e-9, 100.0, "more than 0 cfm, up to 200000 cfm"};

/// Whether a list or mapping holds no more than a limit; else says so, with both numbers. @param
/// what its key
[[nodiscard]] bool holds_at_most(const yaml::Node& node,
                                 std::size_t most,
                                 std::string_view what,
                                 yaml::Problems& problems);

/// `galvanized-steel` of the roughness table.
struct Wall {
  std::string material;  ///< empty where the roughness was stated as a number
  double roughness_m = 0.0;
};
std::optional<Wall> read_wall(yaml::MapReader& map, Reading& reading);

/// Complains where the fan has no speed of that name.
void check_speed(const yaml::Node& node, const std::string& name, Reading& reading);

void read_measurements(const yaml::Node& list, Reading& reading, std::vector<Measurement>& into);

/// Reads the facts of a group (`run`, `house.makeup`) out of its mapping, the groups below it
/// (`run.termination`) too; the caller finishes the mapping.
void read_facts(yaml::MapReader& map, std::string_view group, Reading& reading);
/// The same for a group that the layout holds at its top and that no one else reads.
void read_fact_group(const yaml::Node* node, std::string_view group, Reading& reading);
/// Facts that contradict each other or the pieces: one diagnostic each.
void check_facts(Reading& reading);

/// `seen_on_site`: which keys of the layout somebody looked at, and when.
void read_seen(const yaml::Node* node, Reading& reading);
/// Whether a key, told by its last part alone, is one that a file may leave blank.
[[nodiscard]] bool may_be_blank(std::string_view key);
/// Takes out the answers that a file leaves blank, and the groups that hold nothing else; one
/// warning names them. Only keys that a review asks for may be blank.
void take_out_blank_answers(yaml::Tree& tree);

/// `uncertainty: {fan_pressure: 5 %, ...}`.
void read_uncertainty(const yaml::Node* node, Reading& reading);
/// Reads `variants`, after the run.
void read_variants(const yaml::Node& variants, Reading& reading);

/// The pieces of the run; needs run.first_section, heading and wall to be set.
void read_pieces(const yaml::Node& pieces, Reading& reading);

/// A run's mapping, into `reading.layout.run`.
void read_run(const yaml::Node& node, Reading& reading);

/// The fan's mapping, into `reading.layout.fan`.
void read_fan(const yaml::Node* node, Reading& reading);

/// Parts of a run's mapping that a branch has too.
void read_run_heading(yaml::MapReader& map, Reading& reading);
void read_run_rise(yaml::MapReader& map, Reading& reading);
/// After the pieces: the run's rise, and what its sections have to be told of.
void settle_run(Reading& reading);

/// The names under `branches`; those that cannot be read are reported.
[[nodiscard]] BranchTable branch_table(const yaml::Node* branches, Reading& reading);
/// Each branch, after the run: into `reading.layout.branches`.
void read_branches(const yaml::Node& branches, Reading& reading);

/// The `house` mapping; nothing where it is absent.
void read_house(const yaml::Node* node, Reading& reading);

/// Where an unknown key is one that another mapping of the file knows, its fault names that.
/// @param log of what was asked while the tree was read
void tell_places(base::Diagnostics& faults, const yaml::Node& root, const yaml::KeyLog& log);

}  // namespace ductledger::layout
