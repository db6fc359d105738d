#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

struct WidthRule {
  double minimum_cfm_per_ft;
  double recommended_cfm_per_ft;
};
constexpr WidthRule kWall{.minimum_cfm_per_ft = 40.0, .recommended_cfm_per_ft = 100.0};
constexpr WidthRule kIsland{.minimum_cfm_per_ft = 50.0, .recommended_cfm_per_ft = 150.0};

std::vector<Finding> check(const result::Case& subject) {
  const std::optional<layout::Cooking>& cooking = subject.layout->appliance.cooking;
  const std::optional<double> delivered = delivered_m3_s(subject);
  if (!is_range_hood(subject) || discharges_into_room(subject) || !cooking || !delivered ||
      !cooking->width_m || !cooking->mount ||
      (*cooking->mount != layout::Mount::wall && *cooking->mount != layout::Mount::island)) {
    return {};
  }
  const bool island = *cooking->mount == layout::Mount::island;
  const WidthRule& rule = island ? kIsland : kWall;
  const double per_cfm_ft = *cooking->width_m / units::kMetresPerFoot * units::kM3SPerCfm;
  const double minimum_m3_s = rule.minimum_cfm_per_ft * per_cfm_ft;
  const double recommended_m3_s = rule.recommended_cfm_per_ft * per_cfm_ft;
  if (*delivered >= recommended_m3_s * (1.0 - 1e-9)) {
    return {};
  }
  const bool below_minimum = *delivered < minimum_m3_s * (1.0 - 1e-9);
  const double bound_m3_s = below_minimum ? minimum_m3_s : recommended_m3_s;
  Finding found = finding(
      kCaptureAirflowLow,
      {.level = below_minimum ? Level::warn : Level::note,
       .message = {"delivered {}, " + just({*delivered, bound_m3_s, units::Dimension::airflow}) +
                       "below the {} " + (below_minimum ? "minimum" : "recommended") + " for a " +
                       (island ? "island" : "wall") + " hood {} wide",
                   {airflow(*delivered), airflow(bound_m3_s), length(*cooking->width_m)}},
       .span = cooking->span});
  if (island) {
    found.message.pattern.replace(
        found.message.pattern.find(" for a island"), 13, " for an island");
    if (below_minimum) {
      found.source += "; the minimum for islands is recalled";
    }
  }
  found.observed = {{"airflow_m3_s", *delivered}};
  found.limit = {{"airflow_m3_s", bound_m3_s}};
  return {std::move(found)};
}

}  // namespace

const Check kCaptureAirflowLow{
    .code = "capture-airflow-low",
    .title = "less air than the hood's width asks for",
    .what =
        "the delivered airflow of wall and island hoods against 40 and 100 cfm a foot of "
        "width (62 and 155 L/s a meter; wall) or 50 and 150 cfm a foot (77 and 232 L/s a "
        "meter; island): a warning under the minimum, a note under the recommendation",
    .why =
        "the rule means air that is delivered through the duct, not the label; airflow "
        "alone never fixes what a hood captures, which depends on its shape, depth and "
        "height too",
    .instead = "a larger section or a shorter run; a hood that covers the burners",
    .source = "Home Ventilating Institute hood-width guidance, as quoted by trade journals",
    .check = check,
};

}  // namespace ductledger::findings
