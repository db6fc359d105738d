#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "findings/checks/list_internal.hpp"
#include "layout/catalogue_query.hpp"

namespace ductledger::findings {
namespace {

[[nodiscard]] bool draws_by_itself(const layout::CombustionAppliance& appliance) {
  return appliance.inside_air_barrier && (appliance.draft == layout::Draft::natural ||
                                          appliance.draft == layout::Draft::solid_fuel);
}

std::vector<Finding> gravity_damper_on_makeup_air(const result::Case& subject) {
  if (subject.house == nullptr || subject.layout->house->makeup.duct.empty()) {
    return {};
  }
  const layout::House& house = *subject.layout->house;
  const layout::Piece* damper = nullptr;
  const auto look_in = [&](const layout::Run& run) {
    for (const layout::Piece& piece : run.pieces) {
      if (damper == nullptr && piece.kind == layout::PieceKind::damper &&
          layout::traits_of(piece, *subject.catalogue).has_gravity_flap()) {
        damper = &piece;
      }
    }
  };
  look_in(house.makeup.duct.front());
  for (const layout::Branch& branch : house.makeup.branches) {
    look_in(branch.run);
  }
  if (damper == nullptr) {
    return {};
  }
  const bool natural =
      std::any_of(house.combustion.begin(), house.combustion.end(), draws_by_itself);
  const bool missing = !damper->opening_pressure_pa();
  if (!natural && !missing) {
    return {};
  }
  units::Message message{literal(damper->type) + " damper in the makeup duct", {}};
  if (missing) {
    message.pattern +=
        ": its opening pressure is not stated, so it was taken to open at none; the true "
        "depressurization is higher";
  } else {
    message.pattern += fmt::format(" opens at {:.1f} Pa", *damper->opening_pressure_pa());
  }
  if (natural) {
    message.pattern += ", and an appliance inside draws by itself";
  }
  return {finding(kGravityDamperOnMakeupAir,
                  {.level = Level::warn, .message = std::move(message), .span = damper->span})};
}

}  // namespace

const Check kGravityDamperOnMakeupAir{
    .code = "gravity-damper-on-makeup-air",
    .title = "a makeup damper that only depressurization opens",
    .what =
        "a barometric damper or flap in the makeup duct, without its opening pressure or with a "
        "natural-draft or solid-fuel appliance inside",
    .why =
        "a gravity damper needs a pressure difference to open, so it does not hold a house below "
        "the 2 to 5 Pa "
        "of a natural-draft appliance; no source with opening pressures is known, none is assumed",
    .instead =
        "a motorized damper interlocked with the appliance; else `opening_pressure` from the "
        "manufacturer",
    .source =
        "Minnesota Mechanical Code 501.4 (no barometric damper where an appliance is "
        "atmospherically vented); physics",
    .check = gravity_damper_on_makeup_air,
};

}  // namespace ductledger::findings
