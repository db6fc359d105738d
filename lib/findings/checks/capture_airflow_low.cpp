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

std::vector<Finding> capture_airflow_low(const result::Case& subject) {
  const std::optional<layout::Cooking>& cooking = subject.layout->appliance.cooking;
  if (!is_range_hood(subject) || discharges_into_room(subject) || !cooking || !cooking->width_m ||
      !cooking->mount ||
      (*cooking->mount != layout::Mount::wall && *cooking->mount != layout::Mount::island)) {
    return {};
  }
  const bool island = *cooking->mount == layout::Mount::island;
  const WidthRule& rule = island ? kIsland : kWall;
  const double per_cfm_ft = *cooking->width_m / units::kMetresPerFoot * units::kM3SPerCfm;
  double bound_m3_s = rule.minimum_cfm_per_ft * per_cfm_ft;
  std::optional<Shortfall> missing = shortfall(subject, bound_m3_s);
  const bool below_minimum = missing && missing->sure;
  const bool about_minimum = missing.has_value();
  if (!missing) {
    bound_m3_s = rule.recommended_cfm_per_ft * per_cfm_ft;
    missing = shortfall(subject, bound_m3_s);
  }
  if (!missing) {
    return {};
  }
  append(missing->words,
         {std::string("{} ") + (about_minimum ? "minimum" : "recommended") + " for " +
              (island ? "an island" : "a wall") + " hood {} wide",
          {airflow(bound_m3_s), length(*cooking->width_m)}});
  Finding found = finding(kCaptureAirflowLow,
                          {.level = below_minimum ? Level::warn : Level::note,
                           .message = std::move(missing->words),
                           .span = cooking->span});
  if (island && about_minimum) {
    found.source += "; the minimum for islands is recalled";
  }
  found.observed = std::move(missing->observed);
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
        "meter; island): a warning under the minimum, a note under the recommendation, or where "
        "bounds are all that is known and leave it open",
    .why =
        "the rule means air that is delivered through the duct, not the label; airflow "
        "alone never fixes what a hood captures, which depends on its shape, depth and "
        "height too",
    .instead = "a larger section or a shorter run; a hood that covers the burners",
    .source = "Home Ventilating Institute hood-width guidance, as quoted by trade journals",
    .check = capture_airflow_low,
};

}  // namespace ductledger::findings
