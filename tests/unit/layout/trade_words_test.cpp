#include <gtest/gtest.h>

#include <numbers>
#include <string>

#include "support/check_text.hpp"

// Words that people type: read where they can mean one thing only, else answered in one step.
namespace ductledger {
namespace {

std::string with(const std::string& pieces, const std::string& more = {}) {
  return "layout: 1\ntitle: A test\nappliance: {kind: exhaust, collar: 6 in round}\n" + more +
         "run:\n  section: 6 in round\n  pieces:\n" + pieces;
}

/// What the first fault advises.
std::string advice(const std::string& text) {
  const auto layout = support::read(text);
  return layout ? "read" : layout.error().front().help;
}

double turned_deg(const std::string& elbow) {
  const auto layout = support::read(with("    - elbow: " + elbow + "\n    - straight: 4 ft\n"));
  if (!layout) {
    ADD_FAILURE() << base::render(layout.error());
    return 0.0;
  }
  return layout->run.pieces.front().as<layout::Elbow>().angle_rad * 180.0 / std::numbers::pi;
}

TEST(TradeWords, an_elbow_s_bare_number_is_its_angle) {
  EXPECT_NEAR(turned_deg("90"), 90.0, 1e-9);
  EXPECT_NEAR(turned_deg("45 deg"), 45.0, 1e-9);
  EXPECT_NEAR(turned_deg("22.5\u00B0"), 22.5, 1e-9);
  EXPECT_NE(advice(with("    - elbow: 400\n")), "read");
}

TEST(TradeWords, a_type_is_found_by_the_words_it_shares) {
  EXPECT_NE(advice(with("    - cap: wall cap\n")).find("`wall-hood-flap`"), std::string::npos);
  EXPECT_NE(advice(with("    - cap: roof-cap-flap\n")).find("`roof-hood-flap`"), std::string::npos);
  EXPECT_NE(advice(with("    - elbow: rectangular-mitered\n")).find("`mitered`"),
            std::string::npos);
  EXPECT_NE(advice(with("    - elbow: {type: rectangular-mitered}\n")).find("`mitered`"),
            std::string::npos);
  EXPECT_EQ(advice(with("    - cap: flap\n")).find("`wall-hood-flap`"), std::string::npos)
      << "three caps have a flap";
}

TEST(TradeWords, a_type_is_read_in_either_english_spelling) {
  for (const char* typed : {"motorized", "motorised"}) {
    const auto layout = support::read(with("    - damper: " + std::string(typed) + "\n"));
    ASSERT_TRUE(layout) << base::render(layout.error());
    EXPECT_EQ(layout->run.pieces.front().type, "motorised");
  }
  EXPECT_EQ(advice(with("    - elbow: {type: mitred, angle: 90 deg}\n")), "read");
}

TEST(TradeWords, a_place_that_is_none_of_the_list_is_answered_with_one) {
  for (const auto& [typed, place] :
       {std::pair("soffit", "chase"), {"cabinet", "conditioned"}, {"floor", "joist-bay"}}) {
    const std::string help =
        advice(with("    - straight: {length: 4 ft, through: " + std::string(typed) + "}\n"));
    EXPECT_NE(help.find('`' + std::string(place) + '`'), std::string::npos) << help;
  }
}

TEST(TradeWords, a_kind_by_another_name_is_answered_with_ours) {
  const std::string duct = advice(with("    - duct: 10 ft\n"));
  EXPECT_NE(duct.find("`straight`"), std::string::npos);
  EXPECT_NE(duct.find("`flex`"), std::string::npos);
  EXPECT_NE(advice(with("    - reducer: 5 in round\n")).find("`transition`"), std::string::npos);
}

TEST(TradeWords, a_fireplace_asks_how_it_vents) {
  const std::string help =
      advice(with("    - straight: 4 ft\n", "house: {combustion: [{kind: fireplace}]}\n"));
  EXPECT_EQ(help.rfind("say how it vents: ", 0), 0U) << help;
  EXPECT_NE(help.find("wood-fireplace"), std::string::npos);
  EXPECT_NE(help.find("direct-vent-fireplace"), std::string::npos);
}

TEST(TradeWords, how_an_appliance_vents_is_never_guessed) {
  for (const char* typed : {"gas-water-heater", "tankless", "gas furnace", "oil-boiler", "gas"}) {
    const std::string help = advice(with(
        "    - straight: 4 ft\n", "house: {combustion: [{kind: " + std::string(typed) + "}]}\n"));
    EXPECT_EQ(help.find("did you mean"), std::string::npos) << typed << ": " << help;
    EXPECT_EQ(help.find("such as"), std::string::npos) << typed << ": " << help;
    EXPECT_EQ(help.rfind("say how it vents", 0), 0U) << typed << ": " << help;
  }
  EXPECT_NE(advice(with("    - straight: 4 ft\n",
                        "house: {combustion: [{kind: natural-draft-water-heter}]}\n"))
                .find("did you mean `natural-draft-water-heater`"),
            std::string::npos);
}

TEST(TradeWords, duct_on_edge_along_a_level_run_is_said) {
  const auto remark = [](const std::string& section, const std::string& heading) {
    const auto layout =
        support::read("layout: 1\ntitle: A test\nappliance: {kind: exhaust, collar: " + section +
                      "}\nrun:\n  section: " + section + "\n  heading: " + heading +
                      "\n  pieces:\n    - straight: 4 ft\n    - cap: wall-hood-flap\n");
    EXPECT_TRUE(layout) << base::render(layout.error());
    return layout->remarks.empty() ? "" : layout->remarks.front().text(units::System::ip);
  };
  EXPECT_NE(remark("3-1/4 x 10 in", "back").find("`10 x 3-1/4 in`"), std::string::npos);
  EXPECT_EQ(remark("10 x 3-1/4 in", "back"), "");
  EXPECT_EQ(remark("3-1/4 x 10 in", "up"), "");
}

TEST(TradeWords, the_back_pressure_may_stand_at_the_cap) {
  const auto layout = support::read(
      "layout: 1\ntitle: A test\nappliance: {kind: exhaust, collar: 6 in round}\nrun:\n  section: "
      "6 in round\n  pieces:\n    - straight: 4 ft\n    - cap: {type: wall-hood-flap, "
      "back_pressure: 25 Pa}\n");
  ASSERT_TRUE(layout) << base::render(layout.error());
  EXPECT_NEAR(layout->run.back_pressure_pa, 25.0, 1e-9);
}

TEST(TradeWords, a_straight_runs_through_one_place) {
  EXPECT_NE(advice(with("    - straight: {length: 4 ft, through: [ceiling, attic, roof]}\n"))
                .find("a straight for each place"),
            std::string::npos);
}

TEST(TradeWords, a_run_that_begins_with_a_cap_is_told_of_the_entry) {
  EXPECT_NE(advice(with("    - cap: louver\n    - straight: 4 ft\n")).find("`entry: louver`"),
            std::string::npos);
}

TEST(TradeWords, a_commercial_hood_is_accepted_and_its_rules_are_said_to_be_missing) {
  const auto layout = support::read(
      "layout: 1\ntitle: A test\nappliance: {kind: commercial-hood, collar: 6 in round}\n"
      "run:\n  section: 6 in round\n  pieces:\n    - straight: 4 ft\n");
  ASSERT_TRUE(layout) << base::render(layout.error());
  ASSERT_FALSE(layout->remarks.empty());
  EXPECT_NE(layout->remarks.front().text(units::System::ip).find("are not here"),
            std::string::npos);
}

}  // namespace
}  // namespace ductledger
