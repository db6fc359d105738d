#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <string_view>

#include "findings/branch_checks.hpp"
#include "findings/finding_internal.hpp"
#include "findings/order.hpp"
#include "layout/spoken_speed.hpp"
#include "study/branches.hpp"

/// Findings of a network: its own, and those of single runs that look only at pieces, leg by leg.
namespace ductledger::study {
namespace {

using findings::Finding;
using findings::Level;
using findings::literal;
using solve::Status;

/// Checks of a run that ask nothing but its pieces at an airflow.
constexpr std::array<std::string_view, 12> kOfPieces{"velocity-high",
                                                     "flexible-duct",
                                                     "elbows-close-together",
                                                     "elbow-close-to-cap",
                                                     "elbow-close-to-collar",
                                                     "outside-table-range",
                                                     "section-shrinks",
                                                     "abrupt-change-at-collar",
                                                     "section-smaller-than-collar",
                                                     "assumed-figures",
                                                     "memory-figures",
                                                     "upkeep-screen-clogs"};
/// And those that ask what stands at the run's end.
constexpr std::array<std::string_view, 4> kOfOutlet{
    "no-cap", "cap-ends-inside", "cap-against-heading", "outlet-in-closed-space"};
/// And those that ask the layout, the house and how much leaves it.
constexpr std::array<std::string_view, 10> kOfWhole{"makeup-air-needed",
                                                    "house-depressurised",
                                                    "makeup-not-interlocked",
                                                    "gravity-damper-on-makeup-air",
                                                    "upkeep-makeup-damper",
                                                    "leakage-not-stated",
                                                    "combustion-not-stated",
                                                    "outside-door-test",
                                                    "layout-remark",
                                                    "defaults-taken"};

template <std::size_t N>
bool holds(const std::array<std::string_view, N>& codes, std::string_view code) {
  return std::ranges::find(codes, code) != codes.end();
}

/// What a network's finding says of its own; codes that single runs have too.
struct Own {
  Level level = Level::note;
  const char* code = "";
  units::Message message{};
  std::vector<findings::NamedValue> observed{};
  std::vector<findings::NamedValue> limit{};
  std::string source{};
  base::Span span{};
  units::Message remedy{};

  [[nodiscard]] Finding finding() && {
    Finding found;
    found.level = level;
    found.code = code;
    found.message = std::move(message);
    found.observed = std::move(observed);
    found.limit = std::move(limit);
    found.source = std::move(source);
    found.span = span;
    found.remedy = std::move(remedy);
    return found;
  }
};

class Writer {
 public:
  Writer(const NetworkResult& result, const fitting::Catalogue& catalogue)
      : result_(result), catalogue_(catalogue) {}

  std::vector<Finding> write() {
    for (std::size_t i = 0; i < result_.speeds.size(); ++i) {
      of_speed(i);
    }
    of_junctions();
    if (result_.network.stack_unknown) {
      add(Own{
          .level = Level::note,
          .code = "stack-not-counted",
          .message = {"the densities in and out of the duct differ, but the rise of a leg is not "
                      "known: its stack effect is left out"},
          .source = "common practice",
          .span = result_.layout.run.span,
          .remedy = {"state `heading`, or `rise` of the run and of each branch"}});
    }
    of_legs();
    of_whole();
    findings::put_in_order(all_, result_.layout);
    return std::move(all_);
  }

 private:
  void add(Finding found) {
    if (said_
            .insert(found.code + '\n' + found.message.text(units::System::si) + '\n' +
                    findings::subject_of(found, result_.layout))
            .second) {
      all_.push_back(std::move(found));
    }
  }

  void add(Own own) { add(std::move(own).finding()); }
  void add(std::size_t speed, Own own) { add(speed, std::move(own).finding()); }

  [[nodiscard]] base::Span span_of(const Inlet& inlet) const {
    return inlet.branch ? result_.layout.branches[*inlet.branch].span : result_.layout.run.span;
  }
  [[nodiscard]] base::Span required_span(const Inlet& inlet) const {
    return inlet.branch ? result_.layout.branches[*inlet.branch].required_span
                        : result_.layout.appliance.required_span;
  }
  /// A fault of a speed that is not the headline ranks lower.
  [[nodiscard]] Level level(std::size_t speed, Level of) const {
    return result_.headline == speed          ? of
           : result_.speeds[speed].locked_out ? Level::note
                                              : std::min(of, Level::warn);
  }
  void add(std::size_t speed, Finding found) {
    found.level = level(speed, found.level);
    if (result_.headline != speed) {
      found.other_speed = result_.speeds[speed].name;
      found.message.pattern.insert(
          0, "at " + literal(layout::spoken_speed(result_.speeds[speed].name)) + ": ");
    }
    add(std::move(found));
  }

