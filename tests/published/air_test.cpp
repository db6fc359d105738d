#include "air/air.hpp"

#include <gtest/gtest.h>

#include <array>

#include "published/printed.hpp"

namespace ductledger::published {
namespace {

double pressure_ratio(units::Length elevation) {
  return air::pressure_at(elevation).value() / air::pressure_at(units::metres(0.0)).value();
}

double dry_density_lb_ft3(units::Temperature temperature, units::Length elevation) {
  return air::moist_density({.temperature = temperature, .pressure = air::pressure_at(elevation)})
             .value() /
         units::kKgM3PerLbFt3;
}

TEST(PublishedAltitude, PressureRatioTable) {
  // This table's "relative density" is that of air at one temperature, so the pressure ratio.
  constexpr Source kUsbr{
      "Design Guide for Heating, Ventilating, and Air Conditioning Systems, US "
      "Bureau of Reclamation, 2000, revised 2006",
      "Table 6a",
      "seen"};
  struct Row {
    double elevation_ft;
    double relative_density;
    double density_lb_ft3;
    double pressure_in_hg;
  };
  constexpr std::array kRows = std::to_array<Row>(
      {{6000, 0.801, 0.0601, 23.98}, {7000, 0.772, 0.0579, 23.09}, {8000, 0.743, 0.0557, 22.23}});
  for (const Row& row : kRows) {
    const double ratio = pressure_ratio(units::feet(row.elevation_ft));
    EXPECT_TRUE(agrees(ratio, {row.relative_density, 0.0005, "three decimals"}, kUsbr));
    EXPECT_TRUE(agrees(0.075 * ratio,
                       {row.density_lb_ft3,
                        0.00005 + 0.075 * 0.0005,
                        "four decimals, worked from the ratio of three"},
                       kUsbr));
    EXPECT_TRUE(agrees(29.92 * ratio,
                       {row.pressure_in_hg,
                        0.005 + 0.005 * ratio,
                        "two decimals, and those of 29.92 at sea level"},
                       kUsbr));
  }
}

TEST(PublishedAltitude, DensityTableByTemperatureAndAltitude) {
  constexpr Source kArticle{"density table by temperature and altitude in a ventilation article",
                            "70 and 100 degF",
                            "seen"};
  constexpr Printed kRounding{0.0, 0.0005, "three decimals"};
  constexpr std::array kAt70F{
      0.075, 0.072, 0.070, 0.067, 0.065, 0.062, 0.060, 0.058, 0.056, 0.054, 0.052};
  constexpr std::array kAt100F{0.071, 0.068, 0.066, 0.064, 0.061, 0.059};
  const auto check = [&](double temperature_f, std::size_t thousands, double printed) {
    const double ours = dry_density_lb_ft3(units::fahrenheit(temperature_f),
                                           units::feet(1000.0 * static_cast<double>(thousands)));
    EXPECT_TRUE(agrees(ours, {printed, kRounding.tolerance, kRounding.reason}, kArticle))
        << temperature_f << " degF, " << thousands << "000 ft";
  };
  for (std::size_t i = 0; i < kAt70F.size(); ++i) {
    check(70.0, i, kAt70F[i]);
  }
  for (std::size_t i = 0; i < kAt100F.size(); ++i) {
    check(100.0, i, kAt100F[i]);
  }
}

TEST(PublishedAltitude, StandardAtmosphereDensityRatio) {
  // The other definition: outdoor air that cools with height by 6.5 K/km from 15 degC.
  const auto ratio = [](double elevation_ft) {
    const units::Length elevation = units::feet(elevation_ft);
    const double warmth = 1.0 - 0.0065 * elevation.value() / 288.15;
    return pressure_ratio(elevation) / warmth;
  };
  constexpr Source kStandard{"US Standard Atmosphere, 1976", "density ratio", "computed"};
  struct Row {
    double elevation_ft;
    double pressure_ratio;
    double density_ratio;
  };
  constexpr std::array kComputed = std::to_array<Row>({{0, 1.0000, 1.0000},
                                                       {500, 0.9821, 0.9855},
                                                       {1000, 0.9644, 0.9711},
                                                       {2000, 0.9298, 0.9428},
                                                       {3000, 0.8962, 0.9151},
                                                       {4000, 0.8637, 0.8881},
                                                       {5000, 0.8321, 0.8617},
                                                       {6000, 0.8014, 0.8359},
                                                       {7000, 0.7716, 0.8106},
                                                       {8000, 0.7428, 0.7860},
                                                       {9000, 0.7148, 0.7620},
                                                       {10000, 0.6877, 0.7385}});
  for (const Row& row : kComputed) {
    EXPECT_TRUE(agrees(pressure_ratio(units::feet(row.elevation_ft)),
                       {row.pressure_ratio, 0.00006, "four decimals; exponents differ by 2e-5"},
                       kStandard));
    EXPECT_TRUE(agrees(ratio(row.elevation_ft),
                       {row.density_ratio, 0.00006, "four decimals; exponents differ by 2e-5"},
                       kStandard));
  }
  // Known difference: Table 1-7 of the HVAC Design Manual for hospital projects, US Department of
  // Veterans Affairs (seen), prints 0.944, 0.890 and 0.838 at 2000, 4000 and 6000 ft, 0.001 to
  // 0.002 above the standard atmosphere where its print explains 0.0005. It does not state its
  // formula; it is far from the pressure ratio (0.930, 0.864, 0.801), so the definition is not in
  // doubt.
  EXPECT_NEAR(ratio(2000.0) - 0.944, -0.0012, 0.0005);
  EXPECT_NEAR(ratio(4000.0) - 0.890, -0.0019, 0.0005);
  EXPECT_NEAR(ratio(6000.0) - 0.838, -0.0021, 0.0005);
}

TEST(PublishedAltitude, PressureRatioInMetres) {
  constexpr Source kDerived{"standard atmosphere, air at one temperature", "ratio", "derived"};
  struct Row {
    double elevation_m;
    double ratio;
  };
  constexpr std::array kRows = std::to_array<Row>(
      {{0, 1.0}, {500, 0.9421}, {1000, 0.8870}, {1600, 0.8243}, {2000, 0.7846}, {2500, 0.7371}});
  for (const Row& row : kRows) {
    EXPECT_TRUE(agrees(pressure_ratio(units::metres(row.elevation_m)),
                       {row.ratio, 0.00006, "four decimals; exponents differ by 2e-5"},
                       kDerived));
  }
}

TEST(PublishedMoistAir, SaturatedNodes) {
  constexpr const char* kDigits =
      "three decimals, and 0.05 % of compressibility that ideal gas leaves out";
  constexpr Source kTable{
      "moist air at 101.325 kPa, three-digit table of a reference page (origin "
      "recalled: ASHRAE Handbook, Fundamentals, psychrometrics)",
      "20 to 50 degC",
      "seen"};
  struct Row {
    double temperature_c;
    double saturation_pa;
    double dry_volume_m3_kg;
    double saturated_volume_m3_kg;
  };
  constexpr std::array kRows = std::to_array<Row>({{20, 2337, 0.830, 0.850},
                                                   {25, 3167, 0.844, 0.872},
                                                   {30, 4243, 0.859, 0.896},
                                                   {35, 5623, 0.873, 0.924},
                                                   {40, 7378, 0.887, 0.957},
                                                   {50, 12339, 0.915, 1.042}});
  for (const Row& row : kRows) {
    const units::Temperature temperature = units::celsius(row.temperature_c);
    const units::AbsolutePressure pressure(units::pascals(101325.0));
    const double dry =
        air::moist_density({.temperature = temperature, .pressure = pressure}).value();
    const double saturated =
        air::moist_density(
            {.temperature = temperature, .relative_humidity = 1.0, .pressure = pressure})
            .value();
    const double vapour_pa = air::saturation_pressure_pa(temperature);
    const double ratio = 0.621945 * vapour_pa / (101325.0 - vapour_pa);
    EXPECT_TRUE(agrees(1.0 / dry, {row.dry_volume_m3_kg, 0.0005 + 0.0005 / dry, kDigits}, kTable));
    EXPECT_TRUE(agrees((1.0 + ratio) / saturated,
                       {row.saturated_volume_m3_kg, 0.0005 + 0.0005 / saturated, kDigits},
                       kTable));
    // Known difference: the print stands 0.07 to 0.09 % below Hyland and Wexler throughout, as an
    // older formulation of the saturation pressure does; it moves moist density by 2e-5.
    EXPECT_NEAR(row.saturation_pa / vapour_pa, 0.9992, 0.0001 + 0.5 / row.saturation_pa);
  }
}

TEST(PublishedMoistAir, Cipm2007) {
  constexpr Source kCipm{
      "Picard, Davis, Glaser and Fujii, Metrologia 45 (2008) 149-155, constants "
      "recalled",
      "equation of state, evaluated apart from this code",
      "computed"};
  struct Row {
    double pressure_pa;
    double temperature_c;
    double humidity;
    double density_kg_m3;
  };
  constexpr std::array kRows = std::to_array<Row>({{101325, 20, 0.5, 1.19931},
                                                   {101325, 20, 0.0, 1.20456},
                                                   {101325, 25, 0.5, 1.17732},
                                                   {84556, 20, 0.5, 0.999903}});
  for (const Row& row : kRows) {
    const double ours =
        air::moist_density({.temperature = units::celsius(row.temperature_c),
                            .relative_humidity = row.humidity,
                            .pressure = units::AbsolutePressure(units::pascals(row.pressure_pa))})
            .value();
    EXPECT_TRUE(agrees(ours,
                       {row.density_kg_m3,
                        0.001 * row.density_kg_m3,
                        "ideal gas here: compressibility is 0.04 %, the enhancement factor and the "
                        "carbon dioxide assumed the rest of 0.1 %"},
                       kCipm));
  }
}

TEST(PublishedViscosity, Sutherland) {
  constexpr Source kSutherland{"US Standard Atmosphere, 1976, Sutherland's law recalled",
                               "evaluated apart from this code",
                               "computed"};
  struct Row {
    double temperature_c;
    double viscosity_pa_s;
  };
  constexpr std::array kRows = std::to_array<Row>({{0, 1.7161e-05},
                                                   {20, 1.8134e-05},
                                                   {21.11, 1.8187e-05},
                                                   {25, 1.8372e-05},
                                                   {40, 1.9076e-05},
                                                   {60, 1.9988e-05},
                                                   {100, 2.1734e-05}});
  for (const Row& row : kRows) {
    EXPECT_TRUE(agrees(air::sutherland_viscosity(units::celsius(row.temperature_c)).value(),
                       {row.viscosity_pa_s, 0.5e-9, "five digits"},
                       kSutherland));
  }
}

TEST(PublishedViscosity, Textbook) {
  // Known difference: Cengel and Cimbala, Fluid Mechanics, examples 14-1 and 8-4 (values seen), use
  // 1.8494e-5 Pa s at 25 degC and 1.895e-5 at 35 degC, 0.6 to 0.7 % above Sutherland's law. That
  // moves the friction factor by about 0.1 %.
  const auto excess = [](double textbook_pa_s, double temperature_c) {
    return textbook_pa_s / air::sutherland_viscosity(units::celsius(temperature_c)).value() - 1.0;
  };
  EXPECT_NEAR(excess(1.8494e-5, 25.0), 0.0066, 0.0005);
  EXPECT_NEAR(excess(1.895e-5, 35.0), 0.0060, 0.0010);
}

}  // namespace
}  // namespace ductledger::published
