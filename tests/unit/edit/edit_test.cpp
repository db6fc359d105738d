#include "edit/edit.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <utility>

#include "solve/operating_point.hpp"
#include "study/check.hpp"
#include "support/example_layout.hpp"

namespace ductledger::edit {
namespace {

using test::catalogue;

std::string told(const base::Diagnostics& diagnostics) { return base::render(diagnostics); }

layout::Layout read(const std::string& text) {
  auto made = layout::read(std::make_shared<const base::SourceText>("t.yaml", text), catalogue());
  EXPECT_TRUE(made) << (made ? "" : told(made.error())) << text;
  return *std::move(made);
}

/// A layout whose lines between the fan and the end are the test's own.
std::string file(const std::string& rest) {
  return R"(layout: 1
site:
  elevation: 900 ft
  duct: {temperature: 95 degF}
  outdoor: {temperature: 30 degF}
appliance:
  kind: range-hood
  collar: 6 in round
  includes: [filter]
fan:
  speeds:
    - name: high
      curve: {airflow: 0 200 350 470 550 600 cfm, pressure: 1.05 0.94 0.74 0.46 0.2 0 inH2O}
    - {name: low, speed_ratio: 0.5}
run:
)" + rest;
}

/// Every number that `check` solves, in order.
std::vector<double> numbers(const layout::Layout& layout) {
  const auto result = study::check(layout, catalogue());
  EXPECT_TRUE(result) << (result ? "" : told(result.error()));
  std::vector<double> all;
  if (!result) {
    return all;
  }
  const solve::SiteAir& air = result->run.air;
  all.insert(all.end(), {air.stack_pa, air.wind_pa, air.density_kg_m3});
  for (const result::SpeedResult& speed : result->speeds) {
    all.insert(all.end(), {speed.point.airflow_m3_s, speed.point.total_pressure_pa});
    if (!speed.ledger) {
      continue;
    }
    all.push_back(speed.ledger->collar_static_pressure_pa);
    for (const solve::LedgerRow& row : speed.ledger->rows) {
      all.insert(all.end(),
                 {row.length_m,
                  row.velocity_m_s,
                  row.coefficient,
                  row.loss_pa,
                  row.total_pressure_after_pa,
                  row.static_pressure_after_pa});
    }
  }
  return all;
}

/// The edit gives what the file changed by hand gives, to the last digit.
void expect_as_by_hand(const edit::Edited& edited, const std::string& by_hand) {
  ASSERT_TRUE(edited) << told(edited.error());
  const std::vector<double> got = numbers(*edited);
  const std::vector<double> expected = numbers(read(file(by_hand)));
  ASSERT_GT(expected.size(), 20U);
  EXPECT_EQ(got, expected);
}

const char* const kRun = R"(  section: 6 in round
  heading: up
  pieces:
    - damper: backdraft-flap
    - straight: {length: 4 ft, through: attic}
    - elbow: back
    - straight: 6 ft 6 in
    - flex: {length: 3 ft, stretched: 80 %, sag: 2 in}
    - cap: wall-hood-flap
)";

layout::Layout usual() { return read(file(kRun)); }
duct::Section round_inches(double inches) { return duct::Section::round(units::inches(inches)); }

TEST(Edit, reads_again_what_was_not_changed) {
  expect_as_by_hand(edit::with_value(usual(), catalogue(), {{"title"}, "the same"}), kRun);
}

TEST(Edit, whole_run_at_another_size_behind_a_transition) {
  expect_as_by_hand(edit::with_section(usual(), catalogue(), {.section = round_inches(7.0)}),
                    R"(  section: 6 in round
  heading: up
  pieces:
    - transition: 7 in round
    - damper: backdraft-flap
    - straight: {length: 4 ft, through: attic}
    - elbow: back
    - straight: 6 ft 6 in
    - flex: {length: 3 ft, stretched: 80 %, sag: 2 in}
    - cap: wall-hood-flap
)");
}

