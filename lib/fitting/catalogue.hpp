#pragma once

#include <array>
#include <cstddef>
#include <functional>
#include <limits>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "base/checked.hpp"
#include "base/words.hpp"
#include "duct/section.hpp"
#include "fitting/floating_flap.hpp"
#include "fitting/traits.hpp"
#include "units/quantity_text.hpp"

/// The catalogue: published loss coefficients as data, each with its range, reference section,
/// uncertainty and sources.
namespace ductledger::fitting {

enum class Kind { elbow, transition, damper, cap, screen, filter, entry, flex, junction };
inline constexpr auto kKindWords = base::words<Kind>({{Kind::elbow, "elbow"},
                                                      {Kind::transition, "transition"},
                                                      {Kind::damper, "damper"},
                                                      {Kind::cap, "cap"},
                                                      {Kind::screen, "screen"},
                                                      {Kind::filter, "filter"},
                                                      {Kind::entry, "entry"},
                                                      {Kind::flex, "flex"},
                                                      {Kind::junction, "junction"}});
[[nodiscard]] constexpr const char* word(Kind kind) { return kKindWords.of(kind); }

/// Whose velocity pressure a coefficient multiplies. `face`: the velocity through a stated face
/// area.
enum class Reference { upstream, downstream, face };
inline constexpr auto kReferenceWords =
    base::words<Reference>({{Reference::upstream, "upstream"},
                            {Reference::downstream, "downstream"},
                            {Reference::face, "face"}});

/// A type as people say it: `soffit vent`.
[[nodiscard]] std::string in_words(std::string_view type);

/// A type as people say it: `soffit vent`.
[[nodiscard]] std::string in_words(std::string_view type);

enum class Status { seen, memory, derived, computed, assumed, common_practice };
inline constexpr auto kStatusWords =
    base::words<Status>({{Status::seen, "seen"},
                         {Status::memory, "memory"},
                         {Status::derived, "derived"},
                         {Status::computed, "computed"},
                         {Status::assumed, "assumed"},
                         {Status::common_practice, "common practice"}});
[[nodiscard]] constexpr const char* word(Status status) { return kStatusWords.of(status); }

/// How a coefficient follows the Reynolds number of its reference section; a plain value that is
/// evaluated without allocation.
class ReynoldsFactor {
 public:
  static constexpr std::size_t kMaxNodes = 12;
  enum class Law { none, table, bend_sharp, bend_tight, bend_smooth };
  struct Node {
    double reynolds;
    double factor;
  };

  ReynoldsFactor() = default;
  /// What a table says beyond its last node: nothing, or that its value stays.
  enum class Beyond { unknown, constant };
  /// Piecewise linear, the nearest edge beyond. @param nodes ascending, at most kMaxNodes
  static ReynoldsFactor table(const std::vector<Node>& nodes, Beyond beyond = Beyond::unknown);
  /// A named published law of smooth bends, one for each range of r/D: 1 + 4400/Re below 0.55
  /// (sharp), 5.45/Re^0.118 below 0.70 (tight), 11.5/Re^0.19 from 0.70 (smooth); from 4e4, 1 from
  /// 3e5 up. The print jumps there; between 2e5 and 3e5 a straight line leads to 1 (derived).
  /// @source idelchik, p. 357
  static ReynoldsFactor law(Law law);

  [[nodiscard]] bool is_constant() const noexcept { return law_ == Law::none; }
  [[nodiscard]] double at(double reynolds) const noexcept;
  /// Range of Reynolds numbers the source covers.
  [[nodiscard]] double lowest() const noexcept { return lowest_; }
  [[nodiscard]] double highest() const noexcept { return highest_; }

 private:
  Law law_ = Law::none;
  std::size_t count_ = 0;
  std::array<Node, kMaxNodes> nodes_{};
  double lowest_ = 0.0;
  double highest_ = 1e300;
};

inline constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();

/// What is known of a piece where a coefficient is asked for. SI; NaN where not known.
struct Piece {
  Kind kind = Kind::elbow;
  std::string type{};    ///< empty: the kind's default type for this geometry
  std::string source{};  ///< empty: the entry's default data set; else the key of another one
  duct::Section upstream;
  duct::Section downstream;      ///< equal to upstream but for a transition
  double angle_rad = kUnknown;   ///< elbow: turn; NaN elsewhere
  double in_plane_m = kUnknown;  ///< rectangular elbow: the side in the plane of the turn
  double across_m = kUnknown;    ///< rectangular elbow: the side along the turning axis
  std::map<std::string, double, std::less<>> parameters{};  ///< as stated, by catalogue name, SI
};

/// A parameter that lay outside the published range; the nearest edge was used.
struct OutsideRange {
  std::string parameter;
  double value = 0.0;
  double lowest = 0.0;
  double highest = 0.0;
  std::string unit;  ///< SI unit or empty
};

struct DefaultTaken {
  std::string parameter;
  double value = 0.0;
  std::string unit;
};

/// A coefficient and its history. loss = C k_Re(Re) VP(reference) + friction over
/// `friction_length_m` of the reference section's duct. Re is that of the reference section: mean
/// velocity times hydraulic diameter over kinematic viscosity.
struct Coefficient {
  double value = 0.0;
  ReynoldsFactor reynolds;
  Reference reference = Reference::upstream;
  double face_area_m2 = 0.0;  ///< reference `face` only
  /// Friction to be added, as a length of straight duct of the reference section [m]; 0 where the
  /// published value includes it.
  double friction_length_m = 0.0;
  double standard_uncertainty = 0.0;  ///< [1] relative
  std::string type;                   ///< the type that was taken
  std::string entry;                  ///< catalogue key, such as `elbow/smooth-radius/round`
  std::string data_set;               ///< key of the data set, unique in its entry
  std::string source;                 ///< key of the data set's source
  Status status = Status::assumed;
  std::string uncertainty_basis;
  /// Published or assumed limits of the coefficient where the source gives a range, else NaN.
  std::array<double, 2> stated_range{kUnknown, kUnknown};
  std::optional<FloatingFlap> floating;  ///< `value` is with the flap fully open
  std::vector<OutsideRange> outside;
  std::vector<DefaultTaken> defaults;
  bool type_defaulted = false;
};

struct Entry;
struct DataSet;
struct SupportTable;

/// Where figures come from.
struct Source {
  std::string key;
  std::string title;
  std::string author;
  std::string edition;
  std::string part;
  std::string note;    ///< what was read of it, or what was published where
  std::string status;  ///< as written: `seen`, or how
};

class Catalogue {
 public:
  /// The catalogue compiled into the program; parsed once.
  static const Catalogue& built_in();
  /// Reads one entry's text (a user's own or ours): same validation, same diagnostics.
  [[nodiscard]] base::Diagnostics add(const base::SourcePtr& text);

