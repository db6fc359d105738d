#include "units/quantity.hpp"

using namespace ductledger;

int main() {
  const units::HydraulicDiameter hydraulic(units::metres(0.2));
  const units::EquivalentDiameter equivalent(units::metres(0.2));
#ifdef MIX_KINDS
  const units::EquivalentDiameter diameter = hydraulic;
  (void)diameter, (void)equivalent;
#else
  const units::EquivalentDiameter diameter = equivalent;
  (void)diameter, (void)hydraulic;
#endif
}
