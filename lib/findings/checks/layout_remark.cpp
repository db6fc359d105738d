#include <string>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> layout_remark(const result::Case& subject) {
  std::vector<Finding> all;
  for (const units::Message& remark : subject.layout->remarks) {
    all.push_back(
        finding(kLayoutRemark, {.level = Level::note, .message = remark, .span = {.line = 0}}));
  }
  return all;
}

}  // namespace

const Check kLayoutRemark{
    .code = "layout-remark",
    .title = "something of the layout to be told",
    .what = "what the reader of the layout had to leave open, such as a lost heading",
    .why = "the answer holds for what could be read, and no further",
    .instead = "state what the remark names",
    .source = "layout format",
    .check = layout_remark,
};

}  // namespace ductledger::findings
