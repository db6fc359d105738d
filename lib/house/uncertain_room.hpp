#pragma once

#include <memory>

#include "house/zone.hpp"
#include "solve/error_model.hpp"

namespace ductledger::house {

/// The zone that the operating points are solved with, and what is not known of it, as errors of
/// their own beside those of run and fan: `house-exponent` (0.05, within 0.5 and 1),
/// `house-leakage` (5 % of a measured airflow, a class by its range), `makeup-path` (of the airflow
/// through the makeup path). Two layouts with the same figures have the same errors. Null where the
/// operating points are not solved with a house. Not for two threads at once.
[[nodiscard]] std::shared_ptr<const solve::UncertainRoom> uncertain_room(
    const CompiledHouse& house);

}  // namespace ductledger::house
