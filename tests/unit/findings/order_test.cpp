#include "findings/order.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "support/check_text.hpp"
#include "support/example_layout.hpp"

namespace ductledger::findings {
namespace {

Finding finding_at(Level level, const char* code, const base::Span& span) {
  Finding finding;
  finding.level = level;
  finding.code = code;
  finding.span = span;
  return finding;
}

std::vector<std::string> codes_in_order(const layout::Layout& layout) {
  Finding slow = finding_at(Level::fail, "slow", layout.fan->span);
  slow.other_speed = "low";
  std::vector<Finding> all{slow,
                           finding_at(Level::note, "file", {}),
                           finding_at(Level::note, "second", layout.run.pieces[1].span),
                           finding_at(Level::note, "first", layout.run.pieces[0].span),
                           finding_at(Level::note, "fan", layout.fan->span),
                           finding_at(Level::warn, "warned", layout.run.pieces[1].span)};
  put_in_order(all, layout);
  std::vector<std::string> out;
  for (const Finding& finding : all) {
    out.push_back(finding.code);
  }
  return out;
}

TEST(FindingsInOrder, GoByLevelThenByWhatTheySpeakOfHoweverTheFileIsWritten) {
  const std::vector<std::string> expected{"slow", "warned", "fan", "first", "second", "file"};
  EXPECT_EQ(codes_in_order(test::layout_of_text(R"(layout: 1
fan: {speeds: [{name: high, curve: {airflow: 0 300 cfm, pressure: 1 0 inH2O}}]}
run: {section: 6 in round, pieces: [{straight: 4 ft}, {cap: louver}]}
)")),
            expected);
  EXPECT_EQ(codes_in_order(test::layout_of_text(R"(run:
  pieces:
    - straight: 4 ft
    # a comment
    - cap: louver
  section: 6 in round
fan:
  speeds:
    - curve: {pressure: 1 0 inH2O, airflow: 0 300 cfm}
      name: high
layout: 1
)")),
            expected);
}

TEST(FindingsInOrder, WhatCanHurtSomeoneComesBeforeWhatWasAskedFor) {
  const auto first = [](const std::string& text) {
    const auto checked = support::check(text);
    return checked.findings.empty() ? std::string() : checked.findings.front().code;
  };
  // The appliance stands before the run in a layout.
  EXPECT_EQ(first(R"(layout: 1
appliance: {kind: range-hood, collar: 6 in round, required_airflow: 400 cfm, includes: [damper]}
fan: {speeds: [{name: high, curve: {airflow: 0 100 200 300 cfm, pressure: 0.8 0.7 0.4 0 inH2O}}]}
run: {section: 6 in round, heading: up, termination: {place: attic}, pieces: [{straight: 4 ft}]}
)"),
            "outlet-in-closed-space");
  EXPECT_EQ(first(R"(layout: 1
appliance: {kind: clothes-dryer, collar: 4 in round}
run: {section: 4 in round, pieces: [{straight: 40 ft}, {cap: louver}]}
)"),
            "dryer-duct-too-long");
  EXPECT_EQ(first(R"(layout: 1
appliance: {kind: range-hood, collar: 6 in round, required_airflow: 400 cfm, includes: [damper]}
fan: {speeds: [{name: high, curve: {airflow: 0 100 200 300 cfm, pressure: 0.8 0.7 0.4 0 inH2O}}]}
run: {section: 6 in round, pieces: [{straight: 4 ft}, {flex: 8 ft}, {cap: wall-hood-flap}]}
)"),
            "delivered-below-required");
}

TEST(FindingsInOrder, WhatIsToldFirstIsAFinding) {
  for (const std::string_view code : told_first()) {
    EXPECT_TRUE(std::ranges::any_of(checks(), [&](const Check& one) { return code == one.code; }))
        << code;
  }
}

TEST(FindingsInOrder, KnowThePieceThatTheySpeakOf) {
  const layout::Layout layout = test::layout_of_text(R"(layout: 1
run: {section: 6 in round, pieces: [{straight: 4 ft}, {cap: {type: louver, coefficient: 1.2}}]}
)");
  const layout::Piece& cap = layout.run.pieces[1];
  EXPECT_EQ(subject_of(finding_at(Level::note, "", cap.span), layout), "run.pieces[2]");
  EXPECT_EQ(subject_of(finding_at(Level::note, "", cap.key_spans.at("coefficient")), layout),
            "run.pieces[2]");
  EXPECT_EQ(subject_of(finding_at(Level::note, "", layout.run.span), layout), "run");
  EXPECT_EQ(subject_of(finding_at(Level::note, "", {}), layout), "");
}

}  // namespace
}  // namespace ductledger::findings
