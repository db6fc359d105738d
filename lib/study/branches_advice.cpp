#include "study/branches_advice.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "base/fault.hpp"
#include "layout/layout.hpp"
#include "parallel/parallel.hpp"
#include "study/advice_changes_internal.hpp"
#include "study/branches.hpp"
#include "study/branches_errors_internal.hpp"

namespace ductledger::study {
namespace {

using layout::Layout;
using layout::PieceKind;
using yaml::Node;

constexpr std::size_t kMostTried = 128;
/// Of single dampers the greatest so many are tried before changes of pieces, the others after.
constexpr std::size_t kDampersFirst = 24;

Node* value_of(Node& mapping, std::string_view key) {
  const auto at = std::ranges::find(mapping.entries, key, &yaml::Entry::key);
  return at == mapping.entries.end() ? nullptr : &at->value;
}

void erase(Node& mapping, std::string_view key) {
  std::erase_if(mapping.entries, [&](const yaml::Entry& entry) { return entry.key == key; });
}

bool is_of_branch(std::string_view key) {
  return key == "fan" || key == "speed" || key == "required_airflow" || key == "required-airflow";
}

/// A branch as the run of a layout of its own, in the places of the file.
edit::Edited alone(const Layout& whole, std::size_t branch, const fitting::Catalogue& catalogue) {
  Node root = whole.tree->root;
  Node* const branches = value_of(root, "branches");
  Node* const run = value_of(root, "run");
  Node* const own =
      branches == nullptr ? nullptr : value_of(*branches, whole.branches[branch].name);
  if (run == nullptr || own == nullptr) {
    return base::fault("cannot-edit", "the branch does not stand in the file as a mapping");
  }
  Node made = *own;
  std::erase_if(made.entries, [](const yaml::Entry& entry) { return is_of_branch(entry.key); });
  for (const char* key : {"material", "roughness"}) {  // inherited
    const bool stated =
        value_of(made, "material") != nullptr || value_of(made, "roughness") != nullptr;
    if (const Node* of = value_of(*run, key); of != nullptr && !stated) {
      made.entries.push_back({key, run->span, *of});
    }
  }
  *run = std::move(made);
  for (const char* key : {"branches",
                          "fan",
                          "house",
                          "variants",
                          "submitted",
                          "measurements",
                          "appliance",
                          "rules",
                          "seen"}) {
    erase(root, key);
  }
  return layout::read_edited(whole, std::move(root), catalogue);
}

/// The whole layout with a branch's pieces as an edit of it alone left them.
edit::Edited put_back(const Layout& whole,
                      std::size_t branch,
                      const Layout& edited,
                      const fitting::Catalogue& catalogue) {
  Node root = whole.tree->root;
  Node changed = edited.tree->root;
  Node* const run = value_of(changed, "run");
  Node* const own = value_of(*value_of(root, "branches"), whole.branches[branch].name);
  Node made = *run;
  for (const yaml::Entry& entry : own->entries) {
    if (is_of_branch(entry.key)) {
      made.entries.push_back(entry);
    }
  }
  *own = std::move(made);
  return layout::read_edited(whole, std::move(root), catalogue);
}

class NetworkAdviser {
 public:
  NetworkAdviser(const NetworkResult& result, const fitting::Catalogue& catalogue)
      : result_(result),
        catalogue_(catalogue),
        speed_(result.speeds[result.headline.value_or(result.shown)]) {}

  NetworkAdvice advice() {
    if (result_.layout.tree == nullptr) {
      advice_.why_not = "the layout was not read from a file";
    } else if (!result_.headline) {
      advice_.why_not = "every speed is locked out";
    } else if (!is_comparable(speed_)) {
      advice_.why_not = "no airflow is known that a change could be compared by";
    }
    if (!advice_.why_not.empty()) {
      return std::move(advice_);
    }
    choose_inlet();
    dampers();
    pieces_on_the_way();
    for (const Damper& one : later_) {
      add_dampers({one});
    }
    solve_all();
    return std::move(advice_);
  }

 private:
  [[nodiscard]] static bool is_comparable(const NetworkSpeed& speed) {
    return speed.status == network::Status::solved && solve::has_best_airflow(speed.point);
  }

  /// What lacks most of its airflow; of those that lack none the one that controls.
  void choose_inlet() {
    double most = 0.0;
    advice_.inlet = speed_.controlling.value_or(0);
    for (std::size_t i = 0; i < speed_.inlets.size(); ++i) {
      const Inlet& inlet = speed_.inlets[i];
      const double missing = inlet.required_m3_s
                                 ? 1.0 - std::max(inlet.airflow_m3_s, 0.0) / *inlet.required_m3_s
                                 : 0.0;
      if (missing > most) {
        most = missing;
        advice_.inlet = i;
      }
    }
  }

