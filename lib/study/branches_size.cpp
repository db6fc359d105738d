#include "study/branches_size.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "edit/edit.hpp"
#include "fitting/stock.hpp"
#include "layout/written_system.hpp"
#include "study/compare_internal.hpp"

namespace ductledger::study {
namespace {

using base::fault;
using layout::PieceKind;
using network::kNone;
using units::Dimension;
using units::Message;

constexpr double kFeetPerMinute = 0.00508;
constexpr std::size_t kMostTries = 1500;

/// A leg of the network and where its size stands.
struct LegSize {
  std::size_t leg = 0;           ///< in `CompiledNetwork::legs`
  std::size_t straight = kNone;  ///< in the list of these: what joins in it
  std::size_t branch = kNone;
  double wanted_m3_s = 0.0;  ///< of the inlets behind it
};

/// A size for each leg, by its place in the list of sizes.
using Sizes = std::vector<std::size_t>;

/// What one choice of sizes does.
struct Trial {
  std::optional<NetworkResult> result;
  double missing = 0.0;  ///< [1] shares of airflow that inlets lack, summed; 0: enough
  std::vector<Message> why_not;
  [[nodiscard]] bool good() const { return result && why_not.empty(); }
};

class NetworkSizer {
 public:
  NetworkSizer(NetworkSizeResult& result,
               const fitting::Catalogue& catalogue,
               const SizeOptions& options)
      : result_(result), catalogue_(catalogue), options_(options) {
    list_sizes();
    list_legs();
  }

  void run() {
    note_what_no_size_mends();
    Sizes sizes;
    Trial best;
    const bool good = grow(sizes, best);
    if (good) {
      shrink(sizes, best);
    }
    result_.found = good;
    put(sizes, best, good);
  }

 private:
  [[nodiscard]] const network::CompiledNetwork& net() const { return result_.check.network; }

  void list_sizes() {
    sections_ = fitting::stock_sizes(
        duct::Shape::round, fitting::series_of(layout::written_system(result_.check.layout)));
    sections_.insert(sections_.end(), options_.more_sizes.begin(), options_.more_sizes.end());
    std::ranges::stable_sort(sections_, {}, [](const auto& of) { return of.area_m2(); });
    std::erase_if(sections_, [&](const duct::Section& of) {
      return options_.max_depth_m &&
             std::min(of.width_m(), of.height_m()) > *options_.max_depth_m * (1.0 + 1e-9);
    });
  }

  /// Legs stand upstream first, as in the network.
  void list_legs() {
    legs_.resize(net().legs.size());
    for (std::size_t i = 0; i < legs_.size(); ++i) {
      LegSize& leg = legs_[i];
      leg.leg = i;
      const std::size_t at = net().network.legs[i].junction;
      if (at != kNone) {
        leg.straight = net().network.junctions[at].straight;
        leg.branch = net().network.junctions[at].branch;
        leg.wanted_m3_s = legs_[leg.straight].wanted_m3_s + legs_[leg.branch].wanted_m3_s;
        continue;
      }
      const Inlet& inlet = inlet_of(i);
      leg.wanted_m3_s = inlet.required_m3_s.value_or(std::max(inlet.airflow_m3_s, 0.0));
    }
  }

  [[nodiscard]] const Inlet& inlet_of(std::size_t leg) const {
    const auto& inlets = result_.check.speeds[result_.speed].inlets;
    return *std::ranges::find_if(inlets, [&](const Inlet& inlet) {
      return (inlet.branch ? net().inlets[*inlet.branch] : net().collar_leg) == leg;
    });
  }

  // --- one choice

  [[nodiscard]] edit::Edited edited(const Sizes& sizes) const {
    std::vector<edit::RunSections> runs(1 + result_.check.layout.branches.size());
    for (std::size_t i = 0; i < legs_.size(); ++i) {
      const auto& branch = net().legs[i].branch;
      edit::RunSections& run = runs[branch ? *branch + 1 : 0];
      run.branch = branch;
      run.legs.push_back(sections_[sizes[i]]);
    }
    return edit::with_leg_sections(result_.check.layout, catalogue_, runs);
  }

