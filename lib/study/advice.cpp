#include "study/advice.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <optional>
#include <utility>

#include "base/expects.hpp"
#include "parallel/parallel.hpp"
#include "study/advice_changes_internal.hpp"
#include "study/check.hpp"
#include "study/difference.hpp"

namespace ductledger::study {
namespace {

using result::SpeedResult;
using solve::Status;

constexpr std::size_t kPaired = 24;  // of the best changes, each is tried with each

/// Speeds that can be compared: not locked out, with an answer (standing still is one).
bool is_comparable(const SpeedResult& speed) {
  return !speed.locked_out &&
         (solve::has_best_airflow(speed.point) || speed.point.status == Status::no_flow);
}

bool touches_same(const Change& a, const Change& b) {
  return std::any_of(a.pieces.begin(), a.pieces.end(), [&](std::size_t piece) {
    return std::find(b.pieces.begin(), b.pieces.end(), piece) != b.pieces.end();
  });
}

bool of_whole_run(const Change& change) {
  return change.kind == ChangeKind::larger_duct || change.kind == ChangeKind::collar_size;
}

/// Whether both can be made: two of the whole run cannot, nor two at one piece.
bool compatible(const Change& a, const Change& b) {
  if (of_whole_run(a) && of_whole_run(b)) {
    return false;
  }
  if (a.kind == ChangeKind::fan_moved && b.kind == ChangeKind::fan_moved) {
    return false;
  }
  return !touches_same(a, b);
}

class Adviser {
 public:
  Adviser(const CheckResult& result, const fitting::Catalogue& catalogue)
      : result_(result), catalogue_(catalogue) {}

  Advice advice() {
    if (result_.layout.tree == nullptr) {
      advice_.why_not = "the layout was not read from a file";
      return std::move(advice_);
    }
    const std::size_t pieces = result_.layout.run.pieces.size();
    if (pieces > kMostPiecesAdvised) {
      advice_.why_not =
          fmt::format("the run has {} pieces, and changes are tried in one of {} at most",
                      pieces,
                      kMostPiecesAdvised);
      return std::move(advice_);
    }
    advice_.pairs_left_out = pieces > kMostPiecesPaired;
    if (!choose_basis()) {
      return std::move(advice_);
    }
    house_as_drawn();
    std::vector<std::vector<Change>> changes;
    for (Change& change : possible_changes(result_, catalogue_)) {
      changes.push_back({std::move(change)});
    }
    for (std::optional<AdviceRow>& row : solved(std::move(changes))) {
      if (row) {
        ++advice_.tried;
        if (worthwhile(*row)) {
          advice_.rows.push_back(*std::move(row));
        }
      }
    }
    std::stable_sort(advice_.rows.begin(),
                     advice_.rows.end(),
                     [&](const AdviceRow& a, const AdviceRow& b) { return better(a, b); });
    if (!advice_.pairs_left_out) {
      pair();
    }
    if (advice_.rows.size() > kMostAdvised) {
      advice_.smaller = advice_.rows.size() - kMostAdvised;
      advice_.rows.resize(kMostAdvised);
    }
    std::vector<AdviceRow*> told;
    for (AdviceRow& row : advice_.rows) {
      told.push_back(&row);
    }
    if (advice_.best_pair) {
      told.push_back(&*advice_.best_pair);
    }
    parallel::each(told.size(), [&](std::size_t i) { judge(*told[i]); });
    return std::move(advice_);
  }

