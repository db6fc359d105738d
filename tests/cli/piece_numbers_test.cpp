#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/harness.hpp"

// A piece's number is its place in the file, a `fan` piece counted, in every command and view.
namespace ductledger::test {
namespace {

using Json = nlohmann::json;

const std::string kRun = R"(layout: 1
title: A fan in the middle of the run
appliance: {kind: exhaust, collar: 6 in round}
fan: {speeds: [{name: on, curve: {airflow: 0 100 200 300 cfm, pressure: 0.8 0.6 0.3 0 inH2O}}]}
run:
  section: 6 in round
  heading: up
  pieces:
    - entry: flanged
    - straight: 4 ft
    - fan: inline
    - straight: 6 ft
    - elbow: {type: mitered, turn: back}
    - straight: {length: 3 ft, through: wall}
    - cap: wall-hood-flap
)";
constexpr int kFan = 3;
constexpr int kElbow = 5;
constexpr int kThroughWall = 6;

class PieceNumbers : public testing::Test {
 protected:
  [[nodiscard]] Outcome of(std::vector<std::string> arguments, const std::string& more = {}) const {
    arguments.insert(arguments.begin() + 1, folder_.write("run.yaml", kRun + more));
    return run(arguments);
  }
  [[nodiscard]] Json json(const std::vector<std::string>& arguments,
                          const std::string& more = {}) const {
    const Outcome outcome = of(arguments, more);
    return Json::parse(outcome.out, nullptr, false);
  }

 private:
  Folder folder_;
};

TEST_F(PieceNumbers, check_prints_the_place_in_the_file) {
  const std::string text = of({"check"}).out;
  EXPECT_NE(text.find("\n  3  fan "), std::string::npos) << text;
  EXPECT_NE(text.find("\n  5  elbow mitered"), std::string::npos) << text;
  EXPECT_NE(text.find("\n  7  cap wall-hood-flap"), std::string::npos) << text;
  std::vector<int> numbers;
  const Json result = json({"check", "--json"});
  for (const Json& row : result["speeds"][0]["ledger"]) {
    if (row["number"].get<int>() > 0) {
      numbers.push_back(row["number"]);
    }
  }
  EXPECT_EQ(numbers, (std::vector<int>{1, 2, 4, 5, 6, 7}));
}

TEST_F(PieceNumbers, advice_names_the_same) {
  bool told = false;
  const Json result = json({"check", "--advise", "--json"});
  for (const Json& change : result["advice"]) {
    if (change["kind"] == "smooth-elbow") {
      told = true;
      EXPECT_EQ(change["pieces"], Json::array({kElbow}));
    }
  }
  EXPECT_TRUE(told);
}

TEST_F(PieceNumbers, parts_bills_cuts_and_joins_by_them) {
  const Json parts = json({"parts", "--json"});
  bool fan_billed = false;
  for (const Json& line : parts["bill"]) {
    if (line["item"] == "fan") {
      fan_billed = line["pieces"] == Json::array({kFan});
    }
    if (line["item"].get<std::string>().starts_with("elbow")) {
      EXPECT_EQ(line["pieces"], Json::array({kElbow}));
    }
  }
  EXPECT_TRUE(fan_billed);
  EXPECT_EQ(parts["holes"][0]["piece"], kThroughWall);
  EXPECT_NE(parts["joints"].dump().find("elbow 5"), std::string::npos);
  EXPECT_NE(parts["cuts"].dump().find("\"pieces\":[6]"), std::string::npos);
}

TEST_F(PieceNumbers, a_variant_changes_the_piece_that_check_names) {
  const Json compared = json({"compare", "--json"},
                             "variants:\n  smooth: {pieces: {5: {type: smooth-radius}}}\n"
                             "  without-its-fan: {pieces: {3: out}}\n");
  ASSERT_TRUE(compared.contains("changes")) << compared.dump();
  const Json& change = compared["changes"][0][0];
  EXPECT_EQ(change["first"], kElbow);
  EXPECT_EQ(change["other"], kElbow);
  EXPECT_NE(change["is"].get<std::string>().find("smooth-radius"), std::string::npos);
}

TEST_F(PieceNumbers, a_number_too_high_is_answered_with_the_pieces) {
  const Outcome outcome = of({"compare"}, "variants:\n  long: {pieces: {8: {length: 3 ft}}}\n");
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_NE(outcome.err.find("the run has no piece `8`"), std::string::npos) << outcome.err;
  EXPECT_NE(outcome.err.find("1 entry flanged, 2 straight, 3 fan, 4 straight, 5 elbow mitered, "
                             "6 straight, 7 cap wall-hood-flap"),
            std::string::npos)
      << outcome.err;
}

TEST_F(PieceNumbers, the_page_shows_them) {
  const std::string page = of({"report"}).out;
  EXPECT_NE(page.find(">3 fan<"), std::string::npos);
  EXPECT_NE(page.find(">5 elbow mitered<"), std::string::npos);
}

TEST_F(PieceNumbers, sentences_name_them) {
  const Outcome outcome = of({"check"});
  EXPECT_EQ(outcome.exit, 0) << outcome.err;
  EXPECT_NE(outcome.out.find("Largest loss: 7 wall hood flap"), std::string::npos) << outcome.out;
}

}  // namespace
}  // namespace ductledger::test
