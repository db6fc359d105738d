#include <gtest/gtest.h>

#include <algorithm>
#include <regex>
#include <string>

#include "picture/results.hpp"
#include "picture/svg.hpp"
#include "support/invented_result.hpp"

namespace ductledger::picture {
namespace {

// The strong staff is that of what is required, on whichever side of the rating it stands.
TEST(Answer, marks_what_is_required_and_not_the_rating) {
  for (const double rated_m3_s : {0.05, 0.5}) {
    study::CheckResult result = test::invented_result();
    result.layout.appliance.required_airflow_m3_s = 0.15;
    result.speeds.front().rated =
        solve::RatedAirflow{rated_m3_s, 0.0, solve::RatedAirflow::Basis::free_air};
    const std::string svg = answer_svg(test::settled(std::move(result)), {}, "a");
    const std::size_t strong = svg.find("class=\"line second\"");
    ASSERT_NE(strong, std::string::npos);
    EXPECT_EQ(svg.find("class=\"line second\"", strong + 1), std::string::npos);
    EXPECT_LT(svg.find("required", strong),
              std::min(svg.find("rated", strong), svg.find("<line", strong)));
  }
}

TEST(Answer, no_staff_comes_down_through_a_text) {
  for (const double width_px : {288.0, 720.0}) {
    study::CheckResult result = test::invented_result();
    result.layout.appliance.required_airflow_m3_s = 0.15;
    result.speeds.front().rated =
        solve::RatedAirflow{0.17, 0.0, solve::RatedAirflow::Basis::free_air};
    const std::string svg =
        answer_svg(test::settled(std::move(result)), {.width_px = width_px}, "a");
    std::smatch text;
    std::smatch staff;
    ASSERT_TRUE(std::regex_search(svg, text, std::regex("x=\"([0-9.]+)\"[^>]*>(required[^<]*)<")));
    ASSERT_TRUE(std::regex_search(svg, staff, std::regex("dashed\" x1=\"([0-9.]+)\"")));
    EXPECT_LT(std::stod(text[1]) + text_width_px(text[2].str(), 12.0) / 2.0, std::stod(staff[1]));
  }
}

}  // namespace
}  // namespace ductledger::picture
