#include "units/written_system.hpp"

#include <gtest/gtest.h>

namespace ductledger::units {
namespace {

System written(std::initializer_list<const char*> values) {
  WrittenSystem system;
  for (const char* value : values) {
    system.add(value);
  }
  return system.system();
}

TEST(WrittenSystem, is_that_of_most_units) {
  EXPECT_EQ(written({"200 mm round", "3 m", "60 L/s", "6 in"}), System::si);
  EXPECT_EQ(written({"200 mm round", "3 m", "400 m3/h", "6 in"}), System::si_by_hour);
  EXPECT_EQ(written({"200 mm round", "400 m3/h", "60 L/s"}), System::si);
  EXPECT_EQ(written({"8 in round", "6 ft 6 in", "0 250 450 cfm", "50 Pa"}), System::ip);
}

TEST(WrittenSystem, reads_units_in_any_spelling) {
  EXPECT_EQ(written({"200mm round", "400m³/h"}), System::si_by_hour);
  EXPECT_EQ(written({"6' 6\"", "0.1 in.w.g."}), System::ip);
  EXPECT_EQ(written({"250 x 100 mm", "120 l/s"}), System::si);
}

TEST(WrittenSystem, counts_a_value_once_for_each_unit_in_it) {
  EXPECT_EQ(written({"6 ft 6 in", "2 m", "30 cm", "1 m"}), System::si);
}

TEST(WrittenSystem, is_inch_pound_where_nothing_tells) {
  EXPECT_EQ(written({}), System::ip);
  EXPECT_EQ(written({"high", "40 %", "90 deg", "R-8", "2024"}), System::ip);
  EXPECT_EQ(written({"8 in", "200 mm"}), System::ip);
}

}  // namespace
}  // namespace ductledger::units
