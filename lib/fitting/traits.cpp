#include "fitting/traits.hpp"

#include "fitting/catalogue.hpp"

namespace ductledger::fitting {

bool Outlets::holds(Outlet outlet) const noexcept {
  switch (outlet) {
    case Outlet::wall:
      return wall;
    case Outlet::roof:
      return roof;
    case Outlet::soffit:
      return soffit;
  }
  return false;
}

std::optional<Outlet> Outlets::only() const noexcept {
  if (wall && !roof && !soffit) {
    return Outlet::wall;
  }
  if (roof && !wall && !soffit) {
    return Outlet::roof;
  }
  if (soffit && !wall && !roof) {
    return Outlet::soffit;
  }
  return std::nullopt;
}

Traits overlaid(Traits before, const Traits& later) {
  const auto take = [](auto& into, const auto& from) {
    if (from) {
      into = from;
    }
  };
  take(before.outlet, later.outlet);
  take(before.flap, later.flap);
  take(before.make, later.make);
  take(before.openings, later.openings);
  return before;
}

std::vector<MissingTrait> missing_traits(Kind kind, const Traits& traits) {
  std::vector<MissingTrait> list;
  if (kind == Kind::cap && !traits.outlet) {
    list.push_back({"outlet",
                    "outlet: wall, roof, soffit or any",
                    "wind on it is taken by the duct's heading, and where the run ends is not "
                    "known"});
  }
  if (kind == Kind::cap && !traits.flap) {
    list.push_back({"flap",
                    "flap: none, gravity, balanced or motor",
                    "it does not count as a backdraft damper"});
  }
  if (kind == Kind::damper && !traits.flap) {
    list.push_back({"flap",
                    "flap: gravity, balanced, motor or hand",
                    "it does not count as a backdraft damper, and air is taken to pass it both "
                    "ways"});
  }
  if (kind == Kind::elbow && !traits.make) {
    list.push_back({"make",
                    "make: smooth, gored, mitered, vaned, adjustable or flexible",
                    "a dryer's table counts it as mitered, and close elbows find no row"});
  }
  if (kind == Kind::transition && !traits.make) {
    list.push_back({"make", "make: gradual or abrupt", "no advice is given on it"});
  }
  return list;
}

}  // namespace ductledger::fitting