TEST(Edit, whole_run_at_another_size_abruptly) {
  const auto edited = edit::with_section(
      usual(), catalogue(), {.section = round_inches(7.0), .joint = edit::CollarJoint::abrupt});
  ASSERT_TRUE(edited);
  EXPECT_TRUE(edited->run.changes_at_collar);
  expect_as_by_hand(edited, R"(  section: 7 in round
  heading: up
  pieces:
    - damper: backdraft-flap
    - straight: {length: 4 ft, through: attic}
    - elbow: back
    - straight: 6 ft 6 in
    - flex: {length: 3 ft, stretched: 80 %, sag: 2 in}
    - cap: wall-hood-flap
)");
}

TEST(Edit, gradual_in_place_of_abrupt_at_the_collar) {
  const std::string abrupt = R"(  section: 8 in round
  pieces: [{straight: 4 ft}, {cap: wall-hood-flap}]
)";
  expect_as_by_hand(
      edit::with_sections(read(file(abrupt)),
                          catalogue(),
                          {.to = [](const duct::Section& section) { return section; }}),
      R"(  pieces: [{transition: 8 in round}, {straight: 4 ft}, {cap: wall-hood-flap}]
)");
}

TEST(Edit, transitions_that_lead_nowhere_go) {
  const std::string mixed = R"(  pieces:
    - straight: 2 ft
    - transition: {to: 8 in round, length: 6 in}
    - straight: 4 ft
    - transition: {to: 7 in round, coefficient: 0.3, reference: upstream}
    - straight: 5 ft
    - cap: wall-hood-flap
)";
  const auto edited =
      edit::with_section(read(file(mixed)), catalogue(), {.section = round_inches(8.0)});
  expect_as_by_hand(edited, R"(  pieces:
    - transition: 8 in round
    - straight: 2 ft
    - straight: 4 ft
    - straight: 5 ft
    - cap: wall-hood-flap
)");
  const auto next =
      edit::with_sections(read(file(mixed)), catalogue(), {.to = [](const duct::Section& section) {
                            return section == round_inches(7.0) ? round_inches(7.5) : section;
                          }});
  expect_as_by_hand(next, R"(  pieces:
    - straight: 2 ft
    - transition: {to: 8 in round, length: 6 in}
    - straight: 4 ft
    - transition: 7-1/2 in round
    - straight: 5 ft
    - cap: wall-hood-flap
)");
  ASSERT_EQ(next->remarks.size(), 1U);
  const std::string remark = next->remarks.front().text(units::System::ip);
  EXPECT_NE(remark.find("left out"), std::string::npos) << remark;
}

TEST(Edit, round_to_flat_duct_settles_the_fittings) {
  const std::string round = R"(  section: 6 in round
  heading: up
  pieces:
    - straight: 4 ft
    - elbow: {type: gored-5, turn: back, radius_ratio: 1.0}
    - elbow: {type: adjustable, turn: left}
    - straight: 4 ft
    - elbow: {turn: up}
    - cap: {type: conical-rain-cap, gap_ratio: 0.4}
)";
  const auto edited = edit::with_section(
      read(file(round)),
      catalogue(),
      {.section = duct::Section::rectangular(units::inches(10.0), units::inches(3.25))});
  expect_as_by_hand(edited, R"(  heading: up
  pieces:
    - transition: 10 x 3-1/4 in
    - straight: 4 ft
    - elbow: {type: smooth-radius, turn: back}
    - elbow: {type: mitered, turn: left}
    - straight: 4 ft
    - elbow: {turn: up}
    - cap: roof-hood-flap
)");
  EXPECT_EQ(edited->remarks.size(), 3U);
}

TEST(Edit, what_is_in_the_way_keeps_its_loss) {
  const std::string coil = R"(  pieces:
    - straight: 4 ft
    - loss: {coefficient: 0.5 +- 10 %, note: coil}
    - cap: wall-hood-flap
)";
  const layout::Layout before = read(file(coil));
  const auto after = edit::with_section(before, catalogue(), {.section = round_inches(12.0)});
  ASSERT_TRUE(after);
  const auto& kept = after->run.pieces.at(2).coefficient;
  ASSERT_TRUE(kept);
  EXPECT_DOUBLE_EQ(kept->value, 0.5 * 16.0);
  EXPECT_DOUBLE_EQ(*kept->relative_uncertainty, 0.1);
}

