#include "study/compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <optional>
#include <utility>

#include "base/fault.hpp"
#include "base/text.hpp"
#include "edit/variant.hpp"
#include "layout/spoken_speed.hpp"
#include "parallel/parallel.hpp"
#include "study/compare_internal.hpp"
#include "study/difference.hpp"
#include "study/piece_changes.hpp"

namespace ductledger::study {
namespace {

using base::fault;

using layout::Piece;
using layout::PieceKind;
using result::SpeedResult;
using units::Dimension;
using units::Message;

bool has_airflow(const SpeedResult& speed) { return solve::has_best_airflow(speed.point); }

/// Two files of the same bytes and the same catalogue are one run.
base::Diagnostics given_twice(const std::vector<Compared>& layouts) {
  base::Diagnostics faults;
  for (std::size_t i = 1; i < layouts.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      const layout::Layout& a = layouts[j].layout;
      const layout::Layout& b = layouts[i].layout;
      if (!a.sha256.empty() && a.sha256 == b.sha256 &&
          layouts[j].catalogue->content_hash() == layouts[i].catalogue->content_hash()) {
        const bool one_name = a.file == b.file;
        faults.push_back(fault(
            "layout-given-twice",
            one_name ? fmt::format("{} is given twice", base::shown(a.file))
                     : fmt::format("{} is a copy of {}", base::shown(b.file), base::shown(a.file)),
            "name two layouts that differ, or state what changes as `variants` in one"));
        break;
      }
    }
  }
  return faults;
}

}  // namespace

base::Checked<std::vector<Compared>> all_runs(std::vector<Compared> layouts) {
  std::vector<Compared> runs;
  base::Diagnostics faults = given_twice(layouts);
  for (Compared& given : layouts) {
    std::vector<Compared> variants;
    for (const layout::Variant& variant : given.layout.variants) {
      auto edited = edit::with_variant(given.layout, *given.catalogue, variant);
      if (edited) {
        variants.push_back({*std::move(edited), given.catalogue});
      } else {
        faults.insert(faults.end(), edited.error().begin(), edited.error().end());
      }
    }
    runs.push_back(std::move(given));
    std::move(variants.begin(), variants.end(), std::back_inserter(runs));
  }
  if (!faults.empty()) {
    return faults;
  }
  if (runs.size() < 2) {
    return fault("nothing-to-compare",
                 "one run alone is nothing to compare",
                 "name a second layout, or give this one `variants`");
  }
  return runs;
}

bool same_house(const house::CompiledHouse& a, const house::CompiledHouse& b, double airflow_m3_s) {
  const house::Zone* x = a.coupled();
  const house::Zone* y = b.coupled();
  if (x == nullptr || y == nullptr) {
    return x == y;
  }
  return x->depressurisation_pa(airflow_m3_s) == y->depressurisation_pa(airflow_m3_s);
}

std::string literal(std::string_view text) {
  std::string out;
  for (const char c : base::escaped(text)) {
    out.append(c == '{' || c == '}' ? 2 : 1, c);
  }
  return out;
}

