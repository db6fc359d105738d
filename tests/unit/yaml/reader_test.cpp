#include "yaml/reader.hpp"

#include <gtest/gtest.h>

#include <memory>
#include <string>

#include "yaml/parse.hpp"

namespace ductledger::yaml {
namespace {

/// A tree and the list its readers write to.
struct Desk {
  explicit Desk(std::string text)
      : source(std::make_shared<const base::SourceText>("test.yaml", std::move(text))),
        tree(parse(source).value()),
        problems(source) {}

  [[nodiscard]] const Node& at(const char* key) const { return *tree.root.find(key); }
  [[nodiscard]] std::string rules() const {
    std::string out;
    for (const base::Diagnostic& d : problems.list()) {
      out += d.rule + "@" + std::to_string(d.span.line) + ":" + std::to_string(d.span.column) +
             "+" + std::to_string(d.span.length) + " ";
    }
    return out;
  }

  base::SourcePtr source;
  Tree tree;
  Problems problems;
};

TEST(ReadQuantity, PointsAtThePartThatIsWrong) {
  Desk desk("a: 3¼ cfm\nb: \"8 inn\"\nc: {d: 1}\ne: [1 in]\nf: \"8\\x20inn\"\n");
  for (const char* key : {"a", "b", "c", "e", "f"}) {
    EXPECT_FALSE(read_quantity(desk.at(key), units::Dimension::length, desk.problems));
  }
  EXPECT_EQ(desk.rules(),
            "wrong-unit@1:7+3 unknown-unit@2:7+3 wrong-kind@3:4+1 wrong-kind@4:4+1 "
            "unknown-unit@5:4+10 ");
}

TEST(ReadColumn, TakesAColumnOrAList) {
  Desk desk("a: 0 250 cfm\nb: [0 cfm, 7 m3/s]\nc: [1 cfm, 2, x]\nd: []\n");
  const auto read = [&](const char* key) {
    return read_column(desk.at(key), units::Dimension::airflow, desk.problems);
  };
  EXPECT_EQ(read("a")->size(), 2U);
  EXPECT_EQ(read("b")->back(), 7.0);
  EXPECT_EQ(desk.rules(), "");
  EXPECT_FALSE(read("c"));
  EXPECT_FALSE(read("d"));
  EXPECT_EQ(desk.rules(), "missing-unit@3:12+1 not-a-number@3:15+1 missing-value@4:4+1 ");
}

TEST(ReadYesNo, TakesTheWordsPeopleWrite) {
  Desk desk("a: yes\nb: True\nc: on\nd: no\ne: FALSE\nf: off\ng: maybe\nh: 1\n");
  for (const char* key : {"a", "b", "c"}) {
    EXPECT_EQ(read_yes_no(desk.at(key), desk.problems), true);
  }
  for (const char* key : {"d", "e", "f"}) {
    EXPECT_EQ(read_yes_no(desk.at(key), desk.problems), false);
  }
  EXPECT_FALSE(read_yes_no(desk.at("g"), desk.problems));
  EXPECT_FALSE(read_yes_no(desk.at("h"), desk.problems));
  EXPECT_EQ(desk.rules(), "not-yes-or-no@7:4+5 not-yes-or-no@8:4+1 ");
}

TEST(ReadWhole, TakesDigitsOnly) {
  Desk desk("a: 3\nb: -2\nc: +4\nd: 3.5\ne: 1e3\nf: 99999999999999999999\ng: ''\nh: +-1\n");
  EXPECT_EQ(read_whole(desk.at("a"), desk.problems), 3);
  EXPECT_EQ(read_whole(desk.at("b"), desk.problems), -2);
  EXPECT_EQ(read_whole(desk.at("c"), desk.problems), 4);
  for (const char* key : {"d", "e", "f", "g", "h"}) {
    EXPECT_FALSE(read_whole(desk.at(key), desk.problems)) << key;
  }
  EXPECT_EQ(desk.problems.list().size(), 5U);
}

TEST(ReadChoice, ForgivesFormAndSuggests) {
  Desk desk("a: Range_Hood\nb: range hod\nc: banana\n");
  const std::vector<std::string> kinds{"bath-fan", "range-hood"};
  EXPECT_EQ(read_choice(desk.at("a"), kinds, "appliance kind", desk.problems), 1U);
  EXPECT_FALSE(read_choice(desk.at("b"), kinds, "appliance kind", desk.problems));
  EXPECT_FALSE(read_choice(desk.at("c"), kinds, "appliance kind", desk.problems));
  ASSERT_EQ(desk.problems.list().size(), 2U);
  EXPECT_EQ(desk.problems.list()[0].help, "did you mean `range-hood`?");
  EXPECT_EQ(desk.problems.list()[1].help, "one of bath-fan or range-hood");
}

TEST(MapReader, ForgivesHyphensAndReportsTheRest) {
  Desk desk("above-floor: 80 in\nfrom_wall: 6 in\nfrom-lef: 1 in\nzebra: 1\n");
  MapReader reader(desk.tree.root, "collar_at", desk.problems);
  EXPECT_TRUE(reader.quantity("above_floor", units::Dimension::length));
  EXPECT_TRUE(reader.quantity("from_wall", units::Dimension::length));
  EXPECT_FALSE(reader.quantity("from_left", units::Dimension::length));
  reader.finish();
  EXPECT_EQ(desk.rules(), "unknown-key@3:1+8 unknown-key@4:1+5 ");
  EXPECT_EQ(desk.problems.list()[0].help, "did you mean `from_left`?");
  EXPECT_EQ(desk.problems.list()[1].help, "known keys: above_floor, from_wall and from_left");
}

TEST(MapReader, AnEmptyValueIsOneFaultHoweverOftenAsked) {
  Desk desk("a: 1\nb:\n");
  MapReader reader(desk.tree.root, "site", desk.problems);
  EXPECT_EQ(reader.get("b"), nullptr);
  EXPECT_EQ(reader.get("b"), nullptr);
  EXPECT_EQ(reader.require("b", "1"), nullptr);
  EXPECT_EQ(desk.rules(), "missing-value@2:1+1 ");
  EXPECT_NE(reader.get_or_empty("b"), nullptr);
}

TEST(MapReader, AMissingKeyIsNamedWithAnExample) {
  Desk desk("run: {heading: up}\n");
  MapReader reader(desk.at("run"), "the run", desk.problems);
  EXPECT_EQ(reader.require("pieces", "[...]"), nullptr);
  ASSERT_EQ(desk.problems.list().size(), 1U);
  EXPECT_EQ(desk.problems.list()[0].message, "the run has no `pieces`");
  EXPECT_EQ(desk.rules(), "missing-key@1:6+1 ");
}

TEST(MapReader, WhatIsNoMappingIsToldOnceAndReadsAsEmpty) {
  Desk desk("site: 12\n");
  MapReader reader(desk.at("site"), "the site", desk.problems);
  EXPECT_FALSE(reader.is_mapping());
  EXPECT_EQ(reader.get("elevation"), nullptr);
  EXPECT_EQ(reader.require("wind", "0 mph"), nullptr);
  reader.finish();
  EXPECT_EQ(desk.rules(), "wrong-kind@1:7+2 ");
}

TEST(MapReader, ManyUnknownKeysAreCounted) {
  std::string text;
  for (int i = 0; i < 1000; ++i) {
    text += "key" + std::to_string(i) + ": 1\n";
  }
  Desk desk(text);
  MapReader reader(desk.tree.root, "site", desk.problems);
  reader.allow("elevation");
  reader.finish();
  ASSERT_EQ(desk.problems.list().size(), 20U);
  EXPECT_EQ(desk.problems.list().back().notes.at(0), "980 more unknown keys here");
}

}  // namespace
}  // namespace ductledger::yaml
