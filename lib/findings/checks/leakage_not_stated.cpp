#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> leakage_not_stated(const result::Case& subject) {
  if (subject.house == nullptr || subject.layout->house->leakage || discharges_into_room(subject)) {
    return {};
  }
  units::Message message{"the house's leakage is not stated: its depressurization is not shown",
                         {}};
  const result::SpeedResult* speed = headline(subject);
  if (speed != nullptr && speed->house && speed->house->at_limit) {
    const auto& needed = speed->house->at_limit->airtightness_m3_s;
    if (!needed) {
      message.pattern += "; no leakage meets the limit against this wind";
    } else if (*needed > 0.0) {
      append(message,
             {"; at {} the house needs at least {} leakage at 50 Pa to stay within the limit",
              {airflow(speed->house->at_limit->airflow_m3_s), airflow(*needed)}});
    } else {
      message.pattern += "; the makeup air alone meets the limit";
    }
  }
  return {finding(
      kLeakageNotStated,
      {.level = Level::warn, .message = std::move(message), .span = subject.layout->house->span})};
}

}  // namespace

const Check kLeakageNotStated{
    .code = "leakage-not-stated",
    .title = "the leakage of the house is not known",
    .what = "a `house` without `leakage`; no airtightness is invented",
    .why =
        "houses differ by a factor of nine in leakage (5 to 95 % of the stock), so none can be "
        "assumed; a tighter house is depressurized further",
    .instead = "a blower-door test: `leakage: {airflow: 1500 cfm, at: 50 Pa}`",
    .source =
        "Chan, Joh, Sherman, Analysis of air leakage measurements of US houses, Energy and "
        "Buildings, 2013 (the spread)",
    .check = leakage_not_stated,
};

}  // namespace ductledger::findings
