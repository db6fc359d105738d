#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> stack_not_counted(const result::Case& subject) {
  if (!subject.run->air.stack_unknown) {
    return {};
  }
  return {
      finding(kStackNotCounted,
              {.level = Level::note,
               .message = {"the stack effect is not counted: the rise of the run is not known", {}},
               .span = subject.layout->run.span})};
}

}  // namespace

const Check kStackNotCounted{
    .code = "stack-not-counted",
    .title = "stack effect not counted",
    .what =
        "a layout whose duct and outdoor air differ in density but whose rise is not "
        "known",
    .why = "warm air in a rising duct helps the fan; in a falling one it hinders",
    .instead = "state headings, or `rise`",
    .source = "layout format",
    .check = stack_not_counted,
};

}  // namespace ductledger::findings
