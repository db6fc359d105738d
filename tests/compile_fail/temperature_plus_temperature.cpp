#include "units/quantity.hpp"

using namespace ductledger;

int main() {
  const units::Temperature room = units::celsius(20.0);
  const units::Temperature attic = units::celsius(40.0);
#ifdef MIX_KINDS
  (void)(room + attic);
#else
  (void)(room.value() + attic.value());
#endif
}
