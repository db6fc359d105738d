#include "units/message.hpp"

#include <gtest/gtest.h>

#include <string>

#include "units/quantity.hpp"

namespace {

using ductledger::units::Dimension;
using ductledger::units::display;
using ductledger::units::display_number;
using ductledger::units::display_unit;
using ductledger::units::displayed_value;
using ductledger::units::kKgM3PerLbFt3;
using ductledger::units::kM3SPerCfm;
using ductledger::units::kMetresPerFoot;
using ductledger::units::kMetresPerInch;
using ductledger::units::kPascalPerInchWater;
using ductledger::units::Message;
using ductledger::units::System;

TEST(Display, ReadsAsTheTradeWritesInBothSystems) {
  struct Row {
    double si;
    Dimension dimension;
    const char* ip;
    const char* si_text;
  };
  const Row rows[] = {
      {412.0 * kM3SPerCfm, Dimension::airflow, "412 cfm", "194 L/s"},
      {4.7 * kM3SPerCfm, Dimension::airflow, "4.7 cfm", "2.2 L/s"},
      {0.33 * kPascalPerInchWater, Dimension::pressure, "0.330 inH2O", "82.2 Pa"},
      {1180.0 * kMetresPerFoot / 60.0, Dimension::velocity, "1180 fpm", "6.0 m/s"},
      {6.5 * kMetresPerFoot, Dimension::length, "6 ft 6 in", "1.98 m"},
      {4.0 * kMetresPerFoot, Dimension::length, "4 ft", "1.22 m"},
      {3.25 * kMetresPerInch, Dimension::length, "3-1/4 in", "83 mm"},
      {8.0 * kMetresPerInch, Dimension::length, "8 in", "203 mm"},
      {14.0 * kMetresPerInch, Dimension::length, "14 in", "356 mm"},
      {0.00009, Dimension::length, "0.0035 in", "0.09 mm"},
      {297.0388888888889, Dimension::temperature, "75 degF", "24 degC"},
      {0.4, Dimension::ratio, "40 %", "40 %"},
      {0.075 * kKgM3PerLbFt3, Dimension::density, "0.0750 lb/ft3", "1.201 kg/m3"},
      {8.0 * 0.1761101838, Dimension::thermal_resistance, "R-8", "1.41 m2 K/W"},
      {0.7853981633974483, Dimension::angle, "45 deg", "45 deg"},
      {50.27 * kMetresPerInch * kMetresPerInch, Dimension::area, "50.3 in2", "324 cm2"},
      {2400.0 * kMetresPerFoot * kMetresPerFoot, Dimension::area, "2400 ft2", "223.0 m2"},
      {960.0 * kMetresPerFoot * kMetresPerFoot * kMetresPerFoot,
       Dimension::volume,
       "960 ft3",
       "27.2 m3"},
      {15.0, Dimension::current, "15 A", "15 A"},
      {120.0, Dimension::voltage, "120 V", "120 V"},
      {1.5, Dimension::number, "1.5", "1.5"},
      {2.0, Dimension::number, "2", "2"},
  };
  for (const Row& row : rows) {
    EXPECT_EQ(display(row.si, row.dimension, System::ip), row.ip);
    EXPECT_EQ(display(row.si, row.dimension, System::si), row.si_text);
  }
}

TEST(Display, NeverShowsMinusNothing) {
  EXPECT_EQ(display(-1e-9, Dimension::pressure, System::ip), "0.000 inH2O");
  EXPECT_EQ(display(-1e-9, Dimension::pressure, System::si), "0.0 Pa");
  EXPECT_EQ(display(-4.0 * kMetresPerFoot, Dimension::length, System::ip), "-4 ft");
}

TEST(Display, NumberAndUnitMakeTheWhole) {
  for (const Dimension dimension : {Dimension::airflow, Dimension::pressure, Dimension::velocity}) {
    for (const System system : {System::ip, System::si}) {
      EXPECT_EQ(display_number(3.21, dimension, system) + " " +
                    std::string(display_unit(dimension, system)),
                display(3.21, dimension, system));
    }
  }
}

TEST(Display, ValueShownIsTheRoundedOne) {
  EXPECT_NEAR(displayed_value(412.4 * kM3SPerCfm, Dimension::airflow, System::ip),
              412.0 * kM3SPerCfm,
              1e-15);
  EXPECT_NEAR(displayed_value(82.24, Dimension::pressure, System::si), 82.2, 1e-12);
  EXPECT_NEAR(displayed_value(3.26 * kMetresPerInch, Dimension::length, System::ip),
              3.25 * kMetresPerInch,
              1e-15);
  EXPECT_NEAR(displayed_value(0.2032, Dimension::length, System::si), 0.203, 1e-15);
}

TEST(MessageText, ReadsInBothSystemsAndKeepsDoubledBraces) {
  const Message message{
      "high delivers {}, {} required by {{Ana}}",
      {{200.0 * kM3SPerCfm, Dimension::airflow}, {300.0 * kM3SPerCfm, Dimension::airflow}}};
  EXPECT_EQ(message.text(System::ip), "high delivers 200 cfm, 300 cfm required by {Ana}");
  EXPECT_EQ(message.text(System::si), "high delivers 94 L/s, 142 L/s required by {Ana}");
  EXPECT_TRUE(Message{}.empty());
  EXPECT_EQ(Message{}.text(System::ip), "");
}

}  // namespace
