#pragma once

#include "study/compare.hpp"

namespace ductledger::study {

/// What differs in another run: the entries matched in order so that the fewest change, a piece
/// changed to another of its kind counting as one. The losses at an airflow add up to what the two
/// runs differ by.
struct ChangesBetween {
  const CheckResult& first;
  const CheckResult& other;
  double airflow_m3_s = 0.0;
};
[[nodiscard]] std::vector<PieceChange> piece_changes(const ChangesBetween& of,
                                                     const fitting::Catalogue& catalogue);

}  // namespace ductledger::study
