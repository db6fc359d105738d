#include <gtest/gtest.h>

#include <string>

#include "cli/harness.hpp"

namespace ductledger::test {
namespace {

const std::string kGable = "examples/gable-kitchen-up-through-roof.yaml";
const std::string kFarmhouse = "examples/farmhouse-wide-hood-twin-blowers.yaml";

TEST(Report, writes_a_page) {
  const Folder folder;
  const Outcome outcome = run({"report", kGable, "-o", folder.path("out.html")});
  EXPECT_EQ(outcome.exit, 0) << outcome.err;
  EXPECT_EQ(outcome.out, "");
  EXPECT_EQ(folder.read("out.html").rfind("<!DOCTYPE html>", 0), 0U);
}

TEST(Report, is_the_same_twice) {
  EXPECT_EQ(run({"report", kGable, kFarmhouse}).out, run({"report", kGable, kFarmhouse}).out);
}

TEST(Report, a_layout_with_branches_has_a_sheet_for_each_in_one_file) {
  const std::string tree = "examples/branches/two-bathrooms-and-utility-room.yaml";
  const std::string page = run({"report", tree, "--sheet", "rough-in", "--fail-on", "never"}).out;
  const std::string drawing = run({"report", tree, "--sheet", "rough-in", "--dxf"}).out;
  for (const char* part : {"the run, from the collar outdoors, sheet 1 of 3",
                           "branch second-bathroom, sheet 2 of 3",
                           "branch utility-room, sheet 3 of 3"}) {
    EXPECT_NE(page.find(part), std::string::npos) << part;
    EXPECT_NE(drawing.find(part), std::string::npos) << part;
  }
  EXPECT_EQ(drawing.find("EOF\n"), drawing.size() - 4);
}

TEST(Report, a_makeup_duct_has_a_rough_in_sheet_and_a_bill) {
  const std::string tight = "examples/tight-bungalow-makeup-duct.yaml";
  const std::string page = run({"report", tight, "--sheet", "rough-in", "--fail-on", "never"}).out;
  const std::string drawing =
      run({"report", tight, "--sheet", "rough-in", "--dxf", "--fail-on", "never"}).out;
  for (const char* part : {"the makeup duct, from outdoors to the room, sheet 2 of 2",
                           "outside air in",
                           "into the room",
                           "7 ft 6 in H2, intake and cap 5"}) {
    EXPECT_NE(page.find(part), std::string::npos) << part;
    EXPECT_NE(drawing.find(part), std::string::npos) << part;
  }
  EXPECT_NE(page.find("Makeup air duct, from outdoors to the room"), std::string::npos);
  EXPECT_NE(page.find("/parts/0/makeup/holes/0/centre/above_floor_m"), std::string::npos);
}

TEST(Report, one_wrong_file_and_nothing_is_written) {
  const Folder folder;
  const std::string wrong = folder.write("wrong.yaml", "layout: 1\n");
  const Outcome outcome = run({"report", kGable, wrong, "-o", folder.path("out.html")});
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_EQ(folder.read("out.html"), "");
}

TEST(Report, never_overwrites_a_layout) {
  const Folder folder;
  const std::string layout = folder.write("a.yaml", Folder::contents(kGable));
  EXPECT_EQ(run({"report", layout, "-o", layout}).exit, 2);
}

TEST(Report, an_unknown_picture_is_told_with_the_nearest) {
  const Outcome outcome = run({"report", kGable, "--svg", "rout"});
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_NE(outcome.err.find("did you mean `route`?"), std::string::npos) << outcome.err;
}

TEST(Report, without_chromium_a_pdf_is_refused_with_the_way_out) {
  Call call{{"report", kGable, "--pdf"}};
  call.environment = {"PATH=/nowhere"};
  const Outcome outcome = run(call);
  EXPECT_EQ(outcome.exit, 2);
  EXPECT_NE(outcome.err.find("Chromium"), std::string::npos) << outcome.err;
  EXPECT_EQ(outcome.out, "");
}

}  // namespace
}  // namespace ductledger::test
