#pragma once

namespace ductledger::numeric {

/// The standard normal number that is exceeded with probability 1 - p. Reckoned in doubles alone,
/// so that the digits are the same on every machine, and where there are no wider numbers.
/// @param probability [1] 0 < p < 1
/// @return [1]
[[nodiscard]] double inverse_normal(double probability);

/// The number of Student's t that is exceeded with probability 1 - p; in doubles alone.
struct StudentsT {
  double freedom = 1.0;      ///< [1] degrees of freedom, above 0
  double probability = 0.5;  ///< [1] 0 < p < 1
};
[[nodiscard]] double inverse_students_t(const StudentsT& of);

}  // namespace ductledger::numeric
