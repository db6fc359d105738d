#include <fmt/format.h>

#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

/// A blower door measures from about 10 to 75 Pa.
constexpr double kHighestTestPa = 75.0;

std::vector<Finding> outside_door_test(const result::Case& subject) {
  const result::SpeedResult* speed = headline(subject);
  if (speed == nullptr || !speed->house || !speed->house->coupled) {
    return {};
  }
  const double pressure_pa = speed->house->judged_depressurisation_pa;
  if (pressure_pa >= 0.0 && pressure_pa <= kHighestTestPa) {
    return {};
  }
  units::Message message;
  if (pressure_pa < 0.0) {
    message.pattern = fmt::format(
        "the house is pressurized by {:.1f} Pa: more air comes in than the exhaust takes",
        -pressure_pa);
  } else {
    message.pattern = fmt::format(
        "a depressurization of {:.0f} Pa lies beyond any blower-door test ({:.0f} Pa): the leakage "
        "is extrapolated",
        pressure_pa,
        kHighestTestPa);
  }
  return {finding(
      kOutsideDoorTest,
      {.level = Level::note, .message = std::move(message), .span = subject.layout->house->span})};
}

}  // namespace

const Check kOutsideDoorTest{
    .code = "outside-door-test",
    .title = "a house pressure that no blower door measures",
    .what = "a house depressurized by more than 75 Pa, or pressurized by makeup air",
    .why =
        "the power law of the leaks was measured from about 10 to 75 Pa of depressurization; moist "
        "room "
        "air pressed into walls can condense there",
    .instead = "balance the makeup air with the exhaust",
    .source = "common practice",
    .check = outside_door_test,
};

}  // namespace ductledger::findings
