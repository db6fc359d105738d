#include "build/parts.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <vector>

#include "support/example_layout.hpp"

namespace ductledger::build {
namespace {

constexpr double kIn = 0.0254;
constexpr double kPi = 3.14159265358979323846;

build::PartsResult parts_of(layout::Layout layout, const build::PartsOptions& options = {}) {
  auto result = build::parts(std::move(layout), fitting::Catalogue::built_in(), options);
  EXPECT_TRUE(result) << (result ? "" : base::render(result.error()));
  return *std::move(result);
}

const build::PartLine* line(const build::PartsResult& result, const std::string& item) {
  for (const build::PartLine& one : result.bill) {
    if (one.item == item) {
      return &one;
    }
  }
  ADD_FAILURE() << "no " << item;
  return &result.bill.front();
}

/// Of all lines of an item; 0: it is not in the bill.
double quantity(const build::PartsResult& result, const std::string& item) {
  double sum = 0.0;
  for (const build::PartLine& one : result.bill) {
    sum += one.item == item ? one.quantity : 0.0;
  }
  return sum;
}

/// Steps and their cautions as one text.
std::string work(const build::PartsResult& result) {
  std::string text;
  for (const build::Step& step : result.steps) {
    text += step.what.text(units::System::ip) + "\n";
    for (const units::Message& caution : step.cautions) {
      text += "  " + caution.text(units::System::ip) + "\n";
    }
  }
  return text;
}

// Counted by hand: straights of 30, 36 and 78 in (60 and 18 are one length of pipe) with 1-1/2 in
// of lap at each section; 78 in takes two sections of a 60 in stick, which covers 58-1/2 in. 31.5
// + 37.5
// + 81 = 150 in of cuts: more than two sticks of 60 in and one of 24 in, so three of 60 in.
TEST(Parts, bill_of_the_gable_kitchen_as_counted_by_hand) {
  const build::PartsResult result =
      parts_of(test::example_layout("gable-kitchen-up-through-roof.yaml"));
  EXPECT_EQ(line(result, "duct")->quantity, 3.0);
  EXPECT_NEAR(*line(result, "duct")->each_m, 60 * kIn, 1e-12);
  EXPECT_EQ(line(result, "duct")->pieces, (std::vector<int>{1, 3, 5, 6}));
  EXPECT_EQ(line(result, "elbow adjustable")->quantity, 2.0);
  EXPECT_NEAR(*line(result, "elbow adjustable")->angle_rad, kPi / 4, 1e-9);
  EXPECT_EQ(line(result, "cap conical-rain-cap")->quantity, 1.0);
  EXPECT_EQ(result.part_count, 6);
  // Collar, straight, elbow, straight, elbow, two sections, cap: seven joints.
  ASSERT_EQ(result.joints.size(), 7U);
  EXPECT_NEAR(line(result, "foil tape")->quantity, 7 * kPi * 8 * kIn, 1e-9);
  EXPECT_EQ(line(result, "sheet-metal screws")->quantity, 21.0);
  EXPECT_EQ(line(result, "hangers or straps")->quantity, 3.0);
  EXPECT_NEAR(line(result, "duct wrap")->quantity, kPi * 8 * (36 + 60) * kIn * kIn, 1e-9);
  // Sheet 0.013 in thick: three sticks, two elbows of radius 6 in turning 45 degrees.
  const double sheet_in2 = kPi * 8 * (3 * 60 + 2 * 6 * kPi / 4);
  EXPECT_NEAR(result.mass_kg, sheet_in2 * 0.013 * kIn * kIn * kIn * 7850, 1e-6);
  ASSERT_EQ(result.cuts.size(), 1U);
  EXPECT_NEAR(result.cuts.front().list.offcut_m, (180 - 150) * kIn, 1e-6);
  for (const build::Joint& joint : result.joints) {
    EXPECT_TRUE(joint.rising) << joint.number;
  }
}

// The ceiling is crossed straight above the collar, 7 in from the wall. Two 45 degree elbows of
// 8 in x 0.75 have legs of 6 tan(22.5 deg) = 2.485 in; between their corners lie 36 in and two legs
// at 45 degrees: 40.97 / sqrt 2 = 28.97 in to the left.
TEST(Parts, holes_of_the_gable_kitchen_as_measured_by_hand) {
  const build::PartsResult result =
      parts_of(test::example_layout("gable-kitchen-up-through-roof.yaml"));
  ASSERT_EQ(result.holes.size(), 2U);
  const build::Hole& ceiling = result.holes[0];
  EXPECT_EQ(ceiling.through, "ceiling");
  EXPECT_EQ(ceiling.size, duct::Section::round(units::inches(9.0)));
  ASSERT_TRUE(ceiling.centre);
  EXPECT_NEAR(ceiling.centre->at_m[0], 0.0, 1e-12);
  EXPECT_NEAR(*ceiling.centre->from_wall_m, 7 * kIn, 1e-12);
  EXPECT_FALSE(ceiling.centre->nominal);
  const build::Hole& roof = result.holes[1];
  ASSERT_TRUE(roof.centre);
  const double leg_in = 6.0 * std::tan(kPi / 8);
  EXPECT_NEAR(roof.centre->at_m[0], -(36 + 2 * leg_in) / std::sqrt(2.0) * kIn, 1e-9);
  EXPECT_TRUE(roof.centre->nominal);
}

// 4, 72 and 150 in with laps: 5.5 in; 72 in is two sections, 75 in; 150 in is three, 154.5 in. Sum
// 235 in: four sticks of 60 in hold 240, four with one of 24 in only 204.
TEST(Parts, bill_of_the_dryer_as_counted_by_hand) {
  const build::PartsResult result = parts_of(test::example_layout("basement-dryer-run.yaml"));
  EXPECT_EQ(line(result, "duct")->quantity, 4.0);
  EXPECT_NEAR(result.cuts.front().list.offcut_m, 5 * kIn, 1e-6);
  EXPECT_EQ(line(result, "elbow smooth-radius")->quantity, 2.0);
  EXPECT_EQ(result.joints.size(), 9U);
  EXPECT_EQ(quantity(result, "sheet-metal screws"), 0.0) << "none reach into a dryer duct";
  EXPECT_NE(result.male_end.find("M1502.4"), std::string::npos);
  EXPECT_EQ(line(result, "hangers or straps")->quantity, 3.0)
      << "12 ft apart: 1 of 6 ft, 2 of 12.5";
  EXPECT_NEAR(line(result, "foil tape")->quantity, 9 * kPi * 4 * kIn, 1e-9);
}

// A rectangular collar, a transition, a damper, 550 mm with one lap of 38.1 mm from a
// stick of 1 m, as it is written in metric.
TEST(Parts, bill_of_the_cottage_as_counted_by_hand) {
  const build::PartsResult result =
      parts_of(test::example_layout("cottage-straight-back-transition.yaml"));
  EXPECT_EQ(line(result, "duct")->quantity, 1.0);
  EXPECT_NEAR(*line(result, "duct")->each_m, 1.0, 1e-12);
  EXPECT_NEAR(result.cuts.front().list.offcut_m, 1.0 - 0.55 - 0.0381, 2e-5);
  EXPECT_EQ(result.joints.size(), 4U);
  EXPECT_EQ(line(result, "sheet-metal screws")->quantity, 4.0 + 3 * 3.0);
  EXPECT_NEAR(line(result, "foil tape")->quantity, 2 * 13.25 * kIn + 3 * kPi * 0.15, 1e-9);
  const build::PartLine* transition = line(result, "transition gradual");
  EXPECT_EQ(transition->section,
            duct::Section::rectangular(units::inches(10), units::inches(3.25)));
  EXPECT_EQ(transition->to, duct::Section::round(units::metres(0.15)));
  EXPECT_NEAR(result.longest_stick_m, 1.0, 1e-12);
}

constexpr const char* kNoHeadings = R"(layout: 1
appliance: {kind: bath-fan}
fan: {speeds: [{name: run, curve: {airflow: 0 60 100 cfm, pressure: 1 0.6 0 inH2O}}]}
run:
  section: 4 in round
  pieces:
    - straight: {length: 3 ft, through: wall}
    - flex: 5 ft
    - fan: inline
    - straight: 1 ft
)";

TEST(Parts, says_what_the_file_does_not_state) {
  const build::PartsResult result = parts_of(test::layout_of_text(kNoHeadings));
  std::string told;
  for (const units::Message& one : result.assumed) {
    told += one.text(units::System::ip) + "\n";
  }
  EXPECT_NE(told.find("no headings"), std::string::npos) << told;
  EXPECT_NE(told.find("without a cap"), std::string::npos) << told;
  ASSERT_EQ(result.holes.size(), 1U);
  EXPECT_FALSE(result.holes.front().centre);
  ASSERT_EQ(result.joints.size(), 4U);
  EXPECT_EQ(result.joints[2].after, "fan 3");
  EXPECT_EQ(result.joints[3].after, "straight 4") << "a fan takes a number like any piece";
  EXPECT_EQ(line(result, "sheet-metal screws")->quantity, 6.0) << "flexible duct is clamped";
  EXPECT_EQ(line(result, "clamps for flexible duct")->quantity, 2.0);
}

constexpr const char* kFlexOnly = R"(layout: 1
appliance: {kind: bath-fan, collar: 4 in round}
fan: {speeds: [{name: run, curve: {airflow: 0 60 100 cfm, pressure: 1 0.6 0 inH2O}}]}
run:
  section: 4 in round
  heading: up
  pieces:
    - flex: 9 ft
)";

