#include "duct/section.hpp"

using namespace ductledger;

int main() {
#ifdef MIX_KINDS
  (void)duct::Section::round(0.2);
#else
  (void)duct::Section::round(units::metres(0.2));
#endif
}
