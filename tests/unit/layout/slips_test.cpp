#include <gtest/gtest.h>

#include <memory>
#include <string>

#include "fitting/catalogue.hpp"
#include "layout/layout.hpp"

// Slips that are no faults of form: a value that can be but is seldom meant is taken and remarked;
// one that cannot be meant is an error.
namespace ductledger::layout {
namespace {

struct Part {
  std::string site = "{elevation: 0 ft}";
  std::string airflow = "200 cfm";
  std::string wall = "material: galvanized-steel";
  std::string piece = "straight: 4 ft";
  std::string top = {};
};

base::Checked<Layout> read_with(const Part& part) {
  const std::string text =
      "layout: 1\n" + part.top + "site: " + part.site +
      "\nappliance: {required_airflow: " + part.airflow + "}\nrun:\n  section: 8 in round\n  " +
      part.wall + "\n  pieces:\n    - " + part.piece + "\n    - cap: {type: wall-hood-flap}\n";
  return read(std::make_shared<const base::SourceText>("slips.yaml", text),
              fitting::Catalogue::built_in());
}

std::string remark_of(const Part& part) {
  const auto layout = read_with(part);
  if (!layout) {
    return "error: " + layout.error().front().message;
  }
  return layout->warnings.empty() ? "" : layout->warnings.front().message;
}

TEST(Slips, PlainValuesAreTakenWithoutAWord) {
  EXPECT_EQ(remark_of({}), "");
  EXPECT_EQ(remark_of({.site = "{duct: {temperature: 95 degF, humidity: 50 %}}"}), "");
  EXPECT_EQ(remark_of({.airflow = "200.5 cfm"}), "");
  EXPECT_EQ(remark_of({.wall = "roughness: 0.9 mm"}), "");
  EXPECT_EQ(remark_of({.piece = "straight: 5 ft 11 in"}), "");
  EXPECT_EQ(remark_of({.piece = "elbow: {type: gored-5, angle: 90 deg, coefficient: 0.4 +- 20 %}"}),
            "");
}

TEST(Slips, AKeyOfAnotherPartIsToldWhereItBelongs) {
  const auto helps = [](const Part& part) {
    std::string all;
    const auto layout = read_with(part);
    for (const base::Diagnostic& fault : layout ? base::Diagnostics() : layout.error()) {
      all += fault.help + '\n';
    }
    return all;
  };
  EXPECT_EQ(helps({.top = "pieces: []\nrequired_airflow: 2 cfm\n"}),
            "`pieces` is a key of `run`\n`required_airflow` is a key of `appliance`\n");
  EXPECT_EQ(helps({.site = "{house: {}}"}), "`house` is a key of the layout itself\n");
  // What no part knows, or what is one letter off, is told as ever.
  EXPECT_EQ(helps({.site = "{elevatoin: 0 ft}"}), "did you mean `elevation`?\n");
  EXPECT_TRUE(helps({.site = "{tree: 0 ft}"}).starts_with("known keys: "));
}

TEST(Slips, AnUnusualValueIsTakenAndRemarked) {
  EXPECT_EQ(remark_of({.site = "{duct: {temperature: 95 degC}}"}),
            "`95 degC` is hotter than exhausted air is; it is taken as it stands");
  EXPECT_EQ(remark_of({.site = "{indoor: {humidity: 0.5 %}}"}),
            "`0.5 %` is drier than air is; it is taken as it stands");
  EXPECT_EQ(remark_of({.wall = "roughness: 0.09 in"}),
            "`0.09 in` is rougher than flexible duct; it is taken as it stands");
  EXPECT_EQ(remark_of({.airflow = "4.000 cfm"}), "`4.000 cfm` is read as 4 and a fraction");
}

TEST(Slips, WhatCannotBeMeantIsAnError) {
  EXPECT_EQ(remark_of({.piece = "straight: 5 ft 13 in"}),
            "error: 13 inches after feet are a foot or more");
  EXPECT_EQ(remark_of({.piece = "elbow: {type: gored-5, angle: 90 deg, coefficient: 0.4 +- 20}"}),
            "error: the uncertainty is larger than the coefficient itself");
  EXPECT_EQ(remark_of({.top = "catalogue: \"\"\n"}), "error: `catalogue` names no file");
}

}  // namespace
}  // namespace ductledger::layout
