#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "cli/harness.hpp"

namespace ductledger::test {
namespace {

using Json = nlohmann::json;

constexpr const char* kExample = "examples/row-house-round-or-flat.yaml";

TEST(SizeCommand, exit_status_tells_whether_a_size_delivers) {
  EXPECT_EQ(0, run({"size", kExample, "--deliver", "300cfm"}).exit);
  const Outcome beyond = run({"size", kExample, "--deliver", "900cfm"});
  EXPECT_EQ(1, beyond.exit);
  EXPECT_TRUE(holds(beyond.out, "The fan bounds it")) << beyond.out;
}

TEST(SizeCommand, prints_the_document) {
  const Outcome outcome = run({"size", kExample, "--max-depth", "4in", "--json"});
  ASSERT_EQ(0, outcome.exit) << outcome.err;
  const Json document = Json::parse(outcome.out);
  EXPECT_EQ("ductledger.size/1", document["format"]);
  EXPECT_NEAR(0.1016, document["greatest_depth_m"].get<double>(), 1e-12);
  for (const Json& size : document["sizes"]) {
    EXPECT_EQ(size["delivers"].get<bool>(), size["refusals"].empty());
  }
}

TEST(SizeCommand, tells_every_wrong_option_at_once) {
  const Outcome outcome = run(
      {"size", kExample, "--deliver", "400", "--max-depth", "4 cfm", "--max-velocity", "0 fpm"});
  EXPECT_EQ(2, outcome.exit);
  EXPECT_TRUE(holds(outcome.err, "--deliver")) << outcome.err;
  EXPECT_TRUE(holds(outcome.err, "--max-depth")) << outcome.err;
  EXPECT_TRUE(holds(outcome.err, "--max-velocity")) << outcome.err;
  EXPECT_EQ("", outcome.out);
}

TEST(SizeCommand, a_speed_that_is_not_there_is_named) {
  const Outcome outcome = run({"size", kExample, "--deliver", "300cfm", "--speed", "hihg"});
  EXPECT_EQ(2, outcome.exit);
  EXPECT_TRUE(holds(outcome.err, "`high`")) << outcome.err;
}

TEST(SizeCommand, sizes_of_ones_own_come_from_a_file) {
  const Folder folder;
  const std::string good = folder.write("mine.yaml", "sizes: 1\nstock: [9 in round]\n");
  const Outcome outcome = run({"size", kExample, "--sizes", good, "--json"});
  ASSERT_EQ(0, outcome.exit) << outcome.err;
  EXPECT_TRUE(holds(outcome.out, "\"9 in round\""));
  const std::string bad = folder.write("bad.yaml", "sizes: 1\nstock: [9 in, 7 x]\n");
  const Outcome refused = run({"size", kExample, "--sizes", bad});
  EXPECT_EQ(2, refused.exit);
  EXPECT_TRUE(holds(refused.err, "bad.yaml:2:9")) << refused.err;
}

TEST(SizeCommand, without_a_fan_it_says_what_is_missing) {
  const Folder folder;
  const std::string file =
      folder.write("bare.yaml",
                   "layout: 1\nappliance: {kind: exhaust}\n"
                   "run: {section: 6 in round, material: galvanized-steel, pieces: [{straight: 4 "
                   "ft}]}\n");
  const Outcome outcome = run({"size", file, "--deliver", "200cfm"});
  EXPECT_EQ(2, outcome.exit);
  EXPECT_TRUE(holds(outcome.err, "no-fan")) << outcome.err;
}

}  // namespace
}  // namespace ductledger::test
