#include "house/limits.hpp"

#include <gtest/gtest.h>

namespace ductledger::house {
namespace {

using layout::Burner;
using layout::Draft;

layout::House with(std::vector<layout::CombustionAppliance> appliances) {
  layout::House house;
  house.combustion_stated = true;
  house.combustion = std::move(appliances);
  return house;
}

double limit_pa(const std::vector<layout::CombustionAppliance>& appliances) {
  const auto limit = limit_of(with(appliances));
  return limit ? limit->pressure_pa : -1.0;
}

layout::CombustionAppliance appliance(Draft draft, Burner burner) {
  layout::CombustionAppliance one;
  one.kind = "one";
  one.draft = draft;
  one.burner = burner;
  return one;
}

TEST(HouseLimit, IsTheStricterOfTheLists) {
  EXPECT_EQ(limit_pa({appliance(Draft::natural, Burner::water_heater)}), 2.0);
  EXPECT_EQ(limit_pa({appliance(Draft::natural, Burner::furnace)}), 5.0);
  EXPECT_EQ(limit_pa({appliance(Draft::natural, Burner::boiler)}), 5.0);
  EXPECT_EQ(limit_pa({appliance(Draft::induced, Burner::furnace)}), 5.0);
  EXPECT_EQ(limit_pa({appliance(Draft::power_vented, Burner::water_heater)}), 15.0);
  EXPECT_EQ(limit_pa({appliance(Draft::direct_vent, Burner::furnace)}), 25.0);
  EXPECT_EQ(limit_pa({appliance(Draft::solid_fuel, Burner::stove)}), 5.0);
  auto common = appliance(Draft::natural, Burner::furnace);
  common.common_vent = true;
  EXPECT_EQ(limit_pa({common}), 3.0);
  common.vent_damper = true;
  EXPECT_EQ(limit_pa({common}), 5.0);
}

TEST(HouseLimit, NamesEveryListAndTheStrictestFirst) {
  const auto limit = limit_of(with({appliance(Draft::natural, Burner::water_heater)}));
  ASSERT_TRUE(limit);
  ASSERT_EQ(limit->listed.size(), 2U);
  EXPECT_EQ(limit->listed[0].pressure_pa, 2.0);
  EXPECT_EQ(limit->listed[1].pressure_pa, 5.0);
  EXPECT_NE(limit->listed[0].key, limit->listed[1].key);
}

TEST(HouseLimit, SeveralThatDrawByThemselvesAreJudgedTogether) {
  EXPECT_EQ(limit_pa({appliance(Draft::natural, Burner::furnace),
                      appliance(Draft::solid_fuel, Burner::stove)}),
            2.0);
}

TEST(HouseLimit, TheWeakestInsideTheBarrierGoverns) {
  auto outside = appliance(Draft::natural, Burner::water_heater);
  outside.inside_air_barrier = false;
  EXPECT_EQ(limit_pa({outside, appliance(Draft::power_vented, Burner::furnace)}), 15.0);
  EXPECT_EQ(limit_pa({outside}), 25.0);
  EXPECT_EQ(limit_pa({}), 25.0);
}

TEST(HouseLimit, IsNotThereWhereNothingIsSaidOfWhatBurns) {
  EXPECT_FALSE(limit_of(layout::House{}));
}

TEST(HouseLimit, EveryKindOfApplianceHasOne) {
  for (const Draft draft : {Draft::natural,
                            Draft::induced,
                            Draft::power_vented,
                            Draft::direct_vent,
                            Draft::solid_fuel}) {
    for (const Burner burner : {Burner::water_heater,
                                Burner::furnace,
                                Burner::boiler,
                                Burner::fireplace,
                                Burner::stove,
                                Burner::not_stated}) {
      EXPECT_GT(limit_pa({appliance(draft, burner)}), 0.0);
    }
  }
}

TEST(HouseLimit, TheStrictestIsUndercutByNone) {
  const Limit strictest = strictest_limit();
  EXPECT_EQ(strictest.pressure_pa, 2.0);
  EXPECT_EQ(strictest.appliance, "natural-draft-water-heater");
  const std::vector<layout::CombustionAppliance> two{
      appliance(Draft::natural, Burner::water_heater), appliance(Draft::solid_fuel, Burner::stove)};
  EXPECT_GE(limit_pa(two), strictest.pressure_pa);
  for (const Draft draft : {Draft::natural,
                            Draft::induced,
                            Draft::power_vented,
                            Draft::direct_vent,
                            Draft::solid_fuel}) {
    for (const Burner burner : {Burner::water_heater, Burner::furnace, Burner::not_stated}) {
      for (const bool common : {false, true}) {
        auto one = appliance(draft, burner);
        one.common_vent = common;
        EXPECT_GE(limit_pa({one}), strictest.pressure_pa);
      }
    }
  }
}

}  // namespace
}  // namespace ductledger::house
