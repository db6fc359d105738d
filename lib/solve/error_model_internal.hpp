#pragma once

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <utility>
#include <vector>

#include "duct/section.hpp"
#include "solve/error_model.hpp"
#include "solve/loss_internal.hpp"

namespace ductledger::solve {

/// A section whose sides are all longer by a small length, over the section
/// itself.
template <class T>
struct SectionScale {
  T area;                 ///< [1]
  T equivalent_diameter;  ///< [1]
  T hydraulic_diameter;   ///< [1]
};

/// @param longer_m [m] a number, or an array of them [n]; above minus the
/// shortest side
template <class T>
SectionScale<T> section_scale(const duct::Section& section, const T& longer_m) {
  using std::exp;
  using std::log;
  // Of area^0.625 / around^0.25, by logarithms: arrays have these in words.
  const auto equivalent = [](const T& area, const T& around) -> T {
    return exp(0.625 * log(area) - 0.25 * log(around));
  };
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
    return {area, equivalent(area, around), area / around};
  }
  const double pi = std::numbers::pi;
  const T area = (pi / 4.0 * high * high + high * (wide - high)) / section.area_m2();
  const T around = (pi * high + 2.0 * (wide - high)) / section.perimeter_m();
  return {area, equivalent(area, around), area / around};
}

/// A run with its errors, once over the scalar T: a number, or an array of
/// samples. `Own` gives
///   T factor(const ErrorModel::Factor&) const               what an error puts
///   on a term T added(const ErrorModel::Added&) const                 what may
///   come on top [1] T z(std::size_t source) const T constant(double) const
///   (const) SectionScale<T>(&) scale(std::size_t section) const
template <class T, class Own>
class Perturbed {
 public:
  [[nodiscard]] T factor(const std::optional<ErrorModel::Factor>& f) const {
    return f ? own().factor(*f) : own().constant(1.0);
  }
  [[nodiscard]] T product(const std::vector<ErrorModel::Factor>& factors) const {
    T all = own().constant(1.0);
    for (const ErrorModel::Factor& f : factors) {
      all *= own().factor(f);
    }
    return all;
  }
  /// @param section [sections] one of the model's
  [[nodiscard]] SectionScale<T> scale_of(std::size_t section) const {
    const ErrorModel::SectionError& of = arrays_.sections[section];
    if (!of.source) {
      return {own().constant(1.0), own().constant(1.0), own().constant(1.0)};
    }
    const double side_m = std::min(of.section.width_m(), of.section.height_m());
    const T longer_m =
        side_m * (own().factor(ErrorModel::Factor{*of.source, of.u_m / side_m}) - 1.0);
    return section_scale(of.section, longer_m);
  }

  [[nodiscard]] PieceLossOf<T> piece(const ErrorModel::PieceErrors& errors) const {
    const PieceLoss& of = errors.loss;
    const T rho = factor(arrays_.density);
    const T coefficient = product(errors.coefficient);
    T square = own().constant(1.0);
    T reynolds = rho;
    if (errors.reference >= 0) {
      const auto& scale = own().scale(static_cast<std::size_t>(errors.reference));
      square = scale.area * scale.area;
      reynolds = rho * scale.hydraulic_diameter / scale.area;
    }
    const T dynamic = coefficient * rho / square;
    PieceLossOf<T> loss;
    loss.square_pa_s2_m6 = of.square_pa_s2_m6 * dynamic;
    if (errors.added) {
      loss.square_pa_s2_m6 +=
          errors.added->square_pa_s2_m6 * own().added(*errors.added) * rho / square;
    }
    if (of.linear_pa_s_m3 != 0.0) {
      loss.linear_pa_s_m3 = of.linear_pa_s_m3 * coefficient;
    }
    if (of.reynolds_square_pa_s2_m6 != 0.0) {
      loss.reynolds_square_pa_s2_m6 = of.reynolds_square_pa_s2_m6 * dynamic;
      loss.reynolds_s_m3 = of.reynolds_s_m3 * reynolds;
      loss.reynolds = of.reynolds;
    }
    if (of.opening_pressure_pa > 0.0) {
      loss.opening_pressure_pa = of.opening_pressure_pa * factor(errors.opening);
    }
    if (of.flap_square_pa_s2_m6 > 0.0) {
      loss.flap_square_pa_s2_m6 = of.flap_square_pa_s2_m6 * dynamic;
      loss.flap_lift_s2_m6 = of.flap_lift_s2_m6 * rho / square;
    }
    loss.friction_group = of.friction_group;
    if (of.friction_group >= 0) {
      const auto group = static_cast<std::size_t>(of.friction_group);
      loss.friction_ratio =
          of.friction_ratio * (product(errors.friction) /
                               own().scale(arrays_.group_sections[group]).equivalent_diameter);
    }
    return loss;
  }
  /// Its ratio is left to the pieces.
  [[nodiscard]] FrictionGroupOf<T> group(std::size_t index) const {
    const FrictionGroup& of = arrays_.groups[index];
    const T rho = factor(arrays_.density);
    const T de = own().scale(arrays_.group_sections[index]).equivalent_diameter;
    return {.reynolds_s_m3 = of.reynolds_s_m3 * (rho / de),
            .relative_roughness = of.relative_roughness / de,
            .dynamic_pa_s2_m6 = of.dynamic_pa_s2_m6 * (rho / (de * de * de * de)),
            .ratio = own().constant(0.0)};
  }
  [[nodiscard]] RunLossOf<T> loss() const {
    std::vector<FrictionGroupOf<T>> groups;
    for (std::size_t i = 0; i < arrays_.groups.size(); ++i) {
      groups.push_back(group(i));
    }
    std::vector<PieceLossOf<T>> pieces;
    for (const ErrorModel::PieceErrors& errors : arrays_.pieces) {
      pieces.push_back(piece(errors));
      if (pieces.back().friction_group >= 0) {
        groups[static_cast<std::size_t>(pieces.back().friction_group)].ratio +=
            pieces.back().friction_ratio;
      }
    }
    return RunLossOf<T>(std::move(groups), pieces, own().constant(0.0));
  }

  [[nodiscard]] T fan_airflow() const { return product(arrays_.fan_airflow); }
  [[nodiscard]] T fan_pressure() const {
    return product(arrays_.fan_pressure) * factor(arrays_.density);
  }
  [[nodiscard]] T fan_dynamic() const {
    const T dynamic = arrays_.dynamic_pa_s2_m6 * factor(arrays_.density);
    if (!arrays_.outlet_section) {
      return dynamic;
    }
    const auto& scale = own().scale(*arrays_.outlet_section);
    return dynamic / (scale.area * scale.area);
  }
  [[nodiscard]] T end_pa() const {
    const T rho = factor(arrays_.density);
    if (!arrays_.wind) {
      return rho * (arrays_.wind_pa - arrays_.stack_pa) + arrays_.back_pressure_pa;
    }
    return rho * (arrays_.wind_pa + arrays_.wind_u_pa * own().z(*arrays_.wind) - arrays_.stack_pa) +
           arrays_.back_pressure_pa;
  }

 protected:
  explicit Perturbed(const ErrorModel::Arrays& arrays) : arrays_(arrays) {}
  const ErrorModel::Arrays& arrays_;

 private:
  [[nodiscard]] const Own& own() const noexcept { return static_cast<const Own&>(*this); }
};

}  // namespace ductledger::solve
