#include "watch.hpp"

#include <algorithm>
#include <chrono>
#include <iterator>
#include <system_error>
#include <thread>

namespace ductledger::app {
namespace {

constexpr std::chrono::milliseconds kBetweenLooks{100};
constexpr int kLooksUntilGone = 10;

}  // namespace

Watch::Watch(std::span<const std::string> paths) : paths_(paths.begin(), paths.end()) {
  std::ranges::transform(paths_, std::back_inserter(seen_), look);
}

Watch::Seen Watch::look(const std::filesystem::path& path) {
  std::error_code missing;
  Seen seen;
  seen.written = std::filesystem::last_write_time(path, missing);
  seen.there = !missing;
  if (seen.there) {
    seen.size = std::filesystem::file_size(path, missing);
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
