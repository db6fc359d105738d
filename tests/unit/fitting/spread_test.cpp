#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "fitting/catalogue.hpp"
#include "fitting/entry.hpp"

namespace ductledger::fitting {
namespace {

// The half-width of the sources' spread, as a rectangular distribution, over sqrt(3).
double spread_u(const Catalogue& catalogue, const Entry& entry) {
  Piece piece{.kind = entry.kind,
              .type = entry.type,
              .upstream = duct::Section::round(units::inches(6.0)),
              .downstream = duct::Section::round(units::inches(6.0))};
  if (!entry.from_to.front()[0].round) {
    piece.upstream = piece.downstream =
        duct::Section::rectangular(units::inches(10.0), units::inches(5.0));
  }
  piece.angle_rad = entry.kind == Kind::elbow ? std::numbers::pi / 2.0 : kUnknown;
  piece.in_plane_m = piece.upstream.width_m();
  piece.across_m = piece.upstream.height_m();
  for (const auto& p : entry.parameters) {
    if (p.required) {
      piece.parameters[p.name] = 0.5 * (p.lowest + p.highest);
    }
  }
  const auto taken = catalogue.coefficient(piece);
  const auto* own = std::get_if<Coefficient>(&taken);
  if (own == nullptr || own->entry != entry.key() || !own->outside.empty() || own->value <= 0.0) {
    return 0.0;
  }
  constexpr double kReynolds = 1e5;
  constexpr double kFrictionFactor = 0.02;
  const double diameter_m = piece.upstream.equivalent_diameter_m();
  const auto whole = [&](const Coefficient& c) {
    return c.value * c.reynolds.at(kReynolds) + kFrictionFactor * c.friction_length_m / diameter_m;
  };
  double half_width = 0.0;
  for (const Coefficient& other : catalogue.alternatives(piece)) {
    if (other.outside.empty()) {
      half_width = std::max(half_width, std::abs(whole(other) / whole(*own) - 1.0));
    }
  }
  return half_width / std::sqrt(3.0) / std::max(own->standard_uncertainty, 1e-9);
}

// An uncertainty smaller than the spread of the sources at the entry's defaults needs a written
// reason, and a reason that is no longer needed goes.
TEST(CatalogueSpread, AnUncertaintyBelowTheSpreadHasAWrittenReason) {
  const Catalogue& catalogue = Catalogue::built_in();
  std::size_t compared = 0;
  for (const Entry* entry : catalogue.entries()) {
    if (entry->kind == Kind::transition || entry->kind == Kind::junction) {
      continue;  // a transition has no one place to compare at; a junction no single coefficient
    }
    const double ratio = spread_u(catalogue, *entry);
    compared += ratio > 0.0 ? 1 : 0;
    EXPECT_EQ(ratio > 1.0, !entry->spread.empty())
        << entry->key() << ": spread over sqrt(3) is " << ratio << " of its uncertainty";
  }
  EXPECT_GE(compared, 5U);
}

}  // namespace
}  // namespace ductledger::fitting
