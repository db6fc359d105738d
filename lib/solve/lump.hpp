#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "solve/error_model.hpp"

/// Runs of very many pieces with fewer errors and the same spread of answers.
namespace ductledger::solve {

/// Beyond so many errors a run is worth lumping.
inline constexpr std::size_t kLumpFrom = 128;

/// What an error model holds, for the sampler.
struct Lumped {
  ErrorModel::Arrays arrays;
  std::vector<ErrorSource> sources;
  /// [sources] The errors of the given model that each stands for, one or more.
  std::vector<std::vector<std::size_t>> of;
};

/// Models in which errors of one length each, which add up, are one error, and pieces that follow
/// the same errors in the same way are one piece. A sum of independent normal errors is a normal
/// error, whose square is the sum of theirs; so the answers are spread as they were, though a
/// sample of the lump is none of its parts. Models are lumped together, so that what they share
/// stays shared: errors are lumped that stand in each of them in the same proportion.
/// @return shape [models]; identities of lumps compare within one call alone
[[nodiscard]] std::vector<Lumped> lumped(std::span<const ErrorModel* const> models);

}  // namespace ductledger::solve