TEST(Edit, a_collar_that_nobody_stated_is_the_first_section) {
  const std::string text = R"(layout: 1
run:
  section: 6 in round
  pieces: [{straight: 4 ft}, {cap: wall-hood-flap}]
)";
  const auto edited = edit::with_section(
      read(text), catalogue(), {.section = round_inches(8.0), .joint = edit::CollarJoint::abrupt});
  ASSERT_TRUE(edited) << told(edited.error());
  EXPECT_EQ(edited->appliance.collar, round_inches(6.0));
  EXPECT_TRUE(edited->run.changes_at_collar);
}

TEST(Edit, another_elbow) {
  const auto with = [](const std::string& elbow) {
    return std::string(R"(  heading: up
  pieces:
    - straight: 4 ft
    - elbow: )") +
           elbow + "\n    - straight: 3 ft\n    - cap: wall-hood-flap\n";
  };
  expect_as_by_hand(edit::with_elbow(read(file(with("back"))),
                                     catalogue(),
                                     {.piece = 1, .type = "smooth-radius", .radius_ratio = 1.5}),
                    with("{turn: back, type: smooth-radius, radius_ratio: 1.5}"));
  expect_as_by_hand(
      edit::with_elbow(
          read(file(with("{type: gored-5, turn: back, radius_ratio: 1.5, legs: 9 in}"))),
          catalogue(),
          {.piece = 1, .type = "mitered", .radius_ratio = {}}),
      with("{type: mitered, turn: back, legs: 9 in}"));
  expect_as_by_hand(
      edit::with_elbow(read(file(with("{turn: back, coefficient: 0.9, note: dented}"))),
                       catalogue(),
                       {.piece = 1, .type = "gored-5", .radius_ratio = 2.0}),
      with("{type: gored-5, radius_ratio: 2, turn: back}"));
}

TEST(Edit, two_elbows_of_half_the_angle) {
  const std::string one = R"(  heading: up
  pieces:
    - straight: 4 ft
    - elbow: {type: mitered, turn: back, legs: [4 in, 7 in]}
    - straight: 3 ft
    - elbow: left
    - cap: wall-hood-flap
)";
  expect_as_by_hand(edit::with_elbow_halved(read(file(one)), catalogue(), 1), R"(  heading: up
  pieces:
    - straight: 4 ft
    - elbow: {type: mitered, turn: back, angle: 45 deg, legs: [4 in, 0 in]}
    - elbow: {type: mitered, turn: back, legs: [0 in, 7 in]}
    - straight: 3 ft
    - elbow: left
    - cap: wall-hood-flap
)");
  const std::string schematic = R"(  pieces:
    - elbow: {type: mitered, angle: 70 deg}
    - cap: wall-hood-flap
)";
  expect_as_by_hand(edit::with_elbow_halved(read(file(schematic)), catalogue(), 0), R"(  pieces:
    - elbow: {type: mitered, angle: 35 deg}
    - elbow: {type: mitered, angle: 35 deg}
    - cap: wall-hood-flap
)");
}

TEST(Edit, takes_out_an_offset_and_keeps_how_far_the_run_reaches) {
  const std::string jog = R"(  heading: up
  pieces:
    - straight: 4 ft
    - elbow: {turn: left, angle: 60 deg}
    - straight: 3 ft
    - elbow: {turn: up}
    - straight: 3 ft
    - cap: roof-hood-flap
)";
  const layout::Layout layout = read(file(jog));
  const auto found = edit::offsets(layout);
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found.front().first, 1U);
  EXPECT_EQ(found.front().last, 3U);
  // From corner to corner: the straight and a nominal leg of each elbow, where the holes are as
  // well.
  const double leg_m = layout::nominal_leg_m(layout.run.pieces[1].as<layout::Elbow>());
  EXPECT_NEAR(found.front().sideways_m,
              (3.0 * 0.3048 + 2.0 * leg_m) * std::sin(3.14159265358979 / 3.0),
              1e-9);
  EXPECT_NEAR(found.front().sideways_m, -layout::run_geometry(layout)->outlet[0], 1e-9);
  const auto edited = edit::without_offset(layout, catalogue(), found.front());
  expect_as_by_hand(edited, R"(  heading: up
  pieces:
    - straight: 4 ft
    - straight: 1 ft 6 in
    - straight: 3 ft
    - cap: roof-hood-flap
)");
  EXPECT_NEAR(*edited->run.rise_m, *layout.run.rise_m, 1e-9);
}

