#pragma once

#include <string>

#include "findings/finding.hpp"
#include "text/table.hpp"
#include "units/message.hpp"

/// How a band is told: what makes it, and how it was found.
namespace ductledger::text {

/// Where samples did not all end on the curve, how many did not and how they count; else empty.
[[nodiscard]] std::string samples_sentence(const solve::AirflowBand& band);

/// How the band was found, and how the samples ended where some were drawn.
[[nodiscard]] std::string method_sentence(const solve::AirflowBand& band, units::System system);

/// Every error with its standard uncertainty and its share of the variance, the greatest first.
[[nodiscard]] Table doubt_table(const solve::AirflowBand& band, units::System system);

}  // namespace ductledger::text
