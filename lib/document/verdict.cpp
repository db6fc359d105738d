#include "document/verdict.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <tuple>

namespace ductledger::document {
namespace {

constexpr std::string_view kBelowRequired = "delivered-below-required";

/// What can hurt someone comes first, then what was asked for.
constexpr std::array<std::string_view, 3> kFirst{
    "house-depressurised", "cap-ends-inside", kBelowRequired};

std::size_t place(const findings::Finding& finding) {
  return static_cast<std::size_t>(std::find(kFirst.begin(), kFirst.end(), finding.code) -
                                  kFirst.begin());
}

Standing standing(const findings::Finding& finding) {
  const bool required = finding.code == kBelowRequired;
  if (finding.level == findings::Level::fail) {
    return required ? Standing::not_met : Standing::fail;
  }
  return required ? Standing::not_shown : Standing::warn;
}

}  // namespace

const char* word(Standing standing) noexcept {
  switch (standing) {
    case Standing::fail:
      return "fail";
    case Standing::not_met:
      return "not-met";
    case Standing::not_shown:
      return "not-shown";
    case Standing::warn:
      return "warn";
    case Standing::clear:
      break;
  }
  return "clear";
}

const char* shown_word(Standing standing) noexcept {
  switch (standing) {
    case Standing::fail:
      return "FAIL";
    case Standing::not_met:
      return "NOT MET";
    case Standing::not_shown:
      return "NOT SHOWN";
    case Standing::warn:
      return "WARN";
    case Standing::clear:
      break;
  }
  return "-";
}

std::string Verdict::text(units::System system) const {
  return worst == nullptr ? "no failure and no warning among what was checked"
                          : worst->message.text(system);
}

Verdict verdict(const study::CheckResult& result) {
  const auto rank = [](const findings::Finding& finding) {
    return std::make_tuple(-static_cast<int>(finding.level), place(finding));
  };
  const auto worst = std::min_element(
      result.findings.begin(), result.findings.end(), [&](const auto& a, const auto& b) {
        return rank(a) < rank(b);
      });
  if (worst == result.findings.end() || worst->level == findings::Level::note) {
    return {};
  }
  return {standing(*worst), &*worst};
}

}  // namespace ductledger::document
