#pragma once

#if defined(__wasi__)  // one thread, and a library without locks

namespace ductledger::base {

struct Mutex {
  void lock() {}
  void unlock() {}
};
using RecursiveMutex = Mutex;

/// Holds a lock while it lives.
template <class Of>
class Lock {
 public:
  explicit Lock(Of&) {}
};

}  // namespace ductledger::base

#else

#include <mutex>

namespace ductledger::base {

using Mutex = std::mutex;
using RecursiveMutex = std::recursive_mutex;
template <class Of>
using Lock = std::scoped_lock<Of>;

}  // namespace ductledger::base

#endif