TEST(Edit, an_offset_of_two_right_angles_leaves_nothing_between) {
  const std::string jog = R"(  heading: up
  pieces:
    - straight: {length: 4 ft, material: aluminium}
    - elbow: left
    - straight: {length: 3 ft, material: pvc}
    - elbow: up
    - straight: 3 ft
    - cap: roof-hood-flap
)";
  const layout::Layout layout = read(file(jog));
  expect_as_by_hand(edit::without_offset(layout, catalogue(), edit::offsets(layout).at(0)),
                    R"(  heading: up
  pieces:
    - straight: {length: 4 ft, material: aluminium}
    - straight: {length: 3 ft, material: pvc}
    - cap: roof-hood-flap
)");
  const auto refused =
      edit::without_offset(layout, catalogue(), {.first = 0, .last = 3, .sideways_m = 0.0});
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().front().rule, "cannot-edit");
}

TEST(Edit, another_cap) {
  EXPECT_EQ(edit::cap_of(usual()), 5U);
  const std::string stated = R"(  pieces:
    - straight: 4 ft
    - cap: {type: louver, free_area: 40 %, coefficient: 3.2, opening_pressure: 12 Pa}
)";
  expect_as_by_hand(
      edit::with_type(read(file(stated)), catalogue(), {.piece = 1, .type = "wall-hood-flap"}),
      "  pieces: [{straight: 4 ft}, {cap: wall-hood-flap}]\n");
}

TEST(Edit, rigid_stretched_and_shorter_duct) {
  const auto with = [](const std::string& piece) {
    return std::string(
               "  heading: up\n  pieces:\n    - straight: {length: 1 ft, material: pvc}\n"
               "    - ") +
           piece + "\n    - cap: roof-hood-flap\n";
  };
  const layout::Layout flexible = read(
      file(with("flex: {length: 11 ft, stretched: 80 %, sag: 4 in, dips: 2, insulated: R-8}")));
  expect_as_by_hand(edit::with_rigid(flexible, catalogue(), 1), with("straight: 11 ft"));
  expect_as_by_hand(edit::with_stretch(flexible, catalogue(), {.piece = 1, .stretched = 0.95}),
                    with("flex: {length: 11 ft, stretched: 95 %}"));
  expect_as_by_hand(
      edit::with_length(flexible, catalogue(), {.piece = 1, .length_m = 6.5 * 0.3048}),
      with("flex: {length: 6 ft 6 in, stretched: 80 %, sag: 4 in, dips: 2}"));
}

TEST(Edit, the_fan_moves) {
  const std::string inline_fan = R"(  heading: up
  pieces:
    - entry: flanged
    - straight: 4 ft
    - fan
    - straight: 3 ft
    - cap: roof-hood-flap
)";
  expect_as_by_hand(edit::with_fan_at_collar(read(file(inline_fan)), catalogue()), R"(  heading: up
  pieces: [{entry: flanged}, {straight: 4 ft}, {straight: 3 ft}, {cap: roof-hood-flap}]
)");
  expect_as_by_hand(edit::with_fan_before(read(file(inline_fan)), catalogue(), 4), R"(  heading: up
  pieces: [{entry: flanged}, {straight: 4 ft}, {straight: 3 ft}, fan, {cap: roof-hood-flap}]
)");
  expect_as_by_hand(edit::with_fan_before(usual(), catalogue(), 1), R"(  section: 6 in round
  heading: up
  pieces:
    - damper: backdraft-flap
    - fan
    - straight: {length: 4 ft, through: attic}
    - elbow: back
    - straight: 6 ft 6 in
    - flex: {length: 3 ft, stretched: 80 %, sag: 2 in}
    - cap: wall-hood-flap
)");
  EXPECT_FALSE(edit::with_fan_at_collar(usual(), catalogue()));
}

