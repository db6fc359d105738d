#include "house/zone.hpp"

#include <algorithm>
#include <cmath>

#include "air/air.hpp"
#include "base/fault.hpp"
#include "house/band.hpp"
#include "layout/catalogue_query.hpp"
#include "network/compile.hpp"
#include "numeric/root.hpp"

namespace ductledger::house {
namespace {

constexpr numeric::RootStop kStop{
    .residual_max = 0.0, .width_absolute = 0.0, .width_relative = 1e-14, .iterations_max = 200};

/// The makeup duct with a given air in it, as a layout that holds nothing else.
layout::Layout duct_alone(const layout::Layout& layout, const layout::AirState& air) {
  layout::Layout own;
  own.file = layout.file;
  own.source = layout.source;
  own.site = layout.site;
  own.site.duct = air;
  if (layout.site.outdoor_stated && &air == &layout.site.outdoor) {
    own.site.stated_air.reset();  // that is the air of the appliance's duct
  }
  own.run = layout.house->makeup.duct.front();
  own.branches = layout.house->makeup.branches;
  return own;
}

/// What a duct that branches asks for over the airflow of all its inlets, all at one pressure
/// outdoors. Outward, the figures of streams that join are only an indication. Null: no steady
/// answer at some airflow.
std::shared_ptr<const BranchedPath> table_of(const network::CompiledNetwork& duct, double sign) {
  network::Network passive = duct.network;
  passive.end_pa = 0.0;
  for (network::Leg& leg : passive.legs) {
    leg.stack_pa = 0.0;
  }
  network::Solver solver(passive);
  const std::size_t last = passive.legs.size() - 1;
  bool good = true;
  const auto loss_pa = [&](double airflow_m3_s) {
    good = solver.solve({last, sign * airflow_m3_s}) == network::Status::solved && good;
    return sign * solver.needed_pa(last);
  };
  constexpr double kRest_m3_s = 1e-8;
  constexpr double kFirst_m3_s = 1e-5;
  constexpr int kPerDecade = 64;
  constexpr int kDecades = 6;
  std::vector<BranchedPath::Point> points;
  double least_pa = 1e-12;
  for (int i = 0; i <= kPerDecade * kDecades; ++i) {
    const double q = kFirst_m3_s * std::pow(10.0, static_cast<double>(i) / kPerDecade);
    points.push_back({q, std::max(loss_pa(q), least_pa)});
    least_pa = points.back().loss_pa * (1.0 + 1e-12);  // never falls
  }
  const double at_rest_pa = std::clamp(loss_pa(kRest_m3_s), 0.0, points.front().loss_pa);
  return good ? std::make_shared<const BranchedPath>(points, at_rest_pa) : nullptr;
}

/// Each piece of the makeup duct and of what joins it.
template <class Visit>
bool any_makeup_piece(const layout::Makeup& makeup, Visit&& is) {
  const auto in = [&](const layout::Run& run) { return std::ranges::any_of(run.pieces, is); };
  return std::ranges::any_of(makeup.duct, in) ||
         std::ranges::any_of(makeup.branches,
                             [&](const layout::Branch& branch) { return in(branch.run); });
}

/// The air that leakage reports are stated for, 20 degC and 1.204 kg/m3, over the air that flows.
/// @source iso-9972, astm-e779 (recalled)
Zone::Reference reference(const layout::AirState& air, double density_kg_m3) {
  constexpr double kReportK = 293.15;
  constexpr double kReportKgM3 = 1.204;
  const auto viscosity = [](double temperature_k) {
    return air::moist_air({.temperature = units::kelvin(temperature_k),
                           .relative_humidity = 0.0,
                           .pressure = air::pressure_at(units::metres(0.0))})
        .viscosity.value();
  };
  return {.log_viscosity = std::log(viscosity(kReportK) / viscosity(air.temperature_k)),
          .log_density = std::log(kReportKgM3 / density_kg_m3)};
}

/// Relative standard uncertainty of the airflow through a duct at a pressure: half that of its
/// loss.
double airflow_uncertainty(const solve::CompiledRun& duct) {
  const double q = duct.collar.area_m2();  // at 1 m/s
  double total = 0.0;
  double square = 0.0;
  for (const solve::CompiledPiece& piece : duct.pieces) {
    const double loss_pa = duct.loss.of(piece.loss, q);
    total += loss_pa;
    square += std::pow(loss_pa * piece.standard_uncertainty, 2);
  }
  return total > 0.0 ? 0.5 * std::sqrt(square) / total : 0.0;
}

}  // namespace

double Zone::leakage_m3_s(double difference_pa) const noexcept {
  const Direction direction = difference_pa > 0.0 ? Direction::inward : Direction::outward;
  return std::copysign(leakage_factor(direction) * test_airflow_m3_s *
                           std::pow(std::abs(difference_pa) / test_pressure_pa, exponent),
                       difference_pa);
}

double Zone::path_pressure_pa(double airflow_m3_s, Direction direction) const noexcept {
  const double q = airflow_m3_s / path_factor;
  if (path == Path::opening) {
    const double v = q / effective_area_m2;
    return density(direction) / 2.0 * v * v;
  }
  if (const auto& branched = direction == Direction::inward ? branched_inward : branched_outward;
      branched != nullptr) {
    return branched->at(q);
  }
  return direction == Direction::inward ? inward.at(q) : outward.at(q);
}

double Zone::density(Direction direction) const noexcept {
  return direction == Direction::inward ? outdoor_density_kg_m3 : indoor_density_kg_m3;
}

double Zone::leakage_factor(Direction direction) const noexcept {
  const Reference& reference =
      direction == Direction::inward ? inward_reference : outward_reference;
  if (reference.log_viscosity == 0.0 && reference.log_density == 0.0) {
    return 1.0;
  }
  // ISO 9972 and ASTM E779: C0 = C (mu/mu0)^(2n-1) (rho/rho0)^(1-n), here solved for C.
  return std::exp((2.0 * exponent - 1.0) * reference.log_viscosity +
                  (1.0 - exponent) * reference.log_density);
}

double Zone::path_m3_s(double difference_pa) const noexcept {
  if (path == Path::none || difference_pa == 0.0 || (one_way && difference_pa < 0.0)) {
    return 0.0;
  }
  const double pressure_pa = std::abs(difference_pa);
  const Direction direction = difference_pa > 0.0 ? Direction::inward : Direction::outward;
  if (path == Path::opening) {
    return std::copysign(
        path_factor * effective_area_m2 * std::sqrt(2.0 * pressure_pa / density(direction)),
        difference_pa);
  }
  if (path_pressure_pa(0.0, direction) >= pressure_pa) {
    return 0.0;  // a flap that stays shut
  }
  double high_m3_s = 1.0;
  while (path_pressure_pa(high_m3_s, direction) < pressure_pa && high_m3_s < 1e9) {
    high_m3_s *= 4.0;
  }
  const auto missing = [&](double q) { return path_pressure_pa(q, direction) - pressure_pa; };
  return std::copysign(numeric::find_root(missing, {0.0, high_m3_s}, kStop).root, difference_pa);
}

Zone::Inflow Zone::inflow(double airflow_m3_s) const noexcept {
  const double mass_kg_s =
      duct_density_kg_m3 * (exhaust_factor * airflow_m3_s + other_exhaust_m3_s) -
      outdoor_density_kg_m3 * powered_m3_s;
  if (mass_kg_s == 0.0) {
    return {};
  }
  const Direction direction = mass_kg_s > 0.0 ? Direction::inward : Direction::outward;
  const double needed_m3_s = std::abs(mass_kg_s) / density(direction);
  const double flows_at_test_m3_s = leakage_factor(direction) * test_airflow_m3_s;
  const auto leak_pressure_pa = [&](double q) {
    return test_pressure_pa * std::pow(q / flows_at_test_m3_s, 1.0 / exponent);
  };
  const double through_leaks_pa = leak_pressure_pa(needed_m3_s);  // all of it
  const bool open = path != Path::none && !(one_way && mass_kg_s < 0.0) &&
                    path_pressure_pa(0.0, direction) < through_leaks_pa;
  if (!open) {
    return {std::copysign(through_leaks_pa, mass_kg_s), 0.0};
  }
  if (inward_table && direction == Direction::inward &&
      needed_m3_s < inward_table->highest_m3_s() * path_factor) {
    return shared_by_table(needed_m3_s, flows_at_test_m3_s, through_leaks_pa);
  }
  // The path's airflow at which path and leaks ask for the same pressure.
  const auto surplus_pa = [&](double q) {
    return path_pressure_pa(q, direction) - leak_pressure_pa(needed_m3_s - q);
  };
  const double q = numeric::find_root(surplus_pa, {0.0, needed_m3_s}, kStop).root;
  // Where nearly all comes through the path, what is left for the leaks is lost in rounding.
  const double difference_pa =
      q > 0.5 * needed_m3_s ? path_pressure_pa(q, direction) : leak_pressure_pa(needed_m3_s - q);
  return {std::copysign(difference_pa, mass_kg_s), std::copysign(q, mass_kg_s)};
}

Zone::Inflow Zone::shared_by_table(double needed_m3_s,
                                   double flows_at_test_m3_s,
                                   double through_leaks_pa) const noexcept {
  struct Ends {
    double low_m3_s;
    double high_m3_s;
  } within{0.0, needed_m3_s};
  const auto leak_pa = [&](double q) {
    return test_pressure_pa * std::pow(q / flows_at_test_m3_s, 1.0 / exponent);
  };
  // As if both laws were squares; then Newton's method, halving where it would leave the bracket.
  const double through_path = std::sqrt(inward_table->at(needed_m3_s / path_factor).pressure_pa);
  const double through_leaks = std::sqrt(through_leaks_pa);
  double q = needed_m3_s * through_leaks / (through_path + through_leaks);
  constexpr int kMostSteps = 60;
  // [1] Of the airflow needed: what such a step leaves is its square.
  constexpr double kSettled = 1e-7;
  for (int step = 0; step < kMostSteps; ++step) {
    const PathTable::Value duct = inward_table->at(q / path_factor);
    const double leaks_m3_s = needed_m3_s - q;
    const double by_leaks_pa = leak_pa(leaks_m3_s);
    const double surplus_pa = duct.pressure_pa - by_leaks_pa;
    (surplus_pa < 0.0 ? within.low_m3_s : within.high_m3_s) = q;
    const double slope_pa_s_m3 =
        duct.slope_pa_s_m3 / path_factor + by_leaks_pa / (exponent * leaks_m3_s);
    const double step_m3_s = -surplus_pa / slope_pa_s_m3;
    q = std::clamp(q + step_m3_s, 0.0, needed_m3_s);
    if (std::abs(step_m3_s) <= kSettled * needed_m3_s) {
      break;
    }
    if (!(q > within.low_m3_s && q < within.high_m3_s)) {
      q = 0.5 * (within.low_m3_s + within.high_m3_s);
    }
  }
  // Where nearly all comes through the path, what is left for the leaks is lost in rounding.
  return {q > 0.5 * needed_m3_s ? inward_table->at(q / path_factor).pressure_pa
                                : leak_pa(needed_m3_s - q),
          q};
}

void Zone::tabulate() {
  if (path == Path::duct && inward_table == nullptr && branched_inward == nullptr) {
    inward_table = std::make_shared<const PathTable>(inward);
  }
}

double Zone::depressurisation_pa(double airflow_m3_s) const noexcept {
  return inflow(airflow_m3_s).difference_pa - envelope_pa;
}

Balance Zone::balance(double airflow_m3_s) const noexcept {
  const Inflow in = inflow(airflow_m3_s);
  Balance balance;
  balance.depressurisation_pa = in.difference_pa - envelope_pa;
  balance.leakage_airflow_m3_s = leakage_m3_s(in.difference_pa);
  balance.makeup_airflow_m3_s = in.path_m3_s + powered_m3_s;
  balance.residual_kg_s = density(in.difference_pa > 0.0 ? Direction::inward : Direction::outward) *
                              (balance.leakage_airflow_m3_s + in.path_m3_s) +
                          outdoor_density_kg_m3 * powered_m3_s -
                          duct_density_kg_m3 * (exhaust_factor * airflow_m3_s + other_exhaust_m3_s);
  return balance;
}

solve::RoomSuction Zone::suction() const noexcept {
  return {.of_pa = [](const void* state, double airflow_m3_s) noexcept -> double {
            return static_cast<const Zone*>(state)->depressurisation_pa(airflow_m3_s);
          },
          .state = this};
}

namespace {

/// A flap on every way lets no air out: in the run behind its last junction, or at each inlet.
bool lets_no_air_out(const layout::Makeup& makeup, const fitting::Catalogue& catalogue) {
  const auto is_flap = [&](const layout::Piece& piece) {
    return layout::traits_of(piece, catalogue).has_gravity_flap() ||
           piece.opening_pressure_pa().value_or(0.0) > 0.0;
  };
  const auto& run = makeup.duct.front().pieces;
  const auto joins = [](const layout::Piece& piece) {
    return piece.kind == layout::PieceKind::junction;
  };
  const auto last = std::find_if(run.rbegin(), run.rend(), joins).base();
  const auto first = std::find_if(run.begin(), run.end(), joins);
  return std::any_of(last, run.end(), is_flap) ||
         (std::any_of(run.begin(), first, is_flap) &&
          std::ranges::all_of(makeup.branches, [&](const layout::Branch& branch) {
            return std::ranges::any_of(branch.run.pieces, is_flap);
          }));
}

/// A makeup duct that branches: one table for each way of the air.
base::Diagnostics put_branched(const layout::Layout& layout,
                               const fitting::Catalogue& catalogue,
                               Zone& open,
                               CompiledHouse& result) {
  const auto inward = network::compile(duct_alone(layout, layout.site.outdoor), catalogue);
  if (!inward) {
    return inward.error();
  }
  const auto outward = network::compile(duct_alone(layout, layout.site.indoor), catalogue);
  if (!outward) {
    return outward.error();
  }
  open.branched_inward = table_of(*inward, 1.0);
  open.branched_outward = open.one_way ? open.branched_inward : table_of(*outward, -1.0);
  if (open.branched_inward == nullptr || open.branched_outward == nullptr) {
    return {base::fault_at({layout.source, layout.house->makeup.span},
                           "network-not-settled",
                           "no steady answer was found for the makeup duct and what joins it",
                           "state it as one duct")};
  }
  for (const network::LegPart& leg : inward->legs) {
    result.path_uncertainty = std::max(result.path_uncertainty, airflow_uncertainty(leg.run));
  }
  return {};
}

base::Diagnostics put_duct(const layout::Layout& layout,
                           const fitting::Catalogue& catalogue,
                           Zone& open,
                           CompiledHouse& result) {
  const layout::Makeup& makeup = layout.house->makeup;
  open.path = Path::duct;
  open.one_way = lets_no_air_out(makeup, catalogue);
  result.opening_pressure_missing = any_makeup_piece(makeup, [&](const layout::Piece& piece) {
    return layout::traits_of(piece, catalogue).flap == fitting::Flap::balanced &&
           !piece.opening_pressure_pa();
  });
  if (!makeup.branches.empty()) {
    return put_branched(layout, catalogue, open, result);
  }
  const auto inward = solve::compile(duct_alone(layout, layout.site.outdoor), catalogue);
  if (!inward) {
    return inward.error();
  }
  const auto outward = solve::compile(duct_alone(layout, layout.site.indoor), catalogue);
  if (!outward) {
    return outward.error();
  }
  open.inward = inward->loss;
  open.outward = outward->loss;
  result.path_uncertainty = airflow_uncertainty(*inward);
  return {};
}

/// The room with its envelope, whatever makeup air there is.
Zone zone_of(const layout::Layout& layout, const solve::SiteAir& air) {
  const layout::House& house = *layout.house;
  Zone zone;
  zone.duct_density_kg_m3 = air.density_kg_m3;
  zone.outdoor_density_kg_m3 = air.outdoor_density_kg_m3;
  zone.indoor_density_kg_m3 = air.indoor_density_kg_m3;
  zone.envelope_pa = air.outdoor_density_kg_m3 / 2.0 * layout.site.wind_m_s * layout.site.wind_m_s *
                     house.wind_coefficient;
  if (house.leakage && house.leakage->above_collar_m) {
    zone.envelope_pa -= (air.outdoor_density_kg_m3 - air.indoor_density_kg_m3) *
                        units::kGravityM_S2 * *house.leakage->above_collar_m;
  }
  for (const layout::OtherExhaust& exhaust : house.other_exhaust) {
    zone.other_exhaust_m3_s += exhaust.airflow_m3_s;
  }
  if (house.leakage) {
    zone.test_airflow_m3_s = house.leakage->airflow_m3_s;
    zone.test_pressure_pa = house.leakage->pressure_pa;
    zone.exponent = house.leakage->exponent;
    if (house.leakage->at_standard) {
      zone.inward_reference = reference(layout.site.outdoor, air.outdoor_density_kg_m3);
      zone.outward_reference = reference(layout.site.indoor, air.indoor_density_kg_m3);
    }
  }
  return zone;
}

/// Opens the zone to its makeup air. @return whether that surely comes with the appliance
base::Checked<bool> put_makeup(const layout::Layout& layout,
                               const fitting::Catalogue& catalogue,
                               Zone& open,
                               CompiledHouse& result) {
  const layout::Makeup& makeup = layout.house->makeup;
  switch (makeup.kind) {
    case layout::MakeupKind::none:
      break;
    case layout::MakeupKind::passive_opening:
      open.path = Path::opening;
      open.effective_area_m2 = makeup.discharge_coefficient * makeup.free_area_m2;
      result.path_uncertainty = kDischargeCoefficientU;
      break;
    case layout::MakeupKind::powered:
      open.powered_m3_s = makeup.airflow_m3_s;
      return makeup.interlocked;
    case layout::MakeupKind::duct:
      if (auto faults = put_duct(layout, catalogue, open, result); !faults.empty()) {
        return faults;
      }
      return makeup.interlocked || !any_makeup_piece(makeup, [&](const layout::Piece& piece) {
               return layout::traits_of(piece, catalogue).flap == fitting::Flap::motor;
             });
  }
  return true;
}

}  // namespace

base::Checked<CompiledHouse> compile(const layout::Layout& layout,
                                     const fitting::Catalogue& catalogue,
                                     const solve::CompiledRun& run) {
  CompiledHouse result;
  if (!layout.house || layout.run.discharge == layout::Discharge::room) {
    return result;
  }
  Zone zone = zone_of(layout, run.air);
  Zone open = zone;
  const auto relied_on = put_makeup(layout, catalogue, open, result);
  if (!relied_on) {
    return relied_on.error();
  }
  if (layout.house->leakage) {
    result.leakage_known = true;
    result.airtightness_doubt = airtightness_doubt(*layout.house->leakage);
  }
  if (*relied_on) {
    result.zone = std::move(open);
  } else {
    result.zone = std::move(zone);
    result.with_makeup = std::move(open);
  }
  return result;
}

solve::Demand demand(const solve::CompiledRun& run, const Zone* zone) noexcept {
  solve::Demand all = solve::demand(run);
  if (zone != nullptr) {
    all.room = zone->suction();
  }
  return all;
}

solve::OperatingPoint operating_point(const solve::CompiledRun& run,
                                      const solve::FanAtSpeed& fan,
                                      const Zone* zone) noexcept {
  return solve::operating_point(demand(run, zone), fan);
}

solve::OperatingPoint operating_point_at(const solve::CompiledRun& run,
                                         const solve::FanAtSpeed& fan,
                                         double depressurisation_pa) noexcept {
  solve::Demand held = solve::demand(run);
  held.ends.start_pa = -depressurisation_pa;
  return solve::operating_point(held, fan);
}

}  // namespace ductledger::house