namespace {

/// What differs besides the run, in one text; empty: nothing.
std::string unlike(const ComparedRun& first, const ComparedRun& other, double airflow_m3_s) {
  std::vector<std::string> list;
  const auto differ = [&](const char* what, auto same) {
    if (!same) {
      list.emplace_back(what);
    }
  };
  const CheckResult& a = first.check;
  const CheckResult& b = other.check;
  differ("fan", same_fan(a.layout, b.layout));
  // One type may then stand for two figures.
  differ("catalogue", a.catalogue_hash == b.catalogue_hash);
  differ("air in the duct",
         a.run.air.density_kg_m3 == b.run.air.density_kg_m3 &&
             a.run.air.viscosity_pa_s == b.run.air.viscosity_pa_s);
  differ("wind at the cap", a.run.air.wind_pa == b.run.air.wind_pa);
  differ("back pressure at the outlet", a.run.air.back_pressure_pa == b.run.air.back_pressure_pa);
  differ("house or makeup air",
         a.layout.house.has_value() == b.layout.house.has_value() &&
             same_house(a.house, b.house, airflow_m3_s));
  differ("kind of appliance", a.layout.appliance.kind == b.layout.appliance.kind);
  differ("collar", a.layout.appliance.collar == b.layout.appliance.collar);
  differ("required airflow",
         a.layout.appliance.required_airflow_m3_s == b.layout.appliance.required_airflow_m3_s);
  return list.empty()
             ? std::string()
             : fmt::format(
                   "{} and {} differ in {} too", first.name, other.name, base::joined(list, "and"));
}

// --- figures of one run

double common_airflow_m3_s(const std::vector<ComparedRun>& runs) {
  const CheckResult& first = runs.front().check;
  if (first.headline && has_airflow(first.speeds[*first.headline])) {
    return solve::best_airflow_m3_s(first.speeds[*first.headline].point);
  }
  const auto& appliance = first.layout.appliance;
  return appliance.required_airflow_m3_s.value_or(
      appliance.nameplate_airflow_m3_s.value_or(first.run.collar.area_m2() * 5.08));  // 1000 fpm
}

void put_figures(ComparedRun& run, double airflow_m3_s) {
  const solve::CompiledRun& compiled = run.check.run;
  run.common_pressure_pa = house::demand(compiled, run.check.house).total_pa(airflow_m3_s);
  run.equivalent_length = solve::equivalent_length(run.check.layout, compiled, airflow_m3_s);
  for (const Piece& piece : run.check.layout.run.pieces) {
    if (piece.kind == PieceKind::straight || piece.kind == PieceKind::flex) {
      run.depth_m =
          std::max(run.depth_m, std::min(piece.upstream.width_m(), piece.upstream.height_m()));
      run.space_m3 += piece.upstream.area_m2() * piece.length_m.value_or(0.0);
    }
  }
  run.makeup = "none";
  for (const findings::Finding& finding : run.check.findings) {
    if (finding.code == "makeup-air-needed" || finding.code == "makeup-not-interlocked" ||
        finding.code == "house-depressurised") {
      run.makeup = word(finding.level);  // worst first
      break;
    }
  }
}

void put_speeds(ComparedRun& run) {
  for (std::size_t i = 0; i < run.check.speeds.size(); ++i) {
    const SpeedResult& speed = run.check.speeds[i];
    ComparedSpeed compared;
    compared.name = speed.name;
    compared.index = i;
    if (speed.ledger) {
      double most_m_s = 0.0;
      for (const solve::LedgerRow& row : speed.ledger->rows) {
        most_m_s = row.number >= 0 ? std::max(most_m_s, row.velocity_m_s) : most_m_s;
      }
      compared.velocity_m_s = most_m_s;
    }
    run.speeds.push_back(std::move(compared));
  }
}

const ComparedSpeed* speed_named(const ComparedRun& run, const std::string& name) {
  for (const ComparedSpeed& speed : run.speeds) {
    if (speed.name == name) {
      return &speed;
    }
  }
  return nullptr;
}

void put_differences(const ComparedRun& first, ComparedRun& run) {
  for (ComparedSpeed& speed : run.speeds) {
    const ComparedSpeed* base = speed_named(first, speed.name);
    if (base == nullptr) {
      continue;
    }
    const SpeedResult& b = first.check.speeds[base->index];
    const SpeedResult& a = run.check.speeds[speed.index];
    if (has_airflow(a) && has_airflow(b)) {
      speed.difference = difference({run.check, a}, {first.check, b});
    }
  }
}

// --- the answer

const ComparedSpeed* headline(const ComparedRun& run, const ComparedRun& first) {
  return first.check.headline ? speed_named(run, first.check.speeds[*first.check.headline].name)
                              : nullptr;
}

Message::Value airflow(double airflow_m3_s) { return {airflow_m3_s, Dimension::airflow}; }

Message against_first(const ComparedRun& first, const ComparedRun& run) {
  const std::string a = units::literal(base::escaped(run.name));
  const std::string b = units::literal(base::escaped(first.name));
  const ComparedSpeed* speed = headline(run, first);
  if (speed == nullptr || !speed->difference) {
    return {fmt::format("{} and {} share no speed whose operating point is found in both: no "
                        "difference can be told.",
                        a,
                        b),
            {}};
  }
  const Difference& d = *speed->difference;
  const std::string name = units::literal(base::escaped(layout::spoken_speed(speed->name)));
  if (!d.band_m3_s) {
    return {fmt::format("{} delivers {{}} {} than {} at {}; no band is given{}.",
                        a,
                        d.airflow_m3_s < 0.0 ? "less" : "more",
                        b,
                        name,
                        d.samples ? ", since a fan curve ends too near" : ""),
            {airflow(std::abs(d.airflow_m3_s))}};
  }
  if (d.airflow_m3_s == 0.0) {
    return {fmt::format("{} delivers the same as {} at {}.", a, b, name), {}};
  }
  // The band in the direction of the difference: from the least to the most.
  const bool more = d.airflow_m3_s > 0.0;
  const double least = more ? d.band_m3_s->low : -d.band_m3_s->high;
  const double most = more ? d.band_m3_s->high : -d.band_m3_s->low;
  if (d.is_sure()) {
    return {fmt::format("{} delivers {{}} {} than {} at {} ({{}} to {{}}).",
                        a,
                        more ? "more" : "less",
                        b,
                        name),
            {airflow(std::abs(d.airflow_m3_s)), airflow(least), airflow(most)}};
  }
  return {fmt::format("{} against {} at {}: no winner. {{}} {}, but the band of the difference "
                      "goes from {{}} less to {{}} more.",
                      a,
                      b,
                      name,
                      more ? "more" : "less"),
          {airflow(std::abs(d.airflow_m3_s)),
           airflow(std::max(0.0, -d.band_m3_s->low)),
           airflow(std::max(0.0, d.band_m3_s->high))}};
}

Message price(const ComparedRun& first, const ComparedRun& run) {
  Message out{"It takes ", {}};
  std::vector<std::string> parts;
  if (std::abs(run.depth_m - first.depth_m) > 1e-4) {
    parts.push_back("{} of depth in wall or ceiling against {}");
    out.values.push_back({run.depth_m, Dimension::length});
    out.values.push_back({first.depth_m, Dimension::length});
  }
  const int more = run.parts.part_count - first.parts.part_count;
  parts.push_back(more == 0 ? "as many parts"
                            : fmt::format("{} {} part{}",
                                          std::abs(more),
                                          more > 0 ? "more" : "fewer",
                                          std::abs(more) == 1 ? "" : "s"));
  const double sheet = run.parts.duct_surface_m2 / first.parts.duct_surface_m2 - 1.0;
  if (first.parts.duct_surface_m2 > 0.0 && std::abs(sheet) >= 0.005) {
    parts.push_back(fmt::format("{{}} {} sheet", sheet > 0.0 ? "more" : "less"));
    out.values.push_back({std::abs(sheet), Dimension::ratio});
  }
  out.pattern += base::joined(parts, "and") + ".";
  return out;
}

/// The run that surely delivers more than the first, or the first where it surely beats all; of
/// several that beat the first the one that surely beats the others.
std::optional<std::size_t> best(const std::vector<ComparedRun>& runs) {
  for (std::size_t i = 0; i < runs.size(); ++i) {
    bool beats_all = true;
    for (std::size_t j = 0; j < runs.size() && beats_all; ++j) {
      if (i == j) {
        continue;
      }
      const ComparedSpeed* a = headline(runs[i], runs.front());
      const ComparedSpeed* b = headline(runs[j], runs.front());
      if (a == nullptr || b == nullptr || !has_airflow(runs[i].check.speeds[a->index]) ||
          !has_airflow(runs[j].check.speeds[b->index])) {
        beats_all = false;
        continue;
      }
      const SpeedResult& one = runs[i].check.speeds[a->index];
      const SpeedResult& other = runs[j].check.speeds[b->index];
      if (solve::best_airflow_m3_s(one.point) <= solve::best_airflow_m3_s(other.point)) {
        beats_all = false;
        continue;
      }
      const Difference gain = difference({runs[i].check, one}, {runs[j].check, other});
      beats_all = gain.is_sure() && gain.band_m3_s->low > 0.0;
    }
    if (beats_all) {
      return i;
    }
  }
  return std::nullopt;
}

/// Each layout calculated and billed, in its order, or all that is wrong with them.
base::Checked<std::vector<ComparedRun>> calculated_runs(std::vector<Compared> all) {
  struct Calculated {
    base::Checked<build::PartsResult> bill;
    base::Checked<CheckResult> checked;
  };
  auto calculated = parallel::map<std::optional<Calculated>>(all.size(), [&](std::size_t i) {
    Compared& given = all[i];
    auto bill = build::parts(given.layout, *given.catalogue);
    return Calculated{std::move(bill), check(std::move(given.layout), *given.catalogue)};
  });
  std::vector<ComparedRun> runs;
  base::Diagnostics faults;
  for (std::optional<Calculated>& one : calculated) {
    auto& [bill, checked] = *one;
    if (!bill || !checked) {
      const base::Diagnostics& more = bill ? checked.error() : bill.error();
      faults.insert(faults.end(), more.begin(), more.end());
      continue;
    }
    ComparedRun run{.name = checked->layout.title,
                    .check = *std::move(checked),
                    .parts = *std::move(bill),
                    .speeds = {},
                    .makeup = {}};
    put_speeds(run);
    runs.push_back(std::move(run));
  }
  if (!faults.empty()) {
    return faults;
  }
  return runs;
}

/// Runs of one name are told apart by their files.
void name_apart(std::vector<ComparedRun>& runs) {
  for (ComparedRun& run : runs) {
    if (std::ranges::count(runs, run.name, &ComparedRun::name) > 1) {
      run.name = run.check.layout.file;
    }
  }
}

}  // namespace

