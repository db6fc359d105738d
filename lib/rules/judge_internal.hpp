#pragma once

#include <string_view>

#include "rules/judge.hpp"

/// What the checks in code share.
namespace ductledger::rules {

/// Notes that a fact would settle the rule; once.
void ask_for(std::string_view fact, Judgement& judgement);

/// The single value of a fact, or nothing where it is not stated.
[[nodiscard]] std::optional<FactValue> fact_value(std::string_view name,
                                                  const result::Case& subject);
[[nodiscard]] std::optional<double> quantity(std::string_view name, const result::Case& subject);
[[nodiscard]] std::optional<bool> yes_no(std::string_view name, const result::Case& subject);
[[nodiscard]] std::string fact_word(std::string_view name, const result::Case& subject);

/// A quantity with its band, or the band alone where the value is a bound.
[[nodiscard]] units::Message quantity_words(const FactValue& value, units::Dimension dimension);

/// A dryer duct's length with its elbows by table; nothing for other appliances.
[[nodiscard]] std::optional<double> dryer_equivalent_length_m(const result::Case& subject);

extern const RuleCheck kMakeupAirThreshold;
extern const RuleCheck kMakeupAirRate;
extern const RuleCheck kPrescriptiveLength;
extern const RuleCheck kDryerLength;
extern const RuleCheck kExhaustRate;
extern const RuleCheck kNetExhaust;
extern const RuleCheck kDepressurisation;
extern const RuleCheck kWholeDwellingRate;

}  // namespace ductledger::rules
