#include "findings/order.hpp"

#include <algorithm>
#include <array>
#include <cstddef>
#include <string_view>
#include <tuple>
#include <utility>

namespace ductledger::findings {
namespace {

constexpr std::array<std::string_view, 11> kFirst{"house-depressurised",
                                                  "combustion-not-stated",
                                                  "outlet-in-closed-space",
                                                  "cap-ends-inside",
                                                  "discharges-into-room",
                                                  "branch-reversed",
                                                  "makeup-not-interlocked",
                                                  "gravity-damper-on-makeup-air",
                                                  "dryer-duct-too-long",
                                                  "transition-duct-wrong",
                                                  "delivered-below-required"};

std::size_t concern(const Finding& finding) {
  return static_cast<std::size_t>(std::ranges::find(kFirst, finding.code) - kFirst.begin());
}

}  // namespace

std::span<const std::string_view> told_first() { return kFirst; }

void put_in_order(std::vector<Finding>& all, const layout::Layout& layout) {
  using Rank = std::tuple<int, bool, std::size_t, bool, std::size_t>;
  std::vector<std::pair<Rank, Finding>> ranked;
  ranked.reserve(all.size());
  for (Finding& found : all) {
    const std::size_t place = layout.origins == nullptr ? static_cast<std::size_t>(found.span.line)
                                                        : layout.origins->rank(found.span);
    ranked.emplace_back(Rank{-static_cast<int>(found.level),
                             !found.other_speed.empty(),
                             concern(found),
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
