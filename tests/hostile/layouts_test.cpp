#include <gtest/gtest.h>
#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <sstream>

#include "base/text.hpp"
#include "support/check_text.hpp"

// Every bad layout of tests/hostile/layouts, each with one cause: one clear message at its line,
// holding the words that any good message of that fault holds. expected.yaml names them.
namespace ductledger {
namespace {

const std::string kFolder = std::string(DUCTLEDGER_SOURCE_DIR) + "/tests/hostile/layouts/";

/// Files that hold several faults on purpose.
bool holds_several(const std::string& name) {
  return name == "several_faults" || name == "many_faults";
}

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) {
    return static_cast<char>(std::tolower(c));
  });
  return text;
}

base::Diagnostics faults_of(const std::string& name) {
  std::ifstream file(kFolder + name + ".yaml", std::ios::binary);
  std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
  auto source = std::make_shared<const base::SourceText>(name + ".yaml", std::move(text));
  auto layout = layout::read(source, fitting::Catalogue::built_in());
  if (!layout) {
    return layout.error();
  }
  base::Diagnostics found = layout->warnings;
  auto result = study::check(*std::move(layout), fitting::Catalogue::built_in());
  if (!result) {
    found.insert(found.end(), result.error().begin(), result.error().end());
  }
  return found;
}

TEST(HostileLayouts, EachIsAnsweredByOneClearMessageAtItsPlace) {
  const YAML::Node expected = YAML::LoadFile(kFolder + "expected.yaml");
  ASSERT_GE(expected.size(), 60U);
  for (const auto& entry : expected) {
    const std::string name = entry.first.as<std::string>();
    SCOPED_TRACE(name + ": " + entry.second["rule_like"].as<std::string>());
    const base::Diagnostics found = faults_of(name);
    const bool only_warned =
        entry.second["severity"] && entry.second["severity"].as<std::string>() == "warn";
    EXPECT_EQ(base::has_error(found), !only_warned);
    if (!holds_several(name)) {
      EXPECT_EQ(found.size(), 1U) << base::render(found);
    }
    const std::string shown = lower(base::render(found));
    for (const auto& word : entry.second["must_contain"]) {
      EXPECT_NE(shown.find(lower(word.as<std::string>())), std::string::npos)
          << "no word of `" << word.as<std::string>() << "` in\n"
          << shown;
    }
    if (!entry.second["line"].IsNull() && !found.empty()) {
      const int line = entry.second["line"].as<int>();
      EXPECT_TRUE(std::any_of(found.begin(),
                              found.end(),
                              [&](const base::Diagnostic& d) { return d.span.line == line; }))
          << "line " << line << " is not named in\n"
          << shown;
    }
  }
}

}  // namespace
}  // namespace ductledger
