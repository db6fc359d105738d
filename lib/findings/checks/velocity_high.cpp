#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

constexpr double kRoundNote_m_s = 1500.0 * units::kM_SPerFpm;
constexpr double kRectangularNote_m_s = 950.0 * units::kM_SPerFpm;
constexpr double kWarn_m_s = 2200.0 * units::kM_SPerFpm;
constexpr const char* kRectangularSource =
    "ASHRAE Handbook, HVAC Applications, sound and vibration control: maximum duct velocities, "
    "rectangular duct in an occupied space, RC(N) 25";

[[nodiscard]] bool is_duct(layout::PieceKind kind) {
  return kind == layout::PieceKind::straight || kind == layout::PieceKind::flex ||
         kind == layout::PieceKind::elbow;
}

struct Fastest {
  const solve::CompiledPiece* piece = nullptr;
  double velocity_m_s = 0.0;
  double bound_m_s = kRoundNote_m_s;
};

std::vector<Finding> velocity_high(const result::Case& subject) {
  const std::optional<double> least = least_airflow_m3_s(subject);
  if (!least) {
    return {};
  }
  const bool dryer = subject.layout->appliance.kind == layout::ApplianceKind::clothes_dryer;
  Fastest worst;
  std::string through;
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const layout::Piece* stated = piece_of(subject, piece);
    if (stated == nullptr || !is_duct(stated->kind)) {
      continue;
    }
    if (stated->kind == layout::PieceKind::straight) {
      through = stated->around().through;
    }
    const bool in_room = through.empty() || through == "conditioned";
    const bool rectangular = piece.upstream.shape() == duct::Shape::rectangular;
    const double velocity_m_s = *least / piece.upstream.area_m2();
    const double note_m_s = dryer                      ? kWarn_m_s
                            : (rectangular && in_room) ? kRectangularNote_m_s
                                                       : kRoundNote_m_s;
    const double bound_m_s = velocity_m_s > kWarn_m_s ? kWarn_m_s : note_m_s;
    // The worst is the highest level, then the farthest over its own bound.
    const bool warns = bound_m_s == kWarn_m_s;
    const bool worst_warns = worst.bound_m_s == kWarn_m_s;
    if (velocity_m_s > bound_m_s &&
        (worst.piece == nullptr || (warns && !worst_warns) ||
         (warns == worst_warns &&
          velocity_m_s / bound_m_s > worst.velocity_m_s / worst.bound_m_s))) {
      worst = {.piece = &piece, .velocity_m_s = velocity_m_s, .bound_m_s = bound_m_s};
    }
  }
  if (worst.piece == nullptr) {
    return {};
  }
  units::Message message{"{} in ", {velocity(worst.velocity_m_s)}};
  append(message, section_words(worst.piece->upstream));
  const bool rectangular_bound = worst.bound_m_s == kRectangularNote_m_s;
  append(message,
         {", " + just({worst.velocity_m_s, worst.bound_m_s, units::Dimension::velocity}) +
              (rectangular_bound ? "over {} for rectangular duct in a room" : "over {}"),
          {velocity(worst.bound_m_s)}});
  Finding found = finding(kVelocityHigh,
                          {.level = worst.bound_m_s == kWarn_m_s ? Level::warn : Level::note,
                           .message = std::move(message),
                           .span = span_of(subject, *worst.piece)});
  if (rectangular_bound) {
    found.source = kRectangularSource;
  }
  found.observed = {{"velocity_m_s", worst.velocity_m_s}};
  found.limit = {{"velocity_m_s", worst.bound_m_s}};
  return {std::move(found)};
}

}  // namespace

const Check kVelocityHigh{
    .code = "velocity-high",
    .title = "air too fast in the duct",
    .what =
        "the velocity of the highest speed that is not locked out in straights, flexible "
        "duct and elbows: a note over 1500 fpm (7.6 m/s), or over 950 fpm (4.8 m/s) in "
        "rectangular duct in a room; a warning over 2200 fpm (11.2 m/s). Dryers only by "
        "the warning. There is no lower bound for domestic hoods",
    .why = "fast air is loud, and loss grows with the square of it",
    .instead = "a larger section; round duct is quieter than rectangular at the same velocity",
    .source = "common practice",
    .check = velocity_high,
};

}  // namespace ductledger::findings
