#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/geometry.hpp"
#include "layout/piece_number.hpp"

namespace ductledger::findings {
namespace {

/// Steeper than this counts as upright, flatter as level; between, nothing is said.
constexpr double kUpright = 0.87;  // 60 deg
constexpr double kLevel = 0.5;     // 30 deg

/// What contradicts the cap's place, or nothing.
std::string contradiction(const fitting::Traits& cap, const layout::RunGeometry& geometry) {
  const double rising = geometry.outlet_heading[2];
  if (cap.stands_at(fitting::Outlet::roof)) {
    if (rising < kLevel) {
      return " belongs on a rising duct, and this one " +
             std::string(rising < -kLevel ? "falls" : "is level");
    }
    if (geometry.outlet[2] < 0.0) {
      return " belongs on a roof, and the run ends below its collar";
    }
  } else if (cap.stands_at(fitting::Outlet::wall)) {
    if (rising > kUpright || rising < -kUpright) {
      return " belongs on a level duct, and this one " +
             std::string(rising > 0.0 ? "rises" : "falls");
    }
  } else if (cap.stands_at(fitting::Outlet::soffit) && rising > kUpright) {
    return " looks down from under an eave, and this duct rises";
  }
  return {};
}

std::vector<Finding> cap_against_heading(const result::Case& subject) {
  const layout::Run& run = subject.layout->run;
  if (run.pieces.empty() || run.pieces.back().kind != layout::PieceKind::cap ||
      run.discharge != layout::Discharge::outdoors) {
    return {};
  }
  const auto geometry = layout::run_geometry(*subject.layout);
  if (!geometry) {
    return {};
  }
  const layout::Piece& cap = run.pieces.back();
  const std::string against = contradiction(layout::traits_of(cap, *subject.catalogue), *geometry);
  if (against.empty()) {
    return {};
  }
  return {finding(
      kCapAgainstHeading,
      {.level = Level::note,
       .message = {"cap " + cap.type + " (piece " +
                       std::to_string(layout::piece_number(run.pieces.size() - 1)) + ")" + against,
                   {}},
       .span = cap.span})};
}

}  // namespace

const Check kCapAgainstHeading{
    .code = "cap-against-heading",
    .title = "cap does not fit where the run ends",
    .what =
        "a roof hood or rain cap on a duct that is level, falls, or ends below its collar; a wall "
        "hood on a duct steeper than 60 deg; a soffit vent on a duct that rises as steeply",
    .why =
        "either the cap or a heading is wrong, and a flap that hangs the wrong way neither "
        "shuts nor keeps rain out",
    .instead = "name the cap that is meant, or mend the last heading",
    .source = "common practice",
    .check = cap_against_heading,
};

}  // namespace ductledger::findings
