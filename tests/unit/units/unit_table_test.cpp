#include "units/unit_table.hpp"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <string>

#include "units/message.hpp"
#include "units/quantity_text.hpp"

// Every row of the table is read, shown and told: a unit or a dimension that is added there needs
// no other file.
namespace ductledger::units {
namespace {

TEST(UnitTable, EveryUnitReadsUnderItsNameAndItsSpellings) {
  for (const Unit& unit : kUnits) {
    for (std::string_view rest = unit.spellings; !rest.empty();) {
      const std::string spelling(rest.substr(0, rest.find(' ')));
      rest.remove_prefix(std::min(spelling.size() + 1, rest.size()));
      const auto read = parse_quantity("2 " + spelling, unit.dimension);
      ASSERT_TRUE(std::holds_alternative<double>(read)) << spelling;
      EXPECT_DOUBLE_EQ(std::get<double>(read), 2.0 * unit.scale + unit.offset) << spelling;
    }
    const auto read = parse_quantity(fmt::format("2 {}", unit.name), unit.dimension);
    ASSERT_TRUE(std::holds_alternative<double>(read)) << unit.name;
    EXPECT_DOUBLE_EQ(std::get<double>(read), 2.0 * unit.scale + unit.offset) << unit.name;
  }
}

TEST(UnitTable, EveryDimensionIsShownInAUnitThatReadsBack) {
  for (const DimensionRow& row : kDimensions) {
    for (const System system : {System::ip, System::si}) {
      const Scale scale = scale_of(row.dimension, system);
      if (row.dimension == Dimension::number) {
        EXPECT_EQ(scale.unit, "");
        continue;
      }
      const Unit* unit = unit_named(scale.unit);
      ASSERT_NE(unit, nullptr) << row.name;
      EXPECT_EQ(unit->dimension, row.dimension) << row.name;
      const auto read = parse_quantity(
          display(unit->offset + 3.0 * unit->scale, row.dimension, system), row.dimension);
      ASSERT_TRUE(std::holds_alternative<double>(read)) << row.name;
      EXPECT_NEAR(std::get<double>(read), unit->offset + 3.0 * unit->scale, 0.05 * unit->scale)
          << row.name;
    }
    if (!row.si_unit.empty()) {
      const Unit* unit = unit_named(row.si_unit);
      ASSERT_NE(unit, nullptr) << row.name;
      EXPECT_EQ(unit->scale, 1.0) << row.name;
      EXPECT_EQ(unit->offset, 0.0) << row.name;
    }
  }
}

TEST(UnitTable, TheLayoutFormatListsTheUnitsThatMessagesName) {
  std::ifstream file(DUCTLEDGER_SOURCE_DIR "/docs/layout-format.md");
  const std::string page((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
  ASSERT_FALSE(page.empty());
  for (const DimensionRow& row : kDimensions) {
    std::string line = fmt::format("| {} |", bare_name_of(row.dimension));
    std::string_view blank = " ";
    for (const Unit& unit : kUnits) {
      if (unit.dimension == row.dimension && unit.told != Told::no) {
        line += fmt::format("{}`{}`", blank, unit.told == Told::as_r_value ? "R-8" : unit.name);
        blank = ", ";
      }
    }
    if (row.dimension != Dimension::number) {
      EXPECT_NE(page.find(line + " |"), std::string::npos)
          << "docs/layout-format.md lacks: " << line;
    }
  }
}

}  // namespace
}  // namespace ductledger::units
