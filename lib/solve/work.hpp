#pragma once

#include <cstddef>
#include <cstdint>

namespace ductledger::solve {

/// What this program has solved so far, on all threads: for tests that keep waste away.
struct Work {
  std::uint64_t operating_points = 0;  ///< searched one by one
  std::uint64_t samples = 0;           ///< solved at once for bands
};
[[nodiscard]] Work work_done() noexcept;

void count_operating_point() noexcept;
void count_samples(std::size_t count) noexcept;

}  // namespace ductledger::solve