  // --- dampers

  struct Damper {
    std::size_t inlet = 0;
    double pressure_pa = 0.0;
    double airflow_m3_s = 0.0;
  };

  /// A damper's loss as the first piece of an inlet's run, behind its entry. @return whether the
  /// run stands in the file as a list of pieces
  static bool put_damper(const Layout& layout,
                         std::optional<std::size_t> branch,
                         const Damper& damper,
                         Node& root) {
    Node* run = value_of(root, "run");
    if (branch) {
      Node* const branches = value_of(root, "branches");
      run = branches == nullptr ? nullptr : value_of(*branches, layout.branches[*branch].name);
    }
    Node* const pieces = run == nullptr ? nullptr : value_of(*run, "pieces");
    if (pieces == nullptr || pieces->kind != yaml::NodeKind::sequence) {
      return false;
    }
    const auto& read = branch ? layout.branches[*branch].run.pieces : layout.run.pieces;
    const bool entry = !read.empty() && read.front().kind == PieceKind::entry;
    const auto scalar = [&](std::string text) {
      Node node;
      node.kind = yaml::NodeKind::scalar;
      node.text = std::move(text);
      node.span = pieces->span;
      return node;
    };
    Node keys;
    keys.kind = yaml::NodeKind::mapping;
    keys.span = pieces->span;
    keys.entries = {{"pressure", pieces->span, scalar(fmt::format("{} Pa", damper.pressure_pa))},
                    {"at", pieces->span, scalar(fmt::format("{} m3/s", damper.airflow_m3_s))}};
    Node item;
    item.kind = yaml::NodeKind::mapping;
    item.span = pieces->span;
    item.entries = {{"loss", pieces->span, std::move(keys)}};
    pieces->items.insert(pieces->items.begin() + (entry ? 1 : 0), std::move(item));
    return true;
  }

  void dampers() {
    if (!speed_.balance) {
      return;
    }
    std::vector<Damper> all;
    for (const Balance::Path& path : speed_.balance->paths) {
      if (path.inlet != advice_.inlet && path.damper_pa > 0.5) {
        // `loss` is stated in standard air.
        const double standard = units::kStandardDensityKgM3 / result_.network.air.density_kg_m3;
        all.push_back(
            {path.inlet, path.damper_pa * standard, *speed_.inlets[path.inlet].required_m3_s});
      }
    }
    if (all.size() > 1) {
      add_dampers(all);
    }
    std::ranges::stable_sort(all, std::ranges::greater(), &Damper::pressure_pa);
    later_.assign(all.begin() + static_cast<std::ptrdiff_t>(std::min(kDampersFirst, all.size())),
                  all.end());
    all.resize(all.size() - later_.size());
    for (const Damper& one : all) {
      add_dampers({one});
    }
  }

  void add_dampers(const std::vector<Damper>& dampers) {
    NetworkAdviceRow row;
    row.balances = true;
    row.branch = speed_.inlets[dampers.front().inlet].branch;
    Change& change = row.change;
    change.kind = ChangeKind::balancing_damper;
    change.parts_new = static_cast<int>(dampers.size());
    if (dampers.size() == 1) {
      change.words = {"balancing damper, {} at {}",
                      {{dampers.front().pressure_pa, units::Dimension::pressure},
                       {dampers.front().airflow_m3_s, units::Dimension::airflow}}};
    } else {
      change.words = {"balancing dampers on every other way"};
    }
    change.condition = {"set on site by measured airflows"};
    std::vector<std::pair<std::optional<std::size_t>, Damper>> where;
    for (const Damper& damper : dampers) {
      where.emplace_back(speed_.inlets[damper.inlet].branch, damper);
    }
    change.apply = [where, &catalogue = catalogue_](const Layout& layout) -> edit::Edited {
      Node root = layout.tree->root;
      for (const auto& [branch, damper] : where) {
        if (!put_damper(layout, branch, damper, root)) {
          return base::fault("cannot-edit",
                             "the run does not stand in the file as a list of pieces");
        }
      }
      return layout::read_edited(layout, std::move(root), catalogue);
    };
    advice_.rows.push_back(std::move(row));
  }

  // --- pieces

  void pieces_on_the_way() {
    const Inlet& inlet = speed_.inlets[advice_.inlet];
    std::vector<std::optional<std::size_t>> seen;
    for (const std::size_t leg : path_from(
             result_.network,
             inlet.branch ? result_.network.inlets[*inlet.branch] : result_.network.collar_leg)) {
      const auto& branch = result_.network.legs[leg].branch;
      if (std::ranges::find(seen, branch) == seen.end()) {
        seen.push_back(branch);
        branch ? of_branch(*branch) : of_run();
      }
    }
  }

