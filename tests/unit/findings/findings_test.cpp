#include <gtest/gtest.h>

#include <algorithm>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "base/diagnostic.hpp"
#include "base/source.hpp"
#include "findings/finding.hpp"
#include "fitting/catalogue.hpp"
#include "layout/layout.hpp"
#include "study/check.hpp"
#include "units/message.hpp"
#include "units/quantity.hpp"

/// Each finding appears on a layout made to cause it and is silent on its near neighbour. The
/// layouts and fans are invented.
namespace {

using ductledger::base::SourceText;
using ductledger::findings::Finding;
using ductledger::findings::Level;
using ductledger::fitting::Catalogue;
using ductledger::units::System;

/// Too weak to come near any makeup air threshold, band and all.
const std::string kQuietFan =
    "  speeds:\n    - {name: high, curve: {airflow: 0 120 240 cfm, pressure: 0.5 0.4 0 inH2O}}\n";
constexpr const char* kFan =
    "  speeds:\n"
    "    - name: high\n"
    "      curve: {airflow: 0 150 260 330 380 cfm, pressure: 0.95 0.88 0.66 0.32 0 inH2O}\n";
constexpr const char* kStrongFan =
    "  speeds:\n"
    "    - name: high\n"
    "      curve: {airflow: 0 250 450 600 680 cfm, pressure: 1.95 1.88 1.66 1.32 0 inH2O}\n";
constexpr const char* kHumpedFan =
    "  speeds:\n"
    "    - name: high\n"
    "      curve: {airflow: 0 60 120 200 260 320 380 cfm, pressure: 110 95 100 108 95 60 0 Pa}\n";

constexpr const char* kFourElbows =
    "    - straight: 3 ft\n"
    "    - elbow: {type: smooth-radius, source: idelchik, turn: back, radius_ratio: 1.0}\n    - "
    "straight: 3 ft\n"
    "    - elbow: {type: smooth-radius, source: idelchik, turn: up, radius_ratio: 1.0}\n    - "
    "straight: 3 ft\n"
    "    - elbow: {type: smooth-radius, source: idelchik, turn: back, radius_ratio: 1.0}\n    - "
    "straight: 3 ft\n"
    "    - elbow: {type: smooth-radius, source: idelchik, turn: up, radius_ratio: 1.0}\n    - "
    "straight: 3 ft\n";

/// The parts of a layout; what a case does not name is the quiet one.
struct Parts {
  std::string site = "{elevation: 0 ft}";
  std::string appliance = "{kind: range-hood, collar: 8 in round, includes: [filter, damper]}";
  std::string fan = kFan;
  std::string run = "  section: 8 in round\n  material: galvanized-steel\n  heading: up\n";
  std::string pieces = "    - straight: 6 ft\n    - cap: wall-hood-flap\n";
};

std::string text_of(const Parts& parts) {
  std::string text =
      "layout: 1\ntitle: A test\nsite: " + parts.site + "\nappliance: " + parts.appliance + "\n";
  if (!parts.fan.empty()) {
    text += "fan:\n" + parts.fan;
  }
  return text + "run:\n" + parts.run + "  pieces:\n" + parts.pieces;
}

std::vector<Finding> findings_of(const Parts& parts) {
  const Catalogue& catalogue = Catalogue::built_in();
  const std::string text = text_of(parts);
  auto layout =
      ductledger::layout::read(std::make_shared<const SourceText>("test.yaml", text), catalogue);
  if (!layout) {
    ADD_FAILURE() << text << ductledger::base::render(layout.error());
    return {};
  }
  const auto result = ductledger::study::check(std::move(layout).value(), catalogue);
  if (!result) {
    ADD_FAILURE() << text << ductledger::base::render(result.error());
    return {};
  }
  return result->findings;
}

const Finding* find(const std::vector<Finding>& findings, const std::string& code) {
  const auto found = std::find_if(findings.begin(), findings.end(), [&](const Finding& finding) {
    return finding.code == code;
  });
  return found == findings.end() ? nullptr : &*found;
}

std::string codes(const std::vector<Finding>& findings) {
  std::string all;
  for (const Finding& finding : findings) {
    all += finding.code + ": " + finding.message.text(System::ip) + "\n";
  }
  return all;
}

struct Row {
  const char* code;
  Level level;
  Parts causes;
  Parts silent;
};

void PrintTo(const Row& row, std::ostream* out) { *out << row.code; }

std::string hood(const std::string& more) {
  return "{kind: range-hood, collar: 8 in round, includes: [filter, damper], " + more + "}";
}

std::string run_of(const std::string& section) {
  return "  section: " + section + "\n  material: galvanized-steel\n  heading: up\n";
}

std::string rated(const std::string& ratings) {
  return "  speeds:\n    - {name: high, rated: " + ratings + "}\n";
}

const std::vector<Row>& rows() {
  static const std::vector<Row> all{
      {"delivered-below-required",
       Level::fail,
       {.appliance = hood("required_airflow: 600 cfm")},
       {.appliance = hood("required_airflow: 200 cfm")}},
      {"no-flow", Level::fail, {.site = "{wind: 70 mph}"}, {.site = "{wind: 10 mph}"}},
      {"operating-point-beyond-curve",
       Level::warn,
       {.fan = "  speeds:\n    - {name: high, curve: {airflow: 0 100 150 cfm, pressure: 0.9 0.8 "
               "0.7 inH2O}}\n"},
       {}},
      {"operating-point-below-curve",
       Level::warn,
       {.fan = "  speeds:\n    - {name: high, curve: {airflow: 200 250 300 cfm, pressure: 0.5 0.3 "
               "0 inH2O}}\n",
        .pieces =
            "    - straight: 6 ft\n    - loss: {coefficient: 60}\n    - cap: wall-hood-flap\n"},
       {.fan = "  speeds:\n    - {name: high, curve: {airflow: 0 250 300 cfm, pressure: 0.5 0.3 0 "
               "inH2O}}\n",
        .pieces =
            "    - straight: 6 ft\n    - loss: {coefficient: 60}\n    - cap: wall-hood-flap\n"}},
      {"several-operating-points",
       Level::warn,
       {.site = "{wind: 15.2 m/s}",
        .fan = kHumpedFan,
        .pieces = "    - straight: 1 ft\n    - loss: {coefficient: 1.5}\n"
                  "    - cap: {type: wall-hood-flap, coefficient: 1.0}\n"},
       {.fan = kHumpedFan,
        .pieces = "    - straight: 1 ft\n    - loss: {coefficient: 1.5}\n"
                  "    - cap: {type: wall-hood-flap, coefficient: 1.0}\n"}},
      {"blowers-share-unequally",
       Level::warn,
       {.fan = "  count: 2\n" + std::string(kHumpedFan),
        .pieces = "    - loss: {pressure: 100 Pa, at: 250 cfm}\n    - cap: wall-hood-flap\n"},
       {.fan = "  count: 2\n" + std::string(kHumpedFan),
        .pieces = "    - loss: {pressure: 20 Pa, at: 250 cfm}\n    - cap: wall-hood-flap\n"}},
      {"fan-not-determined",
       Level::warn,
       {.fan = rated("{airflow: 300 cfm, pressure: 0 inH2O}")},
       {.fan = rated("[{airflow: 300 cfm, pressure: 0.1 inH2O}, "
                     "{airflow: 240 cfm, pressure: 0.25 inH2O}]")}},
      {"every-speed-locked-out",
       Level::warn,
       {.appliance = hood("required_airflow: 200 cfm"),
        .fan = "  speeds:\n    - {name: high, rated: 300 cfm, locked_out: yes}\n"},
       {.fan = "  speeds:\n    - {name: high, rated: 300 cfm, locked_out: yes}\n"
               "    - {name: low, rated: 200 cfm}\n"}},
      {"fan-point-alone",
       Level::warn,
       {.fan = "  speeds:\n    - {name: high, curve: {airflow: 0 150 260 330 380 cfm, pressure: "
               "0.95 8.8 0.66 0.32 0 inH2O}}\n"},
       {.fan = kHumpedFan}},
      {"fan-point-alone",
       Level::warn,
       {.fan = "  speeds:\n    - {name: high, curve: {airflow: 0 150 260 330 380 cfm, pressure: "
               "0.95 0.88 0.066 0.32 0 inH2O}}\n"},
       {.fan = "  speeds:\n    - {name: high, curve: {airflow: 0 150 260 330 380 cfm, pressure: "
               "0.95 0.28 0.26 0.02 0 inH2O}}\n"}},
      {"rating-off-curve",
       Level::warn,
       {.fan = "  speeds:\n    - name: high\n      rated: {airflow: 200 cfm, pressure: 0.1 inH2O}\n"
               "      curve: {airflow: 0 150 260 330 380 cfm, pressure: 0.95 0.88 0.66 0.32 0 "
               "inH2O}\n"},
       {.fan = "  speeds:\n    - name: high\n      rated: {airflow: 370 cfm, pressure: 0.1 inH2O}\n"
               "      curve: {airflow: 0 150 260 330 380 cfm, pressure: 0.95 0.88 0.66 0.32 0 "
               "inH2O}\n"}},
      {"rating-off-curve",
       Level::warn,
       {.fan = "  speeds:\n    - name: high\n      rated: {airflow: 200 cfm, pressure: 1.5 inH2O}\n"
               "      curve: {airflow: 0 150 260 330 cfm, pressure: 0.95 0.88 0.66 0.32 inH2O}\n"},
       {.fan = "  speeds:\n    - name: high\n      rated: 380 cfm\n"
               "      curve: {airflow: 0 150 260 330 cfm, pressure: 0.95 0.88 0.66 0.32 inH2O}\n"}},
      {"makeup-air-needed", Level::warn, {.fan = kStrongFan}, {.fan = kQuietFan}},
      {"discharges-into-room",
       Level::warn,
       {.run = run_of("8 in round") + "  discharge: room\n", .pieces = "    - straight: 1 ft\n"},
       {}},
      {"flexible-duct",
       Level::warn,
       {.pieces = "    - flex: {length: 3 ft, stretched: 100 %}\n    - cap: wall-hood-flap\n"},
       {}},
      {"flexible-duct",
       Level::warn,
       {.appliance = "{kind: bath-fan, collar: 8 in round, includes: [damper]}",
        .pieces = "    - flex: {length: 3 ft, stretched: 85 %}\n    - cap: wall-hood-flap\n"},
       {.appliance = "{kind: bath-fan, collar: 8 in round, includes: [damper]}",
        .pieces = "    - flex: {length: 3 ft, stretched: 92 %}\n    - cap: wall-hood-flap\n"}},
      {"no-backdraft-damper",
       Level::warn,
       {.appliance = "{kind: range-hood, collar: 8 in round, includes: [filter]}",
        .pieces = "    - straight: 6 ft\n    - cap: conical-rain-cap\n"},
       {.appliance = "{kind: range-hood, collar: 8 in round, includes: [filter]}"}},
      {"no-cap",
       Level::warn,
       {.pieces = "    - straight: 6 ft\n"},
       {.pieces = "    - straight: 6 ft\n    - fan\n"}},
      {"run-passes-through-itself",
       Level::warn,
       {.pieces = "    - straight: 6 ft\n    - elbow: right\n    - straight: 3 ft\n"
                  "    - elbow: down\n    - straight: 2 ft\n    - elbow: left\n"
                  "    - straight: 6 ft\n    - cap: wall-hood-flap\n"},
       {.pieces = "    - straight: 6 ft\n    - elbow: right\n    - straight: 3 ft\n"
                  "    - elbow: down\n    - straight: 2 ft\n    - elbow: back\n"
                  "    - straight: 6 ft\n    - cap: wall-hood-flap\n"}},
      {"cap-ends-inside",
       Level::warn,
       {.appliance = hood("collar_at: {from_wall: 30 in}"),
        .pieces = "    - straight: 2 ft\n    - elbow: back\n    - straight: 1 ft\n"
                  "    - cap: wall-hood-flap\n"},
       {.appliance = hood("collar_at: {from_wall: 12 in}"),
        .pieces = "    - straight: 2 ft\n    - elbow: back\n    - straight: 1 ft\n"
                  "    - cap: wall-hood-flap\n"}},
      {"cap-against-heading",
       Level::note,
       {.pieces = "    - straight: 6 ft\n    - elbow: back\n    - cap: conical-rain-cap\n"},
       {.pieces = "    - straight: 6 ft\n    - elbow: back\n    - cap: wall-hood-flap\n"}},
      {"abrupt-change-at-collar",
       Level::warn,
       {.run = run_of("7 in round")},
       {.run = run_of("7 in round"),
        .pieces = "    - transition: {to: 7 in round, length: 8 in}\n    - straight: 6 ft\n"
                  "    - cap: wall-hood-flap\n"}},
      {"section-smaller-than-collar",
       Level::warn,
       {.pieces = "    - transition: {to: 10 x 4 in, length: 8 in}\n    - straight: 6 ft\n"
                  "    - cap: {type: wall-hood-flap, coefficient: 2}\n"},
       {.pieces = "    - transition: {to: 10 x 5 in, length: 8 in}\n    - straight: 6 ft\n"
                  "    - cap: {type: wall-hood-flap, coefficient: 2}\n"}},
      {"section-shrinks",
       Level::note,
       {.pieces = "    - transition: {to: 10 in round, length: 8 in}\n    - straight: 6 ft\n"
                  "    - transition: {to: 8 in round, length: 8 in}\n    - cap: wall-hood-flap\n"},
       {.pieces = "    - transition: {to: 10 in round, length: 8 in}\n    - straight: 6 ft\n"
                  "    - cap: wall-hood-flap\n"}},
      {"duct-undersized",
       Level::note,
       {.appliance = "{kind: range-hood, collar: 5 in round, includes: [filter, damper]}",
        .run = run_of("5 in round"),
        .pieces = "    - straight: 20 ft\n    - cap: wall-hood-flap\n"},
       {}},
      {"share-of-rated-low",
       Level::warn,
       {.fan = std::string(kFan) + "      rated: {airflow: 340 cfm, pressure: 0.1 inH2O}\n",
        .pieces =
            "    - straight: 6 ft\n    - loss: {coefficient: 30}\n    - cap: wall-hood-flap\n"},
       {.fan = std::string(kFan) + "      rated: {airflow: 340 cfm, pressure: 0.1 inH2O}\n"}},
      {"share-of-rated-low",
       Level::note,
       {.pieces =
            "    - straight: 6 ft\n    - loss: {coefficient: 30}\n    - cap: wall-hood-flap\n"},
       {}},
      {"share-of-rated-low",
       Level::warn,
       {.fan = rated("[{airflow: 300 cfm, pressure: 0.1 inH2O}, "
                     "{airflow: 200 cfm, pressure: 0.25 inH2O}]"),
        .pieces =
            "    - straight: 6 ft\n    - loss: {coefficient: 60}\n    - cap: wall-hood-flap\n"},
       {.fan = rated("[{airflow: 300 cfm, pressure: 0.1 inH2O}, "
                     "{airflow: 240 cfm, pressure: 0.25 inH2O}]"),
        .pieces =
            "    - straight: 6 ft\n    - loss: {coefficient: 60}\n    - cap: wall-hood-flap\n"}},
      {"velocity-high",
       Level::note,
       {.fan = kStrongFan,
        .pieces = "    - straight: 6 ft\n    - cap: {type: wall-hood-flap, coefficient: 1.5}\n"},
       {}},
      {"velocity-high",
       Level::note,
       {.pieces = "    - transition: {to: 10 x 5 in, length: 8 in}\n    - straight: 6 ft\n"
                  "    - cap: {type: wall-hood-flap, coefficient: 1.5}\n"},
       {.pieces = "    - transition: {to: 10 x 5 in, length: 8 in}\n"
                  "    - straight: {length: 6 ft, through: attic}\n"
                  "    - cap: {type: wall-hood-flap, coefficient: 1.5}\n"}},
      {"elbow-close-to-collar",
       Level::warn,
       {.pieces = "    - straight: 4 in\n    - elbow: back\n    - cap: wall-hood-flap\n"},
       {.pieces = "    - straight: 20 in\n    - elbow: back\n    - cap: wall-hood-flap\n"}},
      {"remote-fan-entry-missing",
       Level::warn,
       {.pieces =
            "    - straight: 6 ft\n    - fan\n    - straight: 1 ft\n    - cap: wall-hood-flap\n"},
       {.pieces = "    - entry: plain\n    - filter: {pressure: 10 Pa, at: 300 cfm, law: square}\n"
                  "    - straight: 6 ft\n    - fan\n    - straight: 1 ft\n"
                  "    - cap: wall-hood-flap\n"}},
      {"capture-airflow-low",
       Level::note,
       {.appliance = hood("cooking: {width: 48 in, mount: wall}")},
       {.appliance = hood("cooking: {width: 24 in, mount: wall}")}},
      {"capture-airflow-low",
       Level::warn,
       {.appliance = hood("cooking: {width: 96 in, mount: island}")},
       {.appliance = hood("cooking: {width: 96 in, mount: under-cabinet}")}},
      {"capture-airflow-low",
       Level::warn,
       {.appliance = hood("cooking: {width: 96 in, mount: island}"),
        .fan = rated("{airflow: 150 cfm, pressure: 0.05 inH2O}")},
       {.appliance = hood("cooking: {width: 24 in, mount: wall}"),
        .fan = rated("{airflow: 240 cfm, pressure: 0.25 inH2O}")}},
      {"airflow-below-measured-hoods",
       Level::note,
       {.fan = rated("{airflow: 240 cfm, pressure: 0.25 inH2O}"),
        .pieces =
            "    - straight: 6 ft\n    - loss: {coefficient: 60}\n    - cap: wall-hood-flap\n"},
       {.fan = rated("{airflow: 240 cfm, pressure: 0.25 inH2O}")}},
      {"duct-undersized",
       Level::note,
       {.appliance = "{kind: range-hood, collar: 5 in round, includes: [filter, damper]}",
        .fan = rated("[{airflow: 300 cfm, pressure: 0.1 inH2O}, "
                     "{airflow: 240 cfm, pressure: 0.25 inH2O}]"),
        .run = run_of("5 in round"),
        .pieces = "    - straight: 20 ft\n    - cap: wall-hood-flap\n"},
       {.fan = rated("[{airflow: 300 cfm, pressure: 0.1 inH2O}, "
                     "{airflow: 240 cfm, pressure: 0.25 inH2O}]")}},
      {"airflow-below-measured-hoods",
       Level::note,
       {.pieces =
            "    - straight: 6 ft\n    - loss: {coefficient: 60}\n    - cap: wall-hood-flap\n"},
       {}},
      {"outside-table-range",
       Level::warn,
       {.appliance = "{kind: bath-fan, collar: 4 in round, includes: [damper]}",
        .run = run_of("4 in round"),
        .pieces = "    - flex: {length: 2 in, stretched: 95 %}\n    - cap: wall-hood-flap\n"},
       {.appliance = "{kind: bath-fan, collar: 4 in round, includes: [damper]}",
        .run = run_of("4 in round"),
        .pieces = "    - flex: {length: 2 in, stretched: 100 %}\n    - cap: wall-hood-flap\n"}},
      {"reynolds-outside-range",
       Level::note,
       {.fan =
            "  speeds:\n"
            "    - {name: high, curve: {airflow: 0 100 140 cfm, pressure: 0.02 0.015 0 inH2O}}\n",
        .pieces = std::string(kFourElbows) + "    - cap: {type: wall-hood-flap, coefficient: 1}\n"},
       {.fan = kStrongFan,
        .pieces =
            std::string(kFourElbows) + "    - cap: {type: wall-hood-flap, coefficient: 1}\n"}},
      {"memory-figures",
       Level::note,
       {.pieces = "    - straight: 6 ft\n    - cap: conical-rain-cap\n"},
       {.pieces = "    - straight: 6 ft\n    - cap: {type: conical-rain-cap, coefficient: 1.4}\n"}},
      {"fan-shape-assumed",
       Level::note,
       {.fan = "  speeds:\n    - {name: high, curve: {airflow: 100 300 cfm, pressure: 0.5 0.02 "
               "inH2O}}\n"},
       {}},
      {"idle-blowers-taken-as-shut", Level::note, {.fan = "  count: 2\n" + std::string(kFan)}, {}},
      {"assumed-figures",
       Level::note,
       {.pieces = "    - straight: 1 ft\n    - cap: soffit-vent\n"},
       {.pieces = "    - straight: 1 ft\n    - cap: {type: soffit-vent, coefficient: 2}\n"}},
      {"stack-not-counted",
       Level::note,
       {.site = "{outdoor: {temperature: 20 degF}}",
        .run = "  section: 8 in round\n  material: galvanized-steel\n"},
       {.site = "{outdoor: {temperature: 20 degF}}",
        .run = "  section: 8 in round\n  material: galvanized-steel\n  rise: 6 ft\n"}},
      {"layout-remark",
       Level::note,
       {.pieces =
            "    - straight: 6 ft\n    - elbow: {angle: 45 deg}\n    - cap: wall-hood-flap\n"},
       {.pieces = "    - straight: 6 ft\n    - elbow: {turn: back, angle: 45 deg}\n"
                  "    - cap: wall-hood-flap\n"}},
  };
  return all;
}

class OneFinding : public testing::TestWithParam<Row> {};

TEST_P(OneFinding, AppearsWhereCausedAndNotNextToIt) {
  const Row& row = GetParam();
  const std::vector<Finding> caused = findings_of(row.causes);
  const Finding* found = find(caused, row.code);
  ASSERT_NE(found, nullptr) << row.code << " is missing in\n" << codes(caused);
  EXPECT_EQ(found->level, row.level) << found->message.text(System::ip);
  const std::vector<Finding> near = findings_of(row.silent);
  const Finding* cried = find(near, row.code);
  EXPECT_EQ(cried, nullptr) << cried->message.text(System::ip);
}

INSTANTIATE_TEST_SUITE_P(Review, OneFinding, testing::ValuesIn(rows()), [](const auto& named) {
  std::string name = named.param.code;
  std::replace(name.begin(), name.end(), '-', '_');
  return name + "_" + std::to_string(named.index);
});

TEST(Findings, EveryCheckHasATextAndItsOwnCode) {
  std::set<std::string> seen;
  for (const ductledger::findings::Check& check : ductledger::findings::checks()) {
    EXPECT_TRUE(seen.insert(check.code).second) << check.code;
    EXPECT_FALSE(std::string(check.title).empty()) << check.code;
    EXPECT_FALSE(std::string(check.what).empty()) << check.code;
    EXPECT_FALSE(std::string(check.source).empty()) << check.code;
  }
}

TEST(Findings, MessagesReadInBothUnitSystemsWithoutFullStop) {
  for (const Row& row : rows()) {
    for (const Finding& finding : findings_of(row.causes)) {
      for (const System system : {System::ip, System::si}) {
        const std::string text = finding.message.text(system);
        ASSERT_FALSE(text.empty()) << finding.code;
        EXPECT_NE(text.back(), '.') << text;
        EXPECT_EQ(text.find('{'), std::string::npos) << text;
      }
      EXPECT_EQ(finding.message.text(System::si).find("cfm"), std::string::npos) << finding.code;
      EXPECT_FALSE(finding.source.empty()) << finding.code;
    }
  }
}

TEST(Findings, TheBandOfTwoShapesThatStraddlesTheRequirementIsNotShown) {
  const auto with_required = [](double required_cfm) {
    return Parts{
        .appliance = hood("required_airflow: " + std::to_string(required_cfm) + " cfm"),
        .fan =
            "  speeds:\n"
            "    - {name: high, curve: {airflow: 100 300 cfm, pressure: 0.5 0.1 inH2O}}\n",
        .pieces =
            "    - straight: 6 ft\n    - loss: {coefficient: 6}\n    - cap: wall-hood-flap\n"};
  };
  const std::vector<Finding> all = findings_of(with_required(100.0));
  EXPECT_EQ(find(all, "delivered-below-required"), nullptr);
  const Finding* shapes = find(all, "fan-shape-assumed");
  ASSERT_NE(shapes, nullptr);
  ASSERT_EQ(shapes->observed.size(), 2U) << shapes->message.text(System::ip);
  const double a_cfm = shapes->observed[0].value / ductledger::units::kM3SPerCfm;
  const double b_cfm = shapes->observed[1].value / ductledger::units::kM3SPerCfm;
  const Finding* found = nullptr;

  const std::vector<Finding> between = findings_of(with_required((a_cfm + b_cfm) / 2.0));
  ASSERT_NE(found = find(between, "delivered-below-required"), nullptr);
  EXPECT_EQ(found->level, Level::warn);
  EXPECT_NE(found->message.text(System::ip).find("not shown"), std::string::npos);

  const std::vector<Finding> above = findings_of(with_required(std::max(a_cfm, b_cfm) + 5.0));
  ASSERT_NE(found = find(above, "delivered-below-required"), nullptr);
  EXPECT_EQ(found->level, Level::fail);
}

TEST(Findings, AFlapTooStiffForTheFanIsWhatItDoesNotStartAgainst) {
  const std::vector<Finding> all = findings_of(
      {.fan = "  speeds:\n    - {name: high, curve: {airflow: 0 200 400 cfm, pressure: 0.5 0.4 0 "
              "inH2O}}\n",
       .pieces = "    - damper: {type: backdraft-flap, opening_pressure: 0.7 inH2O}\n"
                 "    - straight: 6 ft\n    - cap: {type: wall-hood-flap, coefficient: 1.5}\n"});
  const Finding* found = find(all, "no-flow");
  ASSERT_NE(found, nullptr) << codes(all);
  EXPECT_NE(found->message.text(System::ip).find("against 0.700 inH2O"), std::string::npos)
      << found->message.text(System::ip);
}

TEST(Findings, ExactlyTheMakeupThresholdIsNotOverIt) {
  const auto ending_at = [](const std::string& last_cfm) {
    return Parts{.fan = "  speeds:\n    - {name: high, curve: {airflow: 0 200 " + last_cfm +
                        " cfm, pressure: 0.5 0.4 0 inH2O}}\n"};
  };
  // Its band reaches over the threshold, so that is not shown; it is not said to be over it.
  const std::vector<Finding> at = findings_of(ending_at("400"));
  if (const Finding* open = find(at, "makeup-air-needed")) {
    EXPECT_EQ(open->message.text(System::ip).find("just over"), std::string::npos)
        << open->message.text(System::ip);
  }
  const std::vector<Finding> over = findings_of(ending_at("400.1"));
  const Finding* found = find(over, "makeup-air-needed");
  ASSERT_NE(found, nullptr);
  EXPECT_NE(found->message.text(System::ip).find("just over 400 cfm"), std::string::npos)
      << found->message.text(System::ip);
}

TEST(Findings, MakeupAirIsJudgedByWhatMayRunAndDischargesOutdoors) {
  const std::string locked =
      "  speeds:\n    - {name: low, curve: {airflow: 0 200 380 cfm, pressure: 0.5 0.4 0 inH2O}}\n"
      "    - {name: boost, curve: {airflow: 0 300 700 cfm, pressure: 0.9 0.7 0 inH2O}, "
      "locked_out: LOCKED}\n";
  const auto with = [&](const std::string& word) {
    std::string fan = locked;
    fan.replace(fan.find("LOCKED"), 6, word);
    return Parts{.appliance = hood("nameplate_airflow: 700 cfm"), .fan = fan};
  };
  EXPECT_EQ(find(findings_of(with("true")), "makeup-air-needed"), nullptr);
  const std::vector<Finding> open = findings_of(with("false"));
  const Finding* found = find(open, "makeup-air-needed");
  ASSERT_NE(found, nullptr);
  EXPECT_EQ(found->observed.size(), 3U);  // nameplate, rated, delivered side by side

  Parts room{.fan = kStrongFan, .run = run_of("8 in round") + "  discharge: room\n"};
  EXPECT_EQ(find(findings_of(room), "makeup-air-needed"), nullptr);
  Parts bath{.appliance = "{kind: exhaust, collar: 8 in round, includes: [damper]}",
             .fan = kStrongFan};
  EXPECT_EQ(find(findings_of(bath), "makeup-air-needed"), nullptr);
}

TEST(Findings, AWiderDuctThatMeetsTheRequirementIsAWarning) {
  const Parts parts{.appliance =
                        "{kind: range-hood, collar: 5 in round, includes: [filter, damper], "
                        "required_airflow: REQUIRED}",
                    .run = run_of("5 in round"),
                    .pieces = "    - straight: 20 ft\n    - cap: wall-hood-flap\n"};
  Parts first = parts;
  first.appliance.replace(first.appliance.find("REQUIRED"), 8, "50 cfm");
  const std::vector<Finding> met = findings_of(first);
  const Finding* found = find(met, "duct-undersized");
  ASSERT_NE(found, nullptr);
  EXPECT_EQ(found->level, Level::note);
  const double between_m3_s = (found->observed[0].value + found->observed[1].value) / 2.0;

  Parts second = parts;
  second.appliance.replace(
      second.appliance.find("REQUIRED"), 8, std::to_string(between_m3_s) + " m3/s");
  const std::vector<Finding> missed = findings_of(second);
  found = find(missed, "duct-undersized");
  ASSERT_NE(found, nullptr);
  EXPECT_EQ(found->level, Level::warn);
}

TEST(Findings, TheWiderDuctIsTheSameRunDrawnWider) {
  // The finding's own figure against a layout written out by hand.
  const Parts narrow{.appliance = "{kind: range-hood, collar: 6 in round, includes: [damper]}",
                     .run = run_of("6 in round"),
                     .pieces =
                         "    - straight: 20 ft\n    - elbow: back\n    - straight: 4 ft\n"
                         "    - cap: wall-hood-flap\n"};
  const Parts wide{.appliance =
                       "{kind: range-hood, collar: 6 in round, includes: [damper], "
                       "required_airflow: 5000 cfm}",
                   .run = run_of("6 in round"),
                   .pieces =
                       "    - transition: 7 in round\n    - straight: 20 ft\n"
                       "    - elbow: back\n    - straight: 4 ft\n    - cap: wall-hood-flap\n"};
  const std::vector<Finding> told = findings_of(narrow);
  const Finding* undersized = find(told, "duct-undersized");
  ASSERT_NE(undersized, nullptr) << codes(told);
  const std::vector<Finding> drawn = findings_of(wide);
  const Finding* delivered = find(drawn, "delivered-below-required");
  ASSERT_NE(delivered, nullptr);
  EXPECT_NEAR(undersized->observed[1].value, delivered->observed[0].value, 1e-9);
}

TEST(Findings, OtherSpeedsNeverRankAboveTheHeadlineSpeed) {
  const Parts parts{
      .appliance = hood("required_airflow: 600 cfm"),
      .fan = std::string(kFan) +
             "    - {name: low, curve: {airflow: 0 50 60 cfm, pressure: 0.9 0.8 0.7 "
             "inH2O}}\n    - {name: idle, curve: {airflow: 0 50 60 cfm, pressure: 0.9 "
             "0.8 0.7 inH2O}, locked_out: true}\n"};
  const std::vector<Finding> all = findings_of(parts);
  bool other = false;
  int count = 0;
  for (const Finding& finding : all) {
    other = other || !finding.other_speed.empty();
    count += finding.other_speed.empty() ? 0 : 1;
    EXPECT_EQ(other, !finding.other_speed.empty()) << finding.code;
  }
  EXPECT_EQ(count, 2) << codes(all);
  EXPECT_EQ(all.front().code, "delivered-below-required");
}

TEST(Findings, AQuietRunHasNothingButNotes) {
  for (const Finding& finding : findings_of({.fan = kQuietFan})) {
    EXPECT_EQ(finding.level, Level::note)
        << finding.code << ": " << finding.message.text(System::ip);
  }
}

TEST(Findings, DefaultsAreOneNoteThatNamesThem) {
  const std::vector<Finding> all =
      findings_of({.pieces = "    - straight: 6 ft\n    - elbow: back\n    - straight: 3 ft\n"
                             "    - elbow: up\n    - cap: wall-hood-flap\n"});
  const auto count = std::count_if(all.begin(), all.end(), [](const Finding& finding) {
    return finding.code == "defaults-taken";
  });
  ASSERT_EQ(count, 1);
  const std::string text = find(all, "defaults-taken")->message.text(System::ip);
  EXPECT_NE(text.find("elbow type"), std::string::npos) << text;
  EXPECT_NE(text.find("2, 4"), std::string::npos) << text;
  EXPECT_EQ(text.find("elevation"), std::string::npos) << text;
}

Finding of_house(const std::string& leakage, const std::string& combustion) {
  const std::vector<Finding> all = findings_of(
      {.run = run_of("8 in round"),
       .pieces = "    - straight: 6 ft\n    - cap: wall-hood-flap\nhouse:\n  leakage: {airflow: " +
                 leakage + ", at: 50 Pa}\n" + combustion});
  const Finding* found = find(all, "combustion-not-stated");
  if (found == nullptr) {
    found = find(all, "house-depressurised");
  }
  return found == nullptr ? Finding{} : *found;
}

TEST(Findings, WhatBurnsLeftOutLooksNoSaferThanStated) {
  const std::string heater = "  combustion: [{kind: natural-draft-water-heater}]\n";
  const Finding tight = of_house("600 cfm", "");
  EXPECT_EQ(tight.level, Level::warn);
  const std::string text = tight.message.text(System::ip);
  EXPECT_NE(text.find("over 2.0 Pa, the limit beside a natural-draft-water-heater"),
            std::string::npos)
      << text;
  EXPECT_NE(tight.source.find("2 Pa (memory)"), std::string::npos) << tight.source;
  const Finding stated = of_house("600 cfm", heater);
  EXPECT_EQ(stated.code, "house-depressurised");
  EXPECT_EQ(stated.level, Level::fail);
  EXPECT_EQ(stated.observed.front().value, tight.observed.front().value);
  const Finding leaky = of_house("12000 cfm", "");
  EXPECT_EQ(leaky.code, "combustion-not-stated");
  EXPECT_EQ(leaky.level, Level::note);
  EXPECT_TRUE(of_house("12000 cfm", heater).code.empty());
}

}  // namespace
