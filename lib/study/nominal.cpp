#include "study/nominal.hpp"

#include <algorithm>
#include <numbers>
#include <utility>

#include "base/expects.hpp"
#include "fitting/materials.hpp"
#include "layout/catalogue_query.hpp"

namespace ductledger::study {
namespace {

using layout::Piece;
using layout::PieceKind;

Piece piece(PieceKind kind, const layout::Run& run) {
  Piece made(kind);
  made.upstream = run.first_section;
  made.downstream = run.first_section;
  made.material = run.material;
  made.roughness_m = run.roughness_m;
  return made;
}

Piece elbow(const layout::Run& run, const fitting::Catalogue& catalogue) {
  Piece made = piece(PieceKind::elbow, run);
  const duct::Section& section = run.first_section;
  made.type = catalogue.type_with(fitting::Kind::elbow, fitting::made(fitting::Make::smooth));
  made.parameters.emplace("radius_ratio", section.shape() == duct::Shape::round ? 1.5 : 1.0);
  auto& elbow = made.as<layout::Elbow>();
  elbow.angle_rad = std::numbers::pi / 2.0;
  elbow.in_plane_m = std::min(section.width_m(), section.height_m());
  elbow.across_m = std::max(section.width_m(), section.height_m());
  elbow.radius_ratio = layout::radius_ratio(made, catalogue);
  return made;
}

layout::Layout nominal_layout(const layout::Layout& layout,
                              const duct::Section& collar,
                              const fitting::Catalogue& catalogue) {
  layout::Layout nominal = layout;
  const auto* steel = fitting::material("galvanized-steel");
  DUCTLEDGER_EXPECTS(steel != nullptr);
  layout::Run run;
  run.first_section = collar;
  run.stated_section = collar;
  run.material = steel->name;
  run.roughness_m = steel->roughness_m;
  run.rise_m = 0.0;
  Piece straight = piece(PieceKind::straight, run);
  straight.length_m = kNominalLengthM;
  Piece cap = piece(PieceKind::cap, run);
  cap.type = layout::default_cap(catalogue, collar, std::nullopt);
  run.pieces = {std::move(straight), elbow(run, catalogue), elbow(run, catalogue), std::move(cap)};
  nominal.run = std::move(run);
  nominal.appliance.collar = collar;
  return nominal;
}

bool is_exact(solve::Status status) {
  return status == solve::Status::found || status == solve::Status::no_flow;
}

}  // namespace

std::optional<NominalRoute> nominal_route(const layout::Layout& layout,
                                          const fitting::Catalogue& catalogue,
                                          const solve::Demand& demand,
                                          const std::vector<result::SpeedResult>& speeds) {
  const layout::Run& run = layout.run;
  const std::optional<duct::Section> collar =
      layout.appliance.collar ? layout.appliance.collar : run.stated_section;
  if (!collar || !layout.fan || run.fan_piece ||
      layout.appliance.kind == layout::ApplianceKind::clothes_dryer ||
      run.discharge == layout::Discharge::room) {
    return std::nullopt;
  }
  const layout::Layout nominal = nominal_layout(layout, *collar, catalogue);
  const auto compiled = solve::compile(nominal, catalogue);
  if (!compiled) {
    return std::nullopt;
  }
  NominalRoute route{.section = *collar, .elbow = {}, .cap = {}, .speeds = {}};
  for (const solve::CompiledPiece& each : compiled->pieces) {
    if (each.fitting) {
      (each.word == layout::word(PieceKind::cap) ? route.cap : route.elbow) = each.fitting->entry;
    }
  }
  bool any = false;
  for (const result::SpeedResult& speed : speeds) {
    const solve::SpeedFan fan = solve::speed_fan(nominal, *compiled, speed.index);
    if (!fan.fan) {
      route.speeds.emplace_back();
      continue;
    }
    any = true;
    const solve::OperatingPoint point =
        solve::operating_point({.loss = compiled->loss,
                                .ends = demand.ends,
                                .room = demand.room,
                                .outlet_dynamic_pa_s2_m6 = compiled->outlet_dynamic_pa_s2_m6},
                               *fan.fan);
    NominalSpeed answer{.status = point.status,
                        .airflow_m3_s = point.airflow_m3_s,
                        .difference_m3_s = {},
                        .difference_ratio = {}};
    if (is_exact(point.status) && is_exact(speed.point.status)) {
      answer.difference_m3_s = speed.point.airflow_m3_s - point.airflow_m3_s;
      if (point.airflow_m3_s > 0.0) {
        answer.difference_ratio = *answer.difference_m3_s / point.airflow_m3_s;
      }
    }
    route.speeds.emplace_back(answer);
  }
  return any ? std::optional<NominalRoute>(std::move(route)) : std::nullopt;
}

}  // namespace ductledger::study
