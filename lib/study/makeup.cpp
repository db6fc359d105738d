#include "study/makeup.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>

#include "base/expects.hpp"
#include "base/fault.hpp"
#include "fitting/stock.hpp"
#include "layout/written_system.hpp"
#include "study/branches.hpp"
#include "yaml/tree.hpp"

namespace ductledger::study {
namespace {

const std::vector<std::string> kMakeupKeys{"house", "makeup"};

/// What every try needs.
struct Asked {
  const layout::Layout& layout;
  const fitting::Catalogue& catalogue;
};

/// Of every speed that can run. @param speeds of a run, or of a network
template <class Speeds>
std::vector<MakeupSpeed> speeds_of(const Speeds& speeds) {
  std::vector<MakeupSpeed> out;
  for (const auto& speed : speeds) {
    if (speed.locked_out || !speed.house) {
      continue;
    }
    MakeupSpeed one{.name = speed.name,
                    .airflow_m3_s = speed.house->judged_airflow_m3_s,
                    .depressurisation_pa = speed.house->judged_depressurisation_pa,
                    .verdict = speed.house->verdict,
                    .alone_m3_s = speed.house->airflow_without_house_m3_s};
    if (speed.house->band) {
      one.band_pa = result::Band{speed.house->band->low_pa, speed.house->band->high_pa};
    }
    out.push_back(std::move(one));
  }
  return out;
}

/// A layout, with branches or without, and what its speeds draw.
struct Calculated {
  CheckResult check;
  std::vector<MakeupSpeed> speeds;
};
base::Checked<Calculated> calculate(layout::Layout layout, const fitting::Catalogue& catalogue) {
  if (layout.branches.empty()) {
    return check(std::move(layout), catalogue).transform([](CheckResult&& result) {
      auto speeds = speeds_of(result.speeds);
      return Calculated{std::move(result), std::move(speeds)};
    });
  }
  return check_network(std::move(layout), catalogue).transform([](const NetworkResult& result) {
    return Calculated{as_single(result), speeds_of(result.speeds)};
  });
}

base::Checked<MakeupTried> calculated(MakeupTried tried,
                                      edit::Edited edited,
                                      const fitting::Catalogue& catalogue) {
  return std::move(edited).and_then([&](layout::Layout&& changed) {
    return calculate(std::move(changed), catalogue).transform([&](Calculated&& result) {
      tried.speeds = std::move(result.speeds);
      return std::move(tried);
    });
  });
}

base::Checked<MakeupTried> opening(const Asked& asked, const duct::Section& section) {
  const layout::Makeup& drawn = asked.layout.house->makeup;
  const double discharge = drawn.kind == layout::MakeupKind::passive_opening
                               ? drawn.discharge_coefficient
                               : layout::Makeup{}.discharge_coefficient;
  std::string text =
      fmt::format("{{kind: passive-opening, section: {}, discharge_coefficient: {}}}",
                  edit::section_value(section),
                  discharge);
  return calculated({.way = MakeupWay::opening, .section = section},
                    edit::with_text(asked.layout, asked.catalogue, {kMakeupKeys, std::move(text)}),
                    asked.catalogue);
}

base::Checked<MakeupTried> powered(const Asked& asked, double airflow_m3_s) {
  std::string text =
      fmt::format("{{kind: powered, airflow: {} m3/s, interlocked: yes}}", airflow_m3_s);
  return calculated({.way = MakeupWay::powered, .airflow_m3_s = airflow_m3_s},
                    edit::with_text(asked.layout, asked.catalogue, {kMakeupKeys, std::move(text)}),
                    asked.catalogue);
}

bool draws_a_duct(const layout::Layout& layout) {
  return layout.house->makeup.kind == layout::MakeupKind::duct;
}

base::Checked<MakeupTried> duct(const Asked& asked, const duct::Section& section) {
  edit::Edited edited = asked.layout;
  if (draws_a_duct(asked.layout)) {
    const auto put = [&](std::vector<std::string> keys, std::string value) {
      edited = std::move(edited).and_then([&](layout::Layout&& changed) {
        return edit::with_value(changed, asked.catalogue, {std::move(keys), std::move(value)});
      });
    };
    put({"house", "makeup", "run", "section"}, edit::section_value(section));
    for (const layout::Branch& branch : asked.layout.house->makeup.branches) {
      put({"house", "makeup", "branches", branch.name, "section"}, edit::section_value(section));
    }
    put({"house", "makeup", "interlocked"}, "yes");
  } else {
    edited =
        edit::with_text(asked.layout,
                        asked.catalogue,
                        {kMakeupKeys,
                         fmt::format("{{kind: duct, interlocked: yes, run: {{section: {}, {}}}}}",
                                     edit::section_value(section),
                                     kAssumedDuct)});
  }
  return calculated(
      {.way = MakeupWay::duct, .section = section}, std::move(edited), asked.catalogue);
}

/// The value below a mapping's keys.
yaml::Node& below(yaml::Node& root, const std::vector<std::string>& keys) {
  yaml::Node* at = &root;
  for (const std::string& key : keys) {
    const auto entry = std::ranges::find(at->entries, key, &yaml::Entry::key);
    DUCTLEDGER_EXPECTS(entry != at->entries.end());
    at = &entry->value;
  }
  return *at;
}

/// The pieces' nodes without transitions, and junctions that leave the section as it is.
void take_out_changes(yaml::Node& nodes, const std::vector<layout::Piece>& pieces) {
  DUCTLEDGER_EXPECTS(nodes.items.size() == pieces.size());
  std::vector<yaml::Node> kept;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    yaml::Node& node = nodes.items[i];
    if (pieces[i].kind == layout::PieceKind::transition) {
      continue;
    }
    if (pieces[i].kind == layout::PieceKind::junction) {
      std::erase_if(node.entries.front().value.entries,
                    [](const yaml::Entry& entry) { return entry.key == "section"; });
    }
    kept.push_back(std::move(node));
  }
  nodes.items = std::move(kept);
}

/// The layout with its makeup duct of one size throughout.
edit::Edited of_one_size(const layout::Layout& layout, const fitting::Catalogue& catalogue) {
  yaml::Node root = layout.tree->root;
  const layout::Makeup& makeup = layout.house->makeup;
  take_out_changes(below(root, {"house", "makeup", "run", "pieces"}), makeup.duct.front().pieces);
  for (const layout::Branch& branch : makeup.branches) {
    take_out_changes(below(root, {"house", "makeup", "branches", branch.name, "pieces"}),
                     branch.run.pieces);
  }
  return layout::read_edited(layout, std::move(root), catalogue);
}

std::size_t transitions_of(const layout::Run& run) {
  return static_cast<std::size_t>(std::ranges::count_if(
      run.pieces, [](const auto& one) { return one.kind == layout::PieceKind::transition; }));
}

/// Why nothing can be sized.
std::optional<base::Diagnostic> missing(const Calculated& result) {
  const layout::Layout& layout = result.check.layout;
  if (layout.run.discharge == layout::Discharge::room) {
    return base::fault("no-house",
                       "the run leads back into the room: no makeup air is needed for it");
  }
  if (!layout.house) {
    return base::fault("no-house",
                       "the layout states no house to bring air into",
                       "add `house:` with `leakage` and `combustion`");
  }
  if (!layout.house->leakage) {
    return base::fault("no-leakage",
                       "the house's leakage is not stated, so its depressurization is not known",
                       "add `leakage: {airflow: 1500 cfm, at: 50 Pa}` from a blower door test");
  }
  if (!house::limit_of(*layout.house)) {
    return base::fault("no-limit",
                       "combustion appliances are not stated, so depressurization has no limit",
                       "add `combustion: [{kind: ...}]`, or `combustion: []` where nothing burns");
  }
  if (result.speeds.empty()) {
    return base::fault("no-airflow",
                       "no speed that can run has an airflow to bring in",
                       "state the fan with its curve, its ratings or its `rated` airflow");
  }
  return std::nullopt;
}

/// The first of `count` places, from the least, that is enough; `count` where none is.
std::size_t first_enough(std::size_t count, const std::function<bool(std::size_t)>& is_enough) {
  // Upward by doubling, then by halving.
  std::size_t low = 0;       // below it none is enough
  std::size_t high = count;  // is enough, once found
  for (std::size_t i = 0; low < count; i = 2 * i + 1) {
    const std::size_t next = std::min(i, count - 1);
    if (is_enough(next)) {
      high = next;
      break;
    }
    low = next + 1;
  }
  while (high < count && low < high) {
    const std::size_t middle = low + (high - low) / 2;
    if (is_enough(middle)) {
      high = middle;
    } else {
      low = middle + 1;
    }
  }
  return high;
}

/// Looks for the smallest size of each way that keeps the limit.
class Sizing {
 public:
  Sizing(MakeupSize& out, const Asked& asked)
      : out_(out),
        asked_(asked),
        makeup_(asked.layout.house->makeup),
        series_(fitting::series_of(layout::written_system(asked.layout))) {}

