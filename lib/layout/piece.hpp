#pragma once

#include <array>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "base/source.hpp"
#include "base/words.hpp"
#include "duct/section.hpp"
#include "fitting/catalogue.hpp"

/// One entry of a run, resolved: what the file leaves out stands here as it was taken, so that no
/// one asks for a default again. `Piece::states` tells what the file says itself.
namespace ductledger::layout {

/// In the order of `Piece::Detail`.
enum class PieceKind {
  straight,
  flex,
  elbow,
  transition,
  damper,
  cap,
  screen,
  filter,
  entry,
  junction,
  fan,
  loss
};
inline constexpr auto kPieceKindWords =
    base::words<PieceKind>({{PieceKind::straight, "straight"},
                            {PieceKind::flex, "flex"},
                            {PieceKind::elbow, "elbow"},
                            {PieceKind::transition, "transition"},
                            {PieceKind::damper, "damper"},
                            {PieceKind::cap, "cap"},
                            {PieceKind::screen, "screen"},
                            {PieceKind::filter, "filter"},
                            {PieceKind::entry, "entry"},
                            {PieceKind::junction, "junction"},
                            {PieceKind::fan, "fan"},
                            {PieceKind::loss, "loss"}});
[[nodiscard]] constexpr const char* word(PieceKind kind) { return kPieceKindWords.of(kind); }

/// A coefficient that the user states: a maker's figure or a measured one.
struct StatedCoefficient {
  double value = 0.0;
  std::optional<double> relative_uncertainty;  ///< one standard uncertainty
  std::optional<std::string> error_name;       ///< pieces that share it share one error
  fitting::Reference reference = fitting::Reference::upstream;

  bool operator==(const StatedCoefficient&) const = default;
};

/// A drop at an airflow, as measured or printed; in standard air.
struct StatedDrop {
  double pressure_pa = 0.0;
  double airflow_m3_s = 0.0;

  bool operator==(const StatedDrop&) const = default;
};

enum class FilterLaw { square, linear };
inline constexpr auto kFilterLawWords =
    base::words<FilterLaw>({{FilterLaw::square, "square"}, {FilterLaw::linear, "linear"}});

/// A direction in space: x right, y back, z up, as seen facing the appliance; unit length.
using Direction = std::array<double, 3>;

/// Where a length of duct runs.
struct Surroundings {
  std::string through;  ///< `attic`, ...; empty: not stated
  std::optional<double> insulation_m2k_w;

  bool operator==(const Surroundings&) const = default;
};

struct Straight {
  Surroundings around;

  bool operator==(const Straight&) const = default;
};

struct Flex {
  Surroundings around;
  double stretched = 1.0;  ///< [1] installed over fully stretched length
  double sag_m = 0.0;
  int dips = 0;

  bool operator==(const Flex&) const = default;
};

struct Elbow {
  double angle_rad = 0.0;
  double in_plane_m = 0.0;  ///< side in the plane of the turn; of a round one its diameter
  double across_m = 0.0;
  std::optional<double> radius_ratio;      ///< [1] centre line over `in_plane_m`; nothing: a mitre
  std::optional<fitting::Make> make;       ///< of its type, as the catalogue says
  std::array<double, 2> legs_m{0.0, 0.0};  ///< counted in the run's rise, before and after the turn

  bool operator==(const Elbow&) const = default;
};

struct Transition {
  bool operator==(const Transition&) const = default;
};

struct Damper {
  std::optional<double> opening_pressure_pa;  ///< gravity flap
  std::optional<double> flap_mass_kg_m2;      ///< of a floating flap; nothing: as its type says
  std::vector<StatedDrop> drops;              ///< a maker's table, ascending; none: not stated

  bool operator==(const Damper&) const = default;
};

struct Cap {
  std::optional<double> opening_pressure_pa;  ///< gravity flap
  std::optional<double> flap_mass_kg_m2;      ///< of a floating flap; nothing: as its type says
  std::vector<StatedDrop> drops;              ///< a maker's table, ascending; none: not stated
  std::optional<double> wind_coefficient;

  bool operator==(const Cap&) const = default;
};

struct Screen {
  bool operator==(const Screen&) const = default;
};

struct Filter {
  std::vector<StatedDrop> drops;  ///< none, one (with a law) or two
  FilterLaw law = FilterLaw::square;