 private:
  /// The speeds, or without a usable one the airflow at which pressures are compared.
  bool choose_basis() {
    if (result_.headline && is_comparable(result_.speeds[*result_.headline])) {
      const std::size_t highest = *result_.headline;
      std::size_t lowest = highest;
      for (std::size_t i = 0; i < result_.speeds.size(); ++i) {
        if (is_comparable(result_.speeds[i]) &&
            solve::best_airflow_m3_s(result_.speeds[i].point) <
                solve::best_airflow_m3_s(result_.speeds[lowest].point)) {
          lowest = i;
        }
      }
      advice_.speeds.push_back(highest);
      if (lowest != highest) {
        advice_.speeds.push_back(lowest);
      }
      return true;
    }
    if (result_.headline && result_.speeds[*result_.headline].fan.fan) {
      advice_.why_not = result_.speeds[*result_.headline].point.status == Status::beyond_curve
                            ? "the fan curve ends before it meets the run, so that a gain is not "
                              "seen in it"
                            : "the fan curve begins above where it would meet the run";
      return false;
    }
    if (!result_.speeds.empty() && !result_.headline) {
      advice_.why_not = "every speed is locked out";
      return false;
    }
    const layout::Appliance& appliance = result_.layout.appliance;
    advice_.airflow_m3_s = appliance.required_airflow_m3_s ? appliance.required_airflow_m3_s
                                                           : appliance.nameplate_airflow_m3_s;
    if (!advice_.airflow_m3_s) {
      advice_.why_not =
          "without a fan or a `required_airflow` there is no airflow at which to compare";
      return false;
    }
    needed_pa_ = needed_pa(result_.run, result_.house);
    return true;
  }

  void house_as_drawn() {
    if (advice_.speeds.empty() || result_.house.coupled() == nullptr) {
      return;
    }
    if (const auto limit = house::limit_of(*result_.layout.house)) {
      advice_.limit_pa = limit->pressure_pa;
    }
    const auto& at = result_.speeds[advice_.speeds.front()].house;
    if (at && at->coupled) {
      advice_.depressurisation_pa = at->judged_depressurisation_pa;
    }
  }

  [[nodiscard]] double needed_pa(const solve::CompiledRun& run,
                                 const house::CompiledHouse& house) const {
    return house::demand(run, house).total_pa(*advice_.airflow_m3_s);
  }

  /// Solves the changed layout; false where the change does not fit it.
  bool solve(AdviceRow& row) const {
    const edit::Edited edited = with_changes(result_.layout, row);
    if (!edited) {
      return false;
    }
    const auto run = solve::compile(*edited, catalogue_);
    if (!run) {
      return false;
    }
    const auto house = house::compile(*edited, catalogue_, *run);
    if (!house) {
      return false;
    }
    if (advice_.airflow_m3_s) {
      row.pressure_pa = needed_pa(*run, *house);
      row.pressure_saved_pa = needed_pa_ - row.pressure_pa;
      return true;
    }
    std::optional<double> greatest_m3_s;
    for (const std::size_t index : advice_.speeds) {
      const solve::SpeedFan fan = solve::speed_fan(*edited, *run, result_.speeds[index].index);
      DUCTLEDGER_EXPECTS(fan.fan.has_value());
      const solve::OperatingPoint point = house::operating_point(*run, *fan.fan, house->coupled());
      if (!solve::has_best_airflow(point) && point.status != Status::no_flow &&
          point.status != Status::beyond_curve) {
        return false;
      }
      const double airflow_m3_s = solve::best_airflow_m3_s(point);
      if (!greatest_m3_s) {
        greatest_m3_s = solve::has_best_airflow(point) && point.estimate
                            ? airflow_m3_s
                            : solve::greatest_airflow_m3_s(point);
      }
      row.speeds.push_back(
          {.status = point.status,
           .airflow_m3_s = airflow_m3_s,
           .estimated = point.estimate.has_value(),
           .gain_m3_s = airflow_m3_s - solve::best_airflow_m3_s(result_.speeds[index].point)});
    }
    if (house->coupled() != nullptr && greatest_m3_s) {
      row.depressurisation_pa = house->depressurisation_pa(*greatest_m3_s);
      row.over_limit = advice_.limit_pa && *row.depressurisation_pa > *advice_.limit_pa;
    }
    return true;
  }

  /// The changes of each row solved together, in their order; nothing where they do not fit.
  [[nodiscard]] std::vector<std::optional<AdviceRow>> solved(
      std::vector<std::vector<Change>> changes) const {
    return parallel::map<std::optional<AdviceRow>>(changes.size(), [&](std::size_t i) {
      AdviceRow row;
      row.changes = std::move(changes[i]);
      return solve(row) ? std::optional(std::move(row)) : std::nullopt;
    });
  }

