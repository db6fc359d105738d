#include "findings/order.hpp"

#include <algorithm>
#include <cstddef>
#include <tuple>
#include <utility>

namespace ductledger::findings {

void put_in_order(std::vector<Finding>& all, const layout::Layout& layout) {
  using Rank = std::tuple<int, bool, bool, std::size_t>;
  std::vector<std::pair<Rank, Finding>> ranked;
  ranked.reserve(all.size());
  for (Finding& found : all) {
    const std::size_t place = layout.origins == nullptr ? static_cast<std::size_t>(found.span.line)
                                                        : layout.origins->rank(found.span);
    ranked.emplace_back(Rank{-static_cast<int>(found.level),
                             !found.other_speed.empty(),
                             found.span.line == 0,
                             place},
                        std::move(found));
  }
  std::stable_sort(
      ranked.begin(), ranked.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::transform(
      ranked.begin(), ranked.end(), all.begin(), [](auto& one) { return std::move(one.second); });
}

std::string subject_of(const Finding& finding, const layout::Layout& layout) {
  if (finding.span.line == 0) {
    return {};
  }
  std::string path = layout.origins == nullptr ? std::string() : layout.origins->path(finding.span);
  if (path.empty()) {
    return std::to_string(finding.span.line);
  }
  const std::size_t piece = path.rfind("pieces[");
  const std::size_t end = piece == std::string::npos ? piece : path.find(']', piece);
  return end == std::string::npos ? path : path.substr(0, end + 1);
}

}  // namespace ductledger::findings
