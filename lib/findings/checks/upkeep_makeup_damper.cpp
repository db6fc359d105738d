#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> upkeep_makeup_damper(const result::Case& subject) {
  const layout::StatedFact* access = subject.layout->facts.find("house.makeup.damper_access");
  if (access == nullptr || access->yes) {
    return {};
  }
  return {finding(kUpkeepMakeupDamper,
                  {.level = Level::note,
                   .message = {"the makeup air damper cannot be reached", {}},
                   .span = access->span})};
}

}  // namespace

const Check kUpkeepMakeupDamper{
    .code = "upkeep-makeup-damper",
    .title = "a makeup air damper that nobody can reach",
    .what = "`house.makeup.damper_access: no`",
    .why = "a damper that sticks shut leaves the house without makeup air, and nobody sees it",
    .instead = "a place or a panel from which it can be looked at, oiled and exchanged",
    .source = "International Residential Code, M1503.6.2 in recent editions",
    .check = upkeep_makeup_damper,
};

}  // namespace ductledger::findings