const house::SpeedHouse* ComparedRun::house() const noexcept {
  if (!check.headline || !check.speeds[*check.headline].house) {
    return nullptr;
  }
  const house::SpeedHouse& at = *check.speeds[*check.headline].house;
  return at.coupled ? &at : nullptr;
}

base::Checked<Comparison> compare(std::vector<Compared> layouts) {
  auto all = all_runs(std::move(layouts));
  if (!all) {
    return std::move(all).error();
  }
  const fitting::Catalogue& catalogue = *all->front().catalogue;
  auto runs = calculated_runs(*std::move(all));
  if (!runs) {
    return std::move(runs).error();
  }
  Comparison result;
  result.runs = *std::move(runs);
  name_apart(result.runs);
  result.common_airflow_m3_s = common_airflow_m3_s(result.runs);
  const ComparedRun& first = result.runs.front();
  for (ComparedRun& run : result.runs) {
    put_figures(run, result.common_airflow_m3_s);
  }
  // Differences are sampled, which costs more than all that follows.
  parallel::each(result.runs.size() - 1,
                 [&](std::size_t i) { put_differences(first, result.runs[i + 1]); });
  for (std::size_t i = 1; i < result.runs.size(); ++i) {
    ComparedRun& run = result.runs[i];
    if (std::string text = unlike(first, run, result.common_airflow_m3_s); !text.empty()) {
      result.unlike.push_back(std::move(text));
    }
    result.changes.push_back(
        piece_changes({first.check, run.check, result.common_airflow_m3_s}, catalogue));
    result.answer.push_back(against_first(first, run));
    result.answer.push_back(price(first, run));
  }
  result.best = best(result.runs);
  result.cautions = first.check.cautions;
  return result;
}

}  // namespace ductledger::study
