#pragma once

#include <cmath>
#include <numbers>

#include "duct/section.hpp"

namespace ductledger::solve {

/// A section whose sides are all longer by a small length, over the section itself.
template <class T>
struct SectionScale {
  T area;                 ///< [1]
  T equivalent_diameter;  ///< [1]
  T hydraulic_diameter;   ///< [1]
};

/// @param longer_m [m] a number, or an array of them [n]; above minus the shortest side
template <class T>
SectionScale<T> section_scale(const duct::Section& section, const T& longer_m) {
  using std::pow;
  const double a = section.width_m();
  const double b = section.height_m();
  if (section.shape() == duct::Shape::round) {
    const T one = 1.0 + longer_m / a;
    return {one * one, one, one};
  }
  const T wide = a + longer_m;
  const T high = b + longer_m;
  if (section.shape() == duct::Shape::rectangular) {
    const T area = wide * high / (a * b);
    const T around = (wide + high) / (a + b);
    return {area, pow(area, 0.625) / pow(around, 0.25), area / around};
  }
  const double pi = std::numbers::pi;
  const T area = (pi / 4.0 * high * high + high * (wide - high)) / section.area_m2();
  const T around = (pi * high + 2.0 * (wide - high)) / section.perimeter_m();
  return {area, pow(area, 0.625) / pow(around, 0.25), area / around};
}

}  // namespace ductledger::solve
