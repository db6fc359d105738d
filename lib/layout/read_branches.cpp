#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

#include "base/text.hpp"
#include "fitting/junction.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/read_pieces_internal.hpp"

/// Branches and the junctions that take them in.
namespace ductledger::layout {

using units::Dimension;

namespace {

/// The branch that a junction names, once it is known and nobody else's.
void enter_branch(Walk& walk, Piece& piece, const yaml::Node& node) {
  const auto name = yaml::read_text(node, walk.problems);
  if (!name) {
    return;
  }
  auto& junction = piece.as<Junction>();
  junction.branch = *name;
  piece.key_spans.emplace("branch", node.span);
  BranchTable* table = walk.reading.branches;
  if (table == nullptr) {
    walk.problems
        .error(piece.span, "junction-in-makeup-duct", "nothing can join a makeup duct here")
        .help = "add `branches:` beside the makeup duct's `run`, with this name and its pieces";
    return;
  }
  if (table->unreadable) {
    return;
  }
  auto& rows = table->rows;
  const auto row = std::ranges::find(rows, *name, &BranchTable::Row::name);
  if (row == rows.end()) {
    auto& d = walk.problems.error(
        node.span, "unknown-branch", fmt::format("no branch is named `{}`", base::escaped(*name)));
    std::vector<std::string> names;
    std::ranges::transform(rows, std::back_inserter(names), &BranchTable::Row::name);
    if (const auto near = base::nearest(*name, names)) {
      d.help = fmt::format("did you mean `{}`?", *near);
    } else {
      d.help = names.empty()
                   ? std::string("add `branches:` beside `run`, with this name and its pieces")
                   : "branches: " + base::joined(names, "and");
    }
    return;
  }
  junction.index = static_cast<std::size_t>(row - rows.begin());
  if (row->entered) {
    auto& d = walk.problems.error(node.span,
                                  "branch-entered-twice",
                                  fmt::format("`{}` joins at two junctions", base::escaped(*name)));
    d.others.push_back({*row->entered, "the first"});
    d.help = "a branch ends in one junction: name another, or write its like under a new name";
    return;
  }
  row->entered = node.span;
}

void read_stated_coefficients(Walk& walk, yaml::MapReader& map, Piece& piece) {
  auto& junction = piece.as<Junction>();
  const Range range{-1000.0, 10000.0, "-1000 to 10000"};
  junction.straight_coefficient =
      read_quantity(walk, map, piece, "straight_coefficient", Dimension::number, range);
  junction.branch_coefficient =
      read_quantity(walk, map, piece, "branch_coefficient", Dimension::number, range);
  const bool straight = piece.states("straight_coefficient");
  const bool branch = piece.states("branch_coefficient");
  if (straight != branch) {
    walk.problems
        .error(piece.key_spans.at(straight ? "straight_coefficient" : "branch_coefficient"),
               "missing-key",
               fmt::format("this junction states no `{}`",
                           straight ? "branch_coefficient" : "straight_coefficient"))
        .help = "state both, on the velocity pressure of the combined leg, or neither";
  }
  if (const yaml::Node* one = map.get("coefficient")) {
    walk.problems
        .error(one->span, "wrong-coefficient", "a junction has two coefficients, one for each leg")
        .help =
        "write `straight_coefficient` and `branch_coefficient`, both on the velocity pressure of "
        "the combined leg";
  }
}

/// A cycle: branches that enter each other and never the run.
void refuse_unreached(const Layout& layout, const BranchTable& table, yaml::Problems& problems) {
  std::set<std::size_t> reached;
  std::vector<const Run*> open{&layout.run};
  while (!open.empty()) {
    const Run& run = *open.back();
    open.pop_back();
    for (const Piece& piece : run.pieces) {
      const auto* junction = piece.if_is<Junction>();
      if (junction != nullptr && junction->index < layout.branches.size() &&
          reached.insert(junction->index).second) {
        open.push_back(&layout.branches[junction->index].run);
      }
    }
  }
  bool cycle_said = false;
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    const BranchTable::Row& row = table.rows[i];
    if (reached.contains(i)) {
      continue;
    }
    if (!row.entered) {
      problems
          .error(row.span,
                 "branch-enters-nothing",
                 fmt::format("no junction takes in `{}`", base::escaped(row.name)))
          .help = fmt::format(
          "add `- junction: {{type: wye-45, branch: {}}}` where it joins, or take the branch out",
          base::escaped(row.name));
    } else if (!cycle_said) {
      // What hangs on a branch that enters nothing is that branch's fault.
      const bool hangs = std::ranges::any_of(
          table.rows, [](const BranchTable::Row& other) { return !other.entered.has_value(); });
      if (hangs) {
        continue;
      }
      cycle_said = true;
      auto& d =
          problems.error(row.span,
                         "branches-in-a-circle",
                         fmt::format("`{}` never reaches the run: its way leads back to itself",
                                     base::escaped(row.name)));
      d.others.push_back({*row.entered, "taken in here"});
      d.help = "let one of these branches join the run";
    }
  }
}

class BranchReader {
 public:
  BranchReader(const yaml::Entry& entry, Reading& outer)
      : entry_(entry),
        outer_(outer),
        reading_{outer.problems, outer.catalogue, own_, false, outer.branches, entry.key} {}

