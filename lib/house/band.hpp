#pragma once

#include <optional>

#include "house/zone.hpp"

namespace ductledger::house {

/// One standard uncertainty of each input.
struct Doubt {
  double exponent = 0.05;      ///< [1] absolute, of one house's single-point test (assumed)
  double airtightness = 0.05;  ///< [1] relative, of the airflow at the test pressure (memory)
  double path = 0.0;           ///< [1] relative, of the makeup path's airflow at a pressure
  double airflow = 0.0;        ///< [1] relative, of the appliance's airflow with the room held
};

/// Parts of the first-order variance; they add up to 1.
struct DoubtShares {
  double exponent = 0.0;
  double airtightness = 0.0;
  double path = 0.0;
  double airflow = 0.0;
};

enum class BandMethod { first_order, sampled };

/// Expanded uncertainty of a depressurisation, k = 2.
struct DepressurisationBand {
  double low_pa = 0.0;
  double high_pa = 0.0;
  BandMethod method = BandMethod::first_order;
  DoubtShares shares;
};

/// What is varied: the fan against run and house, or an airflow that is held.
struct Varied {
  const solve::CompiledRun* run = nullptr;
  const solve::FanAtSpeed* fan = nullptr;  ///< null: the airflow is held
  double held_airflow_m3_s = 0.0;
};

/// A relative doubt of this and more is lognormal.
inline constexpr double kLognormalFrom = 0.3;
/// The factor of a relative doubt at so many standard uncertainties, above 0.
[[nodiscard]] double varied_factor(double u, double deviate) noexcept;
/// An exponent moved by so much, within the ends of what a leak can be, 0.5 and 1.
[[nodiscard]] double varied_exponent(double exponent, double by) noexcept;

/// The doubt of a stated leakage: 5 % of a measured one; of a class, its range as k = 2 in the
/// logarithm.
[[nodiscard]] double airtightness_doubt(const layout::Leakage& leakage) noexcept;

/// The band of the depressurisation on the highest stable crossing. First order where solving again
/// at plus and minus 2 u of each input gives half-widths within 15 % of it, one crossing and the
/// same status; else quantiles 2.3 and 97.7 % of 512 samples at the points of a Halton sequence.
/// The exponent stays within 0.5 and 1, the ends of what a leak can be. A doubt of 0.3 or more is
/// lognormal.
/// @source jcgm-100 (first order), jcgm-101 (sampling)
[[nodiscard]] DepressurisationBand depressurisation_band(const Zone& zone,
                                                         const Varied& varied,
                                                         const Doubt& doubt);

}  // namespace ductledger::house
