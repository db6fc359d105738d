#include <gtest/gtest.h>

#include <string>

#include "cli/harness.hpp"

namespace ductledger::test {
namespace {

const std::string kLayout = "layout: 1\ntitle: a < b\nrun: {section: 6 in round}\n";

TEST(Worksheet, AsksForAFileToWrite) {
  const Outcome outcome = run({"worksheet"});
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_EQ(outcome.out, "");
  EXPECT_NE(outcome.err.find("no-output"), std::string::npos) << outcome.err;
}

TEST(Worksheet, HoldsTheLayoutOrSaysHowItIsBuilt) {
  const Folder folder;
  const std::string layout = folder.write("hood.yaml", kLayout);
  const Outcome outcome = run({"worksheet", layout, "-o", folder.path("hood.html")});
  if (outcome.exit == 0) {
    const std::string page = folder.read("hood.html");
    EXPECT_NE(page.find(R"(id="layout">{"file":"hood.yaml","text":"layout: 1\ntitle: a \u003c b)"),
              std::string::npos);
  } else {
    EXPECT_EQ(outcome.exit, 2);
    EXPECT_NE(outcome.err.find("no-worksheet"), std::string::npos) << outcome.err;
    EXPECT_NE(outcome.err.find("app/worksheet.sh"), std::string::npos) << outcome.err;
  }
}

TEST(Worksheet, WritesNothingForALayoutThatIsNotThere) {
  const Folder folder;
  const Outcome outcome = run({"worksheet", folder.path("none.yaml"), "-o", folder.path("x.html")});
  EXPECT_EQ(outcome.exit, 2);
}

TEST(Worksheet, NeverWritesOntoTheLayout) {
  const Folder folder;
  const std::string layout = folder.write("hood.yaml", kLayout);
  EXPECT_EQ(run({"worksheet", layout, "-o", layout}).exit, 2);
  EXPECT_EQ(folder.read("hood.yaml"), kLayout);
}

}  // namespace
}  // namespace ductledger::test