TEST(Parts, flexible_duct_hangs_every_four_feet_and_takes_no_screws) {
  const build::PartsResult result = parts_of(test::layout_of_text(kFlexOnly));
  EXPECT_EQ(quantity(result, "wide straps for flexible duct"), 3.0) << "9 ft in steps of 4";
  EXPECT_EQ(quantity(result, "sheet-metal screws"), 0.0);
  EXPECT_NE(work(result).find("Clamp and seal"), std::string::npos) << work(result);
}

TEST(Parts, bills_no_line_of_nothing) {
  for (const char* text : {kFlexOnly, kNoHeadings}) {
    for (const build::PartLine& one : parts_of(test::layout_of_text(text)).bill) {
      EXPECT_GT(one.quantity, 0.0) << one.item;
    }
  }
  for (const char* name : {"basement-dryer-run.yaml", "flat-recirculating-carbon-hood.yaml"}) {
    for (const build::PartLine& one : parts_of(test::example_layout(name)).bill) {
      EXPECT_GT(one.quantity, 0.0) << name << ' ' << one.item;
    }
  }
}

TEST(Parts, a_recirculating_run_sends_no_one_outside) {
  const std::string text =
      work(parts_of(test::example_layout("flat-recirculating-carbon-hood.yaml")));
  EXPECT_EQ(text.find("from outside"), std::string::npos) << text;
  EXPECT_EQ(text.find("roof"), std::string::npos) << text;
}