  bool operator==(const Filter&) const = default;
};

struct Entry {
  bool operator==(const Entry&) const = default;
};

/// A branch joins here; `downstream` is the combined leg from here on.
struct Junction {
  std::string branch;      ///< as named
  std::size_t index = 0;   ///< in `Layout::branches`
  double angle_rad = 0.0;  ///< between branch and main, by its type
  /// Stated in place of the type's: of total pressure, on the velocity pressure of the combined
  /// leg, the change of area included; both or neither.
  std::optional<double> straight_coefficient{};
  std::optional<double> branch_coefficient{};

  bool operator==(const Junction&) const = default;
};

/// The fan stands here.
struct FanPlace {
  bool operator==(const FanPlace&) const = default;
};

struct Loss {
  std::vector<StatedDrop> drops;  ///< one, or none where a coefficient is stated

  bool operator==(const Loss&) const = default;
};

struct Piece {
  using Detail = std::variant<Straight,
                              Flex,
                              Elbow,
                              Transition,
                              Damper,
                              Cap,
                              Screen,
                              Filter,
                              Entry,
                              Junction,
                              FanPlace,
                              Loss>;

  explicit Piece(PieceKind of = PieceKind::straight);

  PieceKind kind;  ///< names the alternative that `detail` holds; only the constructor sets both
  Detail detail;
  std::string type;    ///< a fitting's: stated, by its heading (cap), or the catalogue's usual one
  std::string source;  ///< data set asked for; empty: the entry's own default
  duct::Section upstream = duct::Section::round(units::inches(6.0));  ///< in force where it begins
  duct::Section downstream = duct::Section::round(units::inches(6.0));
  std::optional<double> length_m;
  std::string material;  ///< word of the roughness table, or empty where stated as a number
  double roughness_m = 0.0;
  std::optional<StatedCoefficient> coefficient;
  std::optional<double> equivalent_length_m;
  std::optional<duct::Section> equivalent_of;  ///< whose duct that is; nothing: the duct before it
  std::map<std::string, double, std::less<>> parameters;  ///< catalogue parameters as stated, SI
  std::string note;
  std::optional<fitting::Sign> sign;  ///< in drawings; nothing where all of its kind are alike
  // geometry, where headings are known
  std::optional<Direction> heading_in;
  std::optional<Direction> heading_out;
  base::Span span;  ///< of the piece's kind word
  std::map<std::string, base::Span, std::less<>> key_spans;
  base::Span value_span;

  /// Whether the file states a key, a bare value counted as the key that it stands for.
  [[nodiscard]] bool states(std::string_view key) const { return key_spans.contains(key); }

  /// Its detail; throws `std::bad_variant_access` where the piece is of another kind.
  template <class T>
  [[nodiscard]] T& as() {
    return std::get<T>(detail);
  }
  template <class T>
  [[nodiscard]] const T& as() const {
    return std::get<T>(detail);
  }
  /// Null where the piece is of another kind.
  template <class T>
  [[nodiscard]] const T* if_is() const noexcept {
    return std::get_if<T>(&detail);
  }

  /// Where it runs; nothing stated but for straights and flexible duct.
  [[nodiscard]] const Surroundings& around() const noexcept;
  /// Of a gravity flap: dampers and caps.
  [[nodiscard]] std::optional<double> opening_pressure_pa() const noexcept;
  /// The weight of a floating flap, where it is stated: dampers and caps.
  [[nodiscard]] std::optional<double> flap_mass_kg_m2() const noexcept;
  /// Drops stated for a filter, a loss, a damper or a cap.
  [[nodiscard]] std::span<const StatedDrop> drops() const noexcept;

  /// By a coefficient or an equivalent length: the catalogue is not asked.
  [[nodiscard]] bool loss_is_stated() const noexcept {
    return coefficient.has_value() || equivalent_length_m.has_value();
  }
  /// The type that its loss is of: empty where the loss is the user's own figure and nothing says
  /// what stands there.
  [[nodiscard]] const std::string& known_type() const noexcept;
};

/// From an elbow's end to its corner, where its legs are not stated [m]: centreline radius times
/// tan(angle/2); a mitre reaches half its side beyond its corner.
[[nodiscard]] double nominal_leg_m(const Elbow& elbow) noexcept;

}  // namespace ductledger::layout
