#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <vector>

/// Work on all cores whose outcome does not depend on how many there are: every piece of work has a
/// place of its own, and what is handed on is handed on in order. An exception of a piece of work
/// comes out of the call.
namespace ductledger::parallel {

/// While it lives, work that is begun runs on so many threads, the caller's among them.
class Threads {
 public:
  /// @param count 1 to 256; 0: as many as there are cores
  explicit Threads(std::size_t count);
  ~Threads();
  Threads(const Threads&) = delete;
  Threads& operator=(const Threads&) = delete;

 private:
  struct Limit;
  std::unique_ptr<Limit> limit_;
};

/// Calls `work` with 0 to count - 1, in any order, on any thread.
void each(std::size_t count, const std::function<void(std::size_t)>& work);

/// `work(0)` to `work(count - 1)`, in that order.
template <class T, class Work>
[[nodiscard]] std::vector<T> map(std::size_t count, const Work& work) {
  std::vector<T> out(count);
  each(count, [&](std::size_t i) { out[i] = work(i); });
  return out;
}

/// One thing that comes in, is worked on, and is handed on.
class Job {
 public:
  Job() = default;
  virtual ~Job() = default;
  Job(const Job&) = delete;
  Job& operator=(const Job&) = delete;
  virtual void work() = 0;  ///< on any thread
  /// One after another, in the order in which the jobs came in. @return false: stop
  virtual bool hand_on() = 0;
};
/// Works on jobs as they come; only a few are held at a time, however many come.
/// @param next called by one thread at a time; null ends
void in_order(const std::function<std::shared_ptr<Job>()>& next);

}  // namespace ductledger::parallel
