#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> upkeep_dryer_duct(const result::Case& subject) {
  if (subject.layout->appliance.kind != layout::ApplianceKind::clothes_dryer ||
      discharges_into_room(subject)) {
    return {};
  }
  return {
      finding(kUpkeepDryerDuct,
              {.level = Level::note,
               .message = {"clean the duct regularly: the airflow here assumes a clean duct", {}},
               .span = subject.layout->run.span})};
}

}  // namespace

const Check kUpkeepDryerDuct{
    .code = "upkeep-dryer-duct",
    .title = "a dryer's duct collects lint",
    .what = "every clothes dryer with a duct to outdoors",
    .why = "lint narrows the duct, lengthens drying and burns",
    .instead = "clean duct, transition duct and flap once a year, and when drying takes longer",
    .source = "common practice",
    .check = upkeep_dryer_duct,
};

}  // namespace ductledger::findings
