#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "base/fault.hpp"
#include "site/measured_internal.hpp"

namespace ductledger::site {
namespace {

using Kind = layout::GaugePlace::Kind;

class NetworkReadings {
 public:
  NetworkReadings(const study::NetworkResult& result, const fitting::Catalogue& catalogue)
      : of_(result), catalogue_(catalogue) {}

  void judge(const layout::Measurement& reading) {
    const auto speed = speed_of(reading);
    if (!speed) {
      return;
    }
    Judged judged;
    judged.reading = reading;
    judged.speed = *speed;
    judged.speed_name = of_.speeds[*speed].name;
    const std::size_t inlet = study::inlet_leg(of_.network, reading.branch);
    const std::size_t leg_index = leg_of(judged.reading, inlet);
    const study::HeldLeg leg(of_, *speed, leg_index);
    judged.reading.at = place_of(reading.at, leg.run());  // a hole is the inlet's own
    const std::optional<Tap> tap = tap_at(leg, judged.reading.at);
    if (refused(judged.reading, leg, leg_index != inlet, tap)) {
      return;
    }
    judged.inlet = reading.branch ? of_.layout.branches[*reading.branch].name : "collar";
    judged.trunk = leg_index != inlet;
    judged.has_fan = leg.fan() != nullptr;
    judged.calculated_m3_s = leg.airflow_m3_s();
    judged.calculated_band_m3_s = leg.airflow_band_m3_s();
    if (!judged.trunk) {
      const std::size_t at = reading.branch ? *reading.branch + 1 : 0;
      judged.required_m3_s = of_.speeds[*speed].inlets[at].required_m3_s;
    }
    if (reading.static_pressure_pa) {
      judged.expected = expected_static(leg, *tap);
      judged.above_expected = judged.expected && judged.expected->band_pa &&
                              *reading.static_pressure_pa > judged.expected->band_pa->high;
    }
    hold_against(leg, tap.value_or(Tap{}), judged);
    judged.causes = explained(judged);
    judged.requirement = requirement(judged);
    readings_.push_back(std::move(judged));
  }

  [[nodiscard]] base::Checked<MeasuredResult> take() {
    if (!problems_.empty()) {
      return std::move(problems_);
    }
    MeasuredResult out{.check = study::as_single(of_), .readings = std::move(readings_)};
    out.together = together(out.readings);
    return out;
  }

 private:
  /// A speed with an answer; nothing: said.
  std::optional<std::size_t> speed_of(const layout::Measurement& reading) {
    std::optional<std::size_t> speed = of_.headline;
    if (!reading.speed.empty()) {
      std::vector<std::string> names;
      for (const study::NetworkSpeed& one : of_.speeds) {
        names.push_back(one.name);
      }
      const auto found = std::ranges::find(names, reading.speed);
      if (found == names.end()) {
        if (!of_.layout.fan) {
          names.clear();
        }
        problems_.push_back(unknown_speed(of_.layout, reading, names));
        if (names.empty()) {
          problems_.back().help = "no fan stands on the run: leave `speed` out";
        }
        return std::nullopt;
      }
      speed = static_cast<std::size_t>(found - names.begin());
    }
    const auto say = [&](const char* rule, const char* message, const std::string& help) {
      problems_.push_back(reading_fault(of_.layout, reading.span, rule, message));
      problems_.back().help = help;
    };
    if (!speed) {
      say("no-speed", "every speed is locked out", "name the one that was read");
      return std::nullopt;
    }
    const study::NetworkSpeed& at = of_.speeds[*speed];
    if (at.point.status == solve::Status::no_fan) {
      say("no-fan",
          "the layout has no fan, so nothing was calculated to hold a reading against",
          "state its curve under `fan`, of the layout or of a branch");
      return std::nullopt;
    }
    if (at.point.status == solve::Status::not_determined) {
      say("fan-not-determined",
          "too little is known of a fan, so nothing was calculated to hold a reading against",
          at.fan.why_not);
      return std::nullopt;
    }
    if (at.status != network::Status::solved) {
      say("no-steady-answer",
          "the network has no steady answer to hold a reading against",
          "look at `ductledger check` first");
      return std::nullopt;
    }
    return speed;
  }

