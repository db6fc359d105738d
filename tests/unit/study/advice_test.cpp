#include "study/advice.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>
#include <string>

#include "study/check.hpp"
#include "support/example_layout.hpp"

namespace ductledger::study {
namespace {

using test::catalogue;

layout::Layout read(const std::string& text) {
  auto made = layout::read(std::make_shared<const base::SourceText>("t.yaml", text), catalogue());
  EXPECT_TRUE(made) << (made ? "" : base::render(made.error())) << text;
  return *std::move(made);
}

study::CheckResult advised(const std::string& text) {
  auto result = study::check(read(text), catalogue(), {.speed = {}, .advise = true});
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return *std::move(result);
}

std::string kitchen(const std::string& collar, const std::string& run) {
  return "layout: 1\nappliance: {kind: range-hood, collar: " + collar +
         ", includes: [filter]}\n"
         "fan:\n  speeds:\n"
         "    - name: high\n"
         "      curve: {airflow: 0 200 350 470 550 600 cfm, pressure: 1.05 0.94 0.74 0.46 0.2 0 "
         "inH2O}\n"
         "    - {name: low, speed_ratio: 0.5}\n" +
         run;
}

/// Something of everything that can be bettered.
const char* const kPoor = R"(run:
  section: 6 in round
  heading: up
  pieces:
    - damper: backdraft-flap
    - straight: 2 ft
    - transition: {to: 5 in round, type: abrupt}
    - elbow: {type: gored-5, turn: back, radius_ratio: 0.75}
    - straight: {length: 9 ft, through: attic}
    - elbow: {type: mitered, turn: left, angle: 45 deg}
    - flex: {length: 4 ft, stretched: 75 %, sag: 3 in}
    - elbow: {turn: back}
    - transition: {to: 6 in round, length: 2 in}
    - elbow: {type: mitered, turn: up}
    - screen: mesh
    - damper: backdraft-flap
    - straight: 3 ft
    - cap: roof-hood-flap
)";

const study::CheckResult& poor() {
  static const study::CheckResult result = advised(kitchen("6 in round", kPoor));
  return result;
}

TEST(Advice, a_row_is_what_the_changed_layout_gives) {
  std::size_t compared = 0;
  std::vector<std::string> texts;
  for (const auto& file :
       std::filesystem::directory_iterator(std::string(DUCTLEDGER_SOURCE_DIR) + "/examples")) {
    if (file.path().extension() != ".yaml") {
      continue;
    }
    std::ifstream in(file.path());
    std::ostringstream text;
    text << in.rdbuf();
    texts.push_back(text.str());
  }
  std::vector<study::CheckResult> results{poor()};
  for (const std::string& text : texts) {
    results.push_back(advised(text));
  }
  for (const study::CheckResult& result : results) {
    std::vector<study::AdviceRow> rows = result.advice->rows;
    if (result.advice->best_pair) {
      rows.push_back(*result.advice->best_pair);
    }
    for (const study::AdviceRow& row : rows) {
      auto changed = study::with_changes(result.layout, row);
      ASSERT_TRUE(changed);
      const auto solved = study::check(*std::move(changed), catalogue());
      ASSERT_TRUE(solved);
      for (std::size_t i = 0; i < row.speeds.size(); ++i) {
        const std::size_t speed = result.advice->speeds[i];
        // Beyond the curve advice works with the estimate.
        const double airflow_m3_s = solve::best_airflow_m3_s(solved->speeds[speed].point);
        EXPECT_EQ(row.speeds[i].airflow_m3_s, airflow_m3_s);
        EXPECT_EQ(row.speeds[i].status, solved->speeds[speed].point.status);
        EXPECT_EQ(row.speeds[i].gain_m3_s,
                  airflow_m3_s - solve::best_airflow_m3_s(result.speeds[speed].point));
        ++compared;
      }
    }
  }
  EXPECT_GT(compared, 40U);
}

TEST(Advice, the_row_of_an_elbow_is_the_file_changed_by_hand) {
  const auto run = [](const std::string& elbow) {
    return kitchen("6 in round",
                   "run: {heading: up, pieces: [{straight: 4 ft}, {elbow: " + elbow +
                       "}, {straight: 3 ft}, {cap: wall-hood-flap}]}\n");
  };
  const study::CheckResult result = advised(run("back"));
  const auto& rows = result.advice->rows;
  const auto smooth = std::find_if(rows.begin(), rows.end(), [](const study::AdviceRow& row) {
    return row.changes.front().kind == study::ChangeKind::smooth_elbow;
  });
  ASSERT_NE(smooth, rows.end());
  const auto by_hand =
      study::check(read(run("{type: smooth-radius, turn: back, radius_ratio: 1.5}")), catalogue());
  ASSERT_TRUE(by_hand);
  ASSERT_EQ(smooth->speeds.size(), 2U);
  EXPECT_EQ(smooth->speeds[0].airflow_m3_s, by_hand->speeds[0].point.airflow_m3_s);
  EXPECT_EQ(smooth->speeds[1].airflow_m3_s, by_hand->speeds[1].point.airflow_m3_s);
}

TEST(Advice, the_greatest_gain_comes_first_and_none_is_nothing) {
  const study::CheckResult& result = poor();
  const auto& rows = result.advice->rows;
  ASSERT_GT(rows.size(), 8U);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    EXPECT_GE(rows[i].speeds.front().gain_m3_s, study::kLeastGainM3S);
    if (i > 0) {
      EXPECT_LE(rows[i].speeds.front().gain_m3_s, rows[i - 1].speeds.front().gain_m3_s);
    }
  }
  EXPECT_GT(result.advice->tried, rows.size());
}