  static Finding with(Finding found, std::vector<findings::NamedValue> observed) {
    found.observed = std::move(observed);
    return found;
  }

  void of_speed(std::size_t index) {
    const NetworkSpeed& speed = result_.speeds[index];
    const auto& fan = result_.layout.fan;
    const base::Span place =
        fan ? fan->speeds[speed.index].span : result_.layout.branches.front().span;
    if (speed.point.status == Status::no_fan) {
      add(index,
          Own{.level = Level::warn,
              .code = "fan-not-determined",
              .message =
                  {"nothing moves the air: no fan is stated, of the run or of a branch, and no "
                   "wind or stack acts"},
              .source = "common practice",
              .span = result_.layout.run.span,
              .remedy = {"state `fan` of the run, or of the branches that have one"}});
      return;
    }
    if (speed.point.status == Status::not_determined) {
      const network::LegPart* leg = result_.network.undetermined();
      const std::string of = leg != nullptr && leg->branch
                                 ? "branch " + result_.layout.branches[*leg->branch].name
                                 : layout::spoken_speed(speed.name);
      add(index,
          Own{.level = Level::warn,
              .code = "fan-not-determined",
              .message = {literal(of) + ": " +
                          literal(leg != nullptr ? leg->fan->why_not : speed.fan.why_not) +
                          "; a network has no answer without it"},
              .source = "common practice",
              .span = leg != nullptr ? leg->layout.fan->span : place,
              .remedy = {"give this fan a `curve`, or two ratings"}});
      return;
    }
    if (speed.status == network::Status::not_settled) {
      add(index,
          with(findings::finding(
                   findings::kNetworkNotSettled,
                   {.level = Level::fail,
                    .message = {"no steady answer was found: {} are left over where the fans and "
                                "the flaps pull against each other",
                                {findings::pressure(speed.residual_pa)}},
                    .span = place}),
               {{"residual_pa", speed.residual_pa}}));
      return;
    }
    if (fan) {
      of_main_fan(index, place);
    }
    for (const Inlet& inlet : speed.inlets) {
      of_inlet(index, inlet);
    }
  }

  void of_main_fan(std::size_t index, const base::Span& place) {
    const NetworkSpeed& speed = result_.speeds[index];
    const double q = speed.point.airflow_m3_s;
    if (speed.point.status == Status::no_flow) {
      add(index,
          Own{.level = Level::fail,
              .code = "no-flow",
              .message =
                  {"the fan moves no air from rest: the branches, wind or stack press against "
                   "it with {} more than it makes",
                   {findings::pressure(-speed.point.residual_pa)}},
              .observed = {{"airflow_m3_s", 0.0}},
              .source = "fan curve of the layout",
              .span = place,
              .remedy = {"a fan that makes more pressure, or weaker fans in the branches"}});
    } else if (speed.point.status == Status::beyond_curve) {
      add(index,
          Own{.level = Level::warn,
              .code = "operating-point-beyond-curve",
              .message =
                  {"the fan delivers more than {}, where its curve ends; the airflows of the "
                   "branches stand for that end",
                   {findings::airflow(q)}},
              .observed = {{"airflow_m3_s", q}},
              .source = "fan curve of the layout",
              .span = place,
              .remedy = {"give the curve out to free air"}});
    } else if (speed.point.status == Status::below_curve) {
      add(index,
          Own{.level = Level::warn,
              .code = "operating-point-below-curve",
              .message = {"the fan delivers less than {}, where its curve begins; the airflows of "
                          "the branches stand for that end",
                          {findings::airflow(q)}},
              .observed = {{"airflow_m3_s", q}},
              .source = "fan curve of the layout",
              .span = place,
              .remedy = {"give the curve back to no airflow"}});
    }
    if (speed.point.crossing_count > 1) {
      const solve::Crossing& last = speed.point.crossings[speed.point.crossing_count - 1];
      add(index,
          Own{.level = Level::warn,
              .code = "several-operating-points",
              .message =
                  {"the fan and the network meet at several airflows, up to {}: from rest it "
                   "settles at {}",
                   {findings::airflow(last.airflow_m3_s), findings::airflow(q)}},
              .observed = {{"airflow_m3_s", q}, {"other_airflow_m3_s", last.airflow_m3_s}},
              .source = "fan curve of the layout",
              .span = place,
              .remedy = {"a fan that does not work in the rising part of its curve"}});
    }
  }

  void of_inlet(std::size_t index, const Inlet& inlet) {
    of_inlet_flow(index, inlet);
    if (inlet.branch && (inlet.fan == Status::beyond_curve || inlet.fan == Status::below_curve)) {
      of_branch_fan(index, inlet);
    }
    if (inlet.requirement && *inlet.requirement != result::Requirement::State::met) {
      of_requirement(index, inlet);
    }
  }

