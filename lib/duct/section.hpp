#pragma once

#include <string>

#include "units/message.hpp"
#include "units/quantity.hpp"

namespace ductledger::duct {

enum class Shape { round, rectangular, flat_oval };

/// The cross-section of a duct. Sizes in metres; `width` and `height` are equal for a round one.
/// Valid: both positive; a flat oval's width is its major axis (width >= height).
class Section {
 public:
  static Section round(units::Length diameter);
  static Section rectangular(units::Length width, units::Length height);
  static Section flat_oval(units::Length major, units::Length minor);

  [[nodiscard]] Shape shape() const noexcept { return shape_; }
  [[nodiscard]] double width_m() const noexcept { return width_m_; }
  [[nodiscard]] double height_m() const noexcept { return height_m_; }
  /// Free area [m2]; round pi D^2/4, rectangular a b, flat oval pi m^2/4 + m (M - m).
  [[nodiscard]] double area_m2() const noexcept { return area_m2_; }
  /// Wetted perimeter [m].
  [[nodiscard]] double perimeter_m() const noexcept { return perimeter_m_; }
  /// Diameter of the round duct with equal friction at equal airflow [m]: D; 1.30 (ab)^0.625 /
  /// (a+b)^0.25; 1.55 A^0.625 / P^0.25.
  /// @source huebscher-1948 rectangular; heyt-diaz-1975 flat oval
  [[nodiscard]] double equivalent_diameter_m() const noexcept { return equivalent_diameter_m_; }
  /// 4 A / P [m].
  [[nodiscard]] double hydraulic_diameter_m() const noexcept {
    return 4.0 * area_m2_ / perimeter_m_;
  }

  friend bool operator==(const Section&, const Section&) = default;

 private:
  Section(Shape shape, double width_m, double height_m);
  Shape shape_;
  double width_m_;
  double height_m_;
  double area_m2_;
  double perimeter_m_;
  double equivalent_diameter_m_;
};

/// `8 in round`, `10 x 3-1/4 in`, `12 x 6 in oval`; in SI `203 mm round`.
[[nodiscard]] std::string to_text(const Section& section, units::System system = units::System::ip);
/// In the system in which its sides are sizes of the trade: whole millimetres that are no 16ths of
/// an inch are SI. For messages that know no file.
[[nodiscard]] units::System likely_system(const Section& section);
/// A section within a message, which reads in both systems of units.
[[nodiscard]] units::Message::Value message_value(const Section& section);

/// What a piece leads from and to, equal where it changes nothing.
struct SectionPair {
  Section before;
  Section after;
};
/// `8 in round`, `8 in round to 7 in round`.
[[nodiscard]] std::string to_text(const SectionPair& sections,
                                  units::System system = units::System::ip);

}  // namespace ductledger::duct
