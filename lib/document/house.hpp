#pragma once

#include <nlohmann/json.hpp>

#include "study/check.hpp"

namespace ductledger::document {

/// `house` of the document: what was stated and taken, the limit and its sources; null without one.
[[nodiscard]] nlohmann::ordered_json house_object(const study::CheckResult& result);

/// `house` of one speed; null where there is nothing to say.
[[nodiscard]] nlohmann::ordered_json speed_house_object(const result::SpeedResult& speed);

}  // namespace ductledger::document
