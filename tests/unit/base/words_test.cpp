#include "base/words.hpp"

#include <gtest/gtest.h>

namespace {

enum class Size { small, large, missing };
constexpr auto kSizes =
    ductledger::base::words<Size>({{Size::large, "rather-large"}, {Size::small, "small"}});

TEST(Words, SayWhatAValueIsCalled) {
  static_assert(std::string_view(kSizes.of(Size::small)) == "small");
  EXPECT_STREQ(kSizes.of(Size::large), "rather-large");
}

TEST(Words, FindTheValueOfAWordForgivingItsForm) {
  EXPECT_EQ(kSizes.find("Rather_Large"), Size::large);
  EXPECT_EQ(kSizes.find(" small "), Size::small);
  EXPECT_EQ(kSizes.find("rather"), std::nullopt);
}

TEST(Words, AreListedInTheOrderOfTheTable) {
  EXPECT_EQ(kSizes.all(), (std::vector<std::string>{"rather-large", "small"}));
}

TEST(Words, AValueWithoutAWordIsAFaultOfOurs) {
  EXPECT_THROW((void)kSizes.of(Size::missing), ductledger::base::LogicError);
}

}  // namespace
