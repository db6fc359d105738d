#pragma once

#include "document/json_internal.hpp"

/// Parts of a check's document that a network has too.
namespace ductledger::document::json {

[[nodiscard]] Json ledger_row(const solve::LedgerRow& row);
/// What a speed's object begins with: its name, curve and rating.
[[nodiscard]] Json speed_head(const result::SpeedResult& speed);
[[nodiscard]] Json operating_point(const result::SpeedResult& speed);
[[nodiscard]] Json air(const solve::SiteAir& from);
[[nodiscard]] Json appliance(const layout::Layout& from);
[[nodiscard]] Json rating(const std::optional<solve::RatedAirflow>& from);
[[nodiscard]] const char* word(solve::CurveOrigin origin);
[[nodiscard]] Json catalogue(const std::string& hash,
                             const std::vector<fitting::Catalogue::Added>& files);
/// Each data set that a coefficient of these rows came from, with the entries that used it.
[[nodiscard]] Json sources_of(const std::vector<const solve::LedgerRow*>& rows);
[[nodiscard]] Json defaults(const layout::Layout& layout);

}  // namespace ductledger::document::json
