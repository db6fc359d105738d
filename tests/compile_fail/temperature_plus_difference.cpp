#include "units/quantity.hpp"

using namespace ductledger;

int main() {
  const units::Temperature room = units::celsius(20.0);
  const units::Temperature attic = units::celsius(40.0);
  const units::TemperatureDifference rise(attic.quantity() - room.quantity());
#ifdef MIX_KINDS
  (void)(room + rise);
#else
  (void)(rise + rise);
#endif
}
