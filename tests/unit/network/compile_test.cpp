#include "network/compile.hpp"

#include <gtest/gtest.h>

#include <string>

#include "support/check_text.hpp"

namespace ductledger::network {
namespace {

/// A branch that joins a run of 8 in round.
CompiledNetwork joined_by(const std::string& section, const std::string& pieces) {
  const auto layout = support::read(
      "layout: 1\nappliance: {kind: exhaust}\nrun:\n  section: 8 in round\n  pieces:\n"
      "    - entry: plain\n    - straight: 10 ft\n"
      "    - junction: {type: wye-45, branch: bath, section: 8 in round}\n    - straight: 6 ft\n"
      "    - cap: grille\nbranches:\n  bath:\n    section: " +
      section + "\n    pieces: [{entry: plain}, " + pieces + "{straight: 8 ft}]\n");
  if (!layout) {
    throw std::runtime_error(base::render(layout.error()));
  }
  auto compiled = compile(*layout, fitting::Catalogue::built_in());
  if (!compiled) {
    throw std::runtime_error(base::render(compiled.error()));
  }
  return *std::move(compiled);
}

bool lets_no_air_back(const std::string& pieces) {
  const CompiledNetwork of = joined_by("6 in round", pieces);
  return of.network.legs[of.inlets.front()].one_way;
}

TEST(CompiledNetwork, LetsNoAirBackWhereAnythingFallsShut) {
  EXPECT_FALSE(lets_no_air_back(""));
  EXPECT_FALSE(lets_no_air_back("{damper: motorised}, "));
  EXPECT_TRUE(lets_no_air_back("{damper: backdraft-flap}, "));
  EXPECT_TRUE(lets_no_air_back("{damper: {type: motorised, opening_pressure: 0.5 Pa}}, "));
}

// The figures of joining streams are printed for branches of a tenth of the combined area to all
// of it.
TEST(CompiledNetwork, NamesBranchesThatAreNarrowerOrWiderThanPrinted) {
  const auto outside = [](const char* section) {
    return joined_by(section, "").junctions.front().outside_area_range;
  };
  EXPECT_TRUE(outside("2.5 in round"));
  EXPECT_FALSE(outside("2.6 in round"));
  EXPECT_FALSE(outside("8 in round"));
  EXPECT_TRUE(outside("8.1 in round"));
}

// What headings do not say of a stated rise, the last leg of its run rises; a leg before it that
// has none rises nothing.
TEST(CompiledNetwork, TheLegsOfARunRiseWhatIsStatedOfIt) {
  const auto layout = support::read(
      "layout: 1\nappliance: {kind: exhaust}\nrun:\n  section: 8 in round\n  rise: 20 ft\n"
      "  pieces:\n    - entry: plain\n    - straight: 10 ft\n"
      "    - junction: {type: wye-45, branch: bath, section: 8 in round}\n    - straight: 6 ft\n"
      "    - cap: grille\nbranches:\n  bath: {section: 6 in round, rise: 5 ft, pieces: [{entry: "
      "plain}, {straight: 8 ft}]}\n");
  ASSERT_TRUE(layout) << base::render(layout.error());
  const auto compiled = compile(*layout, fitting::Catalogue::built_in());
  ASSERT_TRUE(compiled) << base::render(compiled.error());
  double run_m = 0.0;
  double bath_m = 0.0;
  for (const LegPart& leg : compiled->legs) {
    ASSERT_TRUE(leg.layout.run.rise_m);
    (leg.branch ? bath_m : run_m) += *leg.layout.run.rise_m;
    if (!leg.branch && leg.ends_at != kNone) {
      EXPECT_EQ(*leg.layout.run.rise_m, 0.0);
    }
  }
  EXPECT_NEAR(run_m, 20.0 * 0.3048, 1e-12);
  EXPECT_NEAR(bath_m, 5.0 * 0.3048, 1e-12);
  EXPECT_FALSE(compiled->stack_unknown);
}

}  // namespace
}  // namespace ductledger::network
