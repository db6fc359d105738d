#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fitting/read_internal.hpp"

/// What the parts of the reader of catalogue files share: read.cpp, read_data_set.cpp,
/// read_table.cpp, read_measured_drop.cpp.
namespace ductledger::fitting {

/// One fitting or support table while it is read.
struct Scope {
  const Known& known;
  yaml::Problems& problems;
  std::vector<Source> own_sources{};  ///< of the file
  std::optional<Kind> kind{};         ///< a support table has none
  Reference reference = Reference::upstream;
  std::vector<Catalogue::Parameter> parameters{};

  /// One diagnostic: what is wrong at the place, and in a few words beside the caret what stands
  /// there or is expected. Returned so that a help can be set.
  base::Diagnostic& fault(const base::Span& span,
                          std::string rule,
                          std::string message,
                          std::string label);
  /// Dimension of a parameter of this fitting or of a variable of its geometry.
  [[nodiscard]] std::optional<units::Dimension> variable(std::string_view name) const;
  void check_variable(const base::Span& span, std::string_view name);
  void check_source(const yaml::Node& node, const std::string& key);

 private:
  [[nodiscard]] std::vector<std::string> variable_names() const;
};

/// A unit that an axis can be printed in.
struct AxisUnit {
  std::string_view name;
  double si;
  units::Dimension dimension;
};
[[nodiscard]] const AxisUnit* axis_unit(std::string_view name);
[[nodiscard]] std::string axis_unit_names();

std::optional<double> read_number(const yaml::Node& node, yaml::Problems& problems);
/// `[lowest, highest]`
std::optional<std::array<double, 2>> read_pair(const yaml::Node& node,
                                               units::Dimension dimension,
                                               yaml::Problems& problems);

/// `value`, or `axes` with `values`; nothing where neither stands there or a fault was reported.
std::optional<PrintedTable> read_table(yaml::MapReader& map, Role role, Scope& scope);
/// Makes a table ready to be read: both ends of a band, derived zeros, logarithms.
bool lay_out(PrintedTable& table, const base::Span& span, Scope& scope);

/// Readings become a constant with a range of Reynolds numbers and, in a round duct, of diameters.
void read_measured_drop(const yaml::Node& node, DataSet& set, Scope& scope);

std::optional<Uncertainty> read_uncertainty(const yaml::Node& node, Scope& scope);
/// The list `data` of a fitting or a support table. @param friction of sets that do not include it
enum class Context { entry, support };
std::vector<DataSet> read_data_sets(const yaml::Node& node,
                                    Context context,
                                    FrictionLength friction,
                                    Scope& scope);

}  // namespace ductledger::fitting
