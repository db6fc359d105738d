#include "units/quantity_text.hpp"

#include <gtest/gtest.h>

#include <clocale>
#include <cmath>
#include <string>
#include <variant>
#include <vector>

namespace ductledger::units {
namespace {

struct Row {
  const char* text;
  Dimension dimension;
  double si;
};

void PrintTo(const Row& row, std::ostream* out) { *out << row.text; }

class Spelling : public testing::TestWithParam<Row> {};

TEST_P(Spelling, ReadsAsTheSameQuantity) {
  const auto result = parse_quantity(GetParam().text, GetParam().dimension);
  const auto* value = std::get_if<double>(&result);
  ASSERT_NE(value, nullptr) << std::get<TextFault>(result).message;
  EXPECT_NEAR(*value, GetParam().si, 1e-12 * std::abs(GetParam().si) + 1e-300);
}

using D = Dimension;
constexpr double kInch = 0.0254;  // exact
constexpr double kFoot = 0.3048;  // exact
constexpr double kCfm = kFoot * kFoot * kFoot / 60.0;

INSTANTIATE_TEST_SUITE_P(Length,
                         Spelling,
                         testing::Values(Row{"8 in", D::length, 8 * kInch},
                                         Row{"8in", D::length, 8 * kInch},
                                         Row{"8 in.", D::length, 8 * kInch},
                                         Row{"8\"", D::length, 8 * kInch},
                                         Row{"8''", D::length, 8 * kInch},
                                         Row{"8″", D::length, 8 * kInch},
                                         Row{"8”", D::length, 8 * kInch},
                                         Row{"8 inches", D::length, 8 * kInch},
                                         Row{"8-inch", D::length, 8 * kInch},
                                         Row{" 8  IN ", D::length, 8 * kInch},
                                         Row{"3-1/4 in", D::length, 3.25 * kInch},
                                         Row{"3 1/4 in", D::length, 3.25 * kInch},
                                         Row{"3¼ in", D::length, 3.25 * kInch},
                                         Row{"3-¼ in", D::length, 3.25 * kInch},
                                         Row{"3 ¼ in", D::length, 3.25 * kInch},
                                         Row{"¾ in", D::length, 0.75 * kInch},
                                         Row{"1/4 in", D::length, 0.25 * kInch},
                                         Row{".25 in", D::length, 0.25 * kInch},
                                         Row{"-1/4 in", D::length, -0.25 * kInch},
                                         Row{"-3-1/4 in", D::length, -3.25 * kInch},
                                         Row{"6 ft 6 in", D::length, 6.5 * kFoot},
                                         Row{"6' 6\"", D::length, 6.5 * kFoot},
                                         Row{"6'6\"", D::length, 6.5 * kFoot},
                                         Row{"6'-6\"", D::length, 6.5 * kFoot},
                                         Row{"6′ 6″", D::length, 6.5 * kFoot},
                                         Row{"6’ 6”", D::length, 6.5 * kFoot},
                                         Row{"6ft6in", D::length, 6.5 * kFoot},
                                         Row{"6ft6-1/2in", D::length, 6 * kFoot + 6.5 * kInch},
                                         Row{"6 ft 6-1/2 in", D::length, 6 * kFoot + 6.5 * kInch},
                                         Row{"-6 ft 6 in", D::length, -6.5 * kFoot},
                                         Row{"−6 ft", D::length, -6 * kFoot},
                                         Row{"4 feet", D::length, 4 * kFoot},
                                         Row{"200 mm", D::length, 0.2},
                                         Row{"20 cm", D::length, 0.2},
                                         Row{"+2e-1 m", D::length, 0.2},
                                         Row{"0.2 metres", D::length, 0.2},
                                         Row{"2.5E2mm", D::length, 0.25}));

// 1 inch of water 249.0889 Pa, 1 h ft2 degF/Btu 0.1761102 m2 K/W, 1 lb/ft3 16.01846 kg/m3:
// NIST SP 811 appendix B (memory); here from their exact definitions.
INSTANTIATE_TEST_SUITE_P(Others,
                         Spelling,
                         testing::Values(Row{"400 cfm", D::airflow, 400 * kCfm},
                                         Row{"400cfm", D::airflow, 400 * kCfm},
                                         Row{"400 CFM", D::airflow, 400 * kCfm},
                                         Row{"400 ft3/min", D::airflow, 400 * kCfm},
                                         Row{"400 ft³/min", D::airflow, 400 * kCfm},
                                         Row{"90 L/s", D::airflow, 0.09},
                                         Row{"90 l/s", D::airflow, 0.09},
                                         Row{"360 m3/h", D::airflow, 0.1},
                                         Row{"360 m³/h", D::airflow, 0.1},
                                         Row{"360 m^3/h", D::airflow, 0.1},
                                         Row{"0.1 m3/s", D::airflow, 0.1},
                                         Row{"0 cfm", D::airflow, 0.0},
                                         Row{"1 inH2O", D::pressure, 249.08891},
                                         Row{"1 in.wg", D::pressure, 249.08891},
                                         Row{"1 in.w.g.", D::pressure, 249.08891},
                                         Row{"1 in. w.g.", D::pressure, 249.08891},
                                         Row{"1 in wg", D::pressure, 249.08891},
                                         Row{"1 iwg", D::pressure, 249.08891},
                                         Row{"1 inwc", D::pressure, 249.08891},
                                         Row{"1\" wc", D::pressure, 249.08891},
                                         Row{"1 inH₂O", D::pressure, 249.08891},
                                         Row{"1/2 in wg", D::pressure, 124.544455},
                                         Row{"50 Pa", D::pressure, 50},
                                         Row{"1.5 hPa", D::pressure, 150},
                                         Row{"1000 fpm", D::velocity, 5.08},
                                         Row{"1000 ft/min", D::velocity, 5.08},
                                         Row{"3 m/s", D::velocity, 3},
                                         Row{"10 mph", D::velocity, 4.4704},
                                         Row{"36 km/h", D::velocity, 10},
                                         Row{"32 degF", D::temperature, 273.15},
                                         Row{"212 °F", D::temperature, 373.15},
                                         Row{"212F", D::temperature, 373.15},
                                         Row{"20 degC", D::temperature, 293.15},
                                         Row{"-40°C", D::temperature, 233.15},
                                         Row{"300 K", D::temperature, 300},
                                         Row{"95 %", D::ratio, 0.95},
                                         Row{"95%", D::ratio, 0.95},
                                         Row{"90 deg", D::angle, 1.5707963267948966},
                                         Row{"90°", D::angle, 1.5707963267948966},
                                         Row{"0.65", D::number, 0.65},
                                         Row{"1/2", D::number, 0.5},
                                         Row{"1.2 kg/m3", D::density, 1.2},
                                         Row{"1.2 kg/m³", D::density, 1.2},
                                         Row{"1.8e-5 Pa.s", D::viscosity, 1.8e-5},
                                         Row{"1.8e-5 Pa·s", D::viscosity, 1.8e-5},
                                         Row{"1.8e-5 Pa s", D::viscosity, 1.8e-5},
                                         Row{"2400 ft2", D::area, 2400 * kFoot* kFoot},
                                         Row{"2400 ft²", D::area, 2400 * kFoot* kFoot},
                                         Row{"2400 sq ft", D::area, 2400 * kFoot* kFoot},
                                         Row{"1 in2", D::area, kInch* kInch},
                                         Row{"10 cm2", D::area, 0.001},
                                         Row{"1 m2 K/W", D::thermal_resistance, 1.0}));

TEST(Quantity, DensityAndInsulationAgreeWithTheStandardFactors) {
  const auto density = std::get<double>(parse_quantity("1 lb/ft3", D::density));
  EXPECT_NEAR(density, 16.01846, 5e-6);  // NIST SP 811 appendix B, memory
  for (const char* text : {"R-8", "R8", "r 8", "R 8", "8 h ft2 degF/Btu"}) {
    const auto value = parse_quantity(text, D::thermal_resistance);
    ASSERT_TRUE(std::holds_alternative<double>(value)) << text;
    EXPECT_NEAR(std::get<double>(value) / 8, 0.1761102, 5e-8) << text;  // same table
  }
}

TextFault fault_of(const TextResult<double>& result) {
  return std::holds_alternative<TextFault>(result) ? std::get<TextFault>(result) : TextFault{};
}

struct FaultRow {
  const char* text;
  Dimension dimension;
  const char* rule;
  const char* help_part;
  std::size_t offset;
  std::size_t length;
};
void PrintTo(const FaultRow& row, std::ostream* out) { *out << row.text; }

class Refused : public testing::TestWithParam<FaultRow> {};

TEST_P(Refused, NamesTheFaultItsPlaceAndWhatWouldMendIt) {
  const FaultRow& row = GetParam();
  const TextFault fault = fault_of(parse_quantity(row.text, row.dimension));
  EXPECT_EQ(fault.rule, row.rule);
  EXPECT_NE(fault.help.find(row.help_part), std::string::npos) << fault.help;
  EXPECT_EQ(fault.offset, row.offset);
  EXPECT_EQ(fault.length, row.length);
  EXPECT_FALSE(fault.message.empty());
}

INSTANTIATE_TEST_SUITE_P(
    All,
    Refused,
    testing::Values(FaultRow{"8", D::length, "missing-unit", "in, ft, mm, cm or m", 0, 1},
                    FaultRow{"400", D::airflow, "missing-unit", "cfm, L/s, m3/h or m3/s", 0, 3},
                    FaultRow{"95", D::ratio, "missing-unit", "`95 %`", 0, 2},
                    FaultRow{"8", D::thermal_resistance, "missing-unit", "`R-8`", 0, 1},
                    FaultRow{"8 cfm", D::length, "wrong-unit", "in, ft, mm, cm or m", 2, 3},
                    FaultRow{"8 in", D::airflow, "wrong-unit", "cfm", 2, 2},
                    FaultRow{"0.5 in", D::pressure, "wrong-unit", "inH2O", 4, 2},
                    FaultRow{"0.5 in wg", D::length, "wrong-unit", "in, ft", 4, 5},
                    FaultRow{"75 deg", D::temperature, "wrong-unit", "degF", 3, 3},
                    FaultRow{"6 ft 6 in", D::airflow, "wrong-unit", "cfm", 2, 7},
                    FaultRow{"0.6 cfm", D::number, "wrong-unit", "leave the unit away", 4, 3},
                    FaultRow{"8 inn", D::length, "unknown-unit", "did you mean `in`?", 2, 3},
                    FaultRow{"400 cmf", D::airflow, "unknown-unit", "did you mean `cfm`?", 4, 3},
                    FaultRow{"5 MPa", D::pressure, "unknown-unit", "inH2O, Pa or hPa", 2, 3},
                    FaultRow{"1,5 m", D::length, "comma-in-number", "`1.5 m`", 0, 3},
                    FaultRow{"7,200 ft", D::length, "comma-in-number", "`7200 ft`", 0, 5},
                    FaultRow{"0,25 cfm", D::airflow, "comma-in-number", "`0.25 cfm`", 0, 4},
                    FaultRow{"1 200 cfm", D::airflow, "unexpected-text", "thousands", 2, 7},
                    FaultRow{"6 ft 6", D::length, "missing-unit", "`6 ft 6 in`", 5, 1},
                    FaultRow{"6 ft, 6 in", D::length, "unexpected-text", "`6 ft 6 in`", 4, 6},
                    FaultRow{"nan", D::number, "not-a-number", "", 0, 3},
                    FaultRow{"inf cfm", D::airflow, "not-a-number", "", 0, 7},
                    FaultRow{"-inf", D::number, "not-a-number", "", 0, 4},
                    FaultRow{".nan", D::number, "not-a-number", "", 0, 4},
                    FaultRow{"1e999", D::number, "number-out-of-range", "", 0, 5},
                    FaultRow{"1e308 inH2O", D::pressure, "number-out-of-range", "", 0, 11},
                    FaultRow{"1/0 in", D::length, "not-a-number", "", 0, 3},
                    FaultRow{"eight in", D::length, "not-a-number", "in, ft", 0, 8},
                    FaultRow{"0x10 in", D::length, "unknown-unit", "in, ft", 1, 6},
                    // Places are bytes of the text as written.
                    FaultRow{"3¼ cfm", D::length, "wrong-unit", "in, ft", 4, 3},
                    FaultRow{"", D::length, "not-a-number", "in, ft", 0, 0}));

TEST(Quantity, NeverObeysTheLocale) {
  const std::string before = std::setlocale(LC_ALL, nullptr);
  // Where no such locale is installed the default one stays, and the check is the plain one.
  (void)std::setlocale(LC_ALL, "de_DE.UTF-8");
  const auto value = parse_quantity("1.5 m", D::length);
  std::setlocale(LC_ALL, before.c_str());
  EXPECT_EQ(std::get<double>(value), 1.5);
}

TEST(Column, ReadsDecimalsAndOneUnitAtTheEnd) {
  const auto result = parse_column("0 250 450.5 6e2 cfm", D::airflow);
  const auto& values = std::get<std::vector<double>>(result);
  ASSERT_EQ(values.size(), 4U);
  EXPECT_DOUBLE_EQ(values[1], 250 * kCfm);
  EXPECT_DOUBLE_EQ(values[2], 450.5 * kCfm);
  EXPECT_DOUBLE_EQ(values[3], 600 * kCfm);
}

TEST(Column, OneValueIsAColumnToo) {
  EXPECT_EQ(std::get<std::vector<double>>(parse_column("5Pa", D::pressure)).size(), 1U);
}

TEST(Column, UnitsOfSeveralWordsRead) {
  EXPECT_EQ(std::get<std::vector<double>>(parse_column("0.9 0.5 0 in w.g.", D::pressure)).size(),
            3U);
}

TEST(Column, RefusesWhatIsNoColumn) {
  const auto rule = [](const char* text) {
    const auto result = parse_column(text, D::airflow);
    const auto* fault = std::get_if<TextFault>(&result);
    return fault == nullptr ? std::string() : fault->rule;
  };
  EXPECT_EQ(rule("0 250 450"), "missing-unit");
  EXPECT_EQ(rule("0 cfm 250 cfm"), "unexpected-text");
  EXPECT_EQ(rule("0, 250 cfm"), "comma-in-number");
  EXPECT_EQ(rule("0,5 250 cfm"), "comma-in-number");
  EXPECT_EQ(rule("1/2 250 cfm"), "not-a-number");
  EXPECT_EQ(rule("0 250 Pa"), "wrong-unit");
  EXPECT_EQ(rule("0 250 cfn"), "unknown-unit");
  EXPECT_EQ(rule("cfm"), "not-a-number");
  EXPECT_EQ(rule("0 nan cfm"), "unknown-unit");
  EXPECT_EQ(rule(""), "not-a-number");
}

TEST(LeadingLength, StopsWhereTheLengthEnds) {
  const auto read = [](const char* text) {
    return std::get<LeadingLength>(parse_leading_length(text));
  };
  EXPECT_EQ(read("10 x 3-1/4 in").used, 2U);
  EXPECT_FALSE(read("10 x 3-1/4 in").has_unit);
  EXPECT_EQ(read("10x3").used, 2U);
  EXPECT_EQ(read("8 in round").used, 4U);
  EXPECT_DOUBLE_EQ(read("8 in round").value, 8 * kInch);
  EXPECT_DOUBLE_EQ(read("8 in round").unit_m, kInch);
  EXPECT_EQ(read("3¼ in").used, 6U);
  EXPECT_EQ(read("1 ft 2 in x 8 in").used, 9U);
  EXPECT_EQ(read("1 ft 2 in x 8 in").unit_m, 0.0);
  EXPECT_FALSE(read("5 in.wg").has_unit);
}

TEST(PlainSpelling, PutsMarksInTheirPlainForm) {
  EXPECT_EQ(plain_spelling("10×3¼″"), "10x3 1/4\"");
  EXPECT_EQ(plain_spelling("m³/h"), "m3/h");
  EXPECT_EQ(plain_spelling("75\u00A0°F"), "75 degF");
  EXPECT_EQ(plain_spelling("ü"), "ü");
}

TEST(UnitsThatFit, AreNamedForEveryKind) {
  EXPECT_EQ(units_that_fit(D::length), "in, ft, mm, cm or m");
  EXPECT_EQ(units_that_fit(D::ratio), "%");
  EXPECT_EQ(name_of(D::airflow), "an airflow");
}

TEST(Quantity, AnyBytesGiveAValueOrAFaultInsideTheText) {
  const std::string alphabet = "0123456789./-+ eE'\"xinftmcfR,%\xC2\xBC\xE2\x80\xB3";
  unsigned state = 12345;  // fixed seed: the same texts on every machine
  const auto next = [&](unsigned below) {
    state = state * 1664525U + 1013904223U;
    return (state >> 16U) % below;
  };
  for (int i = 0; i < 4'000; ++i) {
    std::string text;
    for (unsigned length = next(12); length > 0; --length) {
      text += alphabet[next(static_cast<unsigned>(alphabet.size()))];
    }
    for (const D dimension : {D::length, D::number, D::pressure, D::thermal_resistance}) {
      const auto result = parse_quantity(text, dimension);
      if (const auto* fault = std::get_if<TextFault>(&result)) {
        ASSERT_LE(fault->offset + fault->length, text.size()) << text;
        ASSERT_FALSE(fault->message.empty()) << text;
      } else {
        ASSERT_TRUE(std::isfinite(std::get<double>(result))) << text;
      }
    }
    (void)parse_column(text, D::airflow);
  }
}

}  // namespace
}  // namespace ductledger::units
