#include <gtest/gtest.h>

#include "cli/harness.hpp"

namespace ductledger::test {
namespace {

TEST(Fmt, PrintsTheFormAndTellsWhetherAFileHasIt) {
  const Folder folder;
  const std::string loose =
      folder.write("loose.yaml", "layout:   1\nrun:\n      section: 8 in round\n");
  const Outcome shown = run({"fmt", loose});
  EXPECT_EQ(shown.exit, 0) << shown.err;
  EXPECT_EQ(shown.out, "layout: 1\nrun:\n  section: 8 in round\n");
  EXPECT_EQ(run({"fmt", "--check", loose}).exit, 1);
  EXPECT_EQ(run({"fmt", "--check", folder.write("tidy.yaml", shown.out)}).exit, 0);
}

TEST(Fmt, WritesBesideAndNeverOntoWhatItRead) {
  const Folder folder;
  const std::string loose = folder.write("loose.yaml", "layout:   1\n");
  EXPECT_EQ(run({"fmt", loose, "-o", loose}).exit, 2);
  EXPECT_EQ(folder.read("loose.yaml"), "layout:   1\n");
  EXPECT_EQ(run({"fmt", loose, "-o", folder.path("tidy.yaml")}).exit, 0);
  EXPECT_EQ(folder.read("tidy.yaml"), "layout: 1\n");
}

TEST(Fmt, AFaultOfTheFileIsToldAsElsewhere) {
  const Folder folder;
  const Outcome outcome = run({"fmt", folder.write("bad.yaml", "a: {b: 1\n")});
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_EQ(outcome.out, "");
  EXPECT_NE(outcome.err.find("bad.yaml:1"), std::string::npos) << outcome.err;
}

}  // namespace
}  // namespace ductledger::test