  [[nodiscard]] base::Checked<NetworkResult> checked(const layout::Layout& layout,
                                                     Depth depth) const {
    return check_network(
        layout, catalogue_, {.speed = result_.check.speeds[result_.speed].name, .depth = depth});
  }

  /// Airflows first, since most choices fail there; then bands; then rules.
  [[nodiscard]] const Trial& tried(const Sizes& sizes) {
    const auto [at, added] = trials_.try_emplace(sizes);
    if (added) {
      at->second = calculated(sizes);
      ++result_.tried;
    }
    return at->second;
  }

  [[nodiscard]] Trial calculated(const Sizes& sizes) const {
    Trial out;
    const edit::Edited layout = edited(sizes);
    const auto refused = [&](const base::Diagnostics& why) {
      out.missing = 1e6;
      out.why_not.push_back({literal(why.front().message)});
      return out;
    };
    if (!layout) {
      return refused(layout.error());
    }
    for (const Depth depth : {Depth::points, Depth::bands, Depth::whole}) {
      auto of = checked(*layout, depth);
      if (!of) {
        return refused(of.error());
      }
      out.result = *std::move(of);
      out.missing = 0.0;
      judge_inlets(out, depth);
      judge_velocities(out);
      if (depth == Depth::whole) {
        judge_rules(out);
      }
      if (!out.why_not.empty()) {
        return out;
      }
    }
    return out;
  }

  void judge_inlets(Trial& trial, Depth depth) const {
    const NetworkSpeed& speed = trial.result->speeds[result_.speed];
    const bool solved =
        speed.status == network::Status::solved && solve::has_best_airflow(speed.point);
    for (const Inlet& inlet : speed.inlets) {
      if (!inlet.required_m3_s) {
        continue;
      }
      const double wanted = *inlet.required_m3_s;
      const double least = wanted * (1.0 - 1e-9);
      const double flows =
          inlet.status == InletStatus::flowing && solved ? inlet.airflow_m3_s : 0.0;
      const std::string name = literal(inlet.name);
      if (flows < least) {
        trial.missing += (wanted - flows) / wanted;
        trial.why_not.push_back(
            flows > 0.0 ? Message{name + " draws {} of {}",
                                  {{flows, Dimension::airflow}, {wanted, Dimension::airflow}}}
                        : Message{name + " draws nothing of {}", {{wanted, Dimension::airflow}}});
        continue;
      }
      if (depth == Depth::points) {
        continue;
      }
      const double low = inlet.band ? inlet.band->low : 0.0;
      if (low < least) {
        trial.missing += 1e-3 * (wanted - low) / wanted;
        trial.why_not.push_back(
            inlet.band ? Message{name + " is not shown: the low end of its band, {}, is below {}",
                                 {{low, Dimension::airflow}, {wanted, Dimension::airflow}}}
                       : Message{name + " is not shown: its airflow has no band"});
      }
    }
  }

  void judge_velocities(Trial& trial) const {
    if (!options_.max_velocity_m_s) {
      return;
    }
    const std::vector<double> q = leg_airflows(*trial.result);
    for (std::size_t i = 0; i < q.size(); ++i) {
      const double v = velocity(*trial.result, i, q[i]);
      if (v > *options_.max_velocity_m_s * (1.0 + 1e-9)) {
        trial.missing += 1e-3 * (v / *options_.max_velocity_m_s - 1.0);
        trial.why_not.push_back(
            {"too fast: {} in {}",
             {{v, Dimension::velocity}, {.texts = {leg_name(i), leg_name(i)}}}});
      }
    }
  }

  void judge_rules(Trial& trial) const {
    for (const std::string& one : breaks(*trial.result)) {
      if (!excused_.contains(one)) {
        trial.missing += 1e-4;
        trial.why_not.push_back({"breaks a rule: " + literal(one)});
      }
    }
  }

