#include <algorithm>

#include "duct/friction.hpp"
#include "solve/loss_internal.hpp"

namespace ductledger::solve {

double LossScalar<double>::friction_factor(double reynolds, double relative_roughness) noexcept {
  return reynolds > 0.0 ? duct::friction_factor({reynolds, relative_roughness}) : 0.0;
}

template class RunLossOf<double>;

SlopedLoss sloped_loss(const RunLoss& law, double q) noexcept {
  SlopedLoss out{.pa = law.fittings_pa(q), .slope_pa_s_m3 = 2.0 * law.square_ * q + law.linear_};
  if (!law.flaps_.empty() || !law.reynolds_.empty()) {
    const double step_m3_s = 1e-6 * std::max(q, 1e-5);
    out.slope_pa_s_m3 = (law.fittings_pa(q + step_m3_s) - out.pa) / step_m3_s;
  }
  for (const FrictionGroup& group : law.groups_) {
    const double reynolds = group.reynolds_s_m3 * q;
    const double dynamic_pa_s_m3 = group.ratio * group.dynamic_pa_s2_m6 * q;
    if (reynolds > 0.0) {
      const auto [factor, exponent] = duct::sloped_friction({reynolds, group.relative_roughness});
      out.pa += dynamic_pa_s_m3 * q * factor;
      out.slope_pa_s_m3 += (2.0 + exponent) * dynamic_pa_s_m3 * factor;
    } else {  // f Q goes to a constant at rest
      out.slope_pa_s_m3 += 64.0 * group.ratio * group.dynamic_pa_s2_m6 / group.reynolds_s_m3;
    }
  }
  return out;
}

double piece_loss_pa(const PieceLoss& piece,
                     const FrictionGroup* group,
                     double airflow_m3_s) noexcept {
  return piece_loss_of(piece, group, airflow_m3_s);
}

}  // namespace ductledger::solve
