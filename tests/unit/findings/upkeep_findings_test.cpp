#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "support/check_text.hpp"

// Findings from stated facts: each on a layout made to cause it, silent on its neighbour. Invented.
namespace ductledger {
namespace {

std::string upkeep_text(const std::string& kind,
                        const std::string& facts,
                        const std::string& pieces) {
  return "layout: 1\n" + facts + "appliance: {kind: " + kind +
         ", collar: 4 in round}\nrun:\n  heading: up\n  pieces:\n" + pieces;
}

const findings::Finding* found(const study::CheckResult& result, const std::string& code) {
  const auto at = std::find_if(result.findings.begin(),
                               result.findings.end(),
                               [&](const findings::Finding& f) { return f.code == code; });
  return at == result.findings.end() ? nullptr : &*at;
}

TEST(CondensationInDuct, FollowsTheDewPointAndThePlace) {
  const std::string site =
      "site: {duct: {temperature: 75 degF, humidity: 60 %}, outdoor: {temperature: 30 degF}}\n";
  const std::string warm =
      "site: {duct: {temperature: 75 degF, humidity: 60 %}, outdoor: {temperature: 65 degF}}\n";
  const std::string attic =
      "    - straight: {length: 6 ft, through: attic}\n    - cap: roof-hood-flap\n";
  const std::string insulated =
      "    - straight: {length: 6 ft, through: attic, insulated: R-8}\n    - cap: roof-hood-flap\n";
  const std::string room = "    - straight: 6 ft\n    - cap: roof-hood-flap\n";
  const auto bare = support::check(upkeep_text("bath-fan", site, attic));
  ASSERT_NE(found(bare, "condensation-in-duct"), nullptr);
  EXPECT_EQ(found(bare, "condensation-in-duct")->level, findings::Level::warn);
  EXPECT_GT(found(bare, "condensation-in-duct")->span.line, 0);
  const auto wrapped = support::check(upkeep_text("bath-fan", site, insulated));
  ASSERT_NE(found(wrapped, "condensation-in-duct"), nullptr);
  EXPECT_EQ(found(wrapped, "condensation-in-duct")->level, findings::Level::note);
  EXPECT_EQ(found(support::check(upkeep_text("bath-fan", warm, attic)), "condensation-in-duct"),
            nullptr);
  EXPECT_EQ(found(support::check(upkeep_text("bath-fan", site, room)), "condensation-in-duct"),
            nullptr);
  EXPECT_EQ(found(support::check(upkeep_text("bath-fan", "", attic)), "condensation-in-duct"),
            nullptr);
}

TEST(TransitionDuctWrong, IsOneLengthOfEightFeetInTheRoom) {
  const auto with = [](const std::string& first) {
    return support::check(upkeep_text(
        "clothes-dryer", "", first + "    - straight: 6 ft\n    - cap: roof-hood-flap\n"));
  };
  EXPECT_EQ(found(with("    - flex: 8 ft\n"), "transition-duct-wrong"), nullptr);
  EXPECT_NE(found(with("    - flex: 8 ft 1 in\n"), "transition-duct-wrong"), nullptr);
  EXPECT_NE(found(with("    - flex: 3 ft\n    - flex: 3 ft\n"), "transition-duct-wrong"), nullptr);
  EXPECT_NE(found(with("    - flex: {length: 3 ft, through: wall}\n"), "transition-duct-wrong"),
            nullptr);
}

TEST(DryerDuctTooLong, CountsElbowsAndKeepsStillWhereTheMakerAllowsIt) {
  const auto dryer = [](const std::string& straight, const std::string& more = {}) {
    return support::check("layout: 1\nappliance: {kind: clothes-dryer, collar: 4 in round" + more +
                          "}\nrun: {section: 4 in round, pieces: [{straight: " + straight +
                          "}, {elbow: {type: mitered, angle: 90 deg}}, {straight: 10 ft}, {cap: "
                          "wall-hood-flap}]}\n");
  };
  // A mitered 4 in elbow of 90 deg counts as 5 ft: 20 + 10 + 5 = 35 ft.
  EXPECT_EQ(found(dryer("20 ft"), "dryer-duct-too-long"), nullptr);
  const auto longer = dryer("20 ft 1 in");
  ASSERT_NE(found(longer, "dryer-duct-too-long"), nullptr);
  EXPECT_EQ(found(longer, "dryer-duct-too-long")->level, findings::Level::warn);
  EXPECT_EQ(found(dryer("20 ft 1 in", ", maker: {duct_length: 40 ft}"), "dryer-duct-too-long"),
            nullptr);
  EXPECT_NE(found(dryer("30 ft", ", maker: {duct_length: 40 ft}"), "dryer-duct-too-long"), nullptr);
}

TEST(NoBackdraftDamper, HonoursADamperStatedAtTheOutlet) {
  const std::string pieces = "    - straight: 6 ft\n    - cap: conical-rain-cap\n";
  const auto with = [&](const std::string& damper) {
    return support::check("layout: 1\nappliance: {kind: range-hood, collar: 8 in round}\nrun:\n" +
                          damper + "  pieces:\n" + pieces);
  };
  EXPECT_NE(found(with(""), "no-backdraft-damper"), nullptr);
  EXPECT_NE(found(with("  termination: {damper: no}\n"), "no-backdraft-damper"), nullptr);
  EXPECT_EQ(found(with("  termination: {damper: yes}\n"), "no-backdraft-damper"), nullptr);
}

TEST(UpkeepScreenClogs, WarnsOfADryerAndNotesAHood) {
  const std::string pieces =
      "    - straight: 6 ft\n    - screen: mesh\n    - cap: roof-hood-flap\n";
  const auto dryer = support::check(upkeep_text("clothes-dryer", "", pieces));
  const auto hood = support::check(upkeep_text("range-hood", "", pieces));
  const auto bath = support::check(upkeep_text("bath-fan", "", pieces));
  ASSERT_NE(found(dryer, "upkeep-screen-clogs"), nullptr);
  ASSERT_NE(found(hood, "upkeep-screen-clogs"), nullptr);
  EXPECT_EQ(found(dryer, "upkeep-screen-clogs")->level, findings::Level::warn);
  EXPECT_EQ(found(hood, "upkeep-screen-clogs")->level, findings::Level::note);
  EXPECT_EQ(found(bath, "upkeep-screen-clogs"), nullptr);
  EXPECT_NE(found(dryer, "upkeep-dryer-duct"), nullptr);
  EXPECT_EQ(found(hood, "upkeep-dryer-duct"), nullptr);
}

TEST(UpkeepTurnsOutOfReach, SpeaksOfClosedInTurnsWithoutAnOpening) {
  const auto with = [](const std::string& run, const std::string& through) {
    return support::check("layout: 1\nappliance: {kind: range-hood, collar: 6 in round}\nrun:\n" +
                          run +
                          "  heading: up\n  pieces:\n    - straight: 3 ft\n    - elbow: back\n"
                          "    - straight: {length: 3 ft" +
                          through + "}\n    - cap: wall-hood-flap\n");
  };
  EXPECT_NE(found(with("", ", through: joist-bay"), "upkeep-turns-out-of-reach"), nullptr);
  EXPECT_EQ(found(with("", ""), "upkeep-turns-out-of-reach"), nullptr);
  EXPECT_EQ(
      found(with("  access_at_turns: yes\n", ", through: joist-bay"), "upkeep-turns-out-of-reach"),
      nullptr);
  EXPECT_NE(found(with("  access_at_turns: no\n", ""), "upkeep-turns-out-of-reach"), nullptr);
}

TEST(CoverMissesCeiling, DoesTheSumFromFloorToCeiling) {
  // 96 in less 36 in less 30 in leaves 30 in.
  const auto with = [](const std::string& cover) {
    return support::check(
        "layout: 1\nappliance:\n  kind: range-hood\n  collar: 6 in round\n  cover: " + cover +
        "\n  cooking: {hood_height: 30 in, cooktop_height: 36 in}\nrun:\n  pieces: [{straight: 3 "
        "ft}]\n"
        "dwelling: {ceiling_height: 8 ft}\n");
  };
  EXPECT_EQ(found(with("{shortest: 26 in, longest: 30 in}"), "cover-misses-ceiling"), nullptr);
  const auto low = with("{shortest: 20 in, longest: 28 in}");
  ASSERT_NE(found(low, "cover-misses-ceiling"), nullptr);
  EXPECT_NEAR(found(low, "cover-misses-ceiling")->limit.front().value, 0.762, 1e-9);
  EXPECT_NE(found(with("{shortest: 31 in, longest: 40 in}"), "cover-misses-ceiling"), nullptr);
}

}  // namespace
}  // namespace ductledger
