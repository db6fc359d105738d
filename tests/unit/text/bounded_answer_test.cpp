#include <gtest/gtest.h>

#include "result/case.hpp"
#include "words/words.hpp"

// An airflow that ratings hold between two others.
namespace ductledger::text {
namespace {

constexpr double kM3SPerCfm = 4.719474432e-4;

result::SpeedResult between(double low_cfm, double high_cfm, double about_cfm) {
  result::SpeedResult speed;
  speed.name = "high";
  speed.fan.origin = solve::CurveOrigin::two_ratings;
  speed.point.status = solve::Status::beyond_curve;
  speed.point.bounds = {low_cfm * kM3SPerCfm, high_cfm * kM3SPerCfm};
  speed.point.estimate = {about_cfm * kM3SPerCfm, about_cfm * kM3SPerCfm};
  speed.airflow_band_m3_s = result::Band{187.0 * kM3SPerCfm, 325.0 * kM3SPerCfm};
  return speed;
}

TEST(BoundedAnswer, NamesBothBounds) {
  const result::SpeedResult speed = between(214.0, 270.0, 232.0);
  EXPECT_EQ(words::delivers(speed, units::System::ip), "214 to 270 cfm (about 232)");
  EXPECT_EQ(words::answer(speed, units::System::ip),
            "High speed delivers 214 to 270 cfm, by the ratings alone (187 to 325 with "
            "uncertainty); about 232 by both shapes.");
}

TEST(BoundedAnswer, IsOneFigureWhereBothShowAsTheSame) {
  const result::SpeedResult speed = between(269.8, 270.1, 270.0);
  EXPECT_EQ(words::delivers(speed, units::System::ip), "270 cfm (187 to 325)");
  EXPECT_EQ(words::answer(speed, units::System::ip),
            "High speed delivers 270 cfm, by the ratings alone (187 to 325 with uncertainty).");
}

}  // namespace
}  // namespace ductledger::text