constexpr const char* kRoofFan = R"(layout: 1
appliance: {kind: exhaust, collar: 6 in round}
fan: {speeds: [{name: run, curve: {airflow: 0 100 200 cfm, pressure: 1 0.6 0 inH2O}}]}
run:
  section: 6 in round
  heading: up
  pieces:
    - entry: flanged
    - straight: 6 ft
    - fan: on the roof
)";

TEST(Parts, a_roof_fan_asks_for_fall_protection) {
  EXPECT_NE(work(parts_of(test::layout_of_text(kRoofFan))).find("fall protection"),
            std::string::npos);
  std::string inline_fan(kRoofFan);
  inline_fan += "    - straight: 2 ft\n";
  EXPECT_EQ(work(parts_of(test::layout_of_text(inline_fan))).find("fall protection"),
            std::string::npos);
}

constexpr const char* kFlat = R"(layout: 1
appliance: {kind: range-hood, collar: 10 x 3-1/4 in}
fan: {speeds: [{name: run, curve: {airflow: 0 100 200 cfm, pressure: 1 0.6 0 inH2O}}]}
run:
  section: 10 x 3-1/4 in
  heading: up
  pieces:
    - straight: 2 ft
    - elbow: back
    - straight: 2 ft
    - elbow: left
    - straight: 2 ft
    - cap: wall-hood-flap
)";

