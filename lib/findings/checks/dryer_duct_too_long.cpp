#include <string>

#include "base/text.hpp"
#include "findings/checks/list_internal.hpp"
#include "solve/dryer_run.hpp"

namespace ductledger::findings {
namespace {

/// Length and limit by the manufacturer's figures, where the layout states them.
bool maker_allows(const result::Case& subject, const solve::DryerRun& run) {
  const layout::Facts& facts = subject.layout->facts;
  const std::optional<double> most_m = facts.value("appliance.maker.duct_length");
  if (!most_m) {
    return false;
  }
  const std::optional<double> each_m = facts.value("appliance.maker.elbow_length");
  const double elbows_m = each_m ? *each_m * static_cast<double>(run.elbows.size()) : run.elbows_m;
  return run.duct_m + elbows_m <= *most_m * (1.0 + 1e-9);
}

std::vector<Finding> dryer_duct_too_long(const result::Case& subject) {
  const auto run = solve::dryer_run(*subject.layout, *subject.run);
  if (!run || discharges_into_room(subject) ||
      run->total_m <= run->greatest_length_m * (1.0 + 1e-9) || maker_allows(subject, *run) ||
      subject.layout->facts.find("run.power_ventilator") != nullptr) {
    return {};
  }
  const std::size_t elbows = run->elbows.size();
  Finding found = finding(kDryerDuctTooLong,
                          {.level = Level::warn,
                           .message = {"{} of duct and {} for " + base::counted(elbows, "elbow") +
                                           " count as {}, over {}",
                                       {length(run->duct_m),
                                        length(run->elbows_m),
                                        length(run->total_m),
                                        length(run->greatest_length_m)}},
                           .span = subject.layout->run.span});
  found.observed = {{"equivalent_length_m", run->total_m}};
  found.limit = {{"equivalent_length_m", run->greatest_length_m}};
  return {std::move(found)};
}

}  // namespace

const Check kDryerDuctTooLong{
    .code = "dryer-duct-too-long",
    .title = "a dryer's duct over the length of the table",
    .what =
        "duct of a dryer's run, its transition duct left out, and what the table takes off for its "
        "elbows, over 35 ft; silent where `appliance.maker.duct_length` allows it or "
        "`run.power_ventilator` is stated",
    .why = "moist air and lint stay in a duct that the dryer cannot blow through, and lint burns",
    .instead =
        "a shorter route, elbows of larger radius, or a dryer whose manufacturer allows the "
        "length; then "
        "state `appliance.maker.duct_length`",
    .source =
        "International Residential Code, M1502.4.6.1 (2021 and 2024), M1502.4.5.1 (2015 and 2018)",
    .check = dryer_duct_too_long,
};

}  // namespace ductledger::findings
