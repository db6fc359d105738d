#include "findings/finding.hpp"

#include <utility>

#include "findings/order.hpp"

namespace ductledger::findings {

std::vector<Finding> findings(const result::Case& subject) {
  std::vector<Finding> all;
  for (const Check& check : checks()) {
    for (Finding& found : check.check(subject)) {
      all.push_back(std::move(found));
    }
  }
  put_in_order(all, *subject.layout);
  return all;
}

}  // namespace ductledger::findings
