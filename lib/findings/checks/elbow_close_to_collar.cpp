#include <cmath>
#include <numbers>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

constexpr double kWarnDiameters = 1.0;
constexpr double kNoteDiameters = 2.5;

std::vector<Finding> elbow_close_to_collar(const result::Case& subject) {
  if (!subject.layout->fan || !subject.run->fan_at_collar ||
      subject.layout->appliance.kind == layout::ApplianceKind::clothes_dryer) {
    return {};
  }
  double way_m = 0.0;
  const layout::Piece* elbow = nullptr;
  const solve::CompiledPiece* compiled = nullptr;
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const layout::Piece* stated = piece_of(subject, piece);
    if (stated != nullptr && stated->kind == layout::PieceKind::elbow) {
      elbow = stated;
      compiled = &piece;
      way_m += stated->as<layout::Elbow>().legs_m[0];
      break;
    }
    way_m += piece.length_m;
  }
  if (elbow == nullptr) {
    return {};
  }
  const double diameter_m = std::sqrt(4.0 * subject.run->collar.area_m2() / std::numbers::pi);
  const double diameters = way_m / diameter_m;
  if (diameters >= kNoteDiameters * (1.0 - 1e-9)) {
    return {};
  }
  const bool warns = diameters < kWarnDiameters * (1.0 - 1e-9);
  const double bound = warns ? kWarnDiameters : kNoteDiameters;
  units::Message message{piece_words(*compiled), {}};
  if (way_m == 0.0) {
    append(message, {" stands on the collar", {}});
  } else {
    const bool one = units::display(diameters, units::Dimension::number, units::System::ip) == "1";
    append(
        message,
        {one ? " is {} or {} diameter from the collar" : " is {} or {} diameters from the collar",
         {length(way_m), number(diameters)}});
  }
  append(message,
         {", " + just({diameters, bound, units::Dimension::number}) +
              (warns ? "under {} diameter" : "under {} diameters"),
          {number(bound)}});
  Finding found = finding(kElbowCloseToCollar,
                          {.level = warns ? Level::warn : Level::note,
                           .message = std::move(message),
                           .span = elbow->span});
  found.observed = {{"length_m", way_m}, {"diameters", diameters}};
  found.limit = {{"length_m", bound * diameter_m}, {"diameters", bound}};
  return {std::move(found)};
}

}  // namespace

const Check kElbowCloseToCollar{
    .code = "elbow-close-to-collar",
    .title = "elbow too close to the collar",
    .what =
        "the straight way from the collar to the first elbow, in diameters of equal area "
        "(sqrt(4 A / pi)), where the fan stands at the collar: a warning under 1, a note "
        "under 2.5. Silent for dryers, whose blower is not at their collar",
    .why =
        "flow is not uniform there, and an elbow in it loses more "
        "pressure than its coefficient says; that extra loss is not in the ledger, and within "
        "2 diameters the band is wider for it",
    .instead = "add straight duct between collar and elbow",
    .source =
        "AMCA Publication 201, effective duct length of 2.5 diameters (recalled); 1 "
        "diameter is common practice",
    .check = elbow_close_to_collar,
};

}  // namespace ductledger::findings
