#include "solve/work.hpp"

#include <atomic>

namespace ductledger::solve {
namespace {

// Apart, so that threads that search do not wait for those that sample.
alignas(64) std::atomic<std::uint64_t> operating_points{0};
alignas(64) std::atomic<std::uint64_t> samples{0};

}  // namespace

Work work_done() noexcept {
  return {operating_points.load(std::memory_order_relaxed),
          samples.load(std::memory_order_relaxed)};
}

void count_operating_point() noexcept { operating_points.fetch_add(1, std::memory_order_relaxed); }

void count_samples(std::size_t count) noexcept {
  samples.fetch_add(count, std::memory_order_relaxed);
}

}  // namespace ductledger::solve
