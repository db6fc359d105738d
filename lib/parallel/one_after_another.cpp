#include "parallel/parallel.hpp"

// Where there are no threads.
namespace ductledger::parallel {

struct Threads::Limit {};
Threads::Threads(std::size_t /*count*/) {}
Threads::~Threads() = default;

void each(std::size_t count, const std::function<void(std::size_t)>& work) {
  for (std::size_t i = 0; i < count; ++i) {
    work(i);
  }
}

void in_order(const std::function<std::shared_ptr<Job>()>& next) {
  for (std::shared_ptr<Job> job = next(); job != nullptr; job = next()) {
    job->work();
    if (!job->hand_on()) {
      return;
    }
  }
}

}  // namespace ductledger::parallel