  /// Air that comes back, or none at all.
  void of_inlet_flow(std::size_t index, const Inlet& inlet) {
    const std::string name = literal(inlet.name);
    const double q = inlet.airflow_m3_s;
    if (inlet.status == InletStatus::reversed) {
      add(index,
          with(findings::finding(findings::kBranchReversed,
                                 {.level = Level::fail,
                                  .message = {name + ": air comes back out of it, about {}",
                                              {findings::airflow(-q)}},
                                  .span = span_of(inlet)}),
               {{"airflow_m3_s", q}}));
    } else if (inlet.status == InletStatus::shut) {
      add(index,
          with(findings::finding(
                   findings::kBranchShut,
                   {.level = inlet.required_m3_s ? Level::fail : Level::warn,
                    .message = {name + ": its backdraft damper is held shut, and nothing is drawn "
                                       "there"},
                    .span = span_of(inlet)}),
               {{"airflow_m3_s", 0.0}}));
    }
  }

  void of_branch_fan(std::size_t index, const Inlet& inlet) {
    const bool beyond = inlet.fan == Status::beyond_curve;
    add(index,
        Own{.level = Level::warn,
            .code = beyond ? "operating-point-beyond-curve" : "operating-point-below-curve",
            .message = {literal(inlet.name) +
                            (beyond ? ": {} lie beyond the end of its fan's curve, which was "
                                      "carried on by a straight line"
                                    : ": {} lie before the begin of its fan's curve, which was "
                                      "carried on by a straight line"),
                        {findings::airflow(inlet.airflow_m3_s)}},
            .observed = {{"airflow_m3_s", inlet.airflow_m3_s}},
            .source = "fan curve of the layout",
            .span = span_of(inlet),
            .remedy = {beyond ? "give the curve out to free air"
                              : "give the curve back to no airflow"}});
  }

  void of_requirement(std::size_t index, const Inlet& inlet) {
    const double q = inlet.airflow_m3_s;
    const bool fails = *inlet.requirement == result::Requirement::State::not_met;
    units::Message message{
        literal(inlet.name) +
            (inlet.status == InletStatus::flowing ? " draws {}" : " draws nothing"),
        {}};
    if (inlet.status == InletStatus::flowing) {
      message.values.push_back(findings::airflow(q));
      if (inlet.band) {
        findings::append(message, {" (", {}});
        findings::append(message, findings::band_words(*inlet.band, units::Dimension::airflow));
        findings::append(message, {")", {}});
      }
    }
    findings::append(message,
                     {fails ? ", below the {} required" : ": the {} required are not shown",
                      {findings::airflow(*inlet.required_m3_s)}});
    add(index,
        Own{.level = fails ? Level::fail : Level::warn,
            .code = "delivered-below-required",
            .message = std::move(message),
            .observed = {{"airflow_m3_s", q}},
            .limit = {{"airflow_m3_s", *inlet.required_m3_s}},
            .source = "the required airflow stated in the layout",
            .span = required_span(inlet),
            .remedy = {
                "see its path for the largest loss; where others draw more than they need, a "
                "balancing damper on their paths"}});
  }

  void of_junctions() {
    for (std::size_t j = 0; j < result_.network.junctions.size(); ++j) {
      const network::JunctionPart& part = result_.network.junctions[j];
      const layout::Branch& branch = result_.layout.branches[part.branch];
      const layout::Run& run =
          part.run ? result_.layout.branches[*part.run].run : result_.layout.run;
      const layout::Piece& piece = run.pieces[part.piece];
      if (part.outside_area_range) {
        const double ratio = result_.network.network.junctions[j].area_ratio;
        add(Own{
            .level = Level::warn,
            .code = "outside-table-range",
            .message = {"junction of " + literal(branch.name) +
                            ": branch over combined area {} is outside 0.1 to 1; the formula is "
                            "carried on",
                        {findings::number(ratio)}},
            .observed = {{"area_ratio", ratio}},
            .limit = {{"area_ratio_lowest", 0.1}, {"area_ratio_highest", 1.0}},
            .source = "catalogue entry junction/" + piece.type + " (idelchik)",
            .span = piece.span,
            .remedy = {"state `straight_coefficient` and `branch_coefficient`"}});
      }
      if (part.area_changes) {
        add(findings::finding(
            findings::kJunctionChangesArea,
            {.level = Level::note,
             .message = {"junction of " + literal(branch.name) +
                         ": its figures are for a straight leg as wide as the combined one, and "
                         "here the area changes"},
             .span = piece.span}));
      }
    }
  }

