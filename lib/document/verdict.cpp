#include "document/verdict.hpp"

#include <string_view>

namespace ductledger::document {
namespace {

constexpr std::string_view kBelowRequired = "delivered-below-required";

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

const char* Verdict::mark() const noexcept {
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
  return required_met ? "MET" : "-";
}

std::string Verdict::text(units::System system) const {
  if (worst != nullptr) {
    return worst->message.text(system);
  }
  const std::string clear = "no failure and no warning among what was checked";
  return required_met
             ? units::Message{"{} required; " + clear, {{required_m3_s, units::Dimension::airflow}}}
                   .text(system)
             : clear;
}

Verdict verdict(const study::CheckResult& result) {
  // Findings stand worst first.
  if (result.findings.empty() || result.findings.front().level == findings::Level::note) {
    Verdict clear;
    if (result.requirement && result.requirement->state == result::Requirement::State::met) {
      clear.required_met = true;
      clear.required_m3_s = result.requirement->required_m3_s;
    }
    return clear;
  }
  const findings::Finding& worst = result.findings.front();
  return {.standing = standing(worst), .worst = &worst};
}

}  // namespace ductledger::document