  [[nodiscard]] std::size_t leg_of(const layout::Measurement& reading, std::size_t inlet) const {
    if (reading.at.kind == Kind::piece) {
      return study::leg_with(of_.network, reading.branch, reading.at.piece);
    }
    const bool of_main_fan =
        reading.at.kind == Kind::fan && !reading.branch && of_.network.fan_leg != network::kNone;
    return of_main_fan ? of_.network.fan_leg : inlet;
  }

  /// @param behind a junction @return whether a fault was said
  bool refused(const layout::Measurement& reading,
               const study::HeldLeg& leg,
               bool behind,
               const std::optional<Tap>& tap) {
    const auto say =
        [&](const base::Span& span, const char* rule, const char* message, const char* help) {
          problems_.push_back(
              reading_fault(of_.layout, span.line > 0 ? span : reading.span, rule, message));
          problems_.back().help = help;
          return true;
        };
    if (behind && reading.airflow_m3_s) {
      return say(reading.at_span,
                 "reading-not-usable",
                 "a flow hood reads an inlet, and this place lies behind a junction",
                 "make two records of them, or read a `traverse` there");
    }
    if (!reading.static_pressure_pa) {
      return false;
    }
    if (!tap) {
      return say(reading.static_span,
                 "no-hole",
                 "there is no straight here for a gauge's hole",
                 "name a straight (`at: \"piece 3, 15 in\"`), or read an airflow");
    }
    if (reading.at.kind == Kind::fan && leg.fan() == nullptr) {
      return say(reading.at_span,
                 "no-fan",
                 "no fan stands here whose rise could be read",
                 "`branch` names the one that a fan belongs to; without it the run's is meant");
    }
    if (reading.at.kind == Kind::collar && leg.fan() == nullptr) {
      return say(reading.static_span,
                 "reading-not-usable",
                 "where air enters without a fan there is no pressure against the room yet",
                 "read at a hole further on (`at: hole`), or an airflow by a flow hood");
    }
    return false;
  }

  /// What the reading says of the leg.
  void hold_against(const study::HeldLeg& leg, const Tap& tap, Judged& judged) const {
    const layout::Measurement& reading = judged.reading;
    // Against the room a pressure tells an airflow where the leg starts there.
    const bool tells = leg.is_inlet() || reading.at.kind == Kind::fan;
    const Judging judging{
        .pieces = leg.run(),
        .run = leg.part().run,
        .catalogue = catalogue_,
        .first_piece = leg.part().first_piece,
        .fan_falls = leg.fan() != nullptr && leg.fan()->falls_throughout,
        .where_less = leg.fan() != nullptr ? Verdict::less_pressure : Verdict::more_airflow};
    const Gauge gauge(leg, tap);
    Doubts doubts(leg, tap);
    if (reading.airflow_m3_s || reading.traverse) {
      const double u_m3_s = put_airflow(leg.part().run.air.density_kg_m3, judged);
      const double q = judged.airflows.front().airflow_m3_s;
      if (!gauge.covers(q)) {
        judged.verdict = q > gauge.last() ? Verdict::more_airflow : Verdict::not_comparable;
      } else if (tells || !reading.static_pressure_pa) {
        // Beside an airflow without a fan the pressure says what the pieces before the hole cost.
        layout::Measurement alone = reading;
        if (leg.fan() == nullptr) {
          judged.reading.static_pressure_pa.reset();
        }
        judge_on_curve(judging, gauge, doubts, u_m3_s, judged);
        judged.reading = std::move(alone);
      } else {
        compare_static(judged);
      }
    } else if (tells) {
      judge_gauge(judging, gauge, doubts, judged);
    } else {
      compare_static(judged);
    }
  }

  static void compare_static(Judged& judged) {
    if (!judged.expected || !judged.expected->band_pa) {
      return;
    }
    const double expected_pa = judged.expected->pressure_pa;
    const double read_pa = *judged.reading.static_pressure_pa;
    const double doubt_pa = std::hypot(judged.expected->band_pa->high - expected_pa,
                                       solve::kCoverage * static_uncertainty_pa(judged.reading));
    judged.verdict = std::abs(read_pa - expected_pa) <= doubt_pa ? Verdict::as_calculated
                     : std::abs(read_pa) < std::abs(expected_pa) ? Verdict::less_pressure
                                                                 : Verdict::more_resistance;
  }

