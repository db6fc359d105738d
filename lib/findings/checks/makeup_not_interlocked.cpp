#include <fmt/format.h>

#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> makeup_not_interlocked(const result::Case& subject) {
  const result::SpeedResult* speed = headline(subject);
  if (subject.house == nullptr || !subject.house->with_makeup) {
    return {};
  }
  units::Message message{"makeup air is not interlocked, so it is not counted", {}};
  if (speed != nullptr && speed->house && speed->house->with_makeup) {
    append(message,
           {fmt::format(": {:.1f} Pa without it, {:.1f} Pa while it runs",
                        speed->house->balance.depressurisation_pa,
                        speed->house->with_makeup->balance.depressurisation_pa),
            {}});
  }
  return {finding(kMakeupNotInterlocked,
                  {.level = Level::warn,
                   .message = std::move(message),
                   .span = subject.layout->house->makeup.span})};
}

}  // namespace

const Check kMakeupNotInterlocked{
    .code = "makeup-not-interlocked",
    .title = "makeup air that somebody has to start",
    .what =
        "powered makeup air, or a makeup duct with a motorised damper, that is not stated to be "
        "interlocked with the appliance",
    .why = "makeup air that runs only when somebody starts it cannot be relied on",
    .instead = "interlock it with the appliance, and state `interlocked: yes`",
    .source =
        "International Residential Code M1503.6.1 and International Mechanical Code 505 "
        "(recalled): makeup air starts and stops with the exhaust",
    .check = makeup_not_interlocked,
};

}  // namespace ductledger::findings
