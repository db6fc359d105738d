#include <gtest/gtest.h>

#include <memory>
#include <string>

#include "base/diagnostic.hpp"
#include "layout/layout.hpp"

namespace ductledger::layout {
namespace {

std::string times(std::size_t count, const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < count; ++i) {
    std::string one = text;
    for (std::size_t at = one.find('@'); at != std::string::npos; at = one.find('@')) {
      one.replace(at, 1, std::to_string(i + 1));
    }
    out += one;
  }
  return out;
}

std::string layout_with(const std::string& fan,
                        const std::string& pieces,
                        const std::string& more) {
  return "layout: 1\nappliance: {kind: exhaust}\nfan: {speeds: [" + fan +
         "]}\nrun:\n  section: 8 in round\n  pieces:\n" + pieces + more;
}

const std::string kFan = "{name: on, curve: {airflow: 0 200 400 cfm, pressure: 0.9 0.6 0 inH2O}}";
const std::string kPiece = "    - straight: 1 ft\n";

base::Checked<Layout> read_text(const std::string& text) {
  return read(std::make_shared<base::SourceText>("many.yaml", text),
              fitting::Catalogue::built_in());
}

/// One diagnostic that names the limit and what the file holds.
void expect_too_many(const std::string& text, const std::string& held, const std::string& most) {
  const auto result = read_text(text);
  ASSERT_FALSE(result);
  ASSERT_EQ(result.error().size(), 1U) << base::render(result.error());
  EXPECT_EQ(result.error().front().rule, "too-many");
  EXPECT_NE(result.error().front().message.find(held), std::string::npos)
      << result.error().front().message;
  EXPECT_EQ(result.error().front().label, most + " at most");
}

TEST(Limits, pieces_points_speeds_branches_and_variants_are_refused_with_their_number) {
  expect_too_many(layout_with(kFan, times(20'001, kPiece), ""), "20001", "20000");
  expect_too_many(layout_with("{name: on, curve: {airflow: " + times(2'001, "@ ") +
                                  "cfm, pressure: " + times(2'001, "0.1 ") + "inH2O}}",
                              kPiece,
                              ""),
                  "2001",
                  "2000");
  expect_too_many(
      layout_with(times(501, "{name: s@, speed_ratio: 0.5}, "), kPiece, ""), "501", "500");
  expect_too_many(
      layout_with(kFan, kPiece, "branches:\n" + times(2'001, "  b@: {section: 4 in round}\n")),
      "2001",
      "2000");
  expect_too_many(
      layout_with(kFan, kPiece, "variants:\n" + times(501, "  v@: {section: 7 in round}\n")),
      "501",
      "500");
}

TEST(Limits, at_a_limit_a_file_is_read) {
  EXPECT_TRUE(read_text(layout_with(kFan, times(20'000, kPiece), "")));
}

}  // namespace
}  // namespace ductledger::layout
