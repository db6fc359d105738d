#include "duct/friction.hpp"
#include "solve/loss_internal.hpp"

namespace ductledger::solve {

double LossScalar<double>::friction_factor(double reynolds, double relative_roughness) noexcept {
  return reynolds > 0.0 ? duct::friction_factor({reynolds, relative_roughness}) : 0.0;
}

template class RunLossOf<double>;

double piece_loss_pa(const PieceLoss& piece,
                     const FrictionGroup* group,
                     double airflow_m3_s) noexcept {
  return piece_loss_of(piece, group, airflow_m3_s);
}

}  // namespace ductledger::solve
