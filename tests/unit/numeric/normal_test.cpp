#include "numeric/normal.hpp"

#include <gtest/gtest.h>

namespace ductledger::numeric {
namespace {

/// Printed in every table of the two distributions.
TEST(InverseNormal, IsAsPrinted) {
  EXPECT_DOUBLE_EQ(inverse_normal(0.5), 0.0);
  EXPECT_NEAR(inverse_normal(0.975), 1.959964, 5e-7);
  EXPECT_NEAR(inverse_normal(0.99), 2.326348, 5e-7);
  EXPECT_DOUBLE_EQ(inverse_normal(0.125), -inverse_normal(0.875));
}

TEST(InverseStudentsT, IsAsPrinted) {
  EXPECT_NEAR(inverse_students_t({.freedom = 1.0, .probability = 0.975}), 12.706, 5e-4);
  EXPECT_NEAR(inverse_students_t({.freedom = 4.0, .probability = 0.975}), 2.776, 5e-4);
  EXPECT_NEAR(inverse_students_t({.freedom = 30.0, .probability = 0.975}), 2.042, 5e-4);
}

}  // namespace
}  // namespace ductledger::numeric
