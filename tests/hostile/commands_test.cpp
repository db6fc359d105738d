#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "cli/harness.hpp"
#include "support/mutated.hpp"

/// What the program does with files that nobody meant, by every command that reads one.
/// DUCTLEDGER_MUTANTS=500 looks at more.
namespace ductledger::test {
namespace {

using nlohmann::json;

enum class Form { text, document, lines, page };
struct Asked {
  Form form;
  std::vector<std::string> arguments;
};

/// @param file the mutant @param other a layout that is whole
std::vector<Asked> all_asked(const std::string& file, const std::string& other) {
  return {
      {Form::text, {"check", file, "--verbose"}},
      {Form::document, {"check", file, "--json", "--advise"}},
      {Form::document, {"review", file, "--json"}},
      {Form::text, {"review", file, "--letter"}},
      {Form::text, {"review", file, "--request"}},
      {Form::document, {"review", file, "--against", other, "--json"}},
      {Form::document, {"size", file, "--json"}},
      {Form::document, {"size", file, "--makeup", "--json"}},
      {Form::document, {"parts", file, "--json"}},
      {Form::document, {"compare", file, other, "--json"}},
      {Form::document, {"commission", file, "--json"}},
      {Form::document, {"measured", file, "--static", "0.2inH2O", "--json"}},
      {Form::page, {"report", file, "--review", "-o", "-"}},
      {Form::lines, {"batch", file, "--format", "jsonl"}},
      {Form::lines,
       {"sweep", file, "--vary", "run.pieces[1].length=1..9ft:2", "--format", "jsonl"}},
      {Form::text, {"fmt", file}},
      {Form::text, {"fittings", "list", "cap", "--catalogue", file}},
  };
}

void expect_finite(const json& value, const std::string& path) {
  if (value.is_number_float()) {
    EXPECT_TRUE(std::isfinite(value.get<double>())) << path;
  }
  if (value.is_structured()) {
    std::size_t item = 0;
    for (auto one = value.begin(); one != value.end(); ++one, ++item) {
      expect_finite(*one, path + '/' + (value.is_object() ? one.key() : std::to_string(item)));
    }
  }
}

void expect_documents(const std::string& text, bool one) {
  std::size_t from = 0;
  while (from < text.size()) {
    const std::size_t end = one ? text.size() : std::min(text.find('\n', from), text.size());
    const std::string document = text.substr(from, end - from);
    ASSERT_TRUE(json::accept(document)) << document.substr(0, 2000);
    expect_finite(json::parse(document), "");
    from = end + 1;
  }
}

TEST(Mutated, FilesMeetEveryCommandAndNothingBreaks) {
  const auto seeds = support::layouts_to_mutate();
  std::map<int, std::size_t> exits;
  const std::uint32_t count = support::mutants(16);
  for (std::uint32_t seed = 3'000'000; seed < 3'000'000 + count && !HasFailure(); ++seed) {
    const std::string text = support::Mutator(seed).mutant(seeds);
    const Folder folder;
    const std::string other = folder.write("other.yaml", seeds.front());
    const std::string file = folder.write("layout.yaml", text);
    for (const Asked& asked : all_asked(file, other)) {
      std::string call = "mutant " + std::to_string(seed) + ':';
      for (const std::string& word : asked.arguments) {
        call += ' ' + word;
      }
      SCOPED_TRACE(call + '\n' + text.substr(0, 4000));
      const Outcome outcome = run(asked.arguments);
      ++exits[outcome.exit];
      EXPECT_TRUE(outcome.exit >= 0 && outcome.exit <= 2) << outcome.exit << '\n' << outcome.err;
      EXPECT_EQ(outcome.err.find("this is a bug"), std::string::npos) << outcome.err;
      EXPECT_FALSE(support::has_raw_control(outcome.err)) << outcome.err;
      if (asked.form == Form::document || asked.form == Form::lines) {
        EXPECT_TRUE(!outcome.out.empty() || asked.arguments.front() == "sweep");
        expect_documents(outcome.out, asked.form == Form::document);
      } else if (asked.arguments.front() != "fmt") {  // which gives the file back as it is
        EXPECT_FALSE(support::has_raw_control(outcome.out));
      }
      EXPECT_EQ(folder.read("layout.yaml"), text);
      EXPECT_EQ(folder.read("other.yaml"), seeds.front());
      EXPECT_EQ(folder.names(), (std::vector<std::string>{"layout.yaml", "other.yaml"}));
    }
  }
  EXPECT_GT(exits[0] + exits[1], 0U);
  EXPECT_GT(exits[2], 0U);
}

}  // namespace
}  // namespace ductledger::test
