#include <utility>

#include "findings/checks/list_internal.hpp"
#include "layout/geometry.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> cap_ends_inside(const result::Case& subject) {
  const layout::Layout& layout = *subject.layout;
  const auto& from_wall_m = layout.appliance.collar_at.from_wall_m;
  if (!from_wall_m || layout.run.pieces.empty() ||
      layout.run.discharge != layout::Discharge::outdoors) {
    return {};
  }
  const auto geometry = layout::run_geometry(layout);
  // Only a run that ends toward the wall behind the appliance says where that wall is passed.
  if (!geometry || geometry->outlet_heading[1] < 0.87 || geometry->outlet[1] > *from_wall_m) {
    return {};
  }
  const double short_m = *from_wall_m - geometry->outlet[1];
  Finding found =
      finding(kCapEndsInside,
              {.level = Level::warn,
               .message = {"the run ends {} behind the collar, and the wall's inner face is {} "
                           "behind it",
                           {length(geometry->outlet[1]), length(*from_wall_m)}},
               .span = layout.run.pieces.back().span});
  found.observed = {{"length_m", geometry->outlet[1]}, {"missing_m", short_m}};
  found.limit = {{"length_m", *from_wall_m}};
  return {std::move(found)};
}

}  // namespace

const Check kCapEndsInside{
    .code = "cap-ends-inside",
    .title = "run ends inside the room",
    .what = "a run that heads back at its end and does not reach the wall that `from_wall` states",
    .why = "the cap would stand in the room: a length is missing, or `from_wall` is wrong",
    .instead = "check `from_wall`, and the lengths of the pieces that head back",
    .source = "geometry of the layout",
    .check = cap_ends_inside,
};

}  // namespace ductledger::findings
