#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fitting/catalogue.hpp"

namespace ductledger::fitting {

/// A row of the roughness table.
struct Material {
  std::string name;  ///< as a layout writes it, such as `galvanized-steel`
  std::string title;
  double roughness_m = 0.0;                    ///< taken
  std::array<double, 2> range_m{0.0, 0.0};     ///< printed
  double friction_standard_uncertainty = 0.0;  ///< [1] relative, of the friction loss
  std::string source;
  std::string note;
  Status status = Status::assumed;
};

/// The roughness table compiled into the program, in file order.
[[nodiscard]] const std::vector<Material>& materials();

/// A material by its word (case, spaces, underscores and `aluminum` forgiven); null: not known.
[[nodiscard]] const Material* material(std::string_view name);

/// The names, for messages.
[[nodiscard]] std::vector<std::string> material_names();

}  // namespace ductledger::fitting