  /// Each leg as a run of its own at its airflow.
  void of_legs() {
    if (!result_.headline) {
      return;
    }
    const NetworkSpeed& speed = result_.speeds[*result_.headline];
    std::vector<double> q(result_.network.legs.size(), 0.0);
    for (const Inlet& inlet : speed.inlets) {
      const std::size_t leg =
          inlet.branch ? result_.network.inlets[*inlet.branch] : result_.network.collar_leg;
      q[leg] = std::max(inlet.airflow_m3_s, 0.0);
    }
    for (const network::Junction& junction : result_.network.network.junctions) {
      q[junction.combined] = q[junction.straight] + q[junction.branch];
    }
    for (std::size_t i = 0; i < q.size(); ++i) {
      const network::LegPart& leg = result_.network.legs[i];
      if (leg.run.pieces.empty()) {
        continue;
      }
      result::SpeedResult one;
      one.name = speed.name;
      one.point.status = Status::found;
      one.point.airflow_m3_s = q[i];
      one.ledger = solve::ledger(leg.layout, leg.run, {.airflow_m3_s = q[i], .ends = {}});
      const double path_pa = longest_path_pa(speed, i);
      const int before = static_cast<int>(leg.first_piece);
      for (solve::LedgerRow& row : one.ledger->rows) {
        row.share = path_pa > 0.0 ? row.loss_pa / path_pa : 0.0;
        row.number += row.number > 0 ? before : 0;
        row.piece_index += row.piece_index >= 0 ? before : 0;
      }
      ask(i, std::span(&one, 1));
    }
  }

  /// Loss of the costliest path that leads through a leg [Pa].
  [[nodiscard]] double longest_path_pa(const NetworkSpeed& speed, std::size_t through) const {
    const network::CompiledNetwork& of = result_.network;
    double longest_pa = 0.0;
    for (const Inlet& inlet : speed.inlets) {
      std::size_t leg = inlet.branch ? of.inlets[*inlet.branch] : of.collar_leg;
      while (leg != through && of.legs[leg].ends_at != network::kNone) {
        leg = of.network.junctions[of.legs[leg].ends_at].combined;
      }
      longest_pa = leg == through ? std::max(longest_pa, inlet.path_loss_pa) : longest_pa;
    }
    return longest_pa;
  }

  void ask(std::size_t index, std::span<const result::SpeedResult> speeds) {
    const network::LegPart& leg = result_.network.legs[index];
    const bool outlet = index + 1 == result_.network.legs.size();
    // Pieces are named by their place in the whole run.
    layout::Layout whole = leg.layout;
    whole.run.pieces =
        (leg.branch ? result_.layout.branches[*leg.branch].run : result_.layout.run).pieces;
    solve::CompiledRun run = leg.run;
    for (solve::CompiledPiece& piece : run.pieces) {
      if (piece.piece) {
        *piece.piece += leg.first_piece;
      }
    }
    const result::Case subject{
        .layout = &whole, .catalogue = &catalogue_, .run = &run, .speeds = speeds, .headline = 0};
    for (const findings::Check& check : findings::checks()) {
      if (!holds(kOfPieces, check.code) && !(outlet && holds(kOfOutlet, check.code))) {
        continue;
      }
      for (Finding& found : check.check(subject)) {
        if (leg.branch) {
          found.message.pattern.insert(0,
                                       literal(result_.layout.branches[*leg.branch].name) + ": ");
        }
        add(std::move(found));
      }
    }
  }

  void of_whole() {
    std::vector<result::SpeedResult> speeds;
    for (const NetworkSpeed& from : result_.speeds) {
      result::SpeedResult one;
      one.index = from.index;
      one.name = from.name.empty() ? "the one speed" : from.name;
      one.locked_out = from.locked_out;
      one.rated = from.rated;
      one.point.status = from.point.status;
      one.point.airflow_m3_s = from.discharge_m3_s;
      one.house = from.house;
      speeds.push_back(std::move(one));
    }
    const network::LegPart& collar = result_.network.legs[result_.network.collar_leg];
    const result::Case subject{.layout = &result_.layout,
                               .catalogue = &catalogue_,
                               .run = &collar.run,
                               .house = result_.layout.house ? &result_.house : nullptr,
                               .speeds = speeds,
                               .headline = result_.layout.fan ? result_.headline : std::nullopt};
    for (const findings::Check& check : findings::checks()) {
      if (holds(kOfWhole, check.code)) {
        for (Finding& found : check.check(subject)) {
          add(std::move(found));
        }
      }
    }
  }

  const NetworkResult& result_;
  const fitting::Catalogue& catalogue_;
  std::vector<Finding> all_;
  std::set<std::string> said_;
};

}  // namespace

std::vector<findings::Finding> network_findings(const NetworkResult& result,
                                                const fitting::Catalogue& catalogue) {
  return Writer(result, catalogue).write();
}

}  // namespace ductledger::study
