#include "numeric/table.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>
#include <variant>
#include <vector>

#include "base/expects.hpp"

namespace ductledger::numeric {
namespace {

Table table_of(std::vector<std::vector<double>> axes, std::vector<double> values) {
  return std::get<Table>(Table::from(std::move(axes), std::move(values)));
}

Table::Fault fault_of(std::vector<std::vector<double>> axes, std::vector<double> values) {
  return std::get<Table::Fault>(Table::from(std::move(axes), std::move(values)));
}

TableValue at(const Table& table, std::vector<double> coordinates) { return table.at(coordinates); }

TEST(Table, IsLinearBetweenNodesAndExactAtThem) {
  const Table table = table_of({{0.5, 1.0, 2.0}}, {0.7, 0.3, 0.1});
  EXPECT_EQ(at(table, {0.5}).value, 0.7);
  EXPECT_EQ(at(table, {1.0}).value, 0.3);
  EXPECT_EQ(at(table, {2.0}).value, 0.1);
  EXPECT_DOUBLE_EQ(at(table, {0.75}).value, 0.5);
  EXPECT_DOUBLE_EQ(at(table, {1.5}).value, 0.2);
  EXPECT_TRUE(at(table, {2.0}).is_inside());
}

TEST(Table, OutsideTheNearestEdgeIsUsedAndMarked) {
  const Table table = table_of({{0.5, 1.0, 2.0}}, {0.7, 0.3, 0.1});
  const TableValue below = at(table, {0.1});
  EXPECT_EQ(below.value, 0.7);
  EXPECT_EQ(below.places[0], AxisPlace::below);
  EXPECT_FALSE(below.is_inside());
  const TableValue above = at(table, {9.0});
  EXPECT_EQ(above.value, 0.1);
  EXPECT_EQ(above.places[0], AxisPlace::above);
}

TEST(Table, LastAxisRunsFastest) {
  const Table table = table_of({{0.0, 1.0}, {0.0, 1.0, 2.0}}, {1.0, 2.0, 3.0, 10.0, 20.0, 30.0});
  EXPECT_EQ(at(table, {0.0, 2.0}).value, 3.0);
  EXPECT_EQ(at(table, {1.0, 0.0}).value, 10.0);
  EXPECT_DOUBLE_EQ(at(table, {0.5, 0.5}).value, 8.25);
}

TEST(Table, ReproducesAFunctionLinearInEachOfThreeAxes) {
  const auto f = [](double x, double y, double z) {
    return 2.0 + x - 3.0 * y + z + 0.5 * x * y - x * z + 0.25 * x * y * z;
  };
  const std::vector<std::vector<double>> axes{{-1.0, 0.5, 2.0}, {0.0, 3.0}, {1.0, 2.0, 4.0, 8.0}};
  std::vector<double> values;
  for (const double x : axes[0]) {
    for (const double y : axes[1]) {
      for (const double z : axes[2]) {
        values.push_back(f(x, y, z));
      }
    }
  }
  const Table table = table_of(axes, values);
  for (const double x : {-1.0, -0.2, 0.5, 1.9, 2.0}) {
    for (const double y : {0.0, 1.1, 3.0}) {
      for (const double z : {1.0, 1.5, 3.9, 8.0}) {
        EXPECT_NEAR(at(table, {x, y, z}).value, f(x, y, z), 1e-13);
      }
    }
  }
  const TableValue outside = at(table, {5.0, 1.0, 0.0});
  EXPECT_NEAR(outside.value, f(2.0, 1.0, 1.0), 1e-13);
  EXPECT_EQ(outside.places[0], AxisPlace::above);
  EXPECT_EQ(outside.places[1], AxisPlace::inside);
  EXPECT_EQ(outside.places[2], AxisPlace::below);
}

TEST(Table, AxisOfOneNodeIsInsideOnlyThere) {
  const Table table = table_of({{90.0}, {1.0, 2.0}}, {4.0, 6.0});
  EXPECT_EQ(at(table, {90.0, 1.5}).value, 5.0);
  EXPECT_TRUE(at(table, {90.0, 1.5}).is_inside());
  EXPECT_EQ(at(table, {45.0, 1.5}).places[0], AxisPlace::below);
}

TEST(Table, FaultsAreNamed) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(fault_of({}, {1.0}), Table::Fault::axis_count);
  EXPECT_EQ(fault_of({{1.0}, {1.0}, {1.0}, {1.0}}, {1.0}), Table::Fault::axis_count);
  EXPECT_EQ(fault_of({{}}, {}), Table::Fault::empty_axis);
  EXPECT_EQ(fault_of({{1.0, 1.0}}, {1.0, 2.0}), Table::Fault::not_ascending);
  EXPECT_EQ(fault_of({{1.0, nan}}, {1.0, 2.0}), Table::Fault::not_finite);
  EXPECT_EQ(fault_of({{1.0, 2.0}}, {1.0, nan}), Table::Fault::not_finite);
  EXPECT_EQ(fault_of({{1.0, 2.0}}, {1.0, 2.0, 3.0}), Table::Fault::wrong_size);
}

TEST(Table, BrokenContractIsSaid) {
  const Table table = table_of({{1.0, 2.0}}, {1.0, 2.0});
  EXPECT_THROW((void)at(table, {1.0, 2.0}), base::LogicError);
  EXPECT_THROW((void)at(table, {std::nan("")}), base::LogicError);
  EXPECT_THROW((void)table.axis(1), base::LogicError);
}

}  // namespace
}  // namespace ductledger::numeric
