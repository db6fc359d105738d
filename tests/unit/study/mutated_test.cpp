#include "support/mutated.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "study/advice.hpp"
#include "study/review.hpp"
#include "study/size.hpp"
#include "support/check_text.hpp"

/// Files that nobody meant, from text to answers: refused with a word, or answered with numbers
/// that are finite. Under sanitizers this looks for what reads or writes beside its memory.
/// DUCTLEDGER_MUTANTS=20000 looks at more.
namespace ductledger {
namespace {

void expect_said(const base::Diagnostics& diagnostics) {
  ASSERT_FALSE(diagnostics.empty());
  const std::string text = base::render(diagnostics);
  EXPECT_FALSE(text.empty());
  EXPECT_FALSE(support::has_raw_control(text)) << text;
}

void expect_finite(const study::CheckResult& result) {
  for (const result::SpeedResult& speed : result.speeds) {
    if (speed.point.status == solve::Status::found) {
      EXPECT_TRUE(std::isfinite(speed.point.airflow_m3_s));
      EXPECT_GE(speed.point.airflow_m3_s, 0.0);
    }
    if (speed.house && speed.house->coupled) {
      EXPECT_TRUE(std::isfinite(speed.house->balance.depressurisation_pa));
    }
  }
}

TEST(Mutated, LayoutsAreRefusedWithAWordOrAnsweredInFiniteNumbers) {
  const auto seeds = support::layouts_to_mutate();
  const fitting::Catalogue& catalogue = fitting::Catalogue::built_in();
  const auto defaults = std::make_shared<std::vector<rules::RuleSet>>();
  for (const std::string& name : study::default_rule_sets()) {
    defaults->push_back(*rules::find_built_in(name));
  }
  std::size_t read = 0;
  std::size_t answered = 0;
  const std::uint32_t count = support::mutants(300);
  for (std::uint32_t seed = 0; seed < count; ++seed) {
    const std::string text = support::Mutator(seed).mutant(seeds);
    SCOPED_TRACE("mutant " + std::to_string(seed) + ":\n" + text.substr(0, 4000));
    const auto layout = support::read(text);
    if (!layout) {
      expect_said(layout.error());
      continue;
    }
    ++read;
    const auto result = study::check(*layout, catalogue);
    if (!result) {
      expect_said(result.error());
      continue;
    }
    ++answered;
    expect_finite(*result);
    switch (seed % 4) {
      case 0:
        (void)study::advice(*result, catalogue);
        break;
      case 1:
        if (const auto sized = study::size(*layout, catalogue, {}); !sized) {
          expect_said(sized.error());
        }
        break;
      default:
        if (const auto judged = study::review(*layout, catalogue, {.sets = defaults}); !judged) {
          expect_said(judged.error());
        }
        break;
    }
  }
  EXPECT_GT(read, count / 20) << "mutants that nothing reads test little";
  EXPECT_GT(answered, count / 20);
}

}  // namespace
}  // namespace ductledger
