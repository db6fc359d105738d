#include "watch.hpp"

#include <sys/stat.h>

#include <algorithm>
#include <chrono>
#include <iterator>
#include <thread>

namespace ductledger::app {
namespace {

constexpr std::chrono::milliseconds kBetweenLooks{100};
constexpr int kLooksUntilGone = 10;

}  // namespace

Watch::Watch(std::span<const std::string> paths) : paths_(paths.begin(), paths.end()) {
  std::ranges::transform(paths_, std::back_inserter(seen_), look);
}

Watch::Seen Watch::look(const std::string& path) {
  struct stat now {};
  Seen seen;
  seen.there = ::stat(path.c_str(), &now) == 0;
  if (seen.there) {
    seen.size = static_cast<long>(now.st_size);
    seen.file = static_cast<unsigned long>(now.st_ino);
    seen.changed_s = static_cast<long>(now.st_ctim.tv_sec);
    seen.changed_ns = static_cast<long>(now.st_ctim.tv_nsec);
  }
  return seen;
}

bool Watch::changed() {
  for (int missed = 0; missed < kLooksUntilGone;) {
    std::this_thread::sleep_for(kBetweenLooks);
    std::vector<Seen> now;
    std::ranges::transform(paths_, std::back_inserter(now), look);
    if (!std::ranges::all_of(now, &Seen::there)) {
      ++missed;
      continue;
    }
    missed = 0;
    if (now != seen_) {
      seen_ = std::move(now);
      return true;
    }
  }
  return false;
}

}  // namespace ductledger::app
