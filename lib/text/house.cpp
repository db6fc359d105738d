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
    gauge();
    if (any_rated) {
      page_.paragraph("r at its rated airflow, held: what it delivers is not determined");
    }
    if (any_bounds) {
      page_.paragraph("b at the high end of what it moves; the low end of the range is at its low");
    }
  }

  /// Each speed's depressurization as a bar against the limit, on a terminal that draws.
  void gauge() {
    const Profile profile = page_.options().profile;
    const auto limit = house::limit_of(*result_.layout.house);
    if (profile == Profile::none || !limit) {
      return;
    }
    const bool blocks = profile == Profile::blocks;
    double highest = limit->pressure_pa;
    std::size_t widest = 0;
    for (const result::SpeedResult& speed : result_.speeds) {
      if (speed.house && speed.house->coupled) {
        const SpeedHouse& at = *speed.house;
        highest =
            std::max({highest, at.judged_depressurisation_pa, at.band ? at.band->high_pa : 0.0});
        widest = std::max(widest, base::character_count(base::escaped(speed.name)));
      }
    }
    widest = std::min(widest, page_.width() / 4);
    const std::size_t columns = std::min<std::size_t>(50, page_.width() - widest - 6);
    const auto at = [&](double pa) {
      return static_cast<std::size_t>(
          std::lround(static_cast<double>(columns) * std::max(0.0, pa) / highest));
    };
    page_.blank();
    for (const result::SpeedResult& speed : result_.speeds) {
      if (!speed.house || !speed.house->coupled) {
        continue;
      }
      const SpeedHouse& house = *speed.house;
      std::vector<std::string> cells(columns + 1, " ");
      const std::size_t end = at(house.judged_depressurisation_pa);
      std::fill_n(cells.begin(), end, blocks ? "\u2588" : "#");
      for (std::size_t i = end; house.band && i < at(house.band->high_pa); ++i) {
        cells[i] = blocks ? "\u2500" : "-";
      }
      cells[at(limit->pressure_pa)] = blocks ? "\u2503" : "|";
      const std::string name = shortened(base::escaped(speed.name), widest);
      std::string text(Page::kIndent, ' ');
      text += name + std::string(widest + 2 - base::character_count(name), ' ');
      for (const std::string& cell : cells) {
        text += cell;
      }
      page_.line(text.substr(0, text.find_last_not_of(' ') + 1));
    }
    page_.paragraph(
        fmt::format("{}: depressurization, {}: to the end of its band, {}: limit {:g} Pa",
                    blocks ? "\u2588" : "#",
                    blocks ? "\u2500" : "-",
                    blocks ? "\u2503" : "|",
                    limit->pressure_pa));
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