  [[nodiscard]] bool worthwhile(const AdviceRow& row) const {
    return advice_.airflow_m3_s ? row.pressure_saved_pa >= kLeastSavedPa
                                : row.speeds.front().gain_m3_s >= kLeastGainM3S;
  }

  [[nodiscard]] double gain(const AdviceRow& row) const {
    return advice_.airflow_m3_s ? row.pressure_saved_pa : row.speeds.front().gain_m3_s;
  }
  [[nodiscard]] bool better(const AdviceRow& a, const AdviceRow& b) const {
    return gain(a) > gain(b);
  }

  void pair() {
    std::vector<std::vector<Change>> pairs;
    const std::size_t count = std::min(kPaired, advice_.rows.size());
    for (std::size_t i = 0; i < count; ++i) {
      for (std::size_t j = i + 1; j < count; ++j) {
        const Change& a = advice_.rows[i].changes.front();
        const Change& b = advice_.rows[j].changes.front();
        if (!compatible(a, b)) {
          continue;
        }
        // What changes sections comes last, so that it meets every piece that the other put there.
        pairs.push_back(of_whole_run(a) ? std::vector<Change>{b, a} : std::vector<Change>{a, b});
      }
    }
    std::optional<AdviceRow> best;
    for (std::optional<AdviceRow>& both : solved(std::move(pairs))) {
      if (both && (!best || better(*both, *best))) {
        best = std::move(both);
      }
    }
    const double least = advice_.airflow_m3_s ? kLeastSavedPa : kLeastGainM3S;
    if (best && gain(*best) >= gain(advice_.rows.front()) + least) {
      advice_.best_pair = std::move(best);
    }
  }

  /// What the findings of the changed layout say that those of the layout do not, and the other way
  /// round; and how sure the gains are.
  void judge(AdviceRow& row) const {
    auto changed = with_changes(result_.layout, row);
    DUCTLEDGER_EXPECTS(changed.has_value());
    const auto checked = check(*std::move(changed), catalogue_);
    DUCTLEDGER_EXPECTS(checked.has_value());
    const auto holds = [](const std::vector<findings::Finding>& all, const std::string& code) {
      return std::any_of(all.begin(), all.end(), [&](const findings::Finding& each) {
        return each.code == code && each.level != findings::Level::note;
      });
    };
    // These two speak of the calculation and of the advice itself.
    const auto counts = [](const findings::Finding& finding) {
      return finding.level != findings::Level::note &&
             finding.code != "operating-point-beyond-curve" && finding.code != "duct-undersized";
    };
    for (const findings::Finding& finding : checked->findings) {
      const bool without_damper =
          finding.code == "no-backdraft-damper" &&
          std::none_of(
              result_.findings.begin(), result_.findings.end(), [](const findings::Finding& each) {
                return each.code == "no-backdraft-damper";
              });
      if (without_damper || (counts(finding) && !holds(result_.findings, finding.code))) {
        row.brings.push_back(finding);
      }
    }
    parallel::each(row.speeds.size(), [&](std::size_t i) {
      const SpeedResult& before = result_.speeds[advice_.speeds[i]];
      const SpeedResult& after = checked->speeds[advice_.speeds[i]];
      if (before.point.status == Status::found && after.point.status == Status::found) {
        row.speeds[i].gain_band_m3_s = difference({*checked, after}, {result_, before}).band_m3_s;
      }
    });
    for (const findings::Finding& finding : result_.findings) {
      if (counts(finding) && !holds(checked->findings, finding.code) &&
          std::find(row.mends.begin(), row.mends.end(), finding.code) == row.mends.end()) {
        row.mends.push_back(finding.code);
      }
    }
  }

  const CheckResult& result_;
  const fitting::Catalogue& catalogue_;
  Advice advice_;
  double needed_pa_ = 0.0;
};

}  // namespace

Advice advice(const CheckResult& result, const fitting::Catalogue& catalogue) {
  return Adviser(result, catalogue).advice();
}

edit::Edited with_changes(const layout::Layout& layout, const AdviceRow& row) {
  edit::Edited edited = layout;
  for (const Change& change : row.changes) {
    edited = std::move(edited).and_then(change.apply);
  }
  return edited;
}

}  // namespace ductledger::study
