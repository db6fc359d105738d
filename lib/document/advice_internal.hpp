#pragma once

#include "document/json_internal.hpp"
#include "study/check.hpp"

namespace ductledger::document::json {

/// Of one of `speeds`: null where it has none. @param index in CheckResult::speeds
[[nodiscard]] Json equivalent_length(const std::optional<solve::EquivalentLength>& from);
[[nodiscard]] Json nominal_speed(const study::CheckResult& result, std::size_t index);

/// The route itself, `{section, elbow, cap}`, or null.
[[nodiscard]] Json nominal_route(const study::CheckResult& result);
/// A dryer's run by the code's table, or null.
[[nodiscard]] Json dryer_length(const study::CheckResult& result);

/// The ranked changes, or null where no advice was asked for.
[[nodiscard]] Json advice(const study::CheckResult& result);
/// One change without its answers.
[[nodiscard]] Json change_object(const study::Change& from);
/// The best pair, or null.
[[nodiscard]] Json best_pair(const study::CheckResult& result);

}  // namespace ductledger::document::json
