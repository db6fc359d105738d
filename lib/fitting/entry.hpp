#pragma once

#include <array>
#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/words.hpp"
#include "fitting/catalogue.hpp"
#include "fitting/law.hpp"
#include "fitting/measured_drop.hpp"
#include "numeric/table.hpp"

/// What a catalogue file holds, as printed in the sources: the records behind `Catalogue`.
namespace ductledger::fitting {

/// One axis of a printed table. Nodes stay in the printed unit; a node printed as a band
/// (`15 to 40`) has two ends, between which the value is constant.
struct Axis {
  std::string name;  ///< a parameter of the entry, or angle, diameter, aspect_ratio, ...
  std::string unit;  ///< as written; `-` for none
  double si_per_unit = 1.0;
  std::vector<std::array<double, 2>> at;
  double nominal_band = 0.0;      ///< [1] nodes are nominal sizes: equal within this share
  std::optional<double> zero_at;  ///< a derived node where the value is 0, not printed
};

enum class Scale { linear, logarithmic };
inline constexpr auto kScaleWords =
    base::words<Scale>({{Scale::linear, "linear"}, {Scale::logarithmic, "logarithmic"}});

/// A printed table over one to three axes; without axes a constant.
struct PrintedTable {
  std::vector<Axis> axes;
  std::vector<double> values;  ///< as printed, the last axis fastest
  Scale scale = Scale::linear;
  /// Ready to be read: printed units, bands and derived nodes laid out, logarithms taken.
  std::optional<numeric::Table> ready;
};

enum class Role {
  standard,     ///< taken unless another is asked for
  alternative,  ///< selectable by its key
  factor,       ///< multiplies another set
  companion,    ///< kept beside the others for comparison and spread; never charged
};
inline constexpr auto kRoleWords = base::words<Role>({{Role::standard, "default"},
                                                      {Role::alternative, "alternative"},
                                                      {Role::factor, "factor"},
                                                      {Role::companion, "companion"}});
[[nodiscard]] constexpr const char* word(Role role) { return kRoleWords.of(role); }

/// Which friction is to be added to the value.
enum class FrictionLength {
  none,  ///< included in the value, or there is no arc
  arc,   ///< angle times centreline radius
  cone,  ///< D / (8 sin(theta/2)) (1 - (small/large)^2) of the small section
};
inline constexpr auto kFrictionLengthWords = base::words<FrictionLength>(
    {{FrictionLength::none, "none"}, {FrictionLength::arc, "arc"}, {FrictionLength::cone, "cone"}});

/// A multiplier of a data set.
struct FactorUse {
  std::string table;       ///< name of a support table; empty: this entry
  std::string data;        ///< key of the data set
  std::optional<Law> law;  ///< in place of a data set
  double over = 1.0;       ///< the factor is the data set's value over this
  /// Where these variables (SI) have these values, the product is the printed figure itself and the
  /// factor's status does not weaken it.
  std::map<std::string, double, std::less<>> exact_at;
  Status status = Status::seen;
  std::string note;
};

/// How a set's coefficient follows the Reynolds number, beside an axis of its own table.
struct ReynoldsUse {
  std::optional<PrintedTable> table;  ///< one axis is `reynolds`
  bool bend_law = false;              ///< the three laws of smooth bends
  bool constant_beyond = false;       ///< printed as `and up`
  std::string source;
  std::string location;
  Status status = Status::seen;
};

/// One relative standard uncertainty, or a table of it; `absolute` is in the coefficient itself and
/// the larger of the two counts.
struct Uncertainty {
  PrintedTable relative;
  double absolute = 0.0;
  std::string basis;
};

struct DataSet {
  std::string key;
  std::string source;
  std::string via;       ///< where the source was read, if not in itself
  std::string location;  ///< table, equation, page
  std::string quantity;  ///< what the values are; empty: the loss coefficient
  std::string note;
  std::string rule;     ///< a statement of the source that is no number
  std::string formula;  ///< as printed
  Status status = Status::assumed;
  Role role = Role::companion;
  std::optional<int> figures;
  std::optional<PrintedTable> table;
  std::optional<Law> law;
  std::optional<std::array<double, 2>> range;  ///< limits that the source gives
  double plus = 0.0;                           ///< added to the value
  double floor_on_shape_change = 0.0;          ///< least value where the shape changes
  std::vector<FactorUse> factors;
  std::optional<ReynoldsUse> reynolds;
  FrictionLength friction = FrictionLength::none;
  std::map<std::string, std::array<double, 2>, std::less<>> valid;  ///< SI, beyond the axes
  std::optional<Uncertainty> uncertainty;
  std::optional<MeasuredDrop> measured;  ///< what the constant was fitted to

  /// Numbers of the source that are kept: table values, Reynolds factors, limits; not axis nodes.
  [[nodiscard]] std::size_t value_count() const noexcept;
};

/// Which shapes, as a set.
struct ShapeSet {
  bool round = false;
  bool rectangular = false;
  bool flat_oval = false;
  [[nodiscard]] bool holds(duct::Shape shape) const noexcept;
};

enum class Change { none, expanding, contracting, equal_area };
inline constexpr auto kChangeWords = base::words<Change>({{Change::expanding, "expanding"},
                                                          {Change::contracting, "contracting"},
                                                          {Change::equal_area, "equal-area"}});

struct Entry {
  Kind kind = Kind::elbow;
  std::string type;
  std::string variant;
  std::string title;
  std::string use;
  std::vector<std::array<ShapeSet, 2>> from_to;
  Change change = Change::none;
  bool small_reference = false;  ///< transition: whichever section is the smaller
  Reference reference = Reference::upstream;
  bool includes_friction = true;  ///< of the standard set
  ShapeSet default_for;
  std::optional<FloatingFlap> floating;
  Traits traits;  ///< as this file states them; see Catalogue::traits
  std::vector<Catalogue::Parameter> parameters;
  std::vector<DataSet> data;
  Uncertainty uncertainty;               ///< of sets without their own
  std::optional<Uncertainty> flat_oval;  ///< where a rectangular table is used for a flat oval
  /// Why the uncertainty is smaller than the spread of the data sets that can be chosen.
  std::string spread;
  std::vector<std::string> remarks;

  [[nodiscard]] std::string key() const;  ///< `elbow/smooth-radius/round`
  [[nodiscard]] const DataSet* find(std::string_view data_key) const noexcept;
  [[nodiscard]] const DataSet* standard() const noexcept;
};

struct SupportTable {
  std::string name;
  std::string title;
  std::string use;
  std::vector<DataSet> data;
  std::vector<std::string> remarks;
  [[nodiscard]] const DataSet* find(std::string_view data_key) const noexcept;
};

}  // namespace ductledger::fitting
