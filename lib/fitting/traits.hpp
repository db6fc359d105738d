#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/words.hpp"

/// What a type of fitting is, beside what it costs: where a cap stands, what shuts it, how an elbow
/// is made. Keys of a catalogue file; the code knows no type by its name.
namespace ductledger::fitting {

enum class Kind;

/// Where the air leaves outdoors.
enum class Outlet { wall, roof, soffit };
inline constexpr auto kOutletWords = base::words<Outlet>(
    {{Outlet::wall, "wall"}, {Outlet::roof, "roof"}, {Outlet::soffit, "soffit"}});
[[nodiscard]] constexpr const char* word(Outlet outlet) { return kOutletWords.of(outlet); }

/// The places where a cap can stand.
struct Outlets {
  bool wall = false;
  bool roof = false;
  bool soffit = false;
  [[nodiscard]] bool holds(Outlet outlet) const noexcept;
  /// The one place; nothing where it can stand at several.
  [[nodiscard]] std::optional<Outlet> only() const noexcept;
};

/// What moves the leaf or blade of a cap or damper.
enum class Flap {
  none,      ///< there is none
  gravity,   ///< hangs shut; the stream holds it open
  balanced,  ///< a counterweight or spring sets the pressure at which it opens
  motor,
  hand,
};
inline constexpr auto kFlapWords = base::words<Flap>({{Flap::none, "none"},
                                                      {Flap::gravity, "gravity"},
                                                      {Flap::balanced, "balanced"},
                                                      {Flap::motor, "motor"},
                                                      {Flap::hand, "hand"}});
[[nodiscard]] constexpr const char* word(Flap flap) { return kFlapWords.of(flap); }

/// How an elbow or a transition is made.
enum class Make { smooth, gored, mitered, vaned, adjustable, flexible, gradual, abrupt };
inline constexpr auto kMakeWords = base::words<Make>({{Make::smooth, "smooth"},
                                                      {Make::gored, "gored"},
                                                      {Make::mitered, "mitered"},
                                                      {Make::vaned, "vaned"},
                                                      {Make::adjustable, "adjustable"},
                                                      {Make::flexible, "flexible"},
                                                      {Make::gradual, "gradual"},
                                                      {Make::abrupt, "abrupt"}});
[[nodiscard]] constexpr const char* word(Make make) { return kMakeWords.of(make); }

/// What a drawing shows of it.
enum class Sign {
  wall_hood,  // caps
  roof_hood,
  rain_cone,
  eaves,
  blades,
  bars,
  end_flap,
  open_end,
  leaf,  // dampers
  weighted_leaf,
  motor_blade,
  hand_blade,
  slope,  // transitions
  step,
  folds,  // filters
  mesh,
  grains,
  plain_mouth,  // entries
  flange,
  flare,
  taper,
  joins_30,  // junctions
  joins_45,
  joins_90,
  divides,
};
inline constexpr auto kSignWords = base::words<Sign>({{Sign::wall_hood, "wall-hood"},
                                                      {Sign::roof_hood, "roof-hood"},
                                                      {Sign::rain_cone, "rain-cone"},
                                                      {Sign::eaves, "eaves"},
                                                      {Sign::blades, "blades"},
                                                      {Sign::bars, "bars"},
                                                      {Sign::end_flap, "end-flap"},
                                                      {Sign::open_end, "open-end"},
                                                      {Sign::leaf, "leaf"},
                                                      {Sign::weighted_leaf, "weighted-leaf"},
                                                      {Sign::motor_blade, "motor-blade"},
                                                      {Sign::hand_blade, "hand-blade"},
                                                      {Sign::slope, "slope"},
                                                      {Sign::step, "step"},
                                                      {Sign::folds, "folds"},
                                                      {Sign::mesh, "mesh"},
                                                      {Sign::grains, "grains"},
                                                      {Sign::plain_mouth, "plain-mouth"},
                                                      {Sign::flange, "flange"},
                                                      {Sign::flare, "flare"},
                                                      {Sign::taper, "taper"},
                                                      {Sign::joins_30, "joins-30"},
                                                      {Sign::joins_45, "joins-45"},
                                                      {Sign::joins_90, "joins-90"},
                                                      {Sign::divides, "divides"}});
[[nodiscard]] constexpr const char* word(Sign sign) { return kSignWords.of(sign); }

/// The signs that a kind can have; none where all of a kind are drawn alike.
[[nodiscard]] std::vector<Sign> signs_of(Kind kind);

/// Nothing where the catalogue does not say: whoever needs it says so and takes nothing for
/// granted.
struct Traits {
  std::optional<Outlets> outlet;  ///< of a cap
  std::optional<Flap> flap;       ///< of a cap or damper
  std::optional<Make> make;       ///< of an elbow or transition
  std::optional<bool> openings;   ///< of a cap: its face is blades, bars or mesh
  std::optional<Sign> sign;       ///< in drawings; `sign_of` knows what is drawn without it

  /// Stands at this place and nowhere else.
  [[nodiscard]] bool stands_at(Outlet place) const noexcept {
    return outlet && outlet->only() == place;
  }
  [[nodiscard]] bool is(Make one) const noexcept { return make == one; }
  [[nodiscard]] bool is_open_work() const noexcept { return openings.value_or(false); }
  /// Opened by the stream and by nothing else; air passes one way.
  [[nodiscard]] bool has_gravity_flap() const noexcept {
    return flap == Flap::gravity || flap == Flap::balanced;
  }
  /// Shut when the fan stands still, without a hand.
  [[nodiscard]] bool shuts_by_itself() const noexcept {
    return has_gravity_flap() || flap == Flap::motor;
  }
};

/// For `Catalogue::type_with`.
[[nodiscard]] inline auto made(Make make) {
  return [make](const Traits& traits) { return traits.is(make); };
}

/// What `later` states, and what `before` stated where it is silent.
[[nodiscard]] Traits overlaid(Traits before, const Traits& later);

/// The stated sign, else the one that the other traits ask for; nothing where all of a kind are
/// drawn alike.
[[nodiscard]] std::optional<Sign> sign_of(Kind kind, const Traits& traits);

/// A trait that a kind of fitting should state and this one does not.
struct MissingTrait {
  std::string key;      ///< of the catalogue file
  std::string example;  ///< `outlet: wall, roof, soffit or any`
  std::string without;  ///< what follows while it is missing
};
[[nodiscard]] std::vector<MissingTrait> missing_traits(Kind kind, const Traits& traits);

}  // namespace ductledger::fitting