// Up to back turns on the 3-1/4 in side, back to left on the 10 in side.
TEST(Parts, flat_elbows_on_the_narrow_and_the_wide_side_are_two_parts) {
  std::vector<std::string> notes;
  for (const build::PartLine& one : parts_of(test::layout_of_text(kFlat)).bill) {
    if (one.item.rfind("elbow", 0) == 0) {
      EXPECT_EQ(one.quantity, 1.0);
      notes.push_back(one.note.text(units::System::ip));
    }
  }
  ASSERT_EQ(notes.size(), 2U);
  EXPECT_EQ(notes[0].rfind("turns on its narrow side: the 3-1/4 in side", 0), 0U) << notes[0];
  EXPECT_EQ(notes[1].rfind("turns on its wide side: the 10 in side", 0), 0U) << notes[1];
}

TEST(Parts, refuses_stock_that_the_overlap_eats) {
  build::PartsOptions options;
  options.stock_m = {0.12, 40.0};
  options.overlap_m = 0.05;
  auto result =
      build::parts(test::layout_of_text(kNoHeadings), fitting::Catalogue::built_in(), options);
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().size(), 2U);
}

// A flat duct at 45 degrees through a roof: the side that lies along the slope is what grows.
TEST(Parts, a_slanting_flat_duct_stretches_its_hole_by_the_side_along_the_slope) {
  const auto along = [](const std::string& section, const std::string& turn) {
    const build::PartsResult result = parts_of(test::layout_of_text(
        "layout: 1\nappliance: {kind: exhaust}\nrun:\n  section: " + section +
        "\n  heading: up\n  pieces:\n    - straight: 3 ft\n    - elbow: {type: mitered, turn: " +
        turn + ", angle: 45 deg}\n    - straight: {length: 3 ft, through: roof}\n" +
        "    - cap: roof-hood-flap\n"));
    return result.holes.at(0).stretched_m.value() / kIn;
  };
  const double slope = std::sqrt(2.0);
  EXPECT_NEAR(along("10 x 3-1/4 in", "up-back"), 4.25 * slope, 1e-9);  // width left to right
  EXPECT_NEAR(along("10 x 3-1/4 in", "up-left"), 11.0 * slope, 1e-9);  // width in the slope
  EXPECT_NEAR(along("8 in round", "up-back"), 9.0 * slope, 1e-9);
}

// The example's makeup duct: 10 in round, 8 ft of it, louver, damper and grille.
TEST(Parts, the_makeup_duct_is_billed_by_itself) {
  const build::PartsResult result =
      parts_of(test::example_layout("tight-bungalow-makeup-duct.yaml"));
  ASSERT_EQ(result.makeup.size(), 1U);
  const build::PartsResult& own = result.makeup.front();
  EXPECT_EQ(quantity(own, "damper motorised"), 1.0);
  EXPECT_EQ(quantity(own, "cap grille"), 1.0);
  double duct_m = 0.0;
  for (const build::PartLine& one : own.bill) {
    if (one.group == "duct") {
      EXPECT_EQ(one.section, duct::Section::round(units::inches(10.0)));
      duct_m += one.quantity * one.each_m.value_or(0.0);
    }
  }
  EXPECT_GE(duct_m, 96.0 * kIn);
  EXPECT_EQ(own.joints.front().before, "entry 1");
  EXPECT_EQ(own.male_end.find("with the airflow, toward the room"), 0U);
  // Through the wall: from the intake as it is stated, the duct level and to the front.
  ASSERT_EQ(own.holes.size(), 1U);
  EXPECT_EQ(own.holes.front().size, duct::Section::round(units::inches(11.0)));
  const build::HoleCentre& hole = own.holes.front().centre.value();
  EXPECT_NEAR(hole.above_floor_m.value(), 90.0 * kIn, 1e-12);
  EXPECT_NEAR(hole.from_center_m.value(), -60.0 * kIn, 1e-12);
  EXPECT_NE(work(result).find("makeup air duct"), std::string::npos);
  EXPECT_TRUE(parts_of(test::example_layout("gable-kitchen-up-through-roof.yaml")).makeup.empty());
}