  void size_duct() {
    const layout::Layout& of = asked_.layout;
    out_.own_duct = draws_a_duct(of);
    const layout::Run* own = out_.own_duct ? &makeup_.duct.front() : nullptr;
    edit::Edited plain = of;
    if (own != nullptr) {
      out_.transitions_out = transitions_of(*own);
      for (const layout::Branch& branch : makeup_.branches) {
        out_.transitions_out += transitions_of(branch.run);
      }
      if (out_.transitions_out > 0 || !makeup_.branches.empty()) {
        plain = of_one_size(of, asked_.catalogue);
      }
    }
    if (!plain) {
      out_.duct_why_not = plain.error().front().message;
      return;
    }
    const auto& sizes = fitting::stock_sizes(
        own == nullptr ? duct::Shape::round : own->first_section.shape(), series_);
    const Asked one_size{*plain, asked_.catalogue};
    base::Diagnostics faults;
    out_.duct = smallest(
        sizes.size(), [&](std::size_t i) { return duct(one_size, sizes[i]); }, faults);
    if (!faults.empty()) {
      out_.duct_why_not = faults.front().message;
    }
  }

  void size_opening() {
    const auto& rounds = fitting::stock_sizes(duct::Shape::round, series_);
    base::Diagnostics ignored;
    out_.opening = smallest(
        rounds.size(), [&](std::size_t i) { return opening(asked_, rounds[i]); }, ignored);
  }

