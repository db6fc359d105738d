#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

constexpr double kSameHeightM = 0.003;  // common practice: an eighth of an inch

std::vector<Finding> cover_misses_ceiling(const result::Case& subject) {
  const layout::Facts& facts = subject.layout->facts;
  const auto& cooking = subject.layout->appliance.cooking;
  const auto ceiling_m = facts.value("dwelling.ceiling_height");
  const auto cooktop_m = facts.value("appliance.cooking.cooktop_height");
  const layout::StatedFact* shortest = facts.find("appliance.cover.shortest");
  const layout::StatedFact* longest = facts.find("appliance.cover.longest");
  if (!ceiling_m || !cooktop_m || !cooking || !cooking->hood_height_m ||
      (shortest == nullptr && longest == nullptr)) {
    return {};
  }
  const double left_m = *ceiling_m - *cooktop_m - *cooking->hood_height_m;
  const bool too_long = shortest != nullptr && shortest->value_si > left_m + kSameHeightM;
  const bool too_short = longest != nullptr && longest->value_si < left_m - kSameHeightM;
  if (!too_long && !too_short) {
    return {};
  }
  const layout::StatedFact& fact = too_long ? *shortest : *longest;
  const double off_m = too_long ? fact.value_si - left_m : left_m - fact.value_si;
  Finding found = finding(
      kCoverMissesCeiling,
      {.level = Level::warn,
       .message = {"ceiling {} less cooktop {} less hood height {} leaves {}; hood and cover are " +
                       std::string(too_long ? "at least {}: {} too tall"
                                            : "at most {}: {} short of the ceiling"),
                   {length(*ceiling_m),
                    length(*cooktop_m),
                    length(*cooking->hood_height_m),
                    length(left_m),
                    length(fact.value_si),
                    length(off_m)}},
       .span = fact.span});
  found.observed = {{"cover_m", fact.value_si}};
  found.limit = {{"hood_bottom_to_ceiling_m", left_m}};
  return {std::move(found)};
}

}  // namespace

const Check kCoverMissesCeiling{
    .code = "cover-misses-ceiling",
    .title = "the hood with its telescoping cover does not meet the ceiling",
    .what =
        "`dwelling.ceiling_height` less `cooking.cooktop_height` less `cooking.hood_height`, "
        "against `appliance.cover` (hood bottom to cover top, shortest and longest)",
    .why = "a cover that is short leaves the duct bare; one that is tall moves the hood down",
    .instead = "another cover, or another hood height within what the manufacturer allows",
    .source = "common practice",
    .check = cover_misses_ceiling,
};

}  // namespace ductledger::findings
