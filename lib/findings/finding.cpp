#include "findings/finding.hpp"

#include <algorithm>
#include <tuple>

namespace ductledger::findings {

std::vector<Finding> findings(const result::Case& subject) {
  std::vector<Finding> all;
  for (const Check& check : checks()) {
    for (Finding& found : check.check(subject)) {
      all.push_back(std::move(found));
    }
  }
  const auto rank = [](const Finding& found) {
    // Line 0 speaks of the whole file and comes after what has a place.
    return std::make_tuple(!found.other_speed.empty(),
                           -static_cast<int>(found.level),
                           found.span.line == 0,
                           found.span.line,
                           found.span.column);
  };
  std::stable_sort(all.begin(), all.end(), [&](const Finding& a, const Finding& b) {
    return rank(a) < rank(b);
  });
  return all;
}

}  // namespace ductledger::findings
