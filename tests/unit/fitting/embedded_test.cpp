#include <gtest/gtest.h>

#include "base/expects.hpp"
#include "fitting/embedded_internal.hpp"
#include "yaml/parse.hpp"

namespace ductledger::fitting {
namespace {

bool same(const yaml::Node& a, const yaml::Node& b) {
  if (a.kind != b.kind || a.text != b.text || a.quoted != b.quoted ||
      a.items.size() != b.items.size() || a.entries.size() != b.entries.size()) {
    return false;
  }
  for (std::size_t i = 0; i < a.items.size(); ++i) {
    if (!same(a.items[i], b.items[i])) {
      return false;
    }
  }
  for (std::size_t i = 0; i < a.entries.size(); ++i) {
    if (a.entries[i].key != b.entries[i].key || !same(a.entries[i].value, b.entries[i].value)) {
      return false;
    }
  }
  return true;
}

TEST(Embedded, ATreeComesBackAsItWas) {
  const auto tree = yaml::parse(std::make_shared<const base::SourceText>(
      "t.yaml", "a: \"1: 2\"\nb: [x, [], {c: 'd'}]\ne: {}\nf: g;5:h\n"));
  ASSERT_TRUE(tree.has_value());
  EXPECT_TRUE(same(decoded(encoded(tree->root)), tree->root));
}

TEST(Embedded, DamagedTextIsNoTree) {
  for (const char* text :
       {"", "x", "s5:abc", "l2;n", "m1;3:abc", "s1:ab", "l9999999999999999999999;"}) {
    EXPECT_THROW(static_cast<void>(decoded(text)), base::LogicError) << text;
  }
}

}  // namespace
}  // namespace ductledger::fitting
