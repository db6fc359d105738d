#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "duct/section.hpp"
#include "published/printed.hpp"

namespace ductledger::published {
namespace {

double in_inches(double metres) { return metres / units::kMetresPerInch; }

duct::Section rectangle(double width_in, double height_in) {
  return duct::Section::rectangular(units::inches(width_in), units::inches(height_in));
}

constexpr Source kGuide{"Heating Ventilating Air Conditioning Guide, ASHAE, 1956",
                        "chapter 32, Table 1 (after Huebscher, ASHVE Transactions 54, 1948)",
                        "seen"};
constexpr Source kCourse{"Applied Fluids course notes, HVAC systems, K. Dusling",
                         "equivalent diameter examples",
                         "seen"};

struct RectangularRow {
  double width_in;
  double height_in;
  double printed_in;
  bool is_off_by_one = false;
};

constexpr std::array kRectangular = std::to_array<RectangularRow>({
    {10, 3, 5.7},   {12, 3, 6.2},      {16, 3, 7.0},         {10, 4, 6.8, true}, {12, 4, 7.3},
    {14, 4, 7.8},   {16, 4, 8.3},      {10, 5, 7.6},         {12, 5, 8.3},       {16, 5, 9.4},
    {6, 6, 6.6},    {8, 6, 7.5, true}, {10, 6, 8.4},         {12, 6, 9.1},       {16, 6, 10.4},
    {20, 6, 11.5},  {24, 6, 12.4},     {26, 6, 12.8},        {30, 6, 13.6},      {8, 8, 8.8, true},
    {10, 8, 9.8},   {12, 8, 10.7},     {16, 8, 12.2},        {20, 8, 13.5},      {24, 8, 14.6},
    {28, 8, 15.6},  {10, 10, 10.9},    {12, 10, 11.9, true}, {16, 10, 13.7},     {20, 10, 15.2},
    {12, 12, 13.1}, {16, 16, 17.5},
});

TEST(PublishedEquivalents, RectangularTable) {
  // Known difference: four nodes of the print (marked) stand 0.054 to 0.063 in from the equation,
  // where rounding to 0.1 in explains 0.05. They lie on both sides of it and their neighbours fit:
  // the print was worked to slide-rule accuracy and is one unit off in its last digit there.
  for (const RectangularRow& row : kRectangular) {
    const double ours_in =
        in_inches(rectangle(row.width_in, row.height_in).equivalent_diameter_m());
    const Printed printed = row.is_off_by_one
                                ? Printed{row.printed_in, 0.1, "one unit of the last digit"}
                                : Printed{row.printed_in, 0.05, "printed to 0.1 in"};
    EXPECT_TRUE(agrees(ours_in, printed, kGuide)) << row.width_in << " x " << row.height_in;
    EXPECT_EQ(std::fabs(ours_in - row.printed_in) > 0.05, row.is_off_by_one)
        << row.width_in << " x " << row.height_in;
  }
}

TEST(PublishedEquivalents, NewerPrintUsesTheOvalConstant) {
  // Known difference: 22 x 30 in, printed 28.1 in. The notes take 1.55 A^0.625 / P^0.25 for
  // rectangles too, which is 1.303 in place of 1.30; with their constant the print is met.
  const double ours_in = in_inches(rectangle(22.0, 30.0).equivalent_diameter_m());
  const double theirs = 1.55 / std::pow(2.0, 0.25) / 1.30;
  EXPECT_TRUE(agrees(ours_in * theirs, {28.1, 0.05, "printed to 0.1 in"}, kCourse));
  EXPECT_NEAR(ours_in, 28.00, 0.005);
}

TEST(PublishedEquivalents, FlatOval) {
  const auto oval_in = [](double major_in, double minor_in) {
    return in_inches(duct::Section::flat_oval(units::inches(major_in), units::inches(minor_in))
                         .equivalent_diameter_m());
  };
  EXPECT_TRUE(agrees(oval_in(30.0, 24.0), {27.5, 0.05, "printed to 0.1 in"}, kCourse));
  EXPECT_TRUE(agrees(oval_in(30.0, 26.0), {28.4, 0.05, "printed to 0.1 in"}, kCourse));
}

}  // namespace
}  // namespace ductledger::published
