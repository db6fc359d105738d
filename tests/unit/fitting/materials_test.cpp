#include "fitting/materials.hpp"

#include <gtest/gtest.h>

#include "units/quantity.hpp"

namespace ductledger::fitting {
namespace {

TEST(Materials, AreFoundByTheirWordsHoweverSpelled) {
  ASSERT_NE(material("galvanized-steel"), nullptr);
  EXPECT_EQ(material("galvanized steel"), material("galvanized-steel"));
  EXPECT_EQ(material("Galvanised_Steel"), material("galvanized-steel"));
  EXPECT_EQ(material("aluminum"), material("aluminium"));
  EXPECT_EQ(material("unobtainium"), nullptr);
}

TEST(Materials, HaveTheRoughnessOfTheirRow) {
  // ASHRAE Fundamentals 2021, roughness table, category values
  EXPECT_NEAR(material("galvanized-steel")->roughness_m, 0.0003 * units::kMetresPerFoot, 1e-12);
  EXPECT_NEAR(material("pvc")->roughness_m, 0.00015 * units::kMetresPerFoot, 1e-12);
  EXPECT_NEAR(material("flexible-nonmetallic")->roughness_m, 0.003 * units::kMetresPerFoot, 1e-12);
  EXPECT_NEAR(material("galvanized-steel")->range_m[1], 0.00032 * units::kMetresPerFoot, 1e-12);
  EXPECT_NEAR(material("galvanized-iron")->roughness_m, 0.00015, 1e-12);
}

TEST(Materials, EachHasATitleASourceAndADoubt) {
  EXPECT_GE(materials().size(), 14U);
  EXPECT_EQ(material_names().size(), materials().size());
  for (const Material& m : materials()) {
    EXPECT_FALSE(m.title.empty()) << m.name;
    EXPECT_GT(m.roughness_m, 0.0) << m.name;
    EXPECT_GT(m.friction_standard_uncertainty, 0.0) << m.name;
    EXPECT_TRUE(Catalogue::built_in().source(m.source).has_value()) << m.name << " " << m.source;
  }
}

}  // namespace
}  // namespace ductledger::fitting