  /// As much as leaves the house is surely enough but for wind and doubt: twice that ends the
  /// search.
  void size_powered() {
    const auto steps =
        static_cast<std::size_t>(std::ceil(2.0 * leaves_m3_s() / kPoweredStepM3S)) + 1;
    base::Diagnostics ignored;
    out_.powered = smallest(
        steps,
        [&](std::size_t i) {
          return powered(asked_, kPoweredStepM3S * static_cast<double>(i + 1));
        },
        ignored);
  }

 private:
  [[nodiscard]] double leaves_m3_s() const {
    double leaves_m3_s = 0.0;
    for (const layout::OtherExhaust& other : asked_.layout.house->other_exhaust) {
      leaves_m3_s += other.airflow_m3_s;
    }
    for (const MakeupSpeed& speed : out_.drawn.speeds) {
      leaves_m3_s =
          std::max(leaves_m3_s, std::max(speed.airflow_m3_s, speed.alone_m3_s.value_or(0.0)));
    }
    return leaves_m3_s;
  }

  /// The smallest of `count` sizes that is enough, where it keeps the limit; every one solved goes
  /// to the sizes tried. @param solve of a size, by its place from the smallest
  template <class Solve>
  [[nodiscard]] std::optional<std::size_t> smallest(std::size_t count,
                                                    Solve&& solve,
                                                    base::Diagnostics& faults) {
    std::vector<std::optional<MakeupTried>> solved(count);
    const auto is_enough = [&](std::size_t i) {
      auto one = solve(i);
      if (!one) {
        if (faults.empty()) {
          faults = std::move(one).error();
        }
        return false;
      }
      const bool enough = one->is_enough(out_.limit.pressure_pa);
      solved[i] = *std::move(one);
      return enough;
    };
    const std::size_t found = first_enough(count, is_enough);
    std::optional<std::size_t> place;
    for (std::size_t i = 0; i < count; ++i) {
      if (solved[i]) {
        if (i == found && solved[i]->keeps()) {
          place = out_.tried.size();
        }
        out_.tried.push_back(*std::move(solved[i]));
      }
    }
    return place;
  }

  MakeupSize& out_;
  const Asked& asked_;
  const layout::Makeup& makeup_;
  fitting::Series series_;
};

}  // namespace

bool MakeupTried::keeps() const noexcept {
  return !speeds.empty() && std::ranges::all_of(speeds, [](const MakeupSpeed& speed) {
    return speed.verdict == house::Verdict::met;
  });
}

bool MakeupTried::is_enough(double limit_pa) const noexcept {
  return !speeds.empty() && std::ranges::all_of(speeds, [&](const MakeupSpeed& speed) {
    return (speed.band_pa ? speed.band_pa->high : speed.depressurisation_pa) <= limit_pa;
  });
}

const MakeupSpeed& MakeupTried::worst() const noexcept {
  return *std::ranges::max_element(speeds, {}, &MakeupSpeed::depressurisation_pa);
}

base::Checked<MakeupSize> size_makeup(layout::Layout layout, const fitting::Catalogue& catalogue) {
  auto checked = calculate(std::move(layout), catalogue);
  if (!checked) {
    return std::move(checked).error();
  }
  if (auto fault = missing(*checked)) {
    return *std::move(fault);
  }
  MakeupSize out{.check = std::move(checked->check), .limit = {}, .drawn = {}};
  const layout::Layout& of = out.check.layout;
  out.limit = *house::limit_of(*of.house);
  out.drawn.speeds = std::move(checked->speeds);
  const Asked asked{of, catalogue};
  Sizing sizing(out, asked);
  sizing.size_duct();
  sizing.size_opening();
  sizing.size_powered();
  return out;
}

}  // namespace ductledger::study
