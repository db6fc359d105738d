#include <atomic>
#include <chrono>
#include <thread>

#include "parallel/parallel.hpp"

// A race on purpose: two threads write one number with nothing between them. threads.sh runs it to
// see that the thread sanitizer, with what it is told to leave out, tells of a race in work of
// ours.
int main() {
  using namespace ductledger;  // NOLINT(google-build-using-namespace)
  const parallel::Threads two(2);
  std::atomic<int> met{0};  // counted without order, so that it hands nothing over
  int number = 0;
  parallel::each(2, [&](std::size_t i) {
    met.fetch_add(1, std::memory_order_relaxed);
    const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(10);
    while (met.load(std::memory_order_relaxed) < 2 && std::chrono::steady_clock::now() < end) {
      std::this_thread::yield();
    }
    number = static_cast<int>(i);
  });
  return met.load() == 2 && number < 2 ? 0 : 1;
}
