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

}  // namespace
}  // namespace ductledger::network
