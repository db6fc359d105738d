#pragma once

#include <string>
#include <utility>
#include <vector>

#include "layout/facts.hpp"
#include "rules/fact.hpp"

/// The facts that are worked out from a calculated layout: each gives its values, none where the
/// layout does not show it.
namespace ductledger::rules::worked_out {

using Values = std::vector<FactValue>;

inline FactValue value_of(double si, const base::Span& span = {}) {
  FactValue value;
  value.si = si;
  value.span = span;
  return value;
}

inline FactValue word_of(std::string word, const base::Span& span = {}) {
  FactValue value;
  value.word = std::move(word);
  value.span = span;
  return value;
}

enum class Answer { no, yes };

inline FactValue answer_of(Answer answer, const base::Span& span = {}) {
  FactValue value;
  value.yes = answer == Answer::yes;
  value.span = span;
  return value;
}

/// What the file states of a fact.
[[nodiscard]] Values stated_values(const layout::FactKey& key, const result::Case& subject);
[[nodiscard]] Values stated_values(const char* path, const result::Case& subject);

// Airflow, its rating and the air it is of.
[[nodiscard]] Values delivered_airflow(const result::Case& subject);
[[nodiscard]] Values rated_airflow(const result::Case& subject);
[[nodiscard]] Values nameplate_airflow(const result::Case& subject);
[[nodiscard]] Values rating_pressure(const result::Case& subject);
[[nodiscard]] Values kitchen_air_changes(const result::Case& subject);
[[nodiscard]] Values airflow_measured(const result::Case& subject);
[[nodiscard]] Values elevation(const result::Case& subject);
[[nodiscard]] Values outdoor_temperature(const result::Case& subject);
[[nodiscard]] Values required_airflow(const result::Case& subject);
[[nodiscard]] Values share_of_rated(const result::Case& subject);
[[nodiscard]] Values duct_velocity(const result::Case& subject);
[[nodiscard]] Values collar_static_pressure(const result::Case& subject);
[[nodiscard]] Values run_equivalent_length(const result::Case& subject);

// The run, its pieces and where it ends.
[[nodiscard]] Values discharge(const result::Case& subject);
[[nodiscard]] Values termination_place(const result::Case& subject);
[[nodiscard]] Values termination_damper(const result::Case& subject);
[[nodiscard]] Values backdraft_damper(const result::Case& subject);
[[nodiscard]] bool is_duct(const layout::Piece& piece);
[[nodiscard]] bool default_taken(const result::Case& subject, std::string_view what);
[[nodiscard]] Values duct_material(const result::Case& subject);
[[nodiscard]] Values ductless_hood(const result::Case& subject);
[[nodiscard]] Values ductless_dryer(const result::Case& subject);
[[nodiscard]] Values transition_duct(const result::Case& subject);
[[nodiscard]] Values transition_duct_length(const result::Case& subject);
[[nodiscard]] Values transition_duct_concealed(const result::Case& subject);
[[nodiscard]] Values termination_screen(const result::Case& subject);
[[nodiscard]] Values flexible_duct(const result::Case& subject);
[[nodiscard]] Values metal_duct(const result::Case& subject);
[[nodiscard]] Values smooth_inside(const result::Case& subject);
[[nodiscard]] Values duct_thickness(const result::Case& subject);
[[nodiscard]] Values duct_size(const result::Case& subject);
[[nodiscard]] Values passes(const result::Case& subject);
[[nodiscard]] Values through_garage(const result::Case& subject);
[[nodiscard]] Values dryer_equivalent_length(const result::Case& subject);
[[nodiscard]] Values fan_in_duct(const result::Case& subject);
[[nodiscard]] Values smallest_size_ratio(const result::Case& subject);

// The appliance and the house around it.
[[nodiscard]] Values appliance_kind(const result::Case& subject);
[[nodiscard]] Values cooking_fuel(const result::Case& subject);
[[nodiscard]] Values cooking_mount(const result::Case& subject);
[[nodiscard]] Values hood_height(const result::Case& subject);
[[nodiscard]] Values hood_width(const result::Case& subject);
[[nodiscard]] Values floor_area(const result::Case& subject);
[[nodiscard]] Values natural_draft_inside(const result::Case& subject);
[[nodiscard]] Values fuel_burning_inside(const result::Case& subject);
[[nodiscard]] Values depressurisation(const result::Case& subject);
[[nodiscard]] Values makeup_kind(const result::Case& subject);
[[nodiscard]] Values makeup_provided(const result::Case& subject);
[[nodiscard]] Values makeup_opens_with_exhaust(const result::Case& subject);

}  // namespace ductledger::rules::worked_out
