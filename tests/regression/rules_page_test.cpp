#include "support/written_page.hpp"
#include "text/explain.hpp"

namespace ductledger {
namespace {

TEST(RulesPage, is_as_the_rules_are) { support::expect_written("rules.md", text::rules_page()); }

}  // namespace
}  // namespace ductledger