  /// Rules not met and findings that fail, but for airflows, which are judged by themselves.
  [[nodiscard]] std::set<std::string> breaks(const NetworkResult& of) const {
    std::set<std::string> out;
    for (const findings::Finding& finding : of.findings) {
      if (finding.level == findings::Level::fail && finding.code != "delivered-below-required" &&
          finding.code != "no-flow" && finding.other_speed.empty()) {
        out.insert(finding.code);
      }
    }
    if (options_.sets) {
      for (const rules::Judgement& one : judge_network(*options_.sets, of, catalogue_)) {
        if (one.verdict == rules::Verdict::not_met && rules::level(one) == findings::Level::fail) {
          out.insert(one.rule->title);
        }
      }
    }
    return out;
  }

  /// What the layout as drawn breaks and the widest and the narrowest plausible sizes do too.
  void note_what_no_size_mends() {
    excused_ = breaks(result_.check);
    for (const double fpm : {300.0, 1200.0}) {
      const edit::Edited layout = edited(at_velocity(fpm * kFeetPerMinute));
      const auto of =
          layout ? checked(*layout, Depth::whole) : base::Checked<NetworkResult>(layout.error());
      if (of) {
        const std::set<std::string> there = breaks(*of);
        std::erase_if(excused_, [&](const std::string& one) { return !there.contains(one); });
      }
    }
    result_.breaks_at_every_size.assign(excused_.begin(), excused_.end());
  }

  // --- the search

  /// The smallest size of each leg by which what is wanted flows no faster.
  [[nodiscard]] Sizes at_velocity(double most_m_s) const {
    Sizes sizes(legs_.size(), 0);
    for (std::size_t i = 0; i < legs_.size(); ++i) {
      std::size_t size = least(sizes, i);
      while (size + 1 < sections_.size() &&
             legs_[i].wanted_m3_s > most_m_s * sections_[size].area_m2()) {
        ++size;
      }
      sizes[i] = size;
    }
    return sizes;
  }

  /// A combined leg is nowhere smaller than what joins in it.
  [[nodiscard]] std::size_t least(const Sizes& sizes, std::size_t leg) const {
    const LegSize& of = legs_[leg];
    return of.straight == kNone ? 0 : std::max(sizes[of.straight], sizes[of.branch]);
  }
  [[nodiscard]] bool fits(const Sizes& sizes) const {
    for (std::size_t i = 0; i < sizes.size(); ++i) {
      if (sizes[i] < least(sizes, i)) {
        return false;
      }
    }
    return true;
  }

  /// From fast and narrow to slow and wide, then single legs that help. @return whether it is good
  bool grow(Sizes& sizes, Trial& best) {
    if (sections_.empty()) {
      return false;
    }
    best.missing = 1e9;
    for (double fpm = 3000.0; fpm > 100.0; fpm /= 1.12) {
      const Sizes candidate = at_velocity(fpm * kFeetPerMinute);
      const Trial& trial = tried(candidate);
      if (trial.missing < best.missing || trial.good()) {
        sizes = candidate;
        best = trial;
      }
      if (best.good()) {
        return true;
      }
    }
    while (!best.good() && result_.tried < kMostTries) {
      Sizes better;
      for (std::size_t i = 0; i < sizes.size(); ++i) {
        for (const bool up : {true, false}) {
          Sizes candidate = sizes;
          if (up ? candidate[i] + 1 >= sections_.size() : candidate[i] == 0) {
            continue;
          }
          candidate[i] += up ? 1 : static_cast<std::size_t>(-1);
          if (up) {
            widen_behind(candidate, i);
          }
          if (!fits(candidate)) {
            continue;
          }
          const Trial& trial = tried(candidate);
          if (trial.missing < best.missing || trial.good()) {
            best = trial;
            better = candidate;
          }
        }
      }
      if (better.empty()) {
        break;
      }
      sizes = better;
    }
    return best.good();
  }

  void widen_behind(Sizes& sizes, std::size_t from) const {
    for (std::size_t i = from; i < sizes.size(); ++i) {
      sizes[i] = std::max(sizes[i], least(sizes, i));
    }
  }