  Branch read() {
    Branch branch;
    branch.name = entry_.key;
    branch.span = entry_.key_span;
    yaml::MapReader map(entry_.value, "branch", reading_.problems);
    if (map.is_mapping()) {
      read_into(map, branch);
    }
    branch.run = std::move(own_.run);
    branch.fan = std::move(own_.fan);
    for (DefaultTaken& taken : own_.defaults) {
      outer_.take_default(fmt::format("branches.{}.{}", entry_.key, taken.what),
                          std::move(taken.value));
    }
    for (units::Message& remark : own_.remarks) {
      remark.pattern.insert(0, "branch {}: ");
      remark.values.insert(remark.values.begin(), {.texts = {entry_.key, entry_.key}});
      outer_.layout.remarks.push_back(std::move(remark));
    }
    return branch;
  }

 private:
  void read_into(yaml::MapReader& map, Branch& branch) {
    Run& run = own_.run;
    run.span = entry_.value.span;
    if (const yaml::Node* section = map.require("section", "6 in round")) {
      run.stated_section = read_section(*section, reading_.problems);
      run.section_span = section->span;
      run.first_section = run.stated_section.value_or(run.first_section);
    }
    const Run& trunk = outer_.layout.run;
    const auto wall = read_wall(map, reading_);
    run.material = wall ? wall->material : trunk.material;
    run.roughness_m = wall ? wall->roughness_m : trunk.roughness_m;
    read_run_heading(map, reading_);
    read_run_rise(map, reading_);
    read_fan(map.get("fan"), reading_);
    if (const yaml::Node* speed = map.get("speed")) {
      read_speed_word(*speed, branch);
    }
    if (const yaml::Node* airflow = map.get("required_airflow")) {
      branch.required_airflow_m3_s =
          read_within(*airflow, Dimension::airflow, kAirflow, reading_.problems);
      branch.required_span = airflow->span;
    }
    const yaml::Node* pieces = map.require("pieces", "[{entry: plain}, {straight: 6 ft}]");
    if (const yaml::Node* discharge = map.get("discharge")) {
      reading_.problems
          .error(discharge->span, "discharge-of-branch", "a branch ends in the run it joins")
          .help = "`discharge` belongs to `run`";
    }
    map.finish();
    if (pieces != nullptr) {
      read_pieces(*pieces, reading_);
      settle_run(reading_);
    }
  }

  void read_speed_word(const yaml::Node& node, Branch& branch) {
    const auto name = yaml::read_text(node, reading_.problems);
    if (!name) {
      return;
    }
    if (!own_.fan) {
      reading_.problems
          .error(node.span, "speed-without-fan", "this branch has no fan, and states a speed of it")
          .help = "describe its `fan`, or take `speed` out";
      return;
    }
    check_speed(node, *name, reading_);
    const auto& speeds = own_.fan->speeds;
    const auto found = std::ranges::find(speeds, *name, &Speed::name);
    if (found == speeds.end()) {
      return;
    }
    branch.speed = static_cast<std::size_t>(found - speeds.begin());
    if (found->locked_out) {
      reading_.problems
          .error(node.span,
                 "speed-locked-out",
                 fmt::format("speed `{}` is locked out: it cannot run", base::escaped(*name)))
          .help = "name a speed that can run";
    }
  }

  const yaml::Entry& entry_;
  Reading& outer_;
  Layout own_;
  Reading reading_;
};

/// Branches as junctions take them in, so that nothing follows from where they stand in the file.
/// What no junction takes in comes last.
class InOrderOfJunctions {
 public:
  InOrderOfJunctions(const std::vector<yaml::Entry>& entries, Reading& reading)
      : entries_(entries), reading_(reading), place_(entries.size(), kUnread) {}

  void read() {
    read_all(entered(reading_.layout.run));
    for (std::size_t i = 0; i < entries_.size(); ++i) {
      read_all({i});
    }
    std::vector<BranchTable::Row>& rows = reading_.branches->rows;
    std::vector<BranchTable::Row> in_order(rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
      in_order[place_[i]] = std::move(rows[i]);
    }
    rows = std::move(in_order);
    renumber(reading_.layout.run);
    for (Branch& branch : reading_.layout.branches) {
      renumber(branch.run);
    }
  }

