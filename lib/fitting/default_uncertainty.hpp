#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "fitting/catalogue.hpp"

namespace ductledger::fitting {

/// A standard uncertainty by kind of input, for what states none of its own.
struct DefaultUncertainty {
  enum class Measure { relative, length, coefficient };
  std::string key;     ///< `fan-pressure`
  std::string title;   ///< as a reader would say it
  double value = 0.0;  ///< one standard uncertainty: [1], or [m] for `length`
  Measure measure = Measure::relative;
  std::string layout_key;  ///< under `uncertainty` in a layout
  std::string basis;
  Status status = Status::assumed;
};

/// The table compiled into the program (fittings/uncertainty.yaml), in file order.
[[nodiscard]] const std::vector<DefaultUncertainty>& default_uncertainties();

/// One row. Asking for a key that the table does not hold breaks the contract.
[[nodiscard]] const DefaultUncertainty& default_uncertainty(std::string_view key);

}  // namespace ductledger::fitting