  /// Leg by leg, those first that save most sheet, until none can be a size smaller.
  void shrink(Sizes& sizes, Trial& best) {
    bool any = true;
    while (any && result_.tried < kMostTries) {
      any = false;
      std::vector<std::size_t> order;
      for (std::size_t i = 0; i < sizes.size(); ++i) {
        order.push_back(i);
      }
      std::ranges::stable_sort(order, std::ranges::greater(), [&](std::size_t i) {
        return sizes[i] == 0 ? 0.0
                             : length_m(i) * (sections_[sizes[i]].perimeter_m() -
                                              sections_[sizes[i] - 1].perimeter_m());
      });
      for (const std::size_t i : order) {
        Sizes candidate = sizes;
        if (sizes[i] == 0 || --candidate[i] < least(sizes, i)) {
          continue;
        }
        const Trial& trial = tried(candidate);
        if (trial.good()) {
          sizes = candidate;
          best = trial;
          any = true;
        }
      }
    }
  }

  // --- figures

  [[nodiscard]] double length_m(std::size_t leg) const {
    double sum = 0.0;
    for (const layout::Piece& piece : net().legs[leg].layout.run.pieces) {
      if (piece.kind == PieceKind::straight || piece.kind == PieceKind::flex) {
        sum += piece.length_m.value_or(0.0);
      }
    }
    return sum;
  }

  [[nodiscard]] std::vector<double> leg_airflows(const NetworkResult& of) const {
    std::vector<double> q(of.network.legs.size(), 0.0);
    for (const Inlet& inlet : of.speeds[result_.speed].inlets) {
      q[inlet.branch ? of.network.inlets[*inlet.branch] : of.network.collar_leg] =
          inlet.airflow_m3_s;
    }
    for (const network::Junction& junction : of.network.network.junctions) {
      q[junction.combined] = q[junction.straight] + q[junction.branch];
    }
    return q;
  }

  /// The greatest in a leg's straights; the leg's own section where it has none.
  [[nodiscard]] static double velocity(const NetworkResult& of, std::size_t leg, double airflow) {
    double least_m2 = of.network.legs[leg].layout.run.first_section.area_m2();
    for (const layout::Piece& piece : of.network.legs[leg].layout.run.pieces) {
      if (piece.kind == PieceKind::straight || piece.kind == PieceKind::flex) {
        least_m2 = std::min(least_m2, piece.upstream.area_m2());
      }
    }
    return std::abs(airflow) / least_m2;
  }

  /// `bath`, `run`; with a number where the run has junctions: `run, part 2`.
  [[nodiscard]] std::string leg_name(std::size_t leg) const {
    const auto& branch = net().legs[leg].branch;
    std::string name = branch ? result_.check.layout.branches[*branch].name : "run";
    std::size_t part = 0;
    std::size_t count = 0;
    for (std::size_t i = 0; i < legs_.size(); ++i) {
      if (net().legs[i].branch == branch) {
        ++count;
        part = i <= leg ? count : part;
      }
    }
    return count == 1 ? name : fmt::format("{}, part {}", name, part);
  }

  void put(const Sizes& sizes, Trial& best, bool good) {
    std::vector<double> q;
    if (best.result) {
      q = leg_airflows(*best.result);
      for (const Inlet& inlet : best.result->speeds[result_.speed].inlets) {
        result_.inlets.push_back({.name = inlet.name,
                                  .wanted_m3_s = inlet.required_m3_s,
                                  .status = inlet.status,
                                  .airflow_m3_s = inlet.airflow_m3_s,
                                  .band = inlet.band});
      }
    }
    put_legs(std::nullopt, sizes, best, q, good);
    for (std::size_t i = 0; i < result_.check.layout.branches.size(); ++i) {
      put_legs(i, sizes, best, q, good);
    }
    if (!good) {
      result_.why_not = best.why_not;
    }
    if (best.result) {
      result_.layout = best.result->layout;
    }
  }

