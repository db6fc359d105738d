#include <fmt/format.h>
#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <string>

#include "layout/facts.hpp"

// docs/layout-facts.md against the keys that the reader knows: the tables are made here, and the
// page must hold them as they are.
namespace ductledger::layout {
namespace {

std::string value_words(const FactKey& key) {
  std::string choices = "`" + std::string(key.choices) + "`";
  for (std::size_t at = choices.find(' '); at != std::string::npos;
       at = choices.find(' ', at + 4)) {
    choices.replace(at, 1, "`, `");
  }
  switch (key.kind) {
    case FactKind::yes_no:
      return "yes or no";
    case FactKind::quantity: {
      std::string name(units::name_of(key.dimension));
      name = key.dimension == units::Dimension::number ? "number" : name.substr(name.find(' ') + 1);
      return fmt::format("{}, {}{}",
                         name,
                         key.range,
                         std::string_view(key.choices) == "none" ? ", or `none`" : "");
    }
    case FactKind::count:
      return fmt::format("whole number, {}", key.range);
    case FactKind::word:
      return choices;
    case FactKind::words:
      return "one or a list of " + choices;
    case FactKind::listing:
      return "name of a standard, or a list";
  }
  return {};
}

std::string tables() {
  std::string text;
  std::string group;
  for (const FactKey& key : fact_keys()) {
    const std::string path = key.path;
    const std::size_t dot = path.rfind('.');
    if (path.substr(0, dot) != group) {
      group = path.substr(0, dot);
      text += fmt::format(
          "\n### `{}`\n\n| key | value | example | what it says |\n|---|---|---|---|\n", group);
    }
    text += fmt::format("| `{}` | {} | `{}` | {} |\n",
                        path.substr(dot + 1),
                        value_words(key),
                        key.example,
                        key.meaning);
  }
  return text;
}

TEST(FactsPage, HoldsEveryKeyAsTheReaderKnowsIt) {
  std::ifstream in(std::string(DUCTLEDGER_SOURCE_DIR) + "/docs/layout-facts.md", std::ios::binary);
  const std::string page{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
  const std::string expected = tables();
  EXPECT_TRUE(page.ends_with(expected)) << "the page must end with\n" << expected;
}

}  // namespace
}  // namespace ductledger::layout
