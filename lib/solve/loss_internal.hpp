#pragma once

#include <cmath>
#include <utility>

#include "fitting/floating_flap.hpp"
#include "solve/loss.hpp"

/// The bodies of `RunLossOf`, for who walks another scalar than a number.
namespace ductledger::solve {

/// The terms of the law, one by one.
template <class T>
T sprung_pa(const T& opening_pa, const T& open_pa) {
  using std::sqrt;
  return sqrt(opening_pa * opening_pa + open_pa * open_pa);
}
/// What a flap costs beyond its open state, since the stream does not hold it fully open.
template <class T>
T floating_pa(const T& square, const T& lift, const T& q) {
  const auto excess = [](double value) { return value > 0.0 ? fitting::flap_excess(value) : 0.0; };
  return square * q * q * LossScalar<T>::each(T(lift * q * q), excess);
}
template <class T>
T friction_pa(const T& ratio, const FrictionGroupOf<T>& group, const T& q) {
  return ratio * group.dynamic_pa_s2_m6 * q * q *
         LossScalar<T>::friction_factor(T(group.reynolds_s_m3 * q), group.relative_roughness);
}
template <class T>
T reynolds_pa(const T& square,
              const T& reynolds_s_m3,
              const fitting::ReynoldsFactor& factor,
              const T& q) {
  return square * q * q *
         LossScalar<T>::each(T(reynolds_s_m3 * q), [&](double re) { return factor.at(re); });
}

template <class T>
T piece_loss_of(const PieceLossOf<T>& piece, const FrictionGroupOf<T>* group, const T& q) {
  T loss_pa = piece.square_pa_s2_m6 * q * q;
  if (LossScalar<T>::is_there(piece.flap_square_pa_s2_m6)) {
    loss_pa += floating_pa(piece.flap_square_pa_s2_m6, piece.flap_lift_s2_m6, q);
  }
  if (LossScalar<T>::is_there(piece.opening_pressure_pa)) {
    loss_pa = sprung_pa(piece.opening_pressure_pa, loss_pa);
  }
  if (LossScalar<T>::is_there(piece.linear_pa_s_m3)) {
    loss_pa += piece.linear_pa_s_m3 * q;
  }
  if (group != nullptr) {
    loss_pa += friction_pa(piece.friction_ratio, *group, q);
  }
  if (LossScalar<T>::is_there(piece.reynolds_square_pa_s2_m6)) {
    loss_pa += reynolds_pa(piece.reynolds_square_pa_s2_m6, piece.reynolds_s_m3, piece.reynolds, q);
  }
  return loss_pa;
}

template <class T>
RunLossOf<T>::RunLossOf(std::vector<FrictionGroupOf<T>> groups,
                        const std::vector<PieceLossOf<T>>& pieces,
                        const T& zero)
    : square_(zero), linear_(zero), groups_(std::move(groups)) {
  for (const PieceLossOf<T>& piece : pieces) {
    if (LossScalar<T>::is_there(piece.opening_pressure_pa) ||
        LossScalar<T>::is_there(piece.flap_square_pa_s2_m6)) {
      flaps_.push_back({piece.opening_pressure_pa,
                        piece.square_pa_s2_m6,
                        piece.flap_square_pa_s2_m6,
                        piece.flap_lift_s2_m6});
    } else {
      square_ += piece.square_pa_s2_m6;
    }
    if (LossScalar<T>::is_there(piece.linear_pa_s_m3)) {
      linear_ += piece.linear_pa_s_m3;
    }
    if (LossScalar<T>::is_there(piece.reynolds_square_pa_s2_m6)) {
      reynolds_.push_back({piece.reynolds_square_pa_s2_m6, piece.reynolds_s_m3, piece.reynolds});
    }
  }
}

template <class T>
T RunLossOf<T>::at(const T& airflow_m3_s) const noexcept {
  const T& q = airflow_m3_s;
  T loss_pa = fittings_pa(q);
  for (const FrictionGroupOf<T>& group : groups_) {
    loss_pa += friction_pa(group.ratio, group, q);
  }
  return loss_pa;
}

/// All but friction.
template <class T>
T RunLossOf<T>::fittings_pa(const T& q) const noexcept {
  T loss_pa = (square_ * q + linear_) * q;
  for (const FlapTerm& flap : flaps_) {
    T open_pa = flap.square_pa_s2_m6 * q * q;
    if (LossScalar<T>::is_there(flap.flap_square_pa_s2_m6)) {
      open_pa += floating_pa(flap.flap_square_pa_s2_m6, flap.flap_lift_s2_m6, q);
    }
    loss_pa += LossScalar<T>::is_there(flap.opening_pressure_pa)
                   ? sprung_pa(flap.opening_pressure_pa, open_pa)
                   : open_pa;
  }
  for (const ReynoldsTerm& term : reynolds_) {
    loss_pa += reynolds_pa(term.square_pa_s2_m6, term.reynolds_s_m3, term.factor, q);
  }
  return loss_pa;
}

template <class T>
template <class Change>
RunLossOf<T> RunLossOf<T>::each_term(const Change& change) const {
  const auto changed = [&](const T& term) {
    return LossScalar<T>::is_there(term) ? T(change(term)) : T();
  };
  RunLossOf law;
  law.square_ = changed(square_);
  law.linear_ = changed(linear_);
  for (const FrictionGroupOf<T>& of : groups_) {
    law.groups_.push_back({.reynolds_s_m3 = changed(of.reynolds_s_m3),
                           .relative_roughness = changed(of.relative_roughness),
                           .dynamic_pa_s2_m6 = changed(of.dynamic_pa_s2_m6),
                           .ratio = changed(of.ratio)});
  }
  for (const ReynoldsTerm& of : reynolds_) {
    law.reynolds_.push_back({changed(of.square_pa_s2_m6), changed(of.reynolds_s_m3), of.factor});
  }
  for (const FlapTerm& of : flaps_) {
    law.flaps_.push_back({changed(of.opening_pressure_pa),
                          changed(of.square_pa_s2_m6),
                          changed(of.flap_square_pa_s2_m6),
                          changed(of.flap_lift_s2_m6)});
  }
  return law;
}

template <class T>
T RunLossOf<T>::of(const PieceLossOf<T>& piece, const T& airflow_m3_s) const noexcept {
  return piece_loss_of(piece,
                       piece.friction_group >= 0
                           ? &groups_[static_cast<std::size_t>(piece.friction_group)]
                           : nullptr,
                       airflow_m3_s);
}

template <class T>
T RunLossOf<T>::sure_square_pa_s2_m6() const noexcept {
  // Friction and every Reynolds law of the catalogue rise with airflow; a stated filter's two
  // points may hold a falling term. What floats of a flap rises at least as its quarter power does,
  // so a tenth of its open square is sure; a sprung flap's loss is flat where it just opens.
  constexpr double kNotSureOfFloating = 0.9;
  T sure = square_;
  for (const FlapTerm& flap : flaps_) {
    if (!LossScalar<T>::is_there(flap.opening_pressure_pa)) {
      sure += flap.square_pa_s2_m6;
      if (LossScalar<T>::is_there(flap.flap_square_pa_s2_m6)) {
        sure -= kNotSureOfFloating * flap.flap_square_pa_s2_m6;
      }
    }
  }
  return sure;
}

template <class T>
typename LossScalar<T>::Flags RunLossOf<T>::rises(const T& minus_square_pa_s2_m6) const noexcept {
  return sure_square_pa_s2_m6() - minus_square_pa_s2_m6 >= 0.0 && linear_ >= 0.0;
}

}  // namespace ductledger::solve