  void put_legs(std::optional<std::size_t> branch,
                const Sizes& sizes,
                const Trial& best,
                const std::vector<double>& q,
                bool good) {
    std::size_t part = 0;
    for (std::size_t i = 0; i < legs_.size(); ++i) {
      if (net().legs[i].branch != branch) {
        continue;
      }
      SizedLeg leg{.branch = branch, .leg = part++, .length_m = length_m(i)};
      for (const layout::Piece& piece : net().legs[i].layout.run.pieces) {
        if ((piece.kind == PieceKind::straight || piece.kind == PieceKind::flex) &&
            (leg.drawn.empty() || leg.drawn.back() != piece.upstream)) {
          leg.drawn.push_back(piece.upstream);
        }
      }
      if (leg.drawn.empty()) {
        leg.drawn.push_back(net().legs[i].layout.run.first_section);
      }
      if (!sizes.empty() && best.result) {
        leg.section = sections_[sizes[i]];
        leg.airflow_m3_s = q[i];
        leg.velocity_m_s = velocity(*best.result, i, q[i]);
        if (good) {
          leg.why_not_smaller = why_not_smaller(sizes, i);
        }
      }
      result_.legs.push_back(std::move(leg));
    }
  }

  [[nodiscard]] Message why_not_smaller(const Sizes& sizes, std::size_t leg) {
    if (sizes[leg] == 0) {
      return {"the smallest in stock"};
    }
    Sizes candidate = sizes;
    --candidate[leg];
    if (candidate[leg] < least(sizes, leg)) {
      return {"as wide as what joins in it"};
    }
    const Trial& trial = tried(candidate);
    return trial.why_not.empty() ? Message{"the search ended"} : trial.why_not.front();
  }

  NetworkSizeResult& result_;
  const fitting::Catalogue& catalogue_;
  const SizeOptions& options_;
  std::vector<duct::Section> sections_;
  std::vector<LegSize> legs_;
  std::map<Sizes, Trial> trials_;
  std::set<std::string> excused_;
};

base::Checked<std::size_t> speed_of(const NetworkResult& checked, const std::string& asked) {
  const std::optional<std::size_t> speed =
      asked.empty() ? checked.headline : std::optional(checked.shown);
  if (!speed) {
    return fault("no-speed", "every speed is locked out", "name one by `--speed`");
  }
  const NetworkSpeed& chosen = checked.speeds[*speed];
  if (chosen.point.status == solve::Status::no_fan) {
    return fault("no-fan",
                 "the layout has no fan, so no airflow can be found",
                 "state its curve under `fan`, of the layout or of a branch");
  }
  if (chosen.point.status == solve::Status::not_determined) {
    return fault("fan-not-determined",
                 fmt::format("too little is known of {}",
                             chosen.fan.why_not.empty() ? "a branch's fan" : chosen.fan.why_not));
  }
  return *speed;
}

}  // namespace

base::Checked<NetworkSizeResult> size_network(layout::Layout layout,
                                              const fitting::Catalogue& catalogue,
                                              const SizeOptions& options) {
  if (layout.tree == nullptr) {
    return fault("cannot-edit", "the layout was not read from a text, so it cannot be edited");
  }
  if (options.within_pa) {
    return fault("options-conflict",
                 "`--within` is for one run, and this layout has branches",
                 "state the fan under `fan`");
  }
  if (options.deliver_m3_s) {
    auto wanted = edit::with_value(layout,
                                   catalogue,
                                   {.keys = {"appliance", "required_airflow"},
                                    .value = fmt::format("{} m3/s", *options.deliver_m3_s)});
    if (!wanted) {
      return std::move(wanted).error();
    }
    layout = *std::move(wanted);
  }
  const bool any = layout.appliance.required_airflow_m3_s ||
                   std::ranges::any_of(layout.branches, [](const layout::Branch& branch) {
                     return branch.required_airflow_m3_s.has_value();
                   });
  if (!any) {
    return fault("no-airflow-wanted",
                 "neither the call nor the layout says what has to be delivered",
                 "`required_airflow` under `appliance` and of each branch, or `--deliver 50cfm` "
                 "for the collar");
  }
  auto checked = check_network(std::move(layout), catalogue, {.speed = options.speed});
  if (!checked) {
    return std::move(checked).error();
  }
  const auto speed = speed_of(*checked, options.speed);
  if (!speed) {
    return speed.error();
  }
  NetworkSizeResult result{.check = *std::move(checked),
                           .speed = *speed,
                           .legs = {},
                           .inlets = {},
                           .max_depth_m = options.max_depth_m,
                           .max_velocity_m_s = options.max_velocity_m_s};
  NetworkSizer(result, catalogue, options).run();
  return result;
}

}  // namespace ductledger::study
