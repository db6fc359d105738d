#include "review/dryer_fittings.hpp"

#include <gtest/gtest.h>

#include <array>
#include <numbers>

#include "units/quantity.hpp"

// International Residential Code, Table M1502.4.6.1 (2021, 2024; M1502.4.5.1 in 2015): equivalent
// length of dryer duct elbows, typed again from the adopted texts (Florida on 2015, Washington on
// 2021, New York on 2024).
namespace ductledger::review {
namespace {

struct PrintedRow {
  double radius_in;
  bool smooth;
  double angle_deg;
  int feet;
  int inches;
};
constexpr std::array<PrintedRow, 8> kPrinted{{
    {4.0, false, 45.0, 2, 6},
    {4.0, false, 90.0, 5, 0},
    {6.0, true, 45.0, 1, 0},
    {6.0, true, 90.0, 1, 9},
    {8.0, true, 45.0, 1, 0},
    {8.0, true, 90.0, 1, 7},
    {10.0, true, 45.0, 0, 9},
    {10.0, true, 90.0, 1, 6},
}};

TEST(DryerFittings, every_row_is_as_printed) {
  for (const PrintedRow& row : kPrinted) {
    const DryerElbowLength read =
        dryer_elbow_length({.radius_m = row.radius_in * units::kMetresPerInch,
                            .angle_rad = row.angle_deg * std::numbers::pi / 180.0,
                            .smooth = row.smooth});
    EXPECT_NEAR(read.length_m / units::kMetresPerInch, row.feet * 12 + row.inches, 1e-9)
        << row.radius_in << " in, " << row.angle_deg << " deg";
    EXPECT_TRUE(read.listed);
  }
}

TEST(DryerFittings, a_tight_smooth_elbow_is_read_as_mitered_and_said_so) {
  const DryerElbowLength read = dryer_elbow_length({.radius_m = 4.0 * units::kMetresPerInch,
                                                    .angle_rad = std::numbers::pi / 2.0,
                                                    .smooth = true});
  EXPECT_NEAR(read.length_m, 5.0 * units::kMetresPerFoot, 1e-9);
  EXPECT_FALSE(read.listed);
}

}  // namespace
}  // namespace ductledger::review
