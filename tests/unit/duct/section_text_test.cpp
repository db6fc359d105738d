#include "duct/section_text.hpp"

#include <gtest/gtest.h>

#include <string>
#include <variant>

namespace ductledger::duct {
namespace {

constexpr double kInch = 0.0254;

struct Row {
  const char* text;
  Shape shape;
  double width_m;
  double height_m;
};
void PrintTo(const Row& row, std::ostream* out) { *out << row.text; }

class Reads : public testing::TestWithParam<Row> {};

TEST_P(Reads, AsTheSection) {
  const auto result = parse_section(GetParam().text);
  const auto* section = std::get_if<Section>(&result);
  ASSERT_NE(section, nullptr) << std::get<units::TextFault>(result).message;
  EXPECT_EQ(section->shape(), GetParam().shape);
  EXPECT_NEAR(section->width_m(), GetParam().width_m, 1e-12);
  EXPECT_NEAR(section->height_m(), GetParam().height_m, 1e-12);
}

INSTANTIATE_TEST_SUITE_P(
    Spellings,
    Reads,
    testing::Values(Row{"8 in round", Shape::round, 8 * kInch, 8 * kInch},
                    Row{"8\" round", Shape::round, 8 * kInch, 8 * kInch},
                    Row{"8″ Round", Shape::round, 8 * kInch, 8 * kInch},
                    Row{"8in round", Shape::round, 8 * kInch, 8 * kInch},
                    Row{"8-inch round", Shape::round, 8 * kInch, 8 * kInch},
                    Row{"200 mm round", Shape::round, 0.2, 0.2},
                    Row{"10 x 3-1/4 in", Shape::rectangular, 10 * kInch, 3.25 * kInch},
                    Row{"10 in x 3.25 in", Shape::rectangular, 10 * kInch, 3.25 * kInch},
                    Row{"10x3¼ in", Shape::rectangular, 10 * kInch, 3.25 * kInch},
                    Row{"10 × 3 1/4 in", Shape::rectangular, 10 * kInch, 3.25 * kInch},
                    Row{"3-1/4 x 10 in", Shape::rectangular, 3.25 * kInch, 10 * kInch},
                    Row{"10\" x 3\"", Shape::rectangular, 10 * kInch, 3 * kInch},
                    Row{"10 X 3 in rectangular", Shape::rectangular, 10 * kInch, 3 * kInch},
                    Row{"254 mm x 10 cm", Shape::rectangular, 0.254, 0.1},
                    Row{"1 ft 2 in x 8 in", Shape::rectangular, 14 * kInch, 8 * kInch},
                    Row{"12 x 6 in oval", Shape::flat_oval, 12 * kInch, 6 * kInch},
                    Row{"12 x 6 in flat oval", Shape::flat_oval, 12 * kInch, 6 * kInch},
                    Row{"12 x 6 in flat-oval", Shape::flat_oval, 12 * kInch, 6 * kInch},
                    Row{"6 x 6 in oval", Shape::flat_oval, 6 * kInch, 6 * kInch},
                    Row{"1 in round", Shape::round, kInch, kInch},
                    Row{"10 ft round", Shape::round, 120 * kInch, 120 * kInch}));

struct FaultRow {
  const char* text;
  const char* rule;
  const char* words;  ///< part of label or help
  std::size_t offset;
  std::size_t length;
};
void PrintTo(const FaultRow& row, std::ostream* out) { *out << row.text; }

class Refuses : public testing::TestWithParam<FaultRow> {};

TEST_P(Refuses, WithItsPlaceAndAdvice) {
  const auto result = parse_section(GetParam().text);
  const auto* fault = std::get_if<units::TextFault>(&result);
  ASSERT_NE(fault, nullptr);
  EXPECT_EQ(fault->rule, GetParam().rule);
  EXPECT_NE((fault->label + "|" + fault->help).find(GetParam().words), std::string::npos)
      << fault->label << "|" << fault->help;
  EXPECT_EQ(fault->offset, GetParam().offset);
  EXPECT_EQ(fault->length, GetParam().length);
}

INSTANTIATE_TEST_SUITE_P(
    Faults,
    Refuses,
    testing::Values(FaultRow{"8 in", "missing-shape", "round?", 0, 4},
                    FaultRow{"8 round", "missing-unit", "`8 in round`", 0, 1},
                    FaultRow{" 8 round", "missing-unit", "`8 in round`", 1, 1},
                    FaultRow{"10 x 8", "missing-unit", "`10 x 8 in`", 5, 1},
                    FaultRow{"10 in x 3", "missing-unit", "once, at the end", 8, 1},
                    FaultRow{"10 x 1 ft 2 in", "missing-unit", "each size its unit", 0, 2},
                    FaultRow{"8 in ruond", "unknown-shape", "did you mean `round`?", 5, 5},
                    FaultRow{"10 x 8 in round", "too-many-sizes", "two sizes", 0, 9},
                    FaultRow{"10 x 3 x 2 in", "too-many-sizes", "one size too many", 7, 6},
                    FaultRow{"8 in oval", "missing-size", "`12 x 6 in oval`", 0, 4},
                    FaultRow{"6 x 12 in oval", "axes-swapped", "swap", 0, 9},
                    FaultRow{"8 cfm round", "wrong-unit", "in, ft", 2, 3},
                    FaultRow{"10 x 3 inn", "unknown-unit", "did you mean `in`?", 7, 3},
                    FaultRow{"10,5 in round", "comma-in-number", "`10.5 in round`", 0, 4},
                    FaultRow{"0.5 in round", "size-out-of-range", "too small", 0, 6},
                    FaultRow{"8 mm round", "size-out-of-range", "did you mean `8 in`?", 0, 4},
                    FaultRow{"200 in round", "size-out-of-range", "did you mean `200 mm`?", 0, 6},
                    FaultRow{"11 ft round", "size-out-of-range", "too large", 0, 5},
                    FaultRow{"10 x 0 in", "size-out-of-range", "not positive", 5, 4},
                    FaultRow{"-8 in round", "size-out-of-range", "not positive", 0, 5},
                    FaultRow{"round", "not-a-number", "`8 in round`", 0, 5},
                    FaultRow{"nan in round", "not-a-number", "`8 in round`", 0, 12},
                    FaultRow{"", "not-a-number", "`8 in round`", 0, 0}));

TEST(SectionText, NoUnitIsOfferedInWhichTheSizeIsNoMoreBelievable) {
  for (const char* text : {"5000 in round", "1000 ft round", "-8 in round"}) {
    const auto result = parse_section(text);
    ASSERT_TRUE(std::holds_alternative<units::TextFault>(result)) << text;
    EXPECT_EQ(std::get<units::TextFault>(result).help, "") << text;
  }
}

TEST(LikelySystem, IsThatInWhichTheSidesAreSizes) {
  const auto of = [](const char* text) {
    const auto read = parse_section(text);
    const auto* section = std::get_if<Section>(&read);
    EXPECT_NE(section, nullptr) << text;
    return section == nullptr ? units::System::ip : likely_system(*section);
  };
  for (const char* text : {"6 in round", "3-1/4 x 10 in", "7-3/4 x 3 in oval", "127 mm round"}) {
    EXPECT_EQ(of(text), units::System::ip) << text;
  }
  for (const char* text : {"150 mm round", "220 x 90 mm", "15 cm round", "254 x 83 mm"}) {
    EXPECT_EQ(of(text), units::System::si) << text;
  }
}

}  // namespace
}  // namespace ductledger::duct
