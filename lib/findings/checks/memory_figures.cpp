#include <algorithm>
#include <string>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> check(const result::Case& subject) {
  std::vector<std::string> entries;
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    if (piece.fitting && piece.fitting->status == fitting::Status::memory) {
      const std::string entry = literal(piece.fitting->entry);
      if (std::find(entries.begin(), entries.end(), entry) == entries.end()) {
        entries.push_back(entry);
      }
    }
  }
  if (entries.empty()) {
    return {};
  }
  return {finding(
      kMemoryFigures,
      {.level = Level::note,
       .message = {"figures recalled, not read again in their source: " + listed(entries), {}},
       .span = {.line = 0}})};
}

}  // namespace

const Check kMemoryFigures{
    .code = "memory-figures",
    .title = "coefficients recalled, not re-read",
    .what = "catalogue entries whose figures were recalled and not read again in their source",
    .why = "a recalled figure may be wrong",
    .instead = "state the maker's or a measured `coefficient` where it matters",
    .source = "catalogue entries, as marked there",
    .check = check,
};

}  // namespace ductledger::findings