TEST(Edit, pieces_come_and_go) {
  expect_as_by_hand(
      edit::without_piece(usual(), catalogue(), 0)
          .and_then([](const layout::Layout& l) {
            return edit::with_piece_inserted(
                l, catalogue(), {.piece = 1, .text = "elbow: {type: gored-5, turn: left}"});
          })
          .and_then([](const layout::Layout& l) {
            return edit::with_piece_replaced(
                l, catalogue(), {.piece = 3, .text = "straight: 5 ft"});
          })
          .and_then([](const layout::Layout& l) {
            return edit::with_piece_key(
                l, catalogue(), {.piece = 0, .key = "through", .value = ""});
          })
          .and_then([](const layout::Layout& l) {
            return edit::with_value(l, catalogue(), {.keys = {"run", "heading"}, .value = "front"});
          })
          .and_then([](const layout::Layout& l) {
            return edit::with_piece_key(l, catalogue(), {.piece = 2, .key = "turn", .value = "up"});
          }),
      R"(  section: 6 in round
  heading: front
  pieces:
    - straight: 4 ft
    - elbow: {type: gored-5, turn: left}
    - elbow: up
    - straight: 5 ft
    - flex: {length: 3 ft, stretched: 80 %, sag: 2 in}
    - cap: wall-hood-flap
)");
}

TEST(Edit, refuses_with_a_reason) {
  const auto rule_of = [](const edit::Edited& edited) {
    return edited ? std::string("none") : edited.error().front().rule;
  };
  EXPECT_EQ(rule_of(edit::with_rigid(usual(), catalogue(), 1)), "cannot-edit");
  EXPECT_EQ(rule_of(edit::with_rigid(usual(), catalogue(), 99)), "cannot-edit");
  EXPECT_EQ(rule_of(edit::with_type(usual(), catalogue(), {.piece = 5, .type = "no-such"})),
            "unknown-type");
  EXPECT_EQ(
      rule_of(edit::with_piece_inserted(usual(), catalogue(), {.piece = 1, .text = "elbow: up"})),
      "no-turn");
  EXPECT_EQ(rule_of(edit::with_rigid(layout::Layout{}, catalogue(), 0)), "cannot-edit");
}

TEST(Edit, the_layout_passed_in_stays_as_it_is) {
  const layout::Layout before = usual();
  const std::vector<double> numbers_before = numbers(before);
  ASSERT_TRUE(edit::with_section(before, catalogue(), {.section = round_inches(8.0)}));
  EXPECT_EQ(numbers(before), numbers_before);
  EXPECT_EQ(before.run.pieces.size(), 6U);
}

TEST(Edit, values_are_written_exactly) {
  EXPECT_EQ(
      edit::section_value(duct::Section::rectangular(units::inches(10.0), units::inches(3.25))),
      "10 x 3-1/4 in");
  EXPECT_EQ(edit::section_value(duct::Section::round(units::metres(0.15))), "150 mm round");
  EXPECT_EQ(
      edit::section_value(duct::Section::flat_oval(units::metres(0.15), units::metres(0.1003))),
      "0.15 x 0.1003 m oval");
  EXPECT_EQ(edit::length_value(78.5 * 0.0254), "6 ft 6-1/2 in");
  EXPECT_EQ(edit::length_value(3.0 * 0.3048), "3 ft");
  EXPECT_EQ(edit::length_value(0.0254 * 7.0), "7 in");
  EXPECT_EQ(edit::length_value(0.45), "450 mm");
  for (const double length_m : {1.23456789, 3.048, 0.45, 78.5 * 0.0254, 2.9999999}) {
    const auto read_back =
        units::parse_quantity(edit::length_value(length_m), units::Dimension::length);
    ASSERT_TRUE(std::holds_alternative<double>(read_back)) << edit::length_value(length_m);
    EXPECT_NEAR(std::get<double>(read_back), length_m, 1e-9);
  }
}

}  // namespace
}  // namespace ductledger::edit
