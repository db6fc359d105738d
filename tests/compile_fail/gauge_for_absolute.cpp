#include "air/air.hpp"

using namespace ductledger;

int main() {
  const units::Pressure gauge = units::pascals(100.0);
  const units::AbsolutePressure absolute(units::pascals(101325.0));
#ifdef MIX_KINDS
  (void)air::MoistState{.temperature = units::celsius(20.0), .pressure = gauge}, (void)absolute;
#else
  (void)air::MoistState{.temperature = units::celsius(20.0), .pressure = absolute}, (void)gauge;
#endif
}
