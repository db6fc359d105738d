#include "support/mutated.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "build/parts.hpp"
#include "document/check.hpp"
#include "document/review.hpp"
#include "html/report.hpp"
#include "site/commission.hpp"
#include "study/review.hpp"
#include "support/check_text.hpp"
#include "support/well_formed.hpp"
#include "text/check.hpp"
#include "text/parts.hpp"
#include "text/review.hpp"

/// What files that nobody meant look like in each view. DUCTLEDGER_MUTANTS=20000 looks at more.
namespace ductledger {
namespace {

void expect_readable(const std::string& shown, const std::string& layout) {
  EXPECT_FALSE(support::has_raw_control(shown)) << shown;
  EXPECT_FALSE(support::shows_no_number(shown, layout)) << shown;
}

TEST(Mutated, LayoutsShowNoControlAndNoNumberThatIsNoneInAnyView) {
  const auto seeds = support::layouts_to_mutate();
  const fitting::Catalogue& catalogue = fitting::Catalogue::built_in();
  const auto sets = std::make_shared<std::vector<rules::RuleSet>>();
  for (const std::string& name : study::default_rule_sets()) {
    sets->push_back(*rules::find_built_in(name));
  }
  std::size_t shown = 0;
  const std::uint32_t count = support::mutants(300);
  for (std::uint32_t seed = 1'000'000; seed < 1'000'000 + count; ++seed) {
    const std::string text = support::Mutator(seed).mutant(seeds);
    SCOPED_TRACE("mutant " + std::to_string(seed) + ":\n" + text.substr(0, 4000));
    const auto layout = support::read(text);
    const auto result = layout ? study::check(*layout, catalogue)
                               : base::Checked<study::CheckResult>(layout.error());
    if (!result) {
      const std::string document = document::to_text(document::error_document(result.error(), {}));
      EXPECT_TRUE(nlohmann::json::accept(document));
      continue;
    }
    ++shown;
    expect_readable(text::check_text(*result), text);
    expect_readable(text::check_text(*result,
                                     {.system = units::System::si,
                                      .detail = text::Detail::verbose,
                                      .profile = text::Profile::ascii}),
                    text);
    const auto document = document::check_document(*result, {});
    EXPECT_TRUE(nlohmann::json::accept(document::to_text(document)));
    const auto parts = build::parts(*layout, catalogue);
    if (parts) {
      expect_readable(text::parts_text(*parts, *result, {}), text);
    }
    const auto review = study::review(*layout, catalogue, {.sets = sets});
    if (review) {
      expect_readable(text::review_text(*review), text);
      EXPECT_TRUE(
          nlohmann::json::accept(document::to_text(document::review_document(*review, {}))));
    }
    (void)site::commission(*layout, catalogue);
    if (seed % 8 == 0) {
      const std::vector<html::ReportSubject> subjects{
          {.result = &*result,
           .document = &document,
           .parts = parts ? &*parts : nullptr,
           .parts_missing = parts ? "" : "cannot be made",
           .review = review ? &*review : nullptr}};
      EXPECT_FALSE(support::has_raw_control(html::report_html(subjects, {})));
      for (const std::string& name : html::picture_names()) {
        const std::string picture = html::picture_svg(*result, {.name = name});
        if (!picture.empty()) {
          EXPECT_EQ(test::xml_fault(picture), "") << name;
        }
      }
    }
  }
  EXPECT_GT(shown, count / 20);
}

}  // namespace
}  // namespace ductledger
