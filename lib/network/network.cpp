#include "network/network.hpp"

#include <algorithm>
#include <cmath>

#include "base/expects.hpp"

namespace ductledger::network {
namespace {

/// A shut flap in the search, before it is held at no airflow [Pa s/m3]: at 100 Pa an inlet's leaks
/// a millionth of a litre a second. Behind a junction, where no step can end at rest, a flap is so
/// many times as stiff as its leg.
constexpr double kShutSlope = 1e11;
constexpr double kShutTimes = 30.0;
constexpr double kTight = 1e-12;  ///< the search ends, of the greatest pressure
constexpr double kEnough = 1e-9;  ///< and counts as solved
constexpr int kMostSteps = 400;
constexpr double kNudge = 1e-8;  ///< of a flow ratio, for slopes

/// A fan's total pressure at any airflow: the curve between its ends, a straight line on from them
/// (no answer is taken from there but as a bound), the pressure at rest where air comes back.
struct FanTotal {
  double pa = 0.0;
  double slope_pa_s_m3 = 0.0;
};
FanTotal fan_total(const solve::FanAtSpeed& fan, double q) noexcept {
  const auto knots = fan.curve.knots_m3_s();
  const auto cubic_at = [&](std::size_t segment, double at_m3_s) -> FanTotal {
    const fan::FanCurve::Cubic& c = fan.curve.cubic(segment);
    const double x = at_m3_s - knots[segment];
    return {c.c0 + x * (c.c1 + x * (c.c2 + x * c.c3)), c.c1 + x * (2.0 * c.c2 + 3.0 * x * c.c3)};
  };
  const double on = std::max(q, 0.0);
  FanTotal out;
  if (on < knots.front() || on >= knots.back()) {
    const bool below = on < knots.front();
    const double end_m3_s = below ? knots.front() : knots.back();
    out = cubic_at(below ? 0 : knots.size() - 2, end_m3_s);
    out.slope_pa_s_m3 = std::min(out.slope_pa_s_m3, 0.0);
    out.pa += out.slope_pa_s_m3 * (on - end_m3_s);
  } else {
    const auto above = std::upper_bound(knots.begin(), knots.end(), on);
    out = cubic_at(static_cast<std::size_t>(above - knots.begin()) - 1, on);
  }
  out.pa += fan.dynamic_pa_s2_m6 * on * on;
  out.slope_pa_s_m3 = q < 0.0 ? 0.0 : out.slope_pa_s_m3 + 2.0 * fan.dynamic_pa_s2_m6 * on;
  return out;
}

double ratio_of(double branch_m3_s, double straight_m3_s) noexcept {
  const double branch = std::max(branch_m3_s, 0.0);
  const double straight = std::max(straight_m3_s, 0.0);
  return branch > 0.0 ? branch / (branch + straight) : 0.0;
}

fitting::JunctionLoss coefficients(const Junction& of, double flow_ratio) noexcept {
  const fitting::JunctionState state{of.angle, of.area_ratio, flow_ratio};
  fitting::JunctionLoss loss{of.branch_coefficient, of.straight_coefficient};
  if (of.law == JunctionLaw::converging) {
    loss = fitting::converging_junction(state);
  } else if (of.law == JunctionLaw::converging_tee_older) {
    loss = fitting::converging_tee_older(state);
  }
  return {loss.branch * of.branch_factor, loss.straight * of.straight_factor};
}

/// Of the combined leg; its sign follows the airflow.
double dynamic_pa(const Junction& of, double combined_m3_s) noexcept {
  return of.dynamic_pa_s2_m6 * combined_m3_s * std::abs(combined_m3_s);
}

}  // namespace

fitting::JunctionLoss junction_loss_pa(const Junction& of,
                                       double straight_m3_s,
                                       double branch_m3_s) noexcept {
  const double dynamic = dynamic_pa(of, straight_m3_s + branch_m3_s);
  const auto [branch, straight] = coefficients(of, ratio_of(branch_m3_s, straight_m3_s));
  return {branch * dynamic, straight * dynamic};
}

Solver::Solver(const Network& network)
    : network_(network),
      shut_(network.legs.size()),
      airflow_(network.legs.size()),
      end_(network.legs.size()),
      junction_pa_(network.junctions.size()),
      stiffness_(network.legs.size()),
      residual_(network.legs.size()),
      drive_(network.legs.size()),
      slope_(network.legs.size()),
      airflow_step_(network.legs.size()),
      junction_step_(network.junctions.size()),
      end_step_(network.legs.size()),
      steps_(network.junctions.size()),
      coefficients_(network.junctions.size()),
      airflow_before_(network.legs.size()),
      junction_before_(network.junctions.size()) {
  DUCTLEDGER_EXPECTS(!network.legs.empty() && network.losses.size() == network.legs.size());
  pressures_pa_ = std::max(std::abs(network.end_pa), 1e-3);
  for (const solve::FanAtSpeed& fan : network.fans) {
    for (std::size_t i = 0; i < fan.curve.segment_count(); ++i) {
      pressures_pa_ = std::max(pressures_pa_, std::abs(fan.curve.cubic(i).c0));
    }
    from_rest_ = from_rest_ || !fan.falls_throughout;
  }
  for (std::size_t i = 0; i < network.legs.size(); ++i) {
    const Leg& leg = network.legs[i];
    pressures_pa_ = std::max(pressures_pa_, std::abs(leg.stack_pa));
    const double usual = leg.usual_m3_s;
    stiffness_[i] = std::max(network.losses[i].at(usual), 1e-9) / (usual * usual);
  }
}

solve::SlopedLoss Solver::leg_loss(std::size_t leg, double q) const noexcept {
  if (q >= 0.0) {
    return solve::sloped_loss(network_.losses[leg], q);
  }
  const Leg& of = network_.legs[leg];
  if (!of.one_way) {
    const solve::SlopedLoss mirrored = solve::sloped_loss(network_.losses[leg], -q);
    return {-mirrored.pa, mirrored.slope_pa_s_m3};
  }
  const double slope =
      of.junction == kNone ? kShutSlope : kShutTimes * stiffness_[leg] * of.usual_m3_s;
  return {network_.losses[leg].at(0.0) + slope * q, slope};
}

Solver::Drive Solver::drive(std::size_t leg, double q) const noexcept {
  const auto [loss_pa, loss_slope] = leg_loss(leg, q);
  Drive out{network_.legs[leg].stack_pa - loss_pa, loss_slope, loss_pa};
  if (const std::size_t fan = network_.legs[leg].fan; fan != kNone) {
    const FanTotal makes = fan_total(network_.fans[fan], q);
    out.pa += makes.pa;
    out.fall_pa_s_m3 -= makes.slope_pa_s_m3;
  }
  return out;
}

double Solver::start_pa(std::size_t leg) const noexcept {
  const std::size_t junction = network_.legs[leg].junction;
  return junction == kNone ? room_pa_ : junction_pa_[junction];
}
double Solver::fan_pa(std::size_t leg) const noexcept {
  const std::size_t fan = network_.legs[leg].fan;
  return fan == kNone ? 0.0 : fan_total(network_.fans[fan], airflow_[leg]).pa;
}
double Solver::loss_pa(std::size_t leg) const noexcept {
  return is_shut(leg) ? 0.0 : leg_loss(leg, airflow_[leg]).pa;
}
double Solver::needed_pa(std::size_t leg) const noexcept {
  return end_[leg] - start_pa(leg) - network_.legs[leg].stack_pa + loss_pa(leg);
}
double Solver::flow_ratio(std::size_t junction) const noexcept {
  const Junction& at = network_.junctions[junction];
  return ratio_of(airflow_[at.branch], airflow_[at.straight]);
}
double Solver::straight_coefficient(std::size_t junction) const noexcept {
  return coefficients(network_.junctions[junction], flow_ratio(junction)).straight;
}
double Solver::branch_coefficient(std::size_t junction) const noexcept {
  return coefficients(network_.junctions[junction], flow_ratio(junction)).branch;
}

double Solver::mass_residual() const noexcept {
  double greatest = 0.0;
  for (const Junction& junction : network_.junctions) {
    const double sum = airflow_[junction.straight] + airflow_[junction.branch];
    const double combined = std::abs(airflow_[junction.combined]);
    const double off = std::abs(sum - airflow_[junction.combined]);
    greatest = std::max(greatest, combined > 0.0 ? off / combined : off);
  }
  return greatest;
}

void Solver::begin_at(std::span<const double> airflows_m3_s) noexcept {
  std::copy(airflows_m3_s.begin(), airflows_m3_s.end(), airflow_.begin());
  std::fill(junction_pa_.begin(), junction_pa_.end(), 0.0);
  room_pa_ = 0.0;
  warm_ = true;
}

/// Airflows that a part of the pressures at hand would draw through the whole tree; a fan whose
/// curve rises starts at rest.
void Solver::begin() noexcept {
  std::fill(airflow_.begin(), airflow_.end(), 0.0);
  std::fill(junction_pa_.begin(), junction_pa_.end(), 0.0);
  room_pa_ = 0.0;
  if (!from_rest_) {
    constexpr double kPart = 0.5;  // the fans keep about as much for themselves
    share_out(kPart * pressures_pa_);
  }
  gather();
}

/// The tree with square laws, drawn from its end, is solved in two passes: resistances (pressure
/// over Q^2, from the room on) down, airflows back up. A held leg passes on what it is held at.
void Solver::share_out(double most_pa) noexcept {
  std::vector<double>& resistance = slope_;     // [legs] to their ends
  std::vector<double>& ratio = junction_step_;  // [junctions] of the branch
  for (std::size_t i = 0; i < network_.legs.size(); ++i) {
    resistance[i] = stiffness_[i];
  }
  for (std::size_t j = 0; j < network_.junctions.size(); ++j) {
    const Junction& at = network_.junctions[j];
    const double s = resistance[at.straight];
    const double b = resistance[at.branch];
    // s (1-r)^2 + C_s k = b r^2 + C_b k, the coefficients as if they cost nothing
    const double alone = std::sqrt(s) / (std::sqrt(s) + std::sqrt(b));
    const fitting::JunctionLoss c = coefficients(at, alone);
    const double more = s + (c.straight - c.branch) * at.dynamic_pa_s2_m6;
    const double root = std::sqrt(std::max(s * s - (s - b) * more, 0.0));
    ratio[j] = std::clamp(more / (s + root), 0.1 * alone, 0.9 + 0.1 * alone);
    const double square = s * (1.0 - ratio[j]) * (1.0 - ratio[j]);
    resistance[at.combined] += std::max(square + c.straight * at.dynamic_pa_s2_m6, 0.01 * square);
  }
  const std::size_t root = network_.legs.size() - 1;
  airflow_[root] = std::sqrt(most_pa / resistance[root]);
  if (const std::size_t fan = network_.legs[root].fan; fan != kNone) {
    double low = 0.0;
    double high = 2.0 * airflow_[root];
    for (int i = 0; i < 20; ++i) {
      const double q = 0.5 * (low + high);
      (fan_total(network_.fans[fan], q).pa > resistance[root] * q * q ? low : high) = q;
    }
    airflow_[root] = low;
  }
  for (std::size_t j = network_.junctions.size(); j-- > 0;) {
    const Junction& at = network_.junctions[j];
    if (is_held(at.combined)) {
      airflow_[at.combined] = std::max(held_m3_s(at.combined), 0.0);
    }
    const double q = airflow_[at.combined];
    junction_pa_[j] = -(resistance[at.combined] - stiffness_[at.combined]) * q * q;
    airflow_[at.straight] = (1.0 - ratio[j]) * q;
    airflow_[at.branch] = ratio[j] * q;
  }
}

/// Combined airflows are sums; a held leg keeps its own.
void Solver::gather() noexcept {
  for (std::size_t i = 0; i < network_.legs.size(); ++i) {
    if (network_.legs[i].junction == kNone && is_held(i)) {
      airflow_[i] = held_m3_s(i);
    }
  }
  for (const Junction& junction : network_.junctions) {
    airflow_[junction.combined] = airflow_[junction.straight] + airflow_[junction.branch];
  }
}

/// End pressures and residuals at the airflows and pressures at hand. @return sum of squares
double Solver::evaluate() noexcept {
  const std::size_t root = network_.legs.size() - 1;
  end_[root] = network_.end_pa;
  for (std::size_t j = 0; j < network_.junctions.size(); ++j) {
    const Junction& junction = network_.junctions[j];
    const double s = airflow_[junction.straight];
    const double b = airflow_[junction.branch];
    const double dynamic = junction_share_ * dynamic_pa(junction, s + b);
    coefficients_[j] = coefficients(junction, ratio_of(b, s));
    end_[junction.straight] = junction_pa_[j] + coefficients_[j].straight * dynamic;
    end_[junction.branch] = junction_pa_[j] + coefficients_[j].branch * dynamic;
  }
  double sum = 0.0;
  residual_pa_ = 0.0;
  scale_pa_ = pressures_pa_;
  for (std::size_t i = 0; i < network_.legs.size(); ++i) {
    const double q = airflow_[i];
    if (is_held(i)) {
      // What is off is the airflow, where the sum of what flows in is another.
      const double off = q - held_m3_s(i);
      residual_[i] = 2.0 * stiffness_[i] * (std::abs(held_m3_s(i)) + std::abs(off)) * off;
    } else {
      drive_[i] = drive(i, q);
      scale_pa_ = std::max(scale_pa_, std::abs(drive_[i].loss_pa));
      residual_[i] = start_pa(i) + drive_[i].pa - end_[i];
    }
    residual_pa_ = std::max(residual_pa_, std::abs(residual_[i]));
    sum += residual_[i] * residual_[i];
  }
  room_residual_pa_ = 0.0;
  if (network_.room.of_pa != nullptr) {
    const double drawn = std::max(airflow_[root], 0.0);
    room_residual_pa_ = -network_.room.at_pa(drawn) - room_pa_;
    residual_pa_ = std::max(residual_pa_, std::abs(room_residual_pa_));
    sum += room_residual_pa_ * room_residual_pa_;
  }
  return sum;
}

Solver::Affine Solver::relation(std::size_t leg) const noexcept {
  const bool inlet = network_.legs[leg].junction == kNone;
  if (is_held(leg)) {
    return {held_m3_s(leg) - airflow_[leg], 0.0, 0.0};
  }
  if (inlet) {
    return {residual_[leg] / slope_[leg], 1.0 / slope_[leg], 1.0 / slope_[leg]};
  }
  const Step& step = steps_[network_.legs[leg].junction];
  const double a = step.straight.a + step.branch.a;
  const double b = step.straight.b + step.branch.b;
  const double c = step.straight.c + step.branch.c;
  const double divisor = 1.0 + b * slope_[leg];
  return {(a + b * residual_[leg]) / divisor, b / divisor, c / divisor};
}

/// How the losses of a junction's two legs follow both airflows.
void Solver::put_slopes(std::size_t junction, Step& step) const noexcept {
  const Junction& at = network_.junctions[junction];
  const double s = airflow_[at.straight];
  const double b = airflow_[at.branch];
  const double combined = s + b;
  const double ratio = ratio_of(b, s);
  const fitting::JunctionLoss here = coefficients_[junction];
  const double dynamic_pa_s2_m6 = junction_share_ * at.dynamic_pa_s2_m6;
  const double by_dynamic = 2.0 * dynamic_pa_s2_m6 * std::abs(combined);
  step.loss_ss = here.straight * by_dynamic;
  step.loss_sb = step.loss_ss;
  step.loss_bs = here.branch * by_dynamic;
  step.loss_bb = step.loss_bs;
  if (at.law == JunctionLaw::stated || s <= 0.0 || b <= 0.0) {
    return;  // the coefficients stay
  }
  const double nudge = ratio < 0.5 ? kNudge : -kNudge;
  const fitting::JunctionLoss beside = coefficients(at, ratio + nudge);
  // d ratio / dQ_s = -Q_b / Q_c^2, d ratio / dQ_b = Q_s / Q_c^2
  const double by_ratio = dynamic_pa_s2_m6 / nudge;
  step.loss_ss -= (beside.straight - here.straight) * by_ratio * b;
  step.loss_sb += (beside.straight - here.straight) * by_ratio * s;
  step.loss_bs -= (beside.branch - here.branch) * by_ratio * b;
  step.loss_bb += (beside.branch - here.branch) * by_ratio * s;
}

/// How each leg's balance falls with its airflow.
void Solver::put_leg_slopes() noexcept {
  for (std::size_t i = 0; i < network_.legs.size(); ++i) {
    if (is_held(i)) {
      continue;
    }
    const double q = airflow_[i];
    const bool forward = q > 0.0 || (q == 0.0 && residual_[i] >= 0.0);
    // A flap at rest goes to where it is pulled.
    const bool shuts = q == 0.0 && !forward && network_.legs[i].one_way;
    const double slope =
        shuts ? drive(i, -network_.legs[i].usual_m3_s).fall_pa_s_m3 : drive_[i].fall_pa_s_m3;
    // Where little flows and much pulls, the chord to where a square law would end. Not near the
    // answer: there only the true slope makes each step square what is left.
    const double k = stiffness_[i];
    const double chord = forward && residual_[i] > drive_[i].loss_pa
                             ? k * (q + std::sqrt(q * q + residual_[i] / k))
                             : 0.0;
    const double floor = 1e-7 * k * network_.legs[i].usual_m3_s;
    slope_[i] = std::max({slope, chord, floor}) * (1.0 + damping_);
  }
}

/// Both legs' airflows as affine functions of the junction's pressure and the room's.
void Solver::join(std::size_t junction) noexcept {
  const Junction& at = network_.junctions[junction];
  Step& step = steps_[junction];
  put_slopes(junction, step);
  const Affine rs = relation(at.straight);
  const Affine rb = relation(at.branch);
  const double m11 = 1.0 + rs.b * step.loss_ss;
  const double m12 = rs.b * step.loss_sb;
  const double m21 = rb.b * step.loss_bs;
  const double m22 = 1.0 + rb.b * step.loss_bb;
  double determinant = m11 * m22 - m12 * m21;
  const double least = 1e-6 * (std::abs(m11 * m22) + std::abs(m12 * m21));
  if (std::abs(determinant) < least) {
    determinant = std::copysign(least, determinant);
  }
  const auto first = [&](double x, double y) { return (m22 * x - m12 * y) / determinant; };
  const auto second = [&](double x, double y) { return (m11 * y - m21 * x) / determinant; };
  step.straight = {first(rs.a, rb.a), first(rs.b, rb.b), first(rs.c, rb.c)};
  step.branch = {second(rs.a, rb.a), second(rs.b, rb.b), second(rs.c, rb.c)};
}

/// The room's pressure follows what the last leg draws.
void Solver::step_room(const Affine& last) noexcept {
  room_step_pa_ = 0.0;
  if (network_.room.of_pa == nullptr) {
    return;
  }
  const double drawn = std::max(airflow_.back(), 0.0);
  const double nudge = 1e-5 * std::max(drawn, 1e-4);
  const double slope = (network_.room.at_pa(drawn + nudge) - network_.room.at_pa(drawn)) / nudge;
  // dR = residual - slope dQ, dQ = a + c dR
  room_step_pa_ = (room_residual_pa_ - slope * last.a) / (1.0 + slope * last.c);
}

/// The steps of a junction's pressure and of both legs that end in it.
void Solver::step_behind(std::size_t junction) noexcept {
  const Junction& at = network_.junctions[junction];
  const Step& step = steps_[junction];
  const std::size_t c = at.combined;
  double pressure = 0.0;
  if (is_held(c)) {
    const double a = step.straight.a + step.branch.a;
    const double b = step.straight.b + step.branch.b;
    const double by_room = step.straight.c + step.branch.c;
    pressure = b != 0.0 ? (a + by_room * room_step_pa_ - airflow_step_[c]) / b : 0.0;
  } else {
    pressure = end_step_[c] + slope_[c] * airflow_step_[c] - residual_[c];
  }
  junction_step_[junction] = pressure;
  const auto moved = [&](const Affine& of) {
    return of.a - of.b * pressure + of.c * room_step_pa_;
  };
  const double ds = moved(step.straight);
  const double db = moved(step.branch);
  airflow_step_[at.straight] = ds;
  airflow_step_[at.branch] = db;
  end_step_[at.straight] = pressure + step.loss_ss * ds + step.loss_sb * db;
  end_step_[at.branch] = pressure + step.loss_bs * ds + step.loss_bb * db;
}

/// One Newton step: from the inlets down, then back up. Each leg's airflow is an affine function of
/// its end pressure; two of them and a junction make the next.
void Solver::eliminate() noexcept {
  put_leg_slopes();
  for (std::size_t j = 0; j < network_.junctions.size(); ++j) {
    join(j);
  }
  const std::size_t root = network_.legs.size() - 1;
  const Affine last = relation(root);
  step_room(last);
  airflow_step_[root] = last.a + last.c * room_step_pa_;
  end_step_[root] = 0.0;
  for (std::size_t j = network_.junctions.size(); j-- > 0;) {
    step_behind(j);
  }
}

/// Share of the step that moves no fan with a rising curve by more than a small part of that curve.
double Solver::longest_step() const noexcept {
  double share = 1.0;
  if (!from_rest_) {
    return share;
  }
  constexpr double kPart = 1.0 / 64.0;
  for (std::size_t i = 0; i < network_.legs.size(); ++i) {
    const std::size_t fan = network_.legs[i].fan;
    if (fan == kNone || network_.fans[fan].falls_throughout) {
      continue;
    }
    const double most = kPart * network_.fans[fan].curve.last_airflow_m3_s();
    if (std::abs(airflow_step_[i]) * share > most) {
      share = most / std::abs(airflow_step_[i]);
    }
  }
  return share;
}

void Solver::step_by(double share) noexcept {
  for (std::size_t i = 0; i < network_.legs.size(); ++i) {
    if (network_.legs[i].junction == kNone) {
      airflow_[i] = airflow_before_[i] + share * airflow_step_[i];
      // A flap stops at rest on its way back.
      if (network_.legs[i].one_way && airflow_before_[i] > 0.0 && airflow_[i] < 0.0) {
        airflow_[i] = 0.0;
      }
    }
  }
  for (std::size_t j = 0; j < network_.junctions.size(); ++j) {
    junction_pa_[j] = junction_before_[j] + share * junction_step_[j];
  }
  room_pa_ = room_before_ + share * room_step_pa_;
  gather();
}

bool Solver::iterate() noexcept {
  damping_ = 0.0;
  merit_ = evaluate();
  double best = residual_pa_ / scale_pa_;
  int idle = 0;
  for (int step = 0; step < kMostSteps; ++step) {
    if (residual_pa_ <= kTight * scale_pa_) {
      return true;
    }
    ++iterations_;
    eliminate();
    airflow_before_ = airflow_;
    junction_before_ = junction_pa_;
    room_before_ = room_pa_;
    const double before = merit_;
    const double longest = longest_step();
    double share = longest;
    bool better = false;
    for (int halving = 0; halving < 12; ++halving) {
      step_by(share);
      merit_ = evaluate();
      // A bounded step from rest is taken as it is: the residual may rise on a rising curve.
      if (std::isfinite(merit_) && (merit_ < before || (longest < 1.0 && halving == 0))) {
        better = true;
        break;
      }
      share /= 2.0;
    }
    if (!better) {
      if (before <= std::pow(kEnough * scale_pa_, 2)) {
        airflow_ = airflow_before_;
        junction_pa_ = junction_before_;
        room_pa_ = room_before_;
        merit_ = evaluate();
        return true;
      }
      damping_ = std::max(1.0, 4.0 * damping_);
      if (!std::isfinite(merit_) || damping_ > 1e6) {
        airflow_ = airflow_before_;
        junction_pa_ = junction_before_;
        room_pa_ = room_before_;
        merit_ = evaluate();
        if (damping_ > 1e6) {
          return false;
        }
      }
      continue;
    }
    damping_ = damping_ < 0.1 ? 0.0 : damping_ / 8.0;
    const double now = residual_pa_ / scale_pa_;
    if (now < 0.5 * best) {
      best = now;
      idle = 0;
    } else if (++idle > 3 && now <= 1e-11) {
      return true;  // at the limit of the digits
    }
  }
  return residual_pa_ <= kEnough * scale_pa_;
}

/// Holds shut the legs that a flap keeps from reversing, and opens those that would flow after all,
/// each once. @return whether the flaps stand as they are held
bool Solver::settle_flaps() noexcept {
  bool any = false;
  for (std::size_t i = 0; i < network_.legs.size(); ++i) {
    if (!network_.legs[i].one_way || i == held_.leg) {
      continue;
    }
    if (shut_[i] == kOpen && airflow_[i] <= 1e-9 * network_.legs[i].usual_m3_s) {
      shut_[i] = kShut;
      any = true;
    } else if (shut_[i] == kShut && start_pa(i) + drive(i, 0.0).pa - end_[i] > 1e-8 * scale_pa_) {
      shut_[i] = kReopened;
      any = true;
    }
  }
  return !any;
}

Status Solver::solve(const Held& held) noexcept {
  held_ = held;
  iterations_ = 0;
  std::fill(shut_.begin(), shut_.end(), kOpen);
  if (!warm_ || from_rest_) {
    begin();
  } else {
    gather();
  }
  bool good = iterate();
  if (!good && warm_) {
    begin();
    good = iterate();
  }
  if (!good) {
    // The joints are what is not monotone: they are let in by and by.
    begin();
    constexpr int kParts = 8;
    for (int part = 0; part <= kParts; ++part) {
      junction_share_ = static_cast<double>(part) / kParts;
      good = iterate();
    }
  }
  // What the search shut is held at no airflow; what that shuts in turn, as well.
  for (std::size_t round = 0; good && round < 8; ++round) {
    if (settle_flaps()) {
      break;
    }
    gather();
    good = iterate();
  }
  status_ = good ? Status::solved : Status::not_settled;
  warm_ = good;
  return status_;
}

solve::Demand MainFan::demand() const noexcept {
  return {.loss = none_, .room = {&MainFan::needed_pa, this}, .may_fall = true};
}

double MainFan::needed_pa(const void* self, double airflow_m3_s) noexcept {
  const auto& of = *static_cast<const MainFan*>(self);
  const Status status = of.solver_.solve({of.leg_, airflow_m3_s});
  of.all_solved_ = of.all_solved_ && status == Status::solved;
  return of.solver_.needed_pa(of.leg_);
}

}  // namespace ductledger::network
