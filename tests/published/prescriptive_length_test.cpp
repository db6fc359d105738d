#include <gtest/gtest.h>

#include <array>
#include <string>

#include "rules/prescriptive_table.hpp"
#include "units/quantity.hpp"

// International Residential Code, Table M1504.2 (editions 2021 and 2024; Table M1506.2 in 2015):
// greatest duct length in feet by airflow rated at 0.25 inH2O, make and diameter. Typed again from
// the adopted texts of Washington (2021) and New York (2024), apart from the copy in the library.
// `NL`: no limit, `X`: not allowed.
namespace ductledger::rules {
namespace {

struct PrintedRow {
  rules::DuctMake make;
  int diameter_in;
  std::array<const char*, 8> cells;  // 50 80 100 125 150 200 250 300 cfm
};

constexpr std::array<int, 8> kPrintedColumns{50, 80, 100, 125, 150, 200, 250, 300};
constexpr rules::DuctMake kFlex = rules::DuctMake::flexible;
constexpr rules::DuctMake kSmooth = rules::DuctMake::smooth;
const std::array<PrintedRow, 12> kPrinted{{
    {kFlex, 3, {"X", "X", "X", "X", "X", "X", "X", "X"}},
    {kFlex, 4, {"56", "4", "X", "X", "X", "X", "X", "X"}},
    {kFlex, 5, {"NL", "81", "42", "16", "2", "X", "X", "X"}},
    {kFlex, 6, {"NL", "NL", "158", "91", "55", "18", "1", "X"}},
    {kFlex, 7, {"NL", "NL", "NL", "NL", "161", "78", "40", "19"}},
    {kFlex, 8, {"NL", "NL", "NL", "NL", "NL", "189", "111", "69"}},
    {kSmooth, 3, {"5", "X", "X", "X", "X", "X", "X", "X"}},
    {kSmooth, 4, {"114", "31", "10", "X", "X", "X", "X", "X"}},
    {kSmooth, 5, {"NL", "152", "91", "51", "28", "4", "X", "X"}},
    {kSmooth, 6, {"NL", "NL", "NL", "168", "112", "53", "25", "9"}},
    {kSmooth, 7, {"NL", "NL", "NL", "NL", "NL", "148", "88", "54"}},
    {kSmooth, 8, {"NL", "NL", "NL", "NL", "NL", "NL", "198", "133"}},
}};

rules::TableCell cell(rules::DuctMake make, double airflow_cfm, double diameter_in) {
  return rules::prescriptive_length({.make = make,
                                     .airflow_m3_s = airflow_cfm * units::kM3SPerCfm,
                                     .diameter_m = diameter_in * units::kMetresPerInch});
}

std::string printed(const rules::TableCell& cell) {
  switch (cell.answer) {
    case rules::TableAnswer::no_limit:
      return "NL";
    case rules::TableAnswer::not_allowed:
      return "X";
    case rules::TableAnswer::outside:
      return "outside";
    case rules::TableAnswer::length:
      break;
  }
  const double feet = cell.length_m / units::kMetresPerFoot;
  EXPECT_NEAR(feet, static_cast<double>(static_cast<int>(feet + 0.5)), 1e-9);
  return std::to_string(static_cast<int>(feet + 0.5));
}

TEST(PrescriptiveLength, every_cell_is_as_printed) {
  for (const PrintedRow& row : kPrinted) {
    for (std::size_t i = 0; i < kPrintedColumns.size(); ++i) {
      EXPECT_EQ(printed(cell(row.make, kPrintedColumns[i], row.diameter_in)), row.cells[i])
          << row.diameter_in << " in at " << kPrintedColumns[i] << " cfm";
    }
  }
}

TEST(PrescriptiveLength, more_airflow_reads_the_next_column) {
  EXPECT_EQ(printed(cell(kSmooth, 81.0, 5.0)), "91");
  EXPECT_EQ(printed(cell(kSmooth, 110.0, 7.0)), "NL");
  EXPECT_EQ(printed(cell(kSmooth, 30.0, 4.0)), "114");
  EXPECT_EQ(printed(cell(kSmooth, 300.5, 8.0)), "outside");
  EXPECT_EQ(printed(cell(kSmooth, 400.0, 8.0)), "outside");
}

TEST(PrescriptiveLength, a_size_between_rows_reads_the_smaller_one) {
  // 10 x 3-1/4 in: four times area over perimeter is 4.906 in.
  EXPECT_EQ(printed(cell(kSmooth, 100.0, 4.0 * 32.5 / 26.5)), "10");
  EXPECT_EQ(printed(cell(kSmooth, 300.0, 10.0)), "133");
  EXPECT_EQ(printed(cell(kSmooth, 50.0, 2.5)), "X");
}

}  // namespace
}  // namespace ductledger::rules
