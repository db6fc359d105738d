#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "solve/run.hpp"
#include "support/check_text.hpp"

namespace ductledger::solve {
namespace {

double loss_pa(const std::string& piece) {
  const auto layout = support::read("layout: 1\nrun:\n  section: 8 in round\n  pieces:\n    - " +
                                    piece + "\n    - cap: grille\n");
  const auto run = compile(*layout, fitting::Catalogue::built_in());
  return run->loss.of(run->pieces.front().loss, 0.1);
}

// A dip as a parabola over its length L, s deep, slopes by 4 s / L where it hangs: the air turns
// down by that angle, up by twice and level by once.
TEST(FlexSag, IsBendsByTheAngleThatADipTurns) {
  const double length_ft = 12.0;
  const double quarter_turn_pa = loss_pa("elbow: {type: flexible-bend, angle: 90 deg}");
  const double straight_pa = loss_pa("flex: {length: 12 ft, stretched: 96 %}");
  for (const int dips : {1, 2, 3}) {
    for (const double sag_in : {2.0, 6.0}) {
      const double angle = std::atan(4.0 * sag_in / 12.0 / (length_ft / dips));
      const double turns = 4.0 * dips * angle / (std::numbers::pi / 2.0);
      EXPECT_NEAR(
          loss_pa(fmt::format(
              "flex: {{length: 12 ft, stretched: 96 %, sag: {} in, dips: {}}}", sag_in, dips)) -
              straight_pa,
          turns * quarter_turn_pa,
          1e-9 * quarter_turn_pa)
          << dips << " dips of " << sag_in;
    }
  }
}

}  // namespace
}  // namespace ductledger::solve
