#include <algorithm>
#include <iterator>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> memory_figures(const result::Case& subject) {
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
  Finding found =
      finding(kMemoryFigures,
              {.level = Level::note,
               .message = {"figures not yet checked against their source: " + listed(entries), {}},
               .span = {.line = 0}});
  std::ranges::transform(entries, std::back_inserter(found.items), [](const std::string& entry) {
    return units::Message{entry, {}};
  });
  return {std::move(found)};
}

}  // namespace

const Check kMemoryFigures{
    .code = "memory-figures",
    .title = "coefficients not yet checked against their source",
    .what = "catalogue entries whose figures are not yet checked against their source",
    .why = "an unchecked figure may be wrong",
    .instead = "state the manufacturer's or a measured `coefficient` where it matters",
    .source = "catalogue entries, as marked there",
    .check = memory_figures,
};

}  // namespace ductledger::findings
