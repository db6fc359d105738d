#include "units/quantity.hpp"

using namespace ductledger;

int main() {
  const units::StaticPressure a(units::pascals(1.0));
  const units::TotalPressure b(units::pascals(2.0));
  const units::StaticPressure c(units::pascals(3.0));
#ifdef MIX_KINDS
  (void)(a + b), (void)c;
#else
  (void)(a + c), (void)b;
#endif
}
