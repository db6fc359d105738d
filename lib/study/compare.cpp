#include "study/compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>

#include "base/text.hpp"
#include "duct/straight.hpp"
#include "study/difference.hpp"
#include "study/variant.hpp"

namespace ductledger::study {
namespace {

using layout::Piece;
using layout::PieceKind;
using review::SpeedResult;
using units::Dimension;
using units::Message;

base::Diagnostic fault(std::string rule, std::string message, std::string help) {
  base::Diagnostic out;
  out.rule = std::move(rule);
  out.message = std::move(message);
  out.help = std::move(help);
  return out;
}

bool has_airflow(const SpeedResult& speed) { return speed.point.status == solve::Status::found; }

base::Checked<std::vector<Compared>> all_runs(std::vector<Compared> layouts) {
  std::vector<Compared> runs;
  base::Diagnostics faults;
  for (Compared& given : layouts) {
    std::vector<Compared> variants;
    for (const layout::Variant& variant : given.layout.variants) {
      auto edited = with_variant(given.layout, *given.catalogue, variant);
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

bool same_fan(const layout::Layout& a, const layout::Layout& b) {
  if (a.fan.has_value() != b.fan.has_value()) {
    return false;
  }
  if (!a.fan) {
    return true;
  }
  const auto same_point = [](const fan::FanPoint& x, const fan::FanPoint& y) {
    return x.airflow_m3_s == y.airflow_m3_s && x.pressure_pa == y.pressure_pa;
  };
  const auto same_rating = [](const layout::Rating& x, const layout::Rating& y) {
    return x.airflow_m3_s == y.airflow_m3_s && x.pressure_pa == y.pressure_pa;
  };
  const auto same_speed = [&](const layout::Speed& x, const layout::Speed& y) {
    return x.name == y.name && x.speed_ratio == y.speed_ratio &&
           std::equal(x.curve.begin(), x.curve.end(), y.curve.begin(), y.curve.end(), same_point) &&
           std::equal(
               x.ratings.begin(), x.ratings.end(), y.ratings.begin(), y.ratings.end(), same_rating);
  };
  return a.fan->count == b.fan->count && a.fan->basis == b.fan->basis &&
         a.fan->rated_density_kg_m3 == b.fan->rated_density_kg_m3 &&
         std::equal(a.fan->speeds.begin(),
                    a.fan->speeds.end(),
                    b.fan->speeds.begin(),
                    b.fan->speeds.end(),
                    same_speed);
}

std::vector<std::string> unlike(const ComparedRun& first, const ComparedRun& other) {
  std::vector<std::string> list;
  const auto say = [&](const char* what) {
    list.push_back(fmt::format("{} and {}: {}", first.name, other.name, what));
  };
  if (!same_fan(first.check.layout, other.check.layout)) {
    say("different fans, so that the difference is of fan and run together");
  }
  if (first.check.catalogue_hash != other.check.catalogue_hash) {
    say("different catalogues, so that one type may stand for two figures");
  }
  const solve::SiteAir& a = first.check.run.air;
  const solve::SiteAir& b = other.check.run.air;
  if (a.density_kg_m3 != b.density_kg_m3 || a.viscosity_pa_s != b.viscosity_pa_s) {
    say("different air in the duct");
  }
  if (a.wind_pa != b.wind_pa) {
    say("different wind pressure at the cap");
  }
  if (first.check.layout.appliance.kind != other.check.layout.appliance.kind) {
    say("different kinds of appliance");
  }
  if (first.check.layout.appliance.required_airflow_m3_s !=
      other.check.layout.appliance.required_airflow_m3_s) {
    say("different required airflows");
  }
  return list;
}

// --- figures of one run

double common_airflow_m3_s(const std::vector<ComparedRun>& runs) {
  const CheckResult& first = runs.front().check;
  if (first.headline && has_airflow(first.speeds[*first.headline])) {
    return first.speeds[*first.headline].point.airflow_m3_s;
  }
  const auto& appliance = first.layout.appliance;
  return appliance.required_airflow_m3_s.value_or(
      appliance.nameplate_airflow_m3_s.value_or(first.run.collar.area_m2() * 5.08));  // 1000 fpm
}

/// Loss of one metre of the run's first duct.
double loss_per_metre_pa(const CheckResult& check, double airflow_m3_s) {
  const layout::Run& run = check.layout.run;
  const air::Air air{units::kilograms_per_cubic_metre(check.run.air.density_kg_m3),
                     units::pascal_seconds(check.run.air.viscosity_pa_s)};
  return duct::straight_loss({.section = run.first_section,
                              .length = units::metres(1.0),
                              .roughness = units::metres(run.roughness_m)},
                             units::cubic_metres_per_second(airflow_m3_s),
                             air)
      .loss.value();
}

void put_figures(ComparedRun& run, double airflow_m3_s) {
  const solve::CompiledRun& compiled = run.check.run;
  run.common_pressure_pa =
      compiled.loss.at(airflow_m3_s) + compiled.air.wind_pa - compiled.air.stack_pa;
  run.equivalent_length_m =
      compiled.loss.at(airflow_m3_s) / loss_per_metre_pa(run.check, airflow_m3_s);
  for (const Piece& piece : run.check.layout.run.pieces) {
    if (piece.kind == PieceKind::straight || piece.kind == PieceKind::flex) {
      run.depth_m =
          std::max(run.depth_m, std::min(piece.upstream.width_m(), piece.upstream.height_m()));
      run.space_m3 += piece.upstream.area_m2() * piece.length_m.value_or(0.0);
    }
  }
  run.makeup = "none";
  for (const review::Finding& finding : run.check.findings) {
    if (finding.code.find("makeup") != std::string::npos) {
      run.makeup = review::word(finding.level);  // worst first
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

// --- piece by piece

Message piece_message(const Piece& piece, const std::string& type) {
  Message out{layout::word(piece.kind), {}};
  if (!type.empty() && piece.kind != PieceKind::flex) {
    out.pattern += " " + type;
  }
  if (piece.kind == PieceKind::elbow) {
    out.pattern += " {}";
    out.values.push_back({piece.angle_rad, Dimension::angle});
  }
  if (piece.length_m) {
    out.pattern += " {}";
    out.values.push_back({*piece.length_m, Dimension::length});
  }
  for (const auto& [name, value] : piece.parameters) {
    if (name.find("ratio") != std::string::npos) {
      out.pattern += " " + name + " {}";
      out.values.push_back({value, Dimension::number});
    }
  }
  if (piece.coefficient) {
    out.pattern += " C {}";
    out.values.push_back({piece.coefficient->value, Dimension::number});
  }
  out.pattern += ", " + duct::to_text(piece.upstream);
  if (piece.downstream != piece.upstream) {
    out.pattern += " to " + duct::to_text(piece.downstream);
  }
  return out;
}

struct Listed {
  int number = 0;
  Message text;
  std::string key;  ///< text in one system: alike or not
  std::string kind;
  double loss_pa = 0.0;
};

std::vector<Listed> listed(const ComparedRun& run, double airflow_m3_s) {
  std::vector<Listed> list;
  int number = 0;
  for (const solve::CompiledPiece& compiled : run.check.run.pieces) {
    if (!compiled.piece) {
      continue;
    }
    const Piece& piece = run.check.layout.run.pieces[*compiled.piece];
    Listed one;
    one.number = piece.kind == PieceKind::fan ? 0 : ++number;
    one.text = piece_message(piece, compiled.fitting ? compiled.fitting->type : piece.type);
    one.key = one.text.text(units::System::si);
    one.kind = compiled.word;
    one.loss_pa = run.check.run.loss.of(compiled.loss, airflow_m3_s);
    list.push_back(std::move(one));
  }
  return list;
}

PieceChange changed(const Listed* a, const Listed* b) {
  PieceChange change;
  if (a != nullptr) {
    change.first = a->number;
    change.was = a->text;
  }
  if (b != nullptr) {
    change.other = b->number;
    change.is = b->text;
  }
  change.loss_change_pa = (b == nullptr ? 0.0 : b->loss_pa) - (a == nullptr ? 0.0 : a->loss_pa);
  return change;
}

/// The pieces that differ, the rest matched in order: fewest changes, a piece changed to another of
/// its kind counts as one.
std::vector<PieceChange> changes(const std::vector<Listed>& a, const std::vector<Listed>& b) {
  const std::size_t rows = a.size() + 1;
  const std::size_t columns = b.size() + 1;
  std::vector<int> cost(rows * columns);
  const auto at = [&](std::size_t i, std::size_t j) -> int& { return cost[i * columns + j]; };
  const auto swap = [&](std::size_t i, std::size_t j) {
    return a[i].key == b[j].key ? 0 : a[i].kind == b[j].kind ? 2 : 5;
  };
  constexpr int kOne = 3;  // a piece more or less
  for (std::size_t i = 0; i < rows; ++i) {
    for (std::size_t j = 0; j < columns; ++j) {
      if (i == 0 || j == 0) {
        at(i, j) = static_cast<int>(i + j) * kOne;
        continue;
      }
      at(i, j) = std::min(
          {at(i - 1, j) + kOne, at(i, j - 1) + kOne, at(i - 1, j - 1) + swap(i - 1, j - 1)});
    }
  }
  std::vector<PieceChange> list;
  std::size_t i = a.size();
  std::size_t j = b.size();
  while (i > 0 || j > 0) {
    if (i > 0 && j > 0 && at(i, j) == at(i - 1, j - 1) + swap(i - 1, j - 1)) {
      --i;
      --j;
      if (a[i].key != b[j].key) {
        list.push_back(changed(&a[i], &b[j]));
      }
    } else if (i > 0 && at(i, j) == at(i - 1, j) + kOne) {
      list.push_back(changed(&a[--i], nullptr));
    } else {
      list.push_back(changed(nullptr, &b[--j]));
    }
  }
  std::reverse(list.begin(), list.end());
  return list;
}

// --- the answer

bool surely_above_zero(const Difference& difference) {
  return difference.band_m3_s && difference.band_m3_s->low > 0.0;
}
bool surely_below_zero(const Difference& difference) {
  return difference.band_m3_s && difference.band_m3_s->high < 0.0;
}

const ComparedSpeed* headline(const ComparedRun& run, const ComparedRun& first) {
  return first.check.headline ? speed_named(run, first.check.speeds[*first.check.headline].name)
                              : nullptr;
}

Message::Value airflow(double airflow_m3_s) { return {airflow_m3_s, Dimension::airflow}; }

Message against_first(const ComparedRun& first, const ComparedRun& run) {
  const std::string& a = run.name;
  const std::string& b = first.name;
  const ComparedSpeed* speed = headline(run, first);
  if (speed == nullptr || !speed->difference) {
    return {fmt::format("{} and {} share no speed that delivers an airflow in both: no difference "
                        "can be told.",
                        base::escaped(a),
                        base::escaped(b)),
            {}};
  }
  const Difference& d = *speed->difference;
  const std::string name = base::escaped(speed->name);
  if (!d.band_m3_s) {
    return {fmt::format("{} delivers {{}} {} than {} at {}; no band is given.",
                        base::escaped(a),
                        d.airflow_m3_s < 0.0 ? "less" : "more",
                        base::escaped(b),
                        name),
            {airflow(std::abs(d.airflow_m3_s))}};
  }
  if (surely_above_zero(d) || surely_below_zero(d)) {
    const bool more = d.airflow_m3_s > 0.0;
    const double low = more ? d.band_m3_s->low : -d.band_m3_s->high;
    const double high = more ? d.band_m3_s->high : -d.band_m3_s->low;
    return {fmt::format("{} delivers {{}} {} than {} at {} (sure within {{}} to {{}}).",
                        base::escaped(a),
                        more ? "more" : "less",
                        base::escaped(b),
                        name),
            {airflow(std::abs(d.airflow_m3_s)), airflow(low), airflow(high)}};
  }
  return {fmt::format("{} and {} deliver alike at {}: the difference of {{}} lies inside its band "
                      "({{}} to {{}}) and means nothing.",
                      base::escaped(a),
                      base::escaped(b),
                      name),
          {airflow(d.airflow_m3_s), airflow(d.band_m3_s->low), airflow(d.band_m3_s->high)}};
}

Message price(const ComparedRun& first, const ComparedRun& run) {
  Message out{base::escaped(run.name) + " takes ", {}};
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
      beats_all = surely_above_zero(difference({runs[i].check, runs[i].check.speeds[a->index]},
                                               {runs[j].check, runs[j].check.speeds[b->index]}));
    }
    if (beats_all) {
      return i;
    }
  }
  return std::nullopt;
}

}  // namespace

base::Checked<Comparison> compare(std::vector<Compared> layouts) {
  auto all = all_runs(std::move(layouts));
  if (!all) {
    return std::move(all).error();
  }
  Comparison result;
  base::Diagnostics faults;
  for (Compared& given : *all) {
    auto bill = parts(given.layout, *given.catalogue);
    auto checked = check(std::move(given.layout), *given.catalogue);
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
    result.runs.push_back(std::move(run));
  }
  if (!faults.empty()) {
    return faults;
  }
  for (std::size_t i = 0; i < result.runs.size(); ++i) {
    const auto same = [&](const ComparedRun& other) { return other.name == result.runs[i].name; };
    if (std::count_if(result.runs.begin(), result.runs.end(), same) > 1) {
      result.runs[i].name = result.runs[i].check.layout.file;
    }
  }
  result.common_airflow_m3_s = common_airflow_m3_s(result.runs);
  const ComparedRun& first = result.runs.front();
  for (ComparedRun& run : result.runs) {
    put_figures(run, result.common_airflow_m3_s);
  }
  const std::vector<Listed> pieces = listed(first, result.common_airflow_m3_s);
  for (std::size_t i = 1; i < result.runs.size(); ++i) {
    ComparedRun& run = result.runs[i];
    put_differences(first, run);
    for (std::string& one : unlike(first, run)) {
      result.unlike.push_back(std::move(one));
    }
    result.changes.push_back(changes(pieces, listed(run, result.common_airflow_m3_s)));
    result.answer.push_back(against_first(first, run));
    result.answer.push_back(price(first, run));
  }
  result.best = best(result.runs);
  result.cautions = first.check.cautions;
  return result;
}

}  // namespace ductledger::study
