#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "support/check_text.hpp"

// Findings, advice and faults name a piece by its place in the file; the ledger must mean the same.
namespace ductledger {
namespace {

std::vector<int> numbers(const std::string& pieces) {
  const auto result = support::check(
      "layout: 1\ntitle: A test\nappliance: {kind: exhaust, collar: 6 in round}\n"
      "fan: {speeds: [{name: on, curve: {airflow: 0 100 200 300 cfm, pressure: 0.8 0.6 0.3 0 "
      "inH2O}}]}\nrun:\n  section: 6 in round\n  pieces:\n" +
      pieces);
  std::vector<int> out;
  for (const solve::LedgerRow& row : result.speeds.front().ledger->rows) {
    if (row.number > 0) {
      out.push_back(row.number);
      if (row.piece_index >= 0) {
        EXPECT_EQ(row.number, row.piece_index + 1);
      }
    }
  }
  return out;
}

TEST(Ledger, NumbersPiecesByTheirPlaceInTheFileWhereverTheFanStands) {
  EXPECT_EQ(numbers("    - straight: 4 ft\n    - straight: 2 ft\n    - cap: wall-hood-flap\n"),
            (std::vector<int>{1, 2, 3}));
  EXPECT_EQ(numbers("    - entry: flanged\n    - straight: 4 ft\n    - fan: inline\n"
                    "    - straight: 2 ft\n    - cap: wall-hood-flap\n"),
            (std::vector<int>{1, 2, 4, 5}));
}

TEST(Ledger, TheFanBlowsWithTheVelocityOfItsOutlet) {
  const auto result = support::check(
      "layout: 1\nappliance: {kind: exhaust, collar: 6 in round}\n"
      "fan: {speeds: [{name: on, curve: {airflow: 0 100 200 300 cfm, pressure: 0.8 0.6 0.3 0 "
      "inH2O}}]}\nrun: {section: 6 in round, pieces: [{straight: 4 ft}, {cap: wall-hood-flap}]}\n");
  const auto& speed = result.speeds.front();
  const auto& rows = speed.ledger->rows;
  const auto fan = std::ranges::find_if(rows, [](const auto& row) { return row.piece == "fan"; });
  ASSERT_NE(fan, rows.end());
  const double area_m2 = duct::Section::round(units::inches(6.0)).area_m2();
  EXPECT_NEAR(fan->velocity_m_s, speed.point.airflow_m3_s / area_m2, 1e-9);
}

TEST(Ledger, TheOpenEndComesAfterTheLastPiece) {
  EXPECT_EQ(numbers("    - straight: 4 ft\n    - straight: 2 ft\n"), (std::vector<int>{1, 2, 3}));
}

}  // namespace
}  // namespace ductledger