 private:
  static constexpr std::size_t kUnread = static_cast<std::size_t>(-1);

  /// Of what a run's junctions take in, the last one first.
  [[nodiscard]] std::vector<std::size_t> entered(const Run& run) const {
    std::vector<std::size_t> found;
    for (const Piece& piece : run.pieces) {
      const auto* junction = piece.if_is<Junction>();
      if (junction != nullptr && is_known(*junction)) {
        found.push_back(junction->index);
      }
    }
    std::ranges::reverse(found);
    return found;
  }
  /// @param open entries, the first one to read at the end
  void read_all(std::vector<std::size_t> open) {
    auto& branches = reading_.layout.branches;
    while (!open.empty()) {
      const std::size_t entry = open.back();
      open.pop_back();
      if (place_[entry] != kUnread) {
        continue;
      }
      place_[entry] = branches.size();
      branches.push_back(BranchReader(entries_[entry], reading_).read());
      const auto next = entered(branches.back().run);
      open.insert(open.end(), next.begin(), next.end());
    }
  }
  void renumber(Run& run) const {
    for (Piece& piece : run.pieces) {
      if (piece.kind == PieceKind::junction && is_known(piece.as<Junction>())) {
        piece.as<Junction>().index = place_[piece.as<Junction>().index];
      }
    }
  }
  /// A junction that names no branch has no index that means one.
  [[nodiscard]] bool is_known(const Junction& junction) const {
    return std::ranges::find(entries_, junction.branch, &yaml::Entry::key) != entries_.end();
  }

  const std::vector<yaml::Entry>& entries_;
  Reading& reading_;
  std::vector<std::size_t> place_;  ///< of an entry in `Layout::branches`
};

}  // namespace

void read_junction(Walk& walk, Piece& piece, const yaml::Node& value) {
  if (value.kind == yaml::NodeKind::scalar) {
    auto& d = walk.problems.error(value.span, "junction-without-branch", "nothing joins here");
    const std::string written = base::canonical_word(value.text);
    const auto types = walk.reading.catalogue.types(fitting::Kind::junction);
    const bool type = std::ranges::find(types, written) != types.end();
    d.label = "a junction names the branch that it takes in";
    d.help =
        type ? fmt::format("such as `- junction: {{type: {}, branch: bath}}`", written)
             : "such as `- junction: {type: wye-45, branch: " + base::escaped(value.text) + "}`";
    return;
  }
  yaml::MapReader map(value, "junction", walk.problems);
  const yaml::Node* branch = map.require("branch", "bath");
  if (const yaml::Node* type = map.get("type")) {
    read_type(walk, *type, piece);
  }
  settle_type(walk, piece);
  if (piece.type == "diverging") {
    walk.problems
        .error(piece.key_spans.at("type"),
               "diverging-junction",
               "air leaves the run at a diverging junction, and here it joins")
        .help = "take `wye-45`, `wye-30` or `tee-90`";
  }
  piece.as<Junction>().angle_rad = fitting::junction_angle_rad(piece.type);
  piece.source = map.text("source").value_or("");
  if (const yaml::Node* section = map.get("section")) {
    piece.key_spans.emplace("section", section->span);
    if (const auto combined = read_section(*section, walk.problems)) {
      piece.downstream = *combined;
    }
  }
  read_stated_coefficients(walk, map, piece);
  read_note(map, piece);
  map.finish();
  if (branch != nullptr) {
    enter_branch(walk, piece, *branch);
  }
  walk.settle_width();
}

BranchTable branch_table(const yaml::Node* branches, Reading& reading) {
  BranchTable table;
  if (branches == nullptr) {
    return table;
  }
  if (branches->kind != yaml::NodeKind::mapping) {
    reading.problems.error(branches->span, "wrong-kind", "`branches` must be a mapping of names")
        .help = "such as `bath: {section: 4 in round, pieces: [{entry: plain}, {straight: 6 ft}]}`";
    table.unreadable = true;
    return table;
  }
  if (!holds_at_most(*branches, kMostBranches, "branches", reading.problems)) {
    table.unreadable = true;
    return table;
  }
  for (const yaml::Entry& entry : branches->entries) {
    table.rows.push_back({entry.key, entry.key_span, std::nullopt});
  }
  return table;
}

void read_branches(const yaml::Node& branches, Reading& reading) {
  if (branches.kind != yaml::NodeKind::mapping || reading.branches->unreadable) {
    return;
  }
  const bool failed_before = reading.problems.has_error();
  InOrderOfJunctions(branches.entries, reading).read();
  // A junction that was not understood leaves a branch unentered: that is no second fault.
  if (!failed_before && !reading.problems.has_error()) {
    refuse_unreached(reading.layout, *reading.branches, reading.problems);
  }
}

}  // namespace ductledger::layout
