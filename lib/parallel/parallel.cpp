#include "parallel/parallel.hpp"

#include <oneapi/tbb/global_control.h>
#include <oneapi/tbb/parallel_for.h>
#include <oneapi/tbb/parallel_pipeline.h>
#include <oneapi/tbb/task_arena.h>

#include <atomic>
#include <vector>

namespace ductledger::parallel {

namespace tbb = oneapi::tbb;

namespace {

// More threads than cores are asked for by tests alone.
std::atomic<int> asked_threads{0};

int threads() {
  const int asked = asked_threads.load();
  return asked > 0 ? asked : tbb::info::default_concurrency();
}

/// In an arena of its own size where a count is asked for; else where the caller is, so that nested
/// work shares one arena.
template <class Work>
void inside(const Work& work) {
  if (asked_threads.load() == 0 || tbb::this_task_arena::max_concurrency() == threads()) {
    work();
    return;
  }
  tbb::task_arena arena(threads());
  arena.execute(work);
}

/// What one thread leaves behind and another goes on with. oneTBB hands it over by itself; said
/// once more here, the thread sanitizer sees it, which does not see into oneTBB.
class Handover {
 public:
  void give() { given_.fetch_add(1, std::memory_order_release); }
  void take() const { static_cast<void>(given_.load(std::memory_order_acquire)); }

 private:
  std::atomic<int> given_{0};
};

}  // namespace

struct Threads::Limit {
  explicit Limit(std::size_t count)
      : control(tbb::global_control::max_allowed_parallelism, count),
        before(asked_threads.exchange(static_cast<int>(count))) {}
  ~Limit() { asked_threads.store(before); }
  Limit(const Limit&) = delete;
  Limit& operator=(const Limit&) = delete;

  tbb::global_control control;
  int before;
};

Threads::Threads(std::size_t count)
    : limit_(count > 0 ? std::make_unique<Limit>(count) : nullptr) {}
Threads::~Threads() = default;

void each(std::size_t count, const std::function<void(std::size_t)>& work) {
  if (count < 2) {
    if (count == 1) {
      work(0);
    }
    return;
  }
  Handover begun;
  Handover done;
  begun.give();
  inside([&] {
    tbb::parallel_for(std::size_t{0}, count, [&](std::size_t i) {
      begun.take();
      work(i);
      done.give();
    });
  });
  done.take();
}

void in_order(const std::function<std::shared_ptr<Job>()>& next) {
  // Enough that a slow job does not leave the others without work. The one that comes in takes the
  // place of the one that was handed on so many before it.
  std::vector<std::shared_ptr<Job>> held(static_cast<std::size_t>(8 * threads()));
  std::size_t come = 0;
  std::atomic<bool> stopped{false};
  Handover made;    // jobs
  Handover worked;  // on them
  Handover handed;  // on
  made.give();
  const auto make = [&](tbb::flow_control& flow) -> std::shared_ptr<Job>* {
    made.take();
    handed.take();
    std::shared_ptr<Job>& place = held[come++ % held.size()];
    place = stopped.load() ? nullptr : next();
    if (place == nullptr) {
      flow.stop();
    }
    made.give();
    return &place;
  };
  const auto work = [&](std::shared_ptr<Job>* job) {
    made.take();
    if (!stopped.load()) {
      (*job)->work();
    }
    worked.give();
    return job;
  };
  const auto hand_on = [&](std::shared_ptr<Job>* job) {
    worked.take();
    handed.take();
    if (!stopped.load() && !(*job)->hand_on()) {
      stopped.store(true);
    }
    job->reset();
    handed.give();
  };
  inside([&] {
    using Place = std::shared_ptr<Job>*;
    const auto one_by_one = tbb::filter_mode::serial_in_order;
    tbb::parallel_pipeline(held.size(),
                           tbb::make_filter<void, Place>(one_by_one, make) &
                               tbb::make_filter<Place, Place>(tbb::filter_mode::parallel, work) &
                               tbb::make_filter<Place, void>(one_by_one, hand_on));
  });
  made.take();
  worked.take();
  handed.take();
}

}  // namespace ductledger::parallel
