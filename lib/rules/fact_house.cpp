#include <algorithm>
#include <limits>

#include "base/text.hpp"
#include "findings/finding_internal.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/facts.hpp"
#include "rules/arithmetic.hpp"
#include "rules/fact_internal.hpp"
#include "rules/judge_internal.hpp"

// The appliance and the house around it.
namespace ductledger::rules::worked_out {
namespace {

using layout::Draft;

}  // namespace

Values appliance_kind(const result::Case& subject) {
  return {word_of(layout::word(subject.layout->appliance.kind), subject.layout->appliance.span)};
}

namespace {

const layout::Cooking* cooking(const result::Case& subject) {
  const auto& stated = subject.layout->appliance.cooking;
  return stated ? &*stated : nullptr;
}

}  // namespace

Values cooking_fuel(const result::Case& subject) {
  const layout::Cooking* cook = cooking(subject);
  if (cook == nullptr || cook->fuel.empty()) {
    return {};
  }
  const std::string fuel = base::canonical_word(cook->fuel);
  const bool gas =
      fuel.find("gas") != std::string::npos || fuel.find("propane") != std::string::npos;
  const bool electric = fuel.find("electric") != std::string::npos || fuel == "induction";
  return {word_of(gas ? "gas" : electric ? "electric" : "other", cook->span)};
}

Values cooking_mount(const result::Case& subject) {
  static constexpr std::array<const char*, 4> kMounts{
      "wall", "island", "under-cabinet", "downdraft"};
  const layout::Cooking* cook = cooking(subject);
  return cook == nullptr || !cook->mount
             ? Values{}
             : Values{word_of(kMounts.at(static_cast<std::size_t>(*cook->mount)), cook->span)};
}

Values hood_height(const result::Case& subject) {
  const layout::Cooking* cook = cooking(subject);
  return cook == nullptr || !cook->hood_height_m
             ? Values{}
             : Values{value_of(*cook->hood_height_m, cook->span)};
}

Values hood_width(const result::Case& subject) {
  const layout::Cooking* cook = cooking(subject);
  return cook == nullptr || !cook->width_m ? Values{}
                                           : Values{value_of(*cook->width_m, cook->span)};
}

Values floor_area(const result::Case& subject) {
  Values stated = stated_values("dwelling.floor_area", subject);
  const auto& house = subject.layout->house;
  if (stated.empty() && house && house->floor_area_m2) {
    return {value_of(*house->floor_area_m2, house->span)};
  }
  return stated;
}

namespace {

bool by_draft(Draft draft) { return draft == Draft::natural || draft == Draft::solid_fuel; }

}  // namespace

Values natural_draft_inside(const result::Case& subject) {
  const auto& house = subject.layout->house;
  if (!house || !house->combustion_stated) {
    return {};
  }
  for (const layout::CombustionAppliance& appliance : house->combustion) {
    if (appliance.inside_air_barrier && by_draft(appliance.draft)) {
      return {answer_of(Answer::yes, appliance.span)};
    }
  }
  return {answer_of(Answer::no, house->span)};
}

Values fuel_burning_inside(const result::Case& subject) {
  const auto& house = subject.layout->house;
  if (!house || !house->combustion_stated) {
    return {};
  }
  for (const layout::CombustionAppliance& appliance : house->combustion) {
    if (appliance.inside_air_barrier) {
      return {answer_of(Answer::yes, appliance.span)};
    }
  }
  return {answer_of(Answer::no, house->span)};
}

Values depressurisation(const result::Case& subject) {
  const result::SpeedResult* speed = findings::headline(subject);
  if (speed == nullptr || !speed->house || !speed->house->coupled || !speed->house->band) {
    return {};
  }
  FactValue value = value_of(speed->house->judged_depressurisation_pa, subject.layout->house->span);
  value.band = result::Band{speed->house->band->low_pa, speed->house->band->high_pa};
  return {value};
}

namespace {

bool makeup_stated(const result::Case& subject) {
  const auto& house = subject.layout->house;
  return house && house->makeup.span.line > 0;
}

}  // namespace

Values makeup_kind(const result::Case& subject) {
  if (!makeup_stated(subject)) {
    return {};
  }
  const layout::Makeup& makeup = subject.layout->house->makeup;
  return {word_of(layout::word(makeup.kind), makeup.span)};
}

/// Whether the file states makeup air; a question about the file, so it always has an answer.
Values makeup_provided(const result::Case& subject) {
  if (!makeup_stated(subject)) {
    return {answer_of(Answer::no)};
  }
  const layout::Makeup& makeup = subject.layout->house->makeup;
  return {
      answer_of(makeup.kind == layout::MakeupKind::none ? Answer::no : Answer::yes, makeup.span)};
}

/// Stated as a fact, or by the makeup air's own key; a default shows nothing.
Values makeup_opens_with_exhaust(const result::Case& subject) {
  Values stated = stated_values("house.makeup.opens_with_exhaust", subject);
  if (!makeup_stated(subject)) {
    return stated;
  }
  const layout::Makeup& makeup = subject.layout->house->makeup;
  if (makeup.interlock_stated && (!makeup.interlocked || stated.empty())) {
    return {answer_of(makeup.interlocked ? Answer::yes : Answer::no, makeup.span)};
  }
  return stated;
}

}  // namespace ductledger::rules::worked_out
