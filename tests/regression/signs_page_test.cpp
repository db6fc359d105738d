#include "picture/signs.hpp"
#include "support/written_page.hpp"

namespace ductledger {
namespace {

/// The legend of the drawings.
TEST(SignsPage, is_as_the_drawings_are) {
  support::expect_written("signs.svg", picture::legend_svg());
}

}  // namespace
}  // namespace ductledger
