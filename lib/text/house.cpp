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

/// For cells under `Pa`.
std::string bare_pascal(double pressure_pa) {
  const std::string text = words::pascal(pressure_pa);
  return text.substr(0, text.find(' '));
}

std::string with_band(const SpeedHouse& at) {
  std::string text = bare_pascal(at.balance.depressurisation_pa);
  if (at.band && at.balance.depressurisation_pa == at.judged_depressurisation_pa) {
    text += fmt::format(" ({} to {})", bare_pascal(at.band->low_pa), bare_pascal(at.band->high_pa));
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
    page_.paragraph(words::house_sentence(result_, TextFigures(page_)));
    if (const auto limit = house::limit_of(*result_.layout.house)) {
      page_.paragraph(fmt::format("The limit is {:g} Pa {}.",
                                  limit->pressure_pa,
                                  limit->appliance.empty()
                                      ? "where nothing draws its air from the room"
                                      : "beside the " + base::escaped(limit->appliance)));
    }
  }

  void speeds() {
    Table table({{"speed", "", Align::left},
                 {"depressurization", "Pa", Align::left},
                 {"limit", "", Align::left},
                 {"makeup", page_.unit(Dimension::airflow), Align::right},
                 {"leaks", page_.unit(Dimension::airflow), Align::right},
                 {"without", "the house", Align::right}});
    bool any_rated = false;
    bool any_bounds = false;
    for (const result::SpeedResult& speed : result_.speeds) {
      if (!speed.house || !speed.house->coupled) {
        continue;
      }
      const SpeedHouse& at = *speed.house;
      const bool rated = at.basis == house::AirflowBasis::rated_airflow;
      const bool bounds = at.basis == house::AirflowBasis::bounds;
      any_rated = any_rated || rated;
      any_bounds = any_bounds || bounds;
      table.row({base::escaped(speed.name) + (rated    ? " r"
                                              : bounds ? " b"
                                                       : ""),
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
                   bare_pascal(with.depressurisation_pa),
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
    if (any_bounds) {
      page_.paragraph("b at the high end of what it moves; the low end of the range is at its low");
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
    const TextFigures figures(page_);
    for (const std::string& text : {words::opening_sentence(result_, figures),
                                    words::airtightness_sentence(result_, figures)}) {
      if (!text.empty()) {
        page_.paragraph(text);
      }
    }
    if (!at.openings.empty()) {
      std::vector<std::string> ends;
      for (const house::OpeningTried& tried : at.openings) {
        ends.push_back(fmt::format("{}: {}",
                                   page_.show(tried.diameter_m, Dimension::length),
                                   words::pascal(tried.depressurisation_pa)));
      }
      page_.paragraph("Where a round opening ends: " + base::joined(ends, "and") + ".");
    }
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
