#include <gtest/gtest.h>

#include <filesystem>
#include <string>

#include "cli/harness.hpp"

// Rule files of the user's own: where they may lie, and what is said of bad ones.
namespace ductledger::test {
namespace {

// Invented.
std::string county(const std::string& extends = {}) {
  return "rule_set: my-county\n"
         "title: An invented county\n" +
         (extends.empty() ? "" : "extends: " + extends + "\n") +
         "rules:\n"
         "  - rule: roof-outlet\n"
         "    title: outlet above the roof\n"
         "    topic: termination\n"
         "    requirement: An outlet on a roof stands above it.\n"
         "    limits: [{fact: run.termination.above_roof, min: 12 in}]\n"
         "    mend: a taller curb\n";
}

std::string layout_under(const std::string& rules) {
  return "layout: 1\nrules: " + rules +
         "\n"
         "appliance: {collar: 6 in round}\n"
         "run:\n  material: galvanized-steel\n  pieces:\n    - straight: 10 ft\n    - cap: "
         "wall-hood-flap\n";
}

Outcome review(const std::string& path, std::vector<std::string> more = {}) {
  std::vector<std::string> words{"review", path, "--fail-on", "never"};
  words.insert(words.end(), more.begin(), more.end());
  return run(words);
}

TEST(RuleFiles, BesideTheLayoutAreRead) {
  const Folder folder;
  (void)folder.write("own.yaml", county());
  const auto outcome = review(folder.write("a.yaml", layout_under("own.yaml")));
  EXPECT_EQ(outcome.exit, 0) << outcome.err;
  EXPECT_TRUE(holds(outcome.out, "outlet above the roof")) << outcome.out;
}

TEST(RuleFiles, MayNotLeaveTheLayoutsFolder) {
  const Folder outside;
  const std::string secret = outside.write("own.yaml", county());
  const Folder folder;
  std::filesystem::create_directories(folder.path("in/sub"));
  (void)folder.write("own.yaml", county());
  std::filesystem::create_symlink(secret, folder.path("in/link.yaml"));
  for (const std::string& name : {std::string("../own.yaml"),
                                  secret,
                                  std::string("link.yaml"),
                                  std::string("sub/../../own.yaml")}) {
    const std::string path = folder.write("in/a.yaml", layout_under(name));
    const auto refused = review(path);
    EXPECT_EQ(refused.exit, 2) << name;
    EXPECT_TRUE(holds(refused.err, "outside the layout's folder")) << name << refused.err;
    EXPECT_TRUE(holds(refused.err, "a.yaml:2:8")) << refused.err;
    EXPECT_EQ(review(path, {"--allow-outside"}).exit, 0) << name;
  }
}

TEST(RuleFiles, MayNotExtendWhatLiesOutside) {
  const Folder folder;
  std::filesystem::create_directories(folder.path("in"));
  (void)folder.write("base.yaml", county());
  (void)folder.write("in/own.yaml", "rule_set: ours\ntitle: Ours\nextends: ../base.yaml\n");
  const std::string path = folder.write("in/a.yaml", layout_under("own.yaml"));
  const auto refused = review(path);
  EXPECT_EQ(refused.exit, 2);
  EXPECT_TRUE(holds(refused.err, "outside the layout's folder")) << refused.err;
  EXPECT_EQ(review(path, {"--allow-outside"}).exit, 0);
}

TEST(RuleFiles, AMissingOneIsToldAtTheKey) {
  const Folder folder;
  const auto outcome = review(folder.write("a.yaml", layout_under("own.yaml")));
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_TRUE(holds(outcome.err, "cannot be found")) << outcome.err;
  EXPECT_TRUE(holds(outcome.err, "a.yaml:2:8")) << outcome.err;
}

TEST(RuleFiles, AFolderIsNoRuleFile) {
  const Folder folder;
  std::filesystem::create_directories(folder.path("own.yaml"));
  const auto outcome = review(folder.write("a.yaml", layout_under("own.yaml")));
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_TRUE(holds(outcome.err, "is no rule file")) << outcome.err;
}

TEST(RuleFiles, OfTheOptionMayLieAnywhere) {
  const Folder elsewhere;
  const std::string own = elsewhere.write("own.yaml", county());
  const Folder folder;
  const auto outcome = review(folder.write("a.yaml", layout_under("irc-2021")), {"--rules", own});
  EXPECT_EQ(outcome.exit, 0) << outcome.err;
  EXPECT_TRUE(holds(outcome.out, "outlet above the roof")) << outcome.out;
}

}  // namespace
}  // namespace ductledger::test
