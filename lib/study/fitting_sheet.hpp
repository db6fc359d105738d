#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "fitting/catalogue.hpp"
#include "fitting/entry.hpp"
#include "units/quantity_text.hpp"

/// What the catalogue knows of one fitting at one place: the result behind `fittings`.
namespace ductledger::study {

/// A data set of the fitting, read at the place.
struct FittingValue {
  const fitting::DataSet* set = nullptr;
  std::optional<fitting::Coefficient> coefficient;
  std::string missing;  ///< why there is none
  double reynolds = 0.0;
  double reynolds_factor = 1.0;
  bool reynolds_outside = false;
  double loss_pa = 0.0;            ///< with the friction over its own length
  double whole_coefficient = 0.0;  ///< loss over the velocity pressure of the reference section
};

/// A variable that the fitting takes: a parameter, or one that follows from the geometry.
struct FittingVariable {
  std::string name;
  units::Dimension dimension = units::Dimension::number;
  double lowest = 0.0;  ///< what the default data set covers, or the parameter's range
  double highest = 0.0;
  std::optional<double> default_value{};
  bool required = false;
  double value = std::numeric_limits<double>::quiet_NaN();  ///< here; NaN: not stated
  bool taken = false;                                       ///< not stated, the default was used
  std::string meaning{};
};

/// A number of a fitting that has no coefficient of its own: a junction's two, flexible duct's
/// multiplier.
struct FittingQuantity {
  std::string name;
  double value = 0.0;
};

struct FittingCurve {
  std::string variable;
  units::Dimension dimension = units::Dimension::number;
  struct Line {
    const fitting::DataSet* set = nullptr;
    std::string name;  ///< key of the data set, or the quantity's name
    std::vector<double> x;
    std::vector<double> value;       ///< coefficient, friction of the own length left out
    std::vector<double> node_x;      ///< printed nodes along the variable
    std::vector<double> node_value;  ///< the coefficient there
  };
  std::vector<Line> lines;  ///< the default first
};

struct FittingSheet {
  const fitting::Entry* entry = nullptr;
  fitting::Piece piece{.upstream = duct::Section::round(units::inches(8.0)),
                       .downstream = duct::Section::round(units::inches(8.0))};
  bool section_taken = false;
  double airflow_m3_s = 0.0;
  bool airflow_taken = false;  ///< 1000 fpm in the reference section
  duct::Section reference = duct::Section::round(units::inches(8.0));
  double velocity_m_s = 0.0;  ///< that of the reference, or of the face
  double velocity_pressure_pa = 0.0;
  std::vector<FittingValue> values;  ///< the one asked for first, then the others in file order
  std::vector<FittingQuantity> quantities;
  std::vector<FittingVariable> variables;
  /// Of galvanized steel in the reference section, standard air, at the airflow.
  std::optional<double> equivalent_length_m;
  FittingCurve curve;
};

struct FittingAsk {
  const fitting::Entry* entry = nullptr;
  fitting::Piece piece;
  bool section_taken = false;
  std::optional<double> airflow_m3_s{};
  /// Compression of flexible duct, or the two ratios of a junction, by name.
  std::map<std::string, double, std::less<>> variables{};
};

/// Sections, turn and required parameters that fit an entry, where none are asked for.
[[nodiscard]] fitting::Piece usual_piece(const fitting::Entry& entry);

/// Variables of an entry that are no parameters of a piece: `compression`, `diameter`, the ratios.
[[nodiscard]] FittingSheet fitting_sheet(const fitting::Catalogue& catalogue,
                                         const FittingAsk& ask);

/// One variable that lies outside what the sources cover.
struct Outside {
  std::string name;
  units::Dimension dimension = units::Dimension::number;
  double value = 0.0;
  double lowest = 0.0;
  double highest = 0.0;
};
/// All of them; a Reynolds number only where the airflow was asked for.
[[nodiscard]] std::vector<Outside> outside_of(const FittingSheet& sheet);

/// Lowest and highest whole coefficient among the data sets that can be chosen and are inside their
/// ranges here.
struct CoefficientSpread {
  double lowest = 0.0;
  double highest = 0.0;
  std::size_t count = 0;
};
[[nodiscard]] CoefficientSpread spread_of(const FittingSheet& sheet);

}  // namespace ductledger::study
