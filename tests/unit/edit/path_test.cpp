#include "edit/path.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "support/example_layout.hpp"

namespace ductledger::edit {
namespace {

using test::catalogue;

layout::Layout read_rest(const std::string& rest) {
  auto made = layout::read(
      std::make_shared<const base::SourceText>(
          "t.yaml", "layout: 1\nappliance: {kind: exhaust, collar: 6 in round}\n" + rest),
      catalogue());
  EXPECT_TRUE(made) << (made ? "" : base::render(made.error()));
  return *std::move(made);
}

const char* const kPathRun = R"(run:
  section: 6 in round
  pieces:
    - straight: 4 ft
    - elbow: {angle: 90 deg}
    - loss: 0.5
    - cap: louver
)";

base::Checked<layout::Layout> put(const layout::Layout& layout,
                                  const std::vector<std::pair<std::string, std::string>>& all) {
  std::vector<Setting> settings;
  for (const auto& [path, value] : all) {
    settings.push_back({*read_path(path), value});
  }
  return with_settings(layout, catalogue(), settings);
}

TEST(Path, is_written_as_it_is_read) {
  for (const std::string text : {"title", "run.pieces[3].length", "fan.speeds[12].curve.airflow"}) {
    EXPECT_EQ(read_path(text)->text(), text);
  }
  EXPECT_EQ(read_path(" site . wind ")->text(), "site.wind");
}

TEST(Path, says_what_is_wrong_with_it) {
  for (const auto& [text, said] : std::vector<std::pair<std::string, std::string>>{
           {"", "it is empty"},
           {"run..pieces", "a key is missing"},
           {"run.pieces[0].length", "count from 1"},
           {"run.pieces[x].length", "the number of an item"},
           {"run.pieces[1", "the number of an item"}}) {
    const auto path = read_path(text);
    ASSERT_FALSE(path) << text;
    EXPECT_NE(path.error().front().message.find(said), std::string::npos)
        << path.error().front().message;
  }
}

TEST(Path, leads_to_keys_bare_values_and_what_is_not_there_yet) {
  const auto edited = put(read_rest(kPathRun),
                          {{"run.pieces[1].length", "6 ft"},
                           {"run.pieces[2].angle", "45 deg"},
                           {"run.pieces[3].coefficient", "0.7"},
                           {"run.pieces[4].cap", "roof-hood-flap"},
                           {"site.outdoor.temperature", "0 degC"}});
  ASSERT_TRUE(edited) << base::render(edited.error());
  const auto& pieces = edited->run.pieces;
  EXPECT_NEAR(*pieces[0].length_m, 6.0 * 0.3048, 1e-12);
  EXPECT_NEAR(pieces[1].as<layout::Elbow>().angle_rad, 0.7853981633974483, 1e-12);
  EXPECT_EQ(pieces[2].coefficient->value, 0.7);
  EXPECT_EQ(pieces[3].type, "roof-hood-flap");
  EXPECT_NEAR(edited->site.outdoor.temperature_k, 273.15, 1e-9);
}

TEST(Path, that_leads_nowhere_is_told) {
  for (const auto& [path, said] : std::vector<std::pair<std::string, std::string>>{
           {"run.pieces[5].length", "has 4 items"},
           {"run.section.width", "`section` holds no keys"},
           {"run.section[1].width", "`section` is no list"},
           {"fan.speeds[1].name", "has no list `speeds`"},
           {"run.pieces[1]", "a whole item"}}) {
    const auto edited = put(read_rest(kPathRun), {{path, "1"}});
    ASSERT_FALSE(edited) << path;
    EXPECT_EQ(edited.error().front().rule, "cannot-edit");
    EXPECT_NE(edited.error().front().message.find(said), std::string::npos)
        << edited.error().front().message;
  }
}

}  // namespace
}  // namespace ductledger::edit
