#include "study/branches_compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "base/text.hpp"
#include "parallel/parallel.hpp"
#include "study/branches_errors_internal.hpp"
#include "study/compare_internal.hpp"
#include "study/difference.hpp"

namespace ductledger::study {
namespace {

using layout::PieceKind;
using result::Band;
using units::Dimension;
using units::Message;

constexpr std::size_t kJointSamples = 400;

struct InletOf {
  const NetworkSpeed& speed;
  std::size_t inlet = 0;
  [[nodiscard]] const Inlet& at() const { return speed.inlets[inlet]; }
};

/// Errors of one identity count once, so that what both share cancels.
Band first_order_band(const InletOf& a, const InletOf& b) {
  std::map<std::string_view, double> change;
  for (const auto& [of, sign] : {std::pair(&a, 1.0), std::pair(&b, -1.0)}) {
    const NetworkSpeed::Effects& effects = *of->speed.effects;
    for (std::size_t k = 0; k < effects.identities.size(); ++k) {
      change[effects.identities[k]] += sign * effects.change_m3_s[of->inlet][k];
    }
  }
  double variance = 0.0;
  for (const auto& [identity, by_m3_s] : change) {
    variance += by_m3_s * by_m3_s;
  }
  const double difference = a.at().airflow_m3_s - b.at().airflow_m3_s;
  const double half = 2.0 * std::sqrt(variance);
  return {difference - half, difference + half};
}

/// Samples of one number were drawn with the same errors in both.
std::optional<Band> sampled_band(const InletOf& a, const InletOf& b) {
  const NetworkSpeed::Effects& of_a = *a.speed.effects;
  const NetworkSpeed::Effects& of_b = *b.speed.effects;
  std::vector<double> values;
  std::size_t j = 0;
  for (std::size_t i = 0; i < of_a.drawn.size(); ++i) {
    while (j < of_b.drawn.size() && of_b.drawn[j] < of_a.drawn[i]) {
      ++j;
    }
    if (j < of_b.drawn.size() && of_b.drawn[j] == of_a.drawn[i]) {
      values.push_back(of_a.samples[a.inlet][i] - of_b.samples[b.inlet][j]);
    }
  }
  if (values.size() < kJointSamples * 9 / 10) {
    return std::nullopt;
  }
  return Band{quantile(values, 0.023), quantile(values, 0.977)};
}

std::optional<Difference> difference_of(const InletOf& a, const InletOf& b) {
  if (a.at().status != InletStatus::flowing || b.at().status != InletStatus::flowing ||
      !solve::has_best_airflow(a.speed.point) || !solve::has_best_airflow(b.speed.point)) {
    return std::nullopt;
  }
  Difference out;
  out.airflow_m3_s = a.at().airflow_m3_s - b.at().airflow_m3_s;
  if (!a.at().band || !b.at().band || !a.speed.effects || !b.speed.effects) {
    return out;
  }
  const bool linear = a.speed.why_sampled.empty() && b.speed.why_sampled.empty();
  out.band_m3_s = linear ? std::optional(first_order_band(a, b)) : sampled_band(a, b);
  if (out.band_m3_s) {
    out.method = linear ? "first-order" : "sampled";
  }
  return out;
}

std::optional<std::size_t> inlet_named(const NetworkSpeed& speed, const std::string& name) {
  const auto at = std::ranges::find(speed.inlets, name, &Inlet::name);
  return at == speed.inlets.end()
             ? std::nullopt
             : std::optional(static_cast<std::size_t>(at - speed.inlets.begin()));
}

std::vector<std::optional<Difference>> differences(const NetworkSpeed& of,
                                                   const NetworkSpeed& first) {
  std::vector<std::optional<Difference>> out;
  for (std::size_t i = 0; i < of.inlets.size(); ++i) {
    const auto same = inlet_named(first, of.inlets[i].name);
    out.push_back(same ? difference_of({of, i}, {first, *same}) : std::nullopt);
  }
  return out;
}

const NetworkSpeed* speed_named(const NetworkResult& of, const std::string& name) {
  const auto at = std::ranges::find(of.speeds, name, &NetworkSpeed::name);
  return at == of.speeds.end() ? nullptr : &*at;
}

void put_figures(ComparedNetwork& run) {
  const auto add = [&](const layout::Run& of) {
    for (const layout::Piece& piece : of.pieces) {
      if (piece.kind == PieceKind::straight || piece.kind == PieceKind::flex) {
        run.depth_m =
            std::max(run.depth_m, std::min(piece.upstream.width_m(), piece.upstream.height_m()));
        run.space_m3 += piece.upstream.area_m2() * piece.length_m.value_or(0.0);
      }
    }
  };
  add(run.check.layout.run);
  run.duct_surface_m2 = run.parts.duct_surface_m2;
  run.hole_count = static_cast<int>(run.parts.holes.size());
  for (std::size_t i = 0; i < run.parts.branches.size(); ++i) {
    add(run.check.layout.branches[i].run);
    run.duct_surface_m2 += run.parts.branches[i].duct_surface_m2;
    run.hole_count += static_cast<int>(run.parts.branches[i].holes.size());
  }
}

void put_speeds(const ComparedNetwork* first, ComparedNetwork& run) {
  for (std::size_t i = 0; i < run.check.speeds.size(); ++i) {
    const NetworkSpeed& speed = run.check.speeds[i];
    ComparedNetworkSpeed compared{.name = speed.name, .index = i, .differences = {}};
    const NetworkSpeed* base = first == nullptr ? nullptr : speed_named(first->check, speed.name);
    if (base != nullptr) {
      compared.differences = differences(speed, *base);
    } else {
      compared.differences.resize(speed.inlets.size());
    }
    run.speeds.push_back(std::move(compared));
  }
}

// --- the answer

/// The speed of the first run's headline, where a run has it.
const NetworkSpeed* headline(const ComparedNetwork& run, const ComparedNetwork& first) {
  return first.check.headline
             ? speed_named(run.check, first.check.speeds[*first.check.headline].name)
             : nullptr;
}

Message::Value airflow(double airflow_m3_s) { return {airflow_m3_s, Dimension::airflow}; }

/// `bath: 12 cfm more (8 to 16)`.
void tell_inlet(const std::string& name, const Difference& d, Message& out) {
  const bool more = d.airflow_m3_s >= 0.0;
  out.pattern += literal(name) + ": ";
  if (d.airflow_m3_s == 0.0) {
    out.pattern += "the same";
    return;
  }
  out.pattern += more ? "{} more" : "{} less";
  out.values.push_back(airflow(std::abs(d.airflow_m3_s)));
  if (!d.band_m3_s) {
    out.pattern += ", no band is given";
  } else if (d.is_sure()) {
    out.pattern += " ({} to {})";
    out.values.push_back(airflow(more ? d.band_m3_s->low : -d.band_m3_s->high));
    out.values.push_back(airflow(more ? d.band_m3_s->high : -d.band_m3_s->low));
  } else {
    out.pattern += ", but no winner: the band goes from {} less to {} more";
    out.values.push_back(airflow(std::max(0.0, -d.band_m3_s->low)));
    out.values.push_back(airflow(std::max(0.0, d.band_m3_s->high)));
  }
}

Message against_first(const ComparedNetwork& first, const ComparedNetwork& run) {
  const NetworkSpeed* speed = headline(run, first);
  if (speed == nullptr) {
    return {fmt::format("{} and {} share no speed: no difference can be told.",
                        literal(run.name),
                        literal(first.name)),
            {}};
  }
  const auto at = static_cast<std::size_t>(speed - run.check.speeds.data());
  Message out{fmt::format("{} against {}. ", literal(run.name), literal(first.name)), {}};
  bool any = false;
  for (std::size_t i = 0; i < speed->inlets.size(); ++i) {
    if (const auto& d = run.speeds[at].differences[i]) {
      out.pattern += any ? "; " : "";
      tell_inlet(speed->inlets[i].name, *d, out);
      any = true;
    }
  }
  out.pattern += any ? "." : "No inlet flows in both: no difference can be told.";
  return out;
}

Message price(const ComparedNetwork& first, const ComparedNetwork& run) {
  const int more = run.parts.in_all.part_count - first.parts.in_all.part_count;
  Message out{more == 0 ? std::string("It takes as many parts")
                        : fmt::format("It takes {} {} part{}",
                                      std::abs(more),
                                      more > 0 ? "more" : "fewer",
                                      std::abs(more) == 1 ? "" : "s"),
              {}};
  const double sheet =
      first.duct_surface_m2 > 0.0 ? run.duct_surface_m2 / first.duct_surface_m2 - 1.0 : 0.0;
  if (std::abs(sheet) >= 0.005) {
    out.pattern += fmt::format(" and {{}} {} sheet", sheet > 0.0 ? "more" : "less");
    out.values.push_back({std::abs(sheet), Dimension::ratio});
  }
  out.pattern += ".";
  return out;
}

std::string unlike(const ComparedNetwork& first, const ComparedNetwork& other) {
  std::vector<std::string> list;
  const auto differ = [&](const char* what, bool same) {
    if (!same) {
      list.emplace_back(what);
    }
  };
  const NetworkResult& a = first.check;
  const NetworkResult& b = other.check;
  const double airflow_m3_s = a.headline ? a.speeds[*a.headline].discharge_m3_s : 0.1;
  differ("main fan", same_fan(a.layout, b.layout));
  differ("catalogue", a.catalogue_hash == b.catalogue_hash);
  differ("air in the duct",
         a.network.air.density_kg_m3 == b.network.air.density_kg_m3 &&
             a.network.air.viscosity_pa_s == b.network.air.viscosity_pa_s);
  differ("wind or back pressure at the outlet",
         a.network.network.end_pa == b.network.network.end_pa);
  differ("house or makeup air", same_house(a.house, b.house, airflow_m3_s));
  std::vector<std::string> gone;
  for (const Inlet& inlet : a.speeds.front().inlets) {
    if (!inlet_named(b.speeds.front(), inlet.name)) {
      gone.push_back(inlet.name);
    }
  }
  for (const Inlet& inlet : b.speeds.front().inlets) {
    if (!inlet_named(a.speeds.front(), inlet.name)) {
      gone.push_back(inlet.name);
    }
  }
  differ("inlets", gone.empty());
  if (list.empty()) {
    return "";
  }
  std::string text =
      fmt::format("{} and {} differ in {} too", first.name, other.name, base::joined(list, "and"));
  return gone.empty() ? text : text + " (" + base::joined(gone, "and") + " in one alone)";
}

/// Every inlet that both have surely draws more, and there is one.
bool surely_better(const NetworkSpeed& a, const NetworkSpeed& b) {
  bool any = false;
  for (const auto& d : differences(a, b)) {
    if (!d || !d->is_sure() || d->band_m3_s->low <= 0.0) {
      return false;
    }
    any = true;
  }
  return any && a.inlets.size() == b.inlets.size();
}

std::optional<std::size_t> best(const std::vector<ComparedNetwork>& runs) {
  for (std::size_t i = 0; i < runs.size(); ++i) {
    bool beats_all = true;
    for (std::size_t j = 0; j < runs.size() && beats_all; ++j) {
      const NetworkSpeed* a = headline(runs[i], runs.front());
      const NetworkSpeed* b = headline(runs[j], runs.front());
      beats_all = i == j || (a != nullptr && b != nullptr && surely_better(*a, *b));
    }
    if (beats_all) {
      return i;
    }
  }
  return std::nullopt;
}

base::Checked<ComparedNetwork> calculated(const Compared& given, std::size_t samples) {
  auto bill = build::parts(given.layout, *given.catalogue);
  if (!bill) {
    return std::move(bill).error();
  }
  auto checked = check_network(given.layout, *given.catalogue, {.samples = samples});
  if (!checked) {
    return std::move(checked).error();
  }
  ComparedNetwork run{.name = checked->layout.title,
                      .check = *std::move(checked),
                      .parts = *std::move(bill),
                      .speeds = {}};
  put_figures(run);
  return run;
}

/// All of them, in one way: where some band asks for samples, each is sampled.
base::Checked<std::vector<ComparedNetwork>> all_calculated(const std::vector<Compared>& layouts,
                                                           std::size_t samples) {
  auto all = parallel::map<std::optional<base::Checked<ComparedNetwork>>>(
      layouts.size(), [&](std::size_t i) { return calculated(layouts[i], samples); });
  std::vector<ComparedNetwork> runs;
  base::Diagnostics faults;
  for (auto& one : all) {
    if (*one) {
      runs.push_back(**std::move(one));
    } else {
      faults.insert(faults.end(), one->error().begin(), one->error().end());
    }
  }
  if (!faults.empty()) {
    return faults;
  }
  const bool sampled = std::ranges::any_of(runs, [](const ComparedNetwork& run) {
    return std::ranges::any_of(
        run.check.speeds, [](const NetworkSpeed& speed) { return !speed.why_sampled.empty(); });
  });
  return sampled && samples == 0 ? all_calculated(layouts, kJointSamples)
                                 : base::Checked<std::vector<ComparedNetwork>>(std::move(runs));
}

}  // namespace

bool any_branches(const std::vector<Compared>& layouts) {
  return std::ranges::any_of(layouts,
                             [](const Compared& one) { return !one.layout.branches.empty(); });
}

base::Checked<NetworkComparison> compare_networks(std::vector<Compared> layouts) {
  const auto given = all_runs(std::move(layouts));
  if (!given) {
    return given.error();
  }
  auto calculated = all_calculated(*given, 0);
  if (!calculated) {
    return std::move(calculated).error();
  }
  NetworkComparison result;
  result.runs = *std::move(calculated);
  for (ComparedNetwork& run : result.runs) {
    const auto count = std::ranges::count(
        result.runs, run.check.layout.title, [](const auto& of) { return of.check.layout.title; });
    if (count > 1) {
      run.name = run.check.layout.file;
    }
  }
  const ComparedNetwork& first = result.runs.front();
  put_speeds(nullptr, result.runs.front());
  for (std::size_t i = 1; i < result.runs.size(); ++i) {
    ComparedNetwork& run = result.runs[i];
    put_speeds(&first, run);
    if (std::string text = unlike(first, run); !text.empty()) {
      result.unlike.push_back(std::move(text));
    }
    result.answer.push_back(against_first(first, run));
    result.answer.push_back(price(first, run));
  }
  result.best = best(result.runs);
  result.cautions = first.check.cautions;
  return result;
}

}  // namespace ductledger::study
