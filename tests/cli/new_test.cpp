#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "cli/harness.hpp"

namespace ductledger::test {
namespace {

class NewKind : public testing::TestWithParam<const char*> {};

TEST_P(NewKind, starts_a_layout_that_is_calculated_and_breaks_no_rule) {
  const Folder folder;
  const std::string file = folder.path("start.yaml");
  ASSERT_EQ(run({"new", file, "--kind", GetParam()}).exit, 0);
  const Outcome checked = run({"check", file});
  EXPECT_EQ(checked.exit, 0) << checked.out << checked.err;
  EXPECT_EQ(run({"parts", file}).exit, 0);
  const Outcome reviewed = run({"review", "--json", file});
  const auto document = nlohmann::json::parse(reviewed.out, nullptr, false);
  ASSERT_TRUE(document.is_object()) << reviewed.err;
  EXPECT_EQ(document["counts"]["not-met"], 0) << reviewed.out;
  EXPECT_GT(document["counts"]["met"], 0);
}

INSTANTIATE_TEST_SUITE_P(
    Kinds, NewKind, testing::Values("bath-fan", "dryer", "makeup", "recirculating", "remote-fan"));

TEST(New, a_kind_that_is_none_is_told_with_those_there_are) {
  const Outcome outcome = run({"new", "-", "--kind", "toaster"});
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_NE(outcome.err.find("recirculating"), std::string::npos) << outcome.err;
}

}  // namespace
}  // namespace ductledger::test