  /// Beside what a single run would be told: what the others do to this one.
  static std::vector<units::Message> explained(const Judged& judged) {
    std::vector<units::Message> out;
    const auto add = [&](const char* text) { out.push_back({text, {}}); };
    const bool by_place = judged.trunk && judged.airflows.empty();
    if (judged.verdict == Verdict::more_resistance && !by_place) {
      if (judged.extra) {
        for (const Fault& fault : judged.extra->faults) {
          out.push_back(fault.text);
        }
      }
      if (!judged.trunk) {
        add("another inlet more open than in the file, or an open joint on its way: it takes what "
            "this one lacks");
      }
      add("a blockage, or a fan that turns slower, on the way that all share: then every inlet "
          "draws less");
    } else if (judged.verdict == Verdict::more_airflow && !judged.has_fan && !by_place) {
      if (!judged.trunk) {
        add("another inlet shut or blocked, which leaves this one more");
      }
      add("a run that costs less than its figures, or an open joint on the way");
      add("a fan that turns faster than its curve: then every inlet draws more");
    } else if (by_place && judged.verdict == Verdict::less_pressure) {
      add("a fan that turns slower than its curve, or an open joint between it and the hole");
      add("inlets that are more open than in the file");
    } else if (by_place && judged.verdict == Verdict::more_resistance) {
      add("inlets that are shut, blocked or less open than in the file");
      add("a fan that turns faster than its curve");
    } else {
      out = causes(judged);
    }
    return out;
  }

  [[nodiscard]] std::vector<Together> together(const std::vector<Judged>& readings) const {
    std::vector<Together> out;
    for (std::size_t speed = 0; speed < of_.speeds.size(); ++speed) {
      std::map<std::string, const Judged*> last;
      const Judged* leaves = nullptr;
      for (const Judged& judged : readings) {
        if (judged.speed != speed || judged.airflows.size() != 1 ||
            judged.airflows.front().is_bound) {
          continue;
        }
        if (!judged.trunk) {
          last[judged.inlet] = &judged;
        } else if (!judged.reading.branch && judged.reading.at.kind == Kind::piece &&
                   study::leg_with(of_.network, std::nullopt, judged.reading.at.piece) + 1 ==
                       of_.network.legs.size()) {
          leaves = &judged;
        }
      }
      if (last.size() < 2) {
        continue;
      }
      Together sum{.speed = of_.speeds[speed].name,
                   .inlets = last.size(),
                   .of = of_.speeds[speed].inlets.size()};
      double variance = 0.0;
      const auto half = [](const AirflowRead& read) { return read.band.high - read.airflow_m3_s; };
      for (const auto& [name, judged] : last) {
        const AirflowRead& read = judged->airflows.front();
        sum.airflow_m3_s += read.airflow_m3_s;
        variance += half(read) * half(read);
        sum.calculated_m3_s += *judged->calculated_m3_s;
      }
      sum.doubt_m3_s = std::sqrt(variance);
      if (leaves != nullptr && sum.inlets == sum.of) {
        sum.leaves_m3_s = leaves->airflows.front().airflow_m3_s;
        sum.leaves_doubt_m3_s = half(leaves->airflows.front());
      }
      out.push_back(std::move(sum));
    }
    return out;
  }

  const study::NetworkResult& of_;
  const fitting::Catalogue& catalogue_;
  base::Diagnostics problems_;
  std::vector<Judged> readings_;
};

}  // namespace

base::Checked<MeasuredResult> measured(const study::NetworkResult& result,
                                       const fitting::Catalogue& catalogue,
                                       const std::vector<layout::Measurement>& readings) {
  NetworkReadings all(result, catalogue);
  for (const layout::Measurement& reading : readings) {
    all.judge(reading);
  }
  return all.take();
}

}  // namespace ductledger::site
