#include "air/air.hpp"

using namespace ductledger;

int main() {
  const units::Temperature room = units::celsius(20.0);
  const units::TemperatureDifference rise(room.quantity());
#ifdef MIX_KINDS
  (void)air::sutherland_viscosity(rise), (void)room;
#else
  (void)air::sutherland_viscosity(room), (void)rise;
#endif
}
