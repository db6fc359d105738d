#include <cmath>

#include "air/air.hpp"
#include "layout/catalogue_query.hpp"
#include "solve/site_air_internal.hpp"
#include "units/constants.hpp"

namespace ductledger::solve {

double wind_coefficient(const layout::Layout& layout, const fitting::Catalogue& catalogue) {
  const layout::Run& run = layout.run;
  std::optional<layout::Direction> end = run.heading;
  const layout::Piece* cap = nullptr;
  for (const layout::Piece& piece : run.pieces) {
    end = piece.heading_out;
    cap = piece.kind == layout::PieceKind::cap ? &piece : cap;
  }
  constexpr double kWall = 0.7;  // assumed
  constexpr double kRoof = 0.0;  // assumed
  if (cap != nullptr && cap->as<layout::Cap>().wind_coefficient) {
    return *cap->as<layout::Cap>().wind_coefficient;
  }
  if (layout.site.wind_coefficient) {
    return *layout.site.wind_coefficient;
  }
  if (cap != nullptr) {
    const auto outlet = layout::traits_of(*cap, catalogue).outlet;
    if (outlet && outlet->only() == fitting::Outlet::roof) {
      return kRoof;
    }
    if (outlet && !outlet->roof) {
      return kWall;
    }
  }
  return end && (*end)[2] > 0.5 ? kRoof : kWall;
}

void put_stack(SiteAir& air, const layout::Run& run) {
  if (run.discharge == layout::Discharge::room) {
    return;
  }
  const double difference = air.outdoor_density_kg_m3 - air.density_kg_m3;
  if (run.rise_m) {
    air.stack_pa = difference * units::kGravityM_S2 * *run.rise_m;
  } else {
    air.stack_unknown = std::abs(difference) > 1e-6 * air.density_kg_m3;
  }
}

SiteAir site_air(const layout::Layout& layout, double wind_coefficient) {
  const layout::Site& site = layout.site;
  SiteAir result;
  const auto pressure = air::pressure_at(units::metres(site.elevation_m));
  result.pressure_pa = pressure.value();
  const auto at = [&](const layout::AirState& state) {
    return air::moist_air({.temperature = units::kelvin(state.temperature_k),
                           .relative_humidity = state.relative_humidity,
                           .pressure = pressure});
  };
  const air::Air in_duct = at(site.duct);
  result.density_kg_m3 = in_duct.density.value();
  result.viscosity_pa_s = in_duct.viscosity.value();
  result.indoor_density_kg_m3 = at(site.indoor).density.value();
  result.outdoor_density_kg_m3 = at(site.outdoor).density.value();
  if (site.stated_air) {
    result.density_kg_m3 = site.stated_air->density_kg_m3;
    result.viscosity_pa_s = site.stated_air->viscosity_pa_s.value_or(result.viscosity_pa_s);
    result.indoor_density_kg_m3 = result.density_kg_m3;
    if (!site.outdoor_stated) {
      result.outdoor_density_kg_m3 = result.density_kg_m3;
    }
  }
  result.back_pressure_pa = layout.run.back_pressure_pa;
  if (layout.run.discharge == layout::Discharge::room) {
    return result;
  }
  put_stack(result, layout.run);
  result.wind_coefficient = wind_coefficient;
  result.wind_pa =
      result.outdoor_density_kg_m3 / 2.0 * site.wind_m_s * site.wind_m_s * result.wind_coefficient;
  return result;
}

}  // namespace ductledger::solve