// Counted by hand, two bathrooms and a utility room: run 4 lengths of duct (72 in: a stick of 60
// and one of 24; 96, 48 and 12 in of 6 in round: 3 laps of 1-1/2 in and one more section),
// transition, two junctions, fan, cap; a branch has its duct, its elbow or damper, and one joint
// into its junction.
TEST(Parts, each_branch_is_billed_by_itself_and_its_junction_once) {
  const build::PartsResult result =
      parts_of(test::example_layout("branches/two-bathrooms-and-utility-room.yaml"));
  ASSERT_EQ(result.branches.size(), 2U);
  const build::PartsResult& bath = result.branches[0];
  const build::PartsResult& utility = result.branches[1];
  EXPECT_EQ(bath.branch, "second-bathroom");
  EXPECT_EQ(quantity(result, "junction wye-45"), 1.0);
  EXPECT_EQ(quantity(result, "junction tee-90"), 1.0);
  EXPECT_EQ(quantity(bath, "junction wye-45"), 0.0);
  EXPECT_EQ(line(result, "junction tee-90")->note.text(units::System::ip),
            "takes in branch utility-room");
  // 108 in of duct are two sections: inlet, lap, elbow, junction.
  ASSERT_EQ(bath.joints.size(), 4U);
  EXPECT_EQ(bath.joints.front().before, "entry 1");
  EXPECT_EQ(bath.joints.back().before, "elbow 3");
  EXPECT_EQ(bath.joints.back().after, "junction 4");
  EXPECT_NEAR(line(bath, "foil tape")->quantity, 4 * kPi * 4 * kIn, 1e-9);
  EXPECT_EQ(utility.joints.back().after, "junction 6");
  EXPECT_EQ(utility.joints.back().section, duct::Section::round(units::inches(5.0)));
  EXPECT_EQ(result.in_all.part_count, result.part_count + bath.part_count + utility.part_count);
  EXPECT_EQ(result.in_all.joint_count,
            static_cast<int>(result.joints.size() + bath.joints.size() + utility.joints.size()));
  EXPECT_GT(bath.mass_kg, 0.0);
  EXPECT_NEAR(result.in_all.mass_kg, result.mass_kg + bath.mass_kg + utility.mass_kg, 1e-12);
  const std::string told = work(result);
  EXPECT_NE(told.find("Branch utility-room: build it by its own list, from junction 6"),
            std::string::npos)
      << told;
  EXPECT_NE(told.find("its blade has to swing free"), std::string::npos);
  for (const units::Message& one : result.assumed) {
    EXPECT_EQ(one.text(units::System::ip).find("without a cap"), std::string::npos);
  }
}

TEST(Parts, a_branch_with_a_fan_buys_it_and_its_holes_count_from_the_collar) {
  const build::PartsResult result = parts_of(test::layout_of_text(
      "layout: 1\nappliance: {kind: exhaust}\n"
      "run: {section: 5 in round, heading: up, pieces: [straight: 4 ft, junction: {branch: b}, "
      "straight: 2 ft, cap: roof-hood-flap]}\n"
      "branches:\n  b:\n    section: 4 in round\n    heading: left\n"
      "    fan: {speeds: [{name: on, curve: {airflow: 0 60 120 cfm, pressure: 0.4 0.3 0 inH2O}}]}\n"
      "    pieces: [straight: {length: 3 ft, through: wall}, junction: {branch: c}]\n"
      "  c: {section: 4 in round, pieces: [straight: 2 ft]}\n"));
  ASSERT_EQ(result.branches.size(), 2U);
  const build::PartsResult& own = result.branches[0];
  EXPECT_EQ(quantity(own, "fan"), 1.0);
  EXPECT_EQ(quantity(result, "fan"), 0.0);
  EXPECT_EQ(own.joints.front().before, "fan");
  ASSERT_EQ(own.holes.size(), 1U);
  // Half of 3 ft before the junction, which stands 4 ft above the collar.
  ASSERT_TRUE(own.holes.front().centre);
  EXPECT_NEAR(own.holes.front().centre->at_m[0], 1.5 * units::kMetresPerFoot, 1e-9);
  EXPECT_NEAR(own.holes.front().centre->at_m[2], 4.0 * units::kMetresPerFoot, 1e-9);
  // An open inlet has no joint; the junction stands in the other branch.
  ASSERT_EQ(result.branches[1].joints.size(), 1U);
  EXPECT_EQ(result.branches[1].joints.front().after, "junction 2 of b");
  EXPECT_NE(work(result).find("rough-in holes"), std::string::npos);
}

}  // namespace
}  // namespace ductledger::build
