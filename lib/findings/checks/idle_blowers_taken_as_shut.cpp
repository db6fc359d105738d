#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> idle_blowers_taken_as_shut(const result::Case& subject) {
  if (!subject.layout->fan || subject.layout->fan->count < 2) {
    return {};
  }
  return {finding(kIdleBlowersTakenAsShut,
                  {.level = Level::note,
                   .message = {"{} blowers are taken to run together; an idle one is taken as shut "
                               "by its own damper",
                               {number(subject.layout->fan->count)}},
                   .span = subject.layout->fan->span})};
}

}  // namespace

const Check kIdleBlowersTakenAsShut{
    .code = "idle-blowers-taken-as-shut",
    .title = "blowers taken as running together or shut off",
    .what = "a fan of more than one blower",
    .why =
        "a stopped blower without its own damper short-circuits those that run; the loss "
        "where the blowers join is not in the curve of one",
    .instead = "see in the manufacturer's instructions that each blower has its own damper",
    .source = "common practice",
    .check = idle_blowers_taken_as_shut,
};

}  // namespace ductledger::findings
