#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

constexpr double kMeasured_m3_s = 200.0 * units::kM3SPerCfm;

std::vector<Finding> airflow_below_measured_hoods(const result::Case& subject) {
  if (!is_range_hood(subject) || discharges_into_room(subject)) {
    return {};
  }
  std::optional<Shortfall> missing = shortfall(subject, kMeasured_m3_s);
  if (!missing) {
    return {};
  }
  append(missing->words,
         {"{} that measured hoods needed for front burners", {airflow(kMeasured_m3_s)}});
  const layout::Appliance& appliance = subject.layout->appliance;
  Finding found = finding(kAirflowBelowMeasuredHoods,
                          {.level = Level::note,
                           .message = std::move(missing->words),
                           .span = appliance.cooking ? appliance.cooking->span : appliance.span});
  found.observed = std::move(missing->observed);
  found.limit = {{"airflow_m3_s", kMeasured_m3_s}};
  return {std::move(found)};
}

}  // namespace

const Check kAirflowBelowMeasuredHoods{
    .code = "airflow-below-measured-hoods",
    .title = "less air than hoods were measured to need",
    .what = "the delivered airflow of range hoods against 200 cfm (95 L/s)",
    .why =
        "in 15 installed devices about 200 cfm (95 L/s) was needed, though not always "
        "enough, to capture over 75 % of what front burners gave off",
    .instead = "a larger section or a shorter run; cook on the back burners",
    .source =
        "Singer, Delp, Price, Apte, Performance of installed cooking exhaust devices, "
        "Indoor Air 22(3), 2012",
    .check = airflow_below_measured_hoods,
};

}  // namespace ductledger::findings
