#include "layout/origin.hpp"

#include <gtest/gtest.h>

#include "layout/layout.hpp"
#include "support/example_layout.hpp"

namespace ductledger::layout {
namespace {

using test::layout_of_text;

/// One duct, written twice.
const char* const kBlock = R"(layout: 1
appliance:
  required_airflow: 300 cfm
  kind: range-hood
run:
  section: 8 in round
  pieces:
    - straight: 4 ft      # to the ceiling
    - elbow:
        type: mitered
        angle: 90 deg
    - cap: {type: louver, coefficient: 0.8}
)";
const char* const kFlow =
    R"({run: {pieces: [{straight: 48 in}, {elbow: {"angle": 90 deg, type: "mitered"}},
  {cap: {coefficient: 0.8, type: louver}}], section: 203.2 mm round},
  appliance: {kind: range-hood, required-airflow: 300 cfm}, layout: 1})";

std::vector<std::string> paths(const Layout& layout) {
  std::vector<std::string> all{layout.origins->path(layout.appliance.span),
                               layout.origins->path(layout.appliance.required_span)};
  for (const Piece& piece : layout.run.pieces) {
    all.push_back(layout.origins->path(piece.span));
  }
  all.push_back(layout.origins->path(layout.run.pieces[2].key_spans.at("coefficient")));
  return all;
}

TEST(Origins, AreThePathsOfKeysHoweverTheFileIsWritten) {
  const std::vector<std::string> expected{"appliance",
                                          "appliance.required-airflow",
                                          "run.pieces[1].straight",
                                          "run.pieces[2].elbow",
                                          "run.pieces[3].cap",
                                          "run.pieces[3].cap.coefficient"};
  EXPECT_EQ(paths(layout_of_text(kBlock)), expected);
  EXPECT_EQ(paths(layout_of_text(kFlow)), expected);
}

TEST(Origins, RankByTheLayoutFormatAndAlongTheRun) {
  for (const char* text : {kBlock, kFlow}) {
    const Layout layout = layout_of_text(text);
    const auto rank = [&](const base::Span& place) { return layout.origins->rank(place); };
    EXPECT_LT(rank(layout.appliance.span), rank(layout.appliance.required_span));
    EXPECT_LT(rank(layout.appliance.required_span), rank(layout.run.span));
    EXPECT_LT(rank(layout.run.span), rank(layout.run.pieces[0].span));
    EXPECT_LT(rank(layout.run.pieces[0].span), rank(layout.run.pieces[1].span));
    EXPECT_LT(rank(layout.run.pieces[2].span), rank({.line = 999, .column = 1, .offset = 99999}));
  }
}

TEST(Origins, OfABranchOfOneLetterAreNotThoseOfItsMapping) {
  const Layout layout = layout_of_text(R"(layout: 1
run:
  section: 6 in round
  pieces: [{junction: {branch: b}}, {cap: louver}]
branches:
  b: {section: 4 in round, pieces: [{straight: 2 ft}]}
)");
  EXPECT_EQ(layout.origins->path(layout.branches[0].span), "branches.b");
}

TEST(Digest, IsThatOfOnePlanInWhateverUnits) {
  EXPECT_EQ(layout_of_text(kBlock).digest, layout_of_text(kFlow).digest);
  EXPECT_EQ(layout_of_text(kBlock).digest.size(), 16U);
}

TEST(Digest, TellsFiguresApart) {
  std::string longer = kBlock;
  longer.replace(longer.find("4 ft"), 4, "5 ft");
  std::string dearer = kBlock;
  dearer.replace(dearer.find("0.8"), 3, "0.9");
  EXPECT_NE(layout_of_text(longer).digest, layout_of_text(kBlock).digest);
  EXPECT_NE(layout_of_text(dearer).digest, layout_of_text(kBlock).digest);
}

/// The order of `branches` says nothing; the order of junctions does.
TEST(Branches, StandInTheOrderOfTheirJunctions) {
  const auto names = [](const char* branches) {
    const Layout layout = layout_of_text(std::string(R"(layout: 1
run:
  section: 8 in round
  pieces: [{junction: {branch: near}}, {junction: {branch: far}}, {cap: louver}]
branches:
)") + branches);
    std::vector<std::string> all;
    for (const Branch& branch : layout.branches) {
      all.push_back(branch.name);
    }
    for (const Piece& piece : layout.run.pieces) {
      if (const auto* junction = piece.if_is<Junction>()) {
        EXPECT_EQ(layout.branches[junction->index].name, junction->branch);
      }
    }
    return all;
  };
  const std::vector<std::string> expected{"near", "of-near", "far"};
  EXPECT_EQ(names(R"(  far: {section: 4 in round, pieces: [{straight: 2 ft}]}
  of-near: {section: 4 in round, pieces: [{straight: 2 ft}]}
  near: {section: 4 in round, pieces: [{straight: 1 ft}, {junction: {branch: of-near}}]}
)"),
            expected);
  EXPECT_EQ(
      names(
          R"(  near: {section: 4 in round, pieces: [{straight: 1 ft}, {junction: {branch: of-near}}]}
  far: {section: 4 in round, pieces: [{straight: 2 ft}]}
  of-near: {section: 4 in round, pieces: [{straight: 2 ft}]}
)"),
      expected);
}

}  // namespace
}  // namespace ductledger::layout
