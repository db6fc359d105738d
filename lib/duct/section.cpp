#include "duct/section.hpp"

#include <cmath>
#include <numbers>

#include "base/expects.hpp"

namespace ductledger::duct {
namespace {

using std::numbers::pi;

}  // namespace

Section Section::round(units::Length diameter) {
  return {Shape::round, diameter.value(), diameter.value()};
}

Section Section::rectangular(units::Length width, units::Length height) {
  return {Shape::rectangular, width.value(), height.value()};
}

Section Section::flat_oval(units::Length major, units::Length minor) {
  return {Shape::flat_oval, major.value(), minor.value()};
}

Section::Section(Shape shape, double width_m, double height_m)
    : shape_(shape), width_m_(width_m), height_m_(height_m) {
  DUCTLEDGER_EXPECTS(std::isfinite(width_m) && width_m > 0.0);
  DUCTLEDGER_EXPECTS(std::isfinite(height_m) && height_m > 0.0);
  switch (shape) {
    case Shape::round:
      area_m2_ = pi / 4.0 * width_m * width_m;
      perimeter_m_ = pi * width_m;
      equivalent_diameter_m_ = width_m;
      return;
    case Shape::rectangular:
      area_m2_ = width_m * height_m;
      perimeter_m_ = 2.0 * (width_m + height_m);
      equivalent_diameter_m_ =
          1.30 * std::pow(area_m2_, 0.625) / std::pow(width_m + height_m, 0.25);
      return;
    case Shape::flat_oval:
      DUCTLEDGER_EXPECTS(width_m >= height_m);
      area_m2_ = pi / 4.0 * height_m * height_m + height_m * (width_m - height_m);
      perimeter_m_ = pi * height_m + 2.0 * (width_m - height_m);
      equivalent_diameter_m_ = 1.55 * std::pow(area_m2_, 0.625) / std::pow(perimeter_m_, 0.25);
      return;
  }
}

}  // namespace ductledger::duct