TEST(Advice, knows_more_than_eight_kinds_of_change) {
  std::set<std::string> kinds;
  const auto collect = [&](const study::CheckResult& result) {
    for (const study::AdviceRow& row : result.advice->rows) {
      kinds.insert(word(row.changes.front().kind));
    }
  };
  collect(poor());
  collect(advised(kitchen("10 x 3-1/4 in", R"(run:
  heading: up
  pieces: [{straight: 2 ft}, {elbow: back}, {straight: 3 ft}, {cap: {type: louver, free_area: 40 %}}]
)")));
  collect(advised(kitchen("8 in round", R"(run:
  section: 6 in round
  heading: up
  pieces:
    - straight: 2 ft
    - elbow: left
    - straight: 2 ft
    - elbow: up
    - cap: {type: conical-rain-cap, gap_ratio: 0.3}
)")));
  for (const char* kind : {"larger-duct",
                           "collar-size",
                           "smooth-elbow",
                           "longer-radius",
                           "vaned-elbow",
                           "two-elbows",
                           "no-offset",
                           "other-cap",
                           "wider-cap",
                           "rigid-duct",
                           "stretched-flex",
                           "shorter-duct",
                           "damper-out",
                           "screen-out",
                           "gradual-transition"}) {
    EXPECT_EQ(kinds.count(kind), 1U) << kind;
  }
}

TEST(Advice, the_best_pair_is_better_than_each_alone_and_can_be_made) {
  const study::CheckResult& result = poor();
  ASSERT_TRUE(result.advice->best_pair);
  const study::AdviceRow& pair = *result.advice->best_pair;
  ASSERT_EQ(pair.changes.size(), 2U);
  EXPECT_GT(pair.speeds.front().airflow_m3_s,
            result.advice->rows.front().speeds.front().airflow_m3_s);
  for (const std::size_t piece : pair.changes[0].pieces) {
    const auto& other = pair.changes[1].pieces;
    EXPECT_EQ(std::count(other.begin(), other.end(), piece), 0);
  }
}

TEST(Advice, says_what_a_change_would_break) {
  const study::CheckResult result = advised(
      kitchen("8 in round",
              "run: {heading: up, pieces: [{straight: 6 ft}, {elbow: left}, {elbow: up}, {cap: "
              "roof-hood-flap}]}\n"));
  const auto& rows = result.advice->rows;
  const auto cap = std::find_if(rows.begin(), rows.end(), [](const study::AdviceRow& row) {
    return row.changes.front().kind == study::ChangeKind::other_cap;
  });
  ASSERT_NE(cap, rows.end());
  EXPECT_TRUE(std::any_of(cap->brings.begin(), cap->brings.end(), [](const auto& finding) {
    return finding.code == "no-backdraft-damper";
  }));
}

TEST(Advice, a_dryers_duct_keeps_its_size) {
  const study::CheckResult result = advised(R"(layout: 1
appliance: {kind: clothes-dryer, collar: 4 in round}
fan: {speeds: [{name: dry, curve: {airflow: 0 60 110 150 200 cfm, pressure: 1.6 1.5 1.2 0.8 0 inH2O}}]}
run: {pieces: [{straight: 9 ft}, {elbow: {angle: 90 deg}}, {straight: 9 ft}, {cap: wall-hood-flap}]}
)");
  EXPECT_FALSE(result.advice->rows.empty());
  for (const study::AdviceRow& row : result.advice->rows) {
    EXPECT_NE(row.changes.front().kind, study::ChangeKind::larger_duct);
    EXPECT_NE(row.changes.front().kind, study::ChangeKind::fan_moved);
  }
}

TEST(Advice, without_a_fan_pressures_are_compared_at_the_required_airflow) {
  const auto run = [](const std::string& elbow) {
    return "layout: 1\nappliance: {required_airflow: 300 cfm, collar: 6 in round}\nrun: {heading: "
           "up, pieces: [{straight: 4 ft}, {elbow: " +
           elbow + "}, {cap: wall-hood-flap}]}\n";
  };
  const study::CheckResult result = advised(run("{type: mitered, turn: back}"));
  const auto& rows = result.advice->rows;
  const auto smooth = std::find_if(rows.begin(), rows.end(), [](const study::AdviceRow& row) {
    return row.changes.front().kind == study::ChangeKind::smooth_elbow;
  });
  ASSERT_NE(smooth, rows.end());
  const auto by_hand =
      study::check(read(run("{type: smooth-radius, turn: back, radius_ratio: 1.5}")), catalogue());
  ASSERT_TRUE(by_hand);
  const auto at_required = [](const study::CheckResult& of) {
    return std::find_if(of.resistance.begin(),
                        of.resistance.end(),
                        [](const auto& point) { return point.at_required; })
        ->total_pressure_pa;
  };
  EXPECT_EQ(smooth->pressure_pa, at_required(*by_hand));
  EXPECT_EQ(smooth->pressure_saved_pa, at_required(result) - at_required(*by_hand));
}

TEST(Advice, says_why_nothing_can_be_compared) {
  EXPECT_FALSE(advised("layout: 1\nrun: {section: 6 in round, pieces: [{straight: 4 ft}]}\n")
                   .advice->why_not.empty());
  // A curve that rises bounds nothing beyond its end, and so gives no estimate to work with.
  EXPECT_FALSE(advised(R"(layout: 1
fan: {speeds: [{name: on, curve: {airflow: 0 50 100 cfm, pressure: 0.8 0.9 0.85 inH2O}}]}
run: {section: 8 in round, pieces: [{straight: 4 ft}, {cap: wall-hood-flap}]}
)")
                   .advice->why_not.empty());
}

TEST(NominalRoute, is_the_route_written_out) {
  const std::string site = "layout: 1\nsite: {elevation: 1200 ft, wind: 10 mph}\n";
  const std::string text = kitchen("8 in round",
                                   "run: {heading: up, pieces: [{straight: 20 ft}, {cap: "
                                   "roof-hood-flap}]}\n");
  const study::CheckResult result = advised(site + text.substr(text.find('\n') + 1));
  ASSERT_TRUE(result.nominal);
  const std::string nominal = kitchen("8 in round", R"(run:
  pieces:
    - straight: 10 ft
    - elbow: {type: smooth-radius, radius_ratio: 1.5, angle: 90 deg}
    - elbow: {type: smooth-radius, radius_ratio: 1.5, angle: 90 deg}
    - cap: wall-hood-flap
)");
  const auto by_hand = study::check(
      read("layout: 1\nsite: {elevation: 1200 ft}\n" + nominal.substr(nominal.find('\n') + 1)),
      catalogue());
  ASSERT_TRUE(by_hand);
  for (std::size_t i = 0; i < 2; ++i) {
    ASSERT_TRUE(result.nominal->speeds[i]);
    const study::NominalSpeed& speed = *result.nominal->speeds[i];
    EXPECT_EQ(speed.airflow_m3_s, by_hand->speeds[i].point.airflow_m3_s);
    EXPECT_EQ(speed.difference_m3_s,
              result.speeds[i].point.airflow_m3_s - by_hand->speeds[i].point.airflow_m3_s);
  }
  EXPECT_EQ(result.nominal->elbow, "elbow/smooth-radius/round");
  EXPECT_EQ(result.nominal->cap, "cap/wall-hood-flap");
}

TEST(NominalRoute, is_left_out_where_it_means_nothing) {
  EXPECT_FALSE(
      advised("layout: 1\nrun: {section: 6 in round, pieces: [{straight: 4 ft}]}\n").nominal);
  EXPECT_FALSE(
      advised(kitchen("6 in round", "run: {pieces: [{entry: flanged}, {straight: 4 ft}, fan]}\n"))
          .nominal);
}

// A tight house with a water heater that draws its air from the room.
TEST(Advice, a_row_tells_what_the_change_does_to_the_house) {
  const study::CheckResult result =
      advised(kitchen("8 in round",
                      "run:\n  section: 6 in round\n  heading: up\n  pieces:\n    - transition: "
                      "6 in round\n    - straight: 12 ft\n    - elbow: {type: mitered, turn: "
                      "back}\n    - straight: 4 ft\n    - cap: wall-hood-flap\n") +
              "house: {leakage: {airflow: 700 cfm, at: 50 Pa}, combustion: [{kind: "
              "natural-draft-water-heater}]}\n");
  ASSERT_TRUE(result.advice);
  ASSERT_TRUE(result.advice->limit_pa);
  ASSERT_FALSE(result.advice->rows.empty());
  EXPECT_NEAR(*result.advice->depressurisation_pa,
              result.speeds.front().house->judged_depressurisation_pa,
              1e-9);
  for (const study::AdviceRow& row : result.advice->rows) {
    auto changed = study::with_changes(result.layout, row);
    ASSERT_TRUE(changed);
    const auto checked = study::check(*std::move(changed), catalogue());
    ASSERT_TRUE(checked);
    ASSERT_TRUE(row.depressurisation_pa);
    EXPECT_NEAR(
        *row.depressurisation_pa, checked->speeds.front().house->judged_depressurisation_pa, 1e-6);
    EXPECT_EQ(row.over_limit, *row.depressurisation_pa > *result.advice->limit_pa);
  }
}

}  // namespace
}  // namespace ductledger::study
