#pragma once

#include <atomic>
#include <cstdlib>
#include <new>

// Counts every allocation of the program whose one source includes this.
namespace ductledger::support {
inline std::atomic<long> allocations{0};
}  // namespace ductledger::support

// g++ 12, when it inlines these, takes them for a mismatched pair.
#pragma GCC diagnostic ignored "-Wmismatched-new-delete"
void* operator new(std::size_t size) {
  ++ductledger::support::allocations;
  if (void* p = std::malloc(size == 0 ? 1 : size)) {
    return p;
  }
  throw std::bad_alloc();
}
void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
  ++ductledger::support::allocations;
  return std::malloc(size == 0 ? 1 : size);
}
void operator delete(void* p) noexcept { std::free(p); }
void operator delete(void* p, std::size_t) noexcept { std::free(p); }
void operator delete(void* p, const std::nothrow_t&) noexcept { std::free(p); }
