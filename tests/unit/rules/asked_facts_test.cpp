#include <gtest/gtest.h>

#include <memory>
#include <sstream>
#include <string>

#include "fitting/catalogue.hpp"
#include "rules/fact.hpp"
#include "rules/judge.hpp"

namespace ductledger::rules {
namespace {

/// `run.termination.to_opening` as a blank key, each part below the one before.
std::string blank(const std::string& path) {
  std::istringstream parts(path);
  std::string text;
  std::string indent;
  for (std::string part; std::getline(parts, part, '.'); indent += "  ") {
    text += indent + part + ":\n";
  }
  return text;
}

TEST(Facts, EveryKeyThatAReviewAsksForMayStandBlank) {
  const std::string layout = "layout: 1\nrun: {section: 6 in round, pieces: [{straight: 10 ft}]}\n";
  std::size_t asked = 0;
  for (const Fact& fact : facts()) {
    const bool in_pieces = fact.key.empty() || fact.key.find(':') != std::string::npos ||
                           fact.key == "run.pieces" || fact.key == "run.section";
    if (in_pieces) {
      continue;
    }
    std::string text = layout;
    std::string lines = blank(fact.key);
    if (lines.starts_with("run:\n")) {
      text = "layout: 1\n" + lines + "  section: 6 in round\n  pieces: [{straight: 10 ft}]\n";
    } else {
      text += lines;
    }
    ++asked;
    const auto read = layout::read(std::make_shared<const base::SourceText>("blank.yaml", text),
                                   fitting::Catalogue::built_in());
    EXPECT_TRUE(read) << fact.name << '\n' << text << (read ? "" : base::render(read.error()));
    EXPECT_TRUE(!read || read->warnings.size() == 1) << fact.name;
  }
  EXPECT_GT(asked, 80U);
}

TEST(Facts, EachHasAMeaningOfItsOwn) {
  for (const Fact& a : facts()) {
    for (const Fact& b : facts()) {
      const bool alike = a.name < b.name && a.meaning == b.meaning;
      EXPECT_FALSE(alike) << a.name << " and " << b.name << ": " << a.meaning;
    }
  }
}

}  // namespace
}  // namespace ductledger::rules
