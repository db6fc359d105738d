#include "air/air.hpp"

#include <gtest/gtest.h>

#include "base/expects.hpp"

namespace ductledger::air {
namespace {

const units::AbsolutePressure kSeaLevel(units::pascals(101325.0));

TEST(Air, StandardAirHasItsDefiningDensity) {
  EXPECT_DOUBLE_EQ(standard_air().density.value(), 1.20138);
  EXPECT_NEAR(units::pounds_per_cubic_foot(0.075).value(), standard_air().density.value(), 5e-6);
  EXPECT_EQ(standard_air().viscosity.value(),
            sutherland_viscosity(units::fahrenheit(70.0)).value());
}

TEST(Air, MoistAirIsLighterThanDry) {
  const MoistState dry{.temperature = units::celsius(35.0), .pressure = kSeaLevel};
  MoistState moist = dry;
  moist.relative_humidity = 0.6;
  EXPECT_LT(moist_density(moist).value(), moist_density(dry).value());
}

TEST(Air, DensityFollowsPressureAtOneTemperatureWhenDry) {
  const MoistState low{.temperature = units::celsius(20.0), .pressure = kSeaLevel};
  MoistState high = low;
  high.pressure = pressure_at(units::feet(6000.0));
  EXPECT_NEAR(moist_density(high).value() / moist_density(low).value(),
              high.pressure.value() / low.pressure.value(),
              1e-15);
}

TEST(Air, PressureAtSeaLevelIsTheStandardOne) {
  EXPECT_EQ(pressure_at(units::metres(0.0)).value(), 101325.0);
}

TEST(Air, SaturationOverIceAndWaterMeetNearZeroCelsius) {
  const double ice = saturation_pressure_pa(units::kelvin(273.15 - 1e-9));
  const double water = saturation_pressure_pa(units::kelvin(273.15));
  EXPECT_NEAR(ice / water, 1.0, 2e-4);
}

TEST(Air, DewPointSaturatesTheSameVapour) {
  for (const double celsius : {-60.0, -5.0, 0.0, 12.0, 35.0, 90.0}) {
    for (const double humidity : {0.05, 0.4, 0.99}) {
      const MoistState state{.temperature = units::celsius(celsius),
                             .relative_humidity = humidity,
                             .pressure = kSeaLevel};
      const units::Temperature dew = dew_point(state);
      EXPECT_LT(dew.value(), state.temperature.value());
      // The laws over ice and over water differ by 1e-4 where they meet.
      EXPECT_NEAR(saturation_pressure_pa(dew) / vapour_pressure_pa(state), 1.0, 2e-4)
          << celsius << " degC, " << humidity;
    }
  }
}

TEST(Air, DewPointOfSaturatedAirIsItsTemperature) {
  const MoistState state{
      .temperature = units::celsius(20.0), .relative_humidity = 1.0, .pressure = kSeaLevel};
  EXPECT_EQ(dew_point(state).value(), state.temperature.value());
}

TEST(Air, DewPointOfDryAirIsTheLowestOfTheRange) {
  EXPECT_EQ(dew_point({.temperature = units::celsius(20.0), .pressure = kSeaLevel}).value(),
            173.15);
}

TEST(Air, BrokenContractIsSaid) {
  const MoistState boiling{
      .temperature = units::celsius(110.0), .relative_humidity = 1.0, .pressure = kSeaLevel};
  EXPECT_GT(vapour_pressure_pa(boiling), boiling.pressure.value());
  EXPECT_THROW((void)moist_density(boiling), base::LogicError);
  EXPECT_THROW((void)saturation_pressure_pa(units::celsius(-101.0)), base::LogicError);
  EXPECT_THROW((void)sutherland_viscosity(units::celsius(201.0)), base::LogicError);
  EXPECT_THROW((void)pressure_at(units::metres(11001.0)), base::LogicError);
  EXPECT_THROW(
      (void)vapour_pressure_pa(
          {.temperature = units::celsius(20.0), .relative_humidity = 1.01, .pressure = kSeaLevel}),
      base::LogicError);
}

}  // namespace
}  // namespace ductledger::air
