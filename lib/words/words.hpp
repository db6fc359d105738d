#pragma once

#include <string>
#include <string_view>

#include "findings/finding.hpp"
#include "layout/spoken_speed.hpp"
#include "solve/ledger.hpp"
#include "units/message.hpp"

/// Short phrases about a speed that several views say alike.
namespace ductledger::words {

/// `412 cfm (352 to 466)`, `49 to 62 cfm (about 53)` by bounds alone, `at least 412 cfm`,
/// `no airflow`, `not determined`.
[[nodiscard]] std::string delivers(const result::SpeedResult& speed, units::System system);

/// `80 to 97`, `at most 97`, `at least 80` where an end is open; empty where both print alike.
[[nodiscard]] std::string band_text(const result::Band& band,
                                    units::Dimension dimension,
                                    units::System system);

/// `61 % of 680 cfm (free air)`; empty where nothing is rated.
[[nodiscard]] std::string share_of_rating(const result::SpeedResult& speed, units::System system);

/// A speed as a sentence names it (`layout::spoken_speed`), escaped, and where it begins one.
[[nodiscard]] std::string spoken_speed(std::string_view name);
[[nodiscard]] std::string begun_speed(std::string_view name);

/// The answer in one sentence: `High speed delivers 412 cfm (352 to 466).`
[[nodiscard]] std::string answer(const result::SpeedResult& speed, units::System system);

/// A piece by its type in plain words: `wall hood flap`, `conical rain cap`, `butterfly damper`,
/// `smooth radius elbow`; a type that says what it is takes no kind.
[[nodiscard]] std::string piece_name(std::string_view kind, std::string_view type);

/// A row of the ledger by number and name: `7 conical rain cap`, `stack`.
[[nodiscard]] std::string row_name(const solve::LedgerRow& row);

/// Whether a row's figure is published nowhere: assumed, or a cap's that is put together of others.
[[nodiscard]] bool is_assumed(const solve::LedgerRow& row) noexcept;

/// A finding by its title and code: `airflow below what is required (delivered-below-required)`.
[[nodiscard]] std::string finding_title(const std::string& code);

/// How a calculated depressurization stands against its screening limit. Never `met`: a figure of
/// ours is within the limit, and a test on site decides.
[[nodiscard]] const char* within_limit(house::Verdict verdict) noexcept;

}  // namespace ductledger::words
