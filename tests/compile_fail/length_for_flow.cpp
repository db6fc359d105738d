#include "duct/straight.hpp"

using namespace ductledger;

int main() {
  const auto section = duct::Section::round(units::inches(6.0));
#ifdef MIX_KINDS
  (void)duct::mean_velocity(section, units::metres(100.0));
#else
  (void)duct::mean_velocity(section, units::cfm(100.0));
#endif
}
