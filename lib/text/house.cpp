#include "text/house.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "words/words.hpp"

namespace ductledger::text {
namespace {

using house::SpeedHouse;
using units::Dimension;

// House pressures are in pascal in either unit system, as blower doors and limits are.
std::string pascal(double pressure_pa) {
  const double shown = std::round(pressure_pa * 10.0) / 10.0;
  return fmt::format("{:.1f}", shown == 0.0 ? 0.0 : shown);
}

std::string with_band(const SpeedHouse& at) {
  std::string text = pascal(at.balance.depressurisation_pa);
  if (at.band && at.balance.depressurisation_pa == at.judged_depressurisation_pa) {
    text += fmt::format(" ({} to {})", pascal(at.band->low_pa), pascal(at.band->high_pa));
  }
  return text;
}

class Block {
 public:
  Block(Page& page, const study::CheckResult& result) : page_(page), result_(result) {}

  void write() {
    page_.heading("House");
    stated();
    if (result_.house.coupled() != nullptr) {
      speeds();
    }
    answers();
  }

 private:
  void stated() {
    const layout::House& house = *result_.layout.house;
    std::string text;
    if (house.leakage) {
      text = fmt::format("leaks {} at {:g} Pa (exponent {:g})",
                         page_.show(house.leakage->airflow_m3_s, Dimension::airflow),
                         house.leakage->pressure_pa,
                         house.leakage->exponent);
      if (house.leakage->at_standard) {
        text += ", as reported for air of 20 degC and 1.204 kg/m3";
      }
      if (!house.leakage->tightness.empty()) {
        text += fmt::format(", taken from its class {}", house.leakage->tightness);
      }
    } else {
      text = "leakage not stated";
    }
    for (const layout::OtherExhaust& exhaust : house.other_exhaust) {
      text += fmt::format(", {} {}",
                          exhaust.name.empty() ? "other exhaust" : base::escaped(exhaust.name),
                          page_.show(exhaust.airflow_m3_s, Dimension::airflow));
    }
    page_.paragraph(text + ", makeup air " + makeup(house.makeup));
    if (const auto limit = house::limit_of(house)) {
      page_.paragraph(fmt::format("limit {:g} Pa {}",
                                  limit->pressure_pa,
                                  limit->appliance.empty()
                                      ? "where nothing draws its air from the room"
                                      : "beside the " + base::escaped(limit->appliance)));
    }
  }

  [[nodiscard]] std::string makeup(const layout::Makeup& from) const {
    const std::string interlock = from.interlocked ? ", interlocked" : ", not interlocked";
    switch (from.kind) {
      case layout::MakeupKind::none:
        return "none";
      case layout::MakeupKind::passive_opening:
        return fmt::format("by an opening of {}", page_.show(from.free_area_m2, Dimension::area));
      case layout::MakeupKind::powered:
        return fmt::format(
            "powered {}{}", page_.show(from.airflow_m3_s, Dimension::airflow), interlock);
      case layout::MakeupKind::duct:
        return result_.house.with_makeup ? "by a duct" + interlock : "by a duct";
    }
    return "none";
  }

  void speeds() {
    Table table({{"speed", "", Align::left},
                 {"depressurization", "Pa", Align::left},
                 {"limit", "", Align::left},
                 {"makeup", page_.unit(Dimension::airflow), Align::right},
                 {"leaks", page_.unit(Dimension::airflow), Align::right},
                 {"without", "the house", Align::right}});
    bool any_rated = false;
    for (const result::SpeedResult& speed : result_.speeds) {
      if (!speed.house || !speed.house->coupled) {
        continue;
      }
      const SpeedHouse& at = *speed.house;
      const bool rated = at.basis == house::AirflowBasis::rated_airflow;
      any_rated = any_rated || rated;
      table.row({base::escaped(speed.name) + (rated ? " r" : ""),
                 with_band(at),
                 words::within_limit(at.verdict),
                 page_.bare(at.balance.makeup_airflow_m3_s, Dimension::airflow),
                 page_.bare(at.balance.leakage_airflow_m3_s, Dimension::airflow),
                 at.airflow_without_house_m3_s
                     ? page_.show(*at.airflow_without_house_m3_s, Dimension::airflow)
                     : "-"});
      if (at.with_makeup) {
        const house::Balance& with = at.with_makeup->balance;
        table.row({"  with makeup",
                   pascal(with.depressurisation_pa),
                   "",
                   page_.bare(with.makeup_airflow_m3_s, Dimension::airflow),
                   page_.bare(with.leakage_airflow_m3_s, Dimension::airflow),
                   ""});
      }
    }
    page_.table(table);
    if (any_rated) {
      page_.paragraph("r at its rated airflow, held: what it delivers is not determined");
    }
  }

  void answers() {
    if (!result_.headline || !result_.speeds[*result_.headline].house) {
      return;
    }
    const SpeedHouse& at = *result_.speeds[*result_.headline].house;
    if (!at.at_limit || at.verdict == house::Verdict::met) {
      return;
    }
    const house::AtLimit& limit = *at.at_limit;
    if (limit.opening) {
      page_.paragraph(fmt::format(
          "Staying within the limit needs {} of makeup air: {} opening of {} free area, {} round.",
          page_.show(limit.missing_m3_s, Dimension::airflow),
          beside_what(),
          page_.show(limit.opening->free_area_m2, Dimension::area),
          page_.show(limit.opening->round_diameter_m, Dimension::length)));
    }
    if (limit.airtightness_m3_s && *limit.airtightness_m3_s > 0.0) {
      page_.paragraph(fmt::format("The house needs at least {} leakage at 50 Pa.",
                                  page_.show(*limit.airtightness_m3_s, Dimension::airflow)));
    }
    if (!at.openings.empty()) {
      std::vector<std::string> ends;
      for (const house::OpeningTried& tried : at.openings) {
        ends.push_back(fmt::format("{}: {} Pa",
                                   page_.show(tried.diameter_m, Dimension::length),
                                   pascal(tried.depressurisation_pa)));
      }
      page_.paragraph("Where a round opening ends: " + base::joined(ends, "and") + ".");
    }
  }

  /// A proposed opening takes the place of a stated one, and stands beside other makeup air.
  [[nodiscard]] const char* beside_what() const {
    const layout::MakeupKind kind = result_.layout.house->makeup.kind;
    return kind == layout::MakeupKind::none              ? "an"
           : kind == layout::MakeupKind::passive_opening ? "in place of the stated one an"
                                                         : "a further";
  }

  Page& page_;
  const study::CheckResult& result_;
};

}  // namespace

void house_block(Page& page, const study::CheckResult& result) {
  if (result.layout.house && result.layout.run.discharge == layout::Discharge::outdoors) {
    Block(page, result).write();
  }
}

}  // namespace ductledger::text
