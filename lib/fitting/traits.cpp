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

std::vector<Sign> signs_of(Kind kind) {
  switch (kind) {
    case Kind::cap:
      return {Sign::wall_hood,
              Sign::roof_hood,
              Sign::rain_cone,
              Sign::eaves,
              Sign::blades,
              Sign::bars,
              Sign::end_flap,
              Sign::open_end};
    case Kind::damper:
      return {Sign::leaf, Sign::weighted_leaf, Sign::motor_blade, Sign::hand_blade};
    case Kind::transition:
      return {Sign::slope, Sign::step};
    case Kind::filter:
      return {Sign::folds, Sign::mesh, Sign::grains};
    case Kind::entry:
      return {Sign::plain_mouth, Sign::flange, Sign::flare, Sign::taper, Sign::blades};
    case Kind::junction:
      return {Sign::joins_45, Sign::joins_30, Sign::joins_90, Sign::divides};
    default:
      return {};
  }
}

std::optional<Sign> sign_of(Kind kind, const Traits& traits) {
  const std::vector<Sign> possible = signs_of(kind);
  if (traits.sign || possible.empty()) {
    return traits.sign;
  }
  if (kind == Kind::cap) {
    return traits.is_open_work()              ? Sign::blades
           : traits.stands_at(Outlet::roof)   ? Sign::roof_hood
           : traits.stands_at(Outlet::soffit) ? Sign::eaves
                                              : Sign::wall_hood;
  }
  if (kind == Kind::damper) {
    return traits.flap == Flap::balanced ? Sign::weighted_leaf
           : traits.flap == Flap::motor  ? Sign::motor_blade
           : traits.flap == Flap::hand   ? Sign::hand_blade
                                         : Sign::leaf;
  }
  if (kind == Kind::transition && traits.is(Make::abrupt)) {
    return Sign::step;
  }
  return possible.front();
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
  take(before.sign, later.sign);
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
