#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "base/diagnostic.hpp"
#include "findings/finding.hpp"
#include "study/check.hpp"

/// What every result document writes alike.
namespace ductledger::document::json {

using Json = nlohmann::ordered_json;

/// `null` where a number is not known; never a minus zero.
[[nodiscard]] Json number(double value);
[[nodiscard]] Json number(const std::optional<double>& value);
[[nodiscard]] Json text_or_null(const std::string& text);
[[nodiscard]] Json message_or_null(const units::Message& message);
/// Messages as strings; the document speaks one system of units.
[[nodiscard]] Json texts(const std::vector<units::Message>& messages);
/// `[low, high]`, or `null`.
[[nodiscard]] Json band(const std::optional<result::Band>& from);
[[nodiscard]] Json named_values(const std::vector<findings::NamedValue>& values);
/// Findings speak one unit system in the document, whatever the text view shows.
[[nodiscard]] Json finding(const findings::Finding& from);
[[nodiscard]] Json verdict_object(const study::CheckResult& result);
[[nodiscard]] Json findings_array(const std::vector<findings::Finding>& findings);
[[nodiscard]] Json diagnostics_array(const base::Diagnostics& diagnostics);
/// `{title, file, sha256}`.
[[nodiscard]] Json layout_object(const layout::Layout& layout);

}  // namespace ductledger::document::json