  /// The coefficient of a piece. Fails (message, no place) when no entry fits the type and sections
  /// or a required parameter is missing.
  struct Missing {
    /// `unknown-type`, `wrong-section`, `unknown-source`, `unknown-parameter`, `missing-parameter`,
    /// `conflicting-parameters`, `outside-range`, `no-coefficient`
    std::string rule;
    std::string message;
    std::string help;
    std::string parameter;  ///< where the fault is one parameter's
  };
  [[nodiscard]] std::variant<Coefficient, Missing> coefficient(const Piece& piece) const;
  /// The same piece by every other selectable data set of its entry, in file order: the spread.
  [[nodiscard]] std::vector<Coefficient> alternatives(const Piece& piece) const;

  /// What a data set covers of a variable (a parameter, `angle`, `diameter`, ...): within, it is
  /// read inside its own nodes and those of its factors. Nothing: it does not follow the variable.
  struct Covered {
    double lowest = 0.0;
    double highest = 0.0;
  };
  [[nodiscard]] std::optional<Covered> covered(const Entry& entry,
                                               const DataSet& set,
                                               std::string_view variable) const;

  /// Types of a kind, in catalogue order.
  [[nodiscard]] std::vector<std::string> types(Kind kind) const;
  /// Parameter names (with unit dimension) that a type takes, over all its entries; the layout
  /// reads the piece's keys by this.
  struct Parameter {
    std::string name;
    units::Dimension dimension = units::Dimension::number;
    std::optional<double> default_value;
    double lowest = 0.0;
    double highest = 0.0;
    std::string meaning;
    bool required = false;
    /// Beyond `lowest` and `highest` the nearest edge is used, and said; beyond these the value is
    /// refused, since it makes no sense.
    double least_possible = 0.0;
    double greatest_possible = std::numeric_limits<double>::infinity();
  };
  [[nodiscard]] std::vector<Parameter> parameters(Kind kind, std::string_view type) const;
  /// Those of its entries that are of a section alone: their defaults may differ.
  [[nodiscard]] std::vector<Parameter> parameters(Kind kind,
                                                  std::string_view type,
                                                  const duct::Section& section) const;
  /// The default type of a kind for a section; empty when the kind has none. A cap's default
  /// depends on where it stands: see `default_cap`.
  [[nodiscard]] std::string default_type(Kind kind, const duct::Section& section) const;
  /// The default cap of a place and a section.
  [[nodiscard]] std::string default_cap(Outlet place, const duct::Section& section) const;

  /// What is said of a type, over all files that hold it: a later file's word counts, and what it
  /// leaves out stays as an earlier one said. Empty for a type that is not known.
  [[nodiscard]] Traits traits(Kind kind, std::string_view type) const;
  /// The first type of a kind, in catalogue order, whose traits are such; empty: none.
  [[nodiscard]] std::string type_with(Kind kind,
                                      const std::function<bool(const Traits&)>& such) const;

  /// Everything the catalogue holds, for listing and showing; see fitting/entry.hpp. In catalogue
  /// order; an entry added later replaces one of the same key.
  [[nodiscard]] std::vector<const Entry*> entries() const;
  [[nodiscard]] const Entry* entry(std::string_view key) const;
  /// Tables that belong to no single piece: correction factors, interactions.
  [[nodiscard]] std::vector<const SupportTable*> tables() const;
  [[nodiscard]] const SupportTable* table(std::string_view name) const;
  [[nodiscard]] std::vector<Source> sources() const;
  [[nodiscard]] std::optional<Source> source(std::string_view key) const;

  /// Files that were added, in that order.
  struct Added {
    std::string name;    ///< as the text was named
    std::string sha256;  ///< of its bytes
  };
  [[nodiscard]] std::vector<Added> added() const;

  /// SHA-256 of all entries, for results; 64 hexadecimal digits.
  [[nodiscard]] std::string content_hash() const;

  struct Impl;
  Catalogue();
  ~Catalogue();
  Catalogue(const Catalogue&);
  Catalogue& operator=(const Catalogue&);
  [[nodiscard]] const Impl& impl() const { return *impl_; }

 private:
  std::unique_ptr<Impl> impl_;
};

}  // namespace ductledger::fitting