  /// What `possible_changes` looks at.
  [[nodiscard]] CheckResult as_run(const Layout& layout, solve::CompiledRun run) const {
    CheckResult one = as_single(result_);
    one.layout = layout;
    one.run = std::move(run);
    one.speeds.clear();
    one.headline.reset();
    one.findings.clear();
    return one;
  }

  void of_run() {
    solve::CompiledRun run = result_.network.legs[result_.network.collar_leg].run;
    run.pieces.clear();
    for (const network::LegPart& leg : result_.network.legs) {
      if (leg.branch) {
        continue;
      }
      for (solve::CompiledPiece piece : leg.run.pieces) {
        if (piece.piece) {
          *piece.piece += leg.first_piece;
        }
        run.pieces.push_back(std::move(piece));
      }
    }
    for (Change& change : possible_changes(as_run(result_.layout, std::move(run)), catalogue_)) {
      add(std::nullopt, std::move(change));
    }
  }

  void of_branch(std::size_t branch) {
    const auto& pieces = result_.layout.branches[branch].run.pieces;
    const bool holds_others = std::ranges::any_of(
        pieces, [](const layout::Piece& piece) { return piece.kind == PieceKind::junction; });
    const edit::Edited own = alone(result_.layout, branch, catalogue_);
    if (holds_others || pieces.empty() || !own) {
      return;
    }
    auto run = solve::compile(*own, catalogue_);
    if (!run) {
      return;
    }
    for (Change& change : possible_changes(as_run(*own, *std::move(run)), catalogue_)) {
      const bool of_fan_or_cap = change.kind == ChangeKind::fan_moved ||
                                 change.kind == ChangeKind::other_cap ||
                                 change.kind == ChangeKind::wider_cap;
      if (of_fan_or_cap) {
        continue;  // a branch has neither
      }
      change.apply = [inner = std::move(change.apply), branch, &catalogue = catalogue_](
                         const Layout& whole) {
        return alone(whole, branch, catalogue).and_then(inner).and_then([&](const Layout& edited) {
          return put_back(whole, branch, edited, catalogue);
        });
      };
      add(branch, std::move(change));
    }
  }

  void add(std::optional<std::size_t> branch, Change change) {
    NetworkAdviceRow row;
    row.branch = branch;
    row.change = std::move(change);
    advice_.rows.push_back(std::move(row));
  }

  // --- solved again

  void solve_all() {
    std::vector<NetworkAdviceRow> asked = std::move(advice_.rows);
    advice_.rows.clear();
    if (asked.size() > kMostTried) {
      advice_.left_out = asked.size() - kMostTried;
      asked.resize(kMostTried);
    }
    const auto good = parallel::map<char>(
        asked.size(), [&](std::size_t i) { return static_cast<char>(solve(asked[i])); });
    for (std::size_t i = 0; i < asked.size(); ++i) {
      advice_.tried += good[i] != 0 ? 1U : 0U;
      if (good[i] != 0 && asked[i].gain_m3_s >= kLeastGainM3S) {
        advice_.rows.push_back(std::move(asked[i]));
      }
    }
    std::ranges::stable_sort(advice_.rows, std::ranges::greater(), &NetworkAdviceRow::gain_m3_s);
  }

  [[nodiscard]] bool solve(NetworkAdviceRow& row) const {
    auto edited = row.change.apply(result_.layout);
    if (!edited) {
      return false;
    }
    const auto changed = check_network(
        *std::move(edited), catalogue_, {.speed = speed_.name, .depth = Depth::points});
    if (!changed || !is_comparable(changed->speeds[changed->shown])) {
      return false;
    }
    const NetworkSpeed& after = changed->speeds[changed->shown];
    for (std::size_t i = 0; i < speed_.inlets.size(); ++i) {
      const Inlet& was = speed_.inlets[i];
      const double now_m3_s = after.inlets[i].airflow_m3_s;
      row.airflow_m3_s.push_back(now_m3_s);
      if (was.required_m3_s) {
        const bool had = was.airflow_m3_s >= *was.required_m3_s;
        const bool has = now_m3_s >= *was.required_m3_s;
        if (had != has) {
          (has ? row.mends : row.lacks).push_back(was.name);
        }
      }
    }
    row.gain_m3_s = row.airflow_m3_s[advice_.inlet] - speed_.inlets[advice_.inlet].airflow_m3_s;
    return true;
  }

  const NetworkResult& result_;
  const fitting::Catalogue& catalogue_;
  const NetworkSpeed& speed_;
  NetworkAdvice advice_;
  std::vector<Damper> later_;
};

}  // namespace

NetworkAdvice network_advice(const NetworkResult& result, const fitting::Catalogue& catalogue) {
  return NetworkAdviser(result, catalogue).advice();
}

}  // namespace ductledger::study
