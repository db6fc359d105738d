#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "base/words.hpp"
#include "duct/section.hpp"

/// One thing that is not known exactly, and what such things do to an airflow.
namespace ductledger::solve {

enum class Spread {
  normal,
  lognormal,
  one_sided,  ///< can only add: even between 0 and sqrt(3) u, whatever the sign of z
};
inline constexpr auto kSpreadWords = base::words<Spread>({{Spread::normal, "normal"},
                                                          {Spread::lognormal, "lognormal"},
                                                          {Spread::one_sided, "one-sided"}});
[[nodiscard]] constexpr const char* word(Spread spread) { return kSpreadWords.of(spread); }

/// From this relative standard uncertainty on an error is lognormal: a factor exp(s z) with
/// s^2 = ln(1 + u^2) in place of 1 + u z.
inline constexpr double kLognormalFrom = 0.3;

/// One error, with where its size comes from.
struct ErrorSource {
  /// What shares it, within a layout: `entry:cap/grille`, `stated:NAME` or `stated:PIECE`,
  /// `friction-law`, `roughness:MATERIAL`, `diameter:8 in round`, `length:PIECE`,
  /// `compression`, `opening-pressure:PIECE`, `fan-pressure`, `fan-airflow`, `speed-ratio`,
  /// `density`, `wind-coefficient`, `elbow-at-collar:PIECE`.
  std::string key;
  /// As `key`, but also told apart between layouts where it must be: what two layouts call by one
  /// identity is one error in both. Figures stated in a layout and its lengths carry the keys that
  /// they stand under in the file and the digest of what it says, so that edits of a layout keep
  /// them, and comments, quotes, units and the order of keys change nothing; the fan's errors the
  /// printed points of its largest speed.
  std::string identity;
  std::string title;                    ///< `cap conical-rain-cap`
  std::optional<duct::Section> size{};  ///< the section whose size the title names after it
  double standard_uncertainty = 0.0;    ///< [1] relative, [m] diameter and length, [1] coefficient
  std::string unit = "1";  ///< of standard_uncertainty: `1` relative, `m`, `coefficient`
  Spread spread = Spread::normal;
  std::string basis;
  std::string status;
  bool stated = false;  ///< the layout states its size

  /// As read: `cap conical-rain-cap`, `size of 8 in round`.
  [[nodiscard]] std::string name(units::System system = units::System::ip) const {
    return size ? title + ' ' + duct::to_text(*size, system) : title;
  }
};

/// What one error does to an airflow.
struct SourceEffect {
  std::size_t source = 0;
  double airflow_m3_s = 0.0;  ///< change per one standard uncertainty, with its sign
  double share = 0.0;         ///< of the variance
};

/// First-order propagation through the implicit operating point,
/// dQ/dz = -(dg/dz)/(dg/dQ); contributions of different sources add as squares.
/// @source gum (JCGM 100:2008, 5.1.2); nist-tn-1297, section 5
struct FirstOrder {
  double airflow_m3_s = 0.0;          ///< the operating point
  double standard_m3_s = 0.0;         ///< one combined standard uncertainty
  double slope_pa_s_m3 = 0.0;         ///< dg/dQ there
  std::vector<SourceEffect> effects;  ///< [sources], greatest share first
  std::vector<double> piece_shares;   ///< [pieces of the run] of the variance
  double fan_share = 0.0;
  double ends_share = 0.0;  ///< wind, stack and the room
  /// One standard uncertainty with the room held at its pressure: without its errors and without
  /// what its movement takes from the others.
  double held_standard_m3_s = 0.0;
};

}  // namespace ductledger::solve
