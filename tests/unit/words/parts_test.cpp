#include "words/parts.hpp"

#include <gtest/gtest.h>

namespace ductledger::words {
namespace {

TEST(PiecesText, NamesEachPieceAndARowOfThreeByItsEnds) {
  EXPECT_EQ(pieces_text({}), "");
  EXPECT_EQ(pieces_text({4}), "4");
  EXPECT_EQ(pieces_text({1, 2, 5}), "1, 2 and 5");
  EXPECT_EQ(pieces_text({1, 2, 3}), "1 to 3");
  EXPECT_EQ(pieces_text({2, 4, 5, 6, 7, 9, 10}), "2, 4 to 7, 9 and 10");
  EXPECT_EQ(pieces_text({0, 1, 2}), "collar, 1 and 2");
  EXPECT_EQ(pieces_text({0, 1, 2, 3}), "collar and 1 to 3");
}

}  // namespace
}  // namespace ductledger::words
