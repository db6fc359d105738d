#include "words/compare.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace ductledger::words {

std::string run_letter(std::size_t run) {
  return run < 26 ? std::string(1, static_cast<char>('A' + run)) : fmt::format("{}", run + 1);
}

bool any_band(const study::Comparison& result) {
  for (const study::ComparedRun& run : result.runs) {
    for (const study::ComparedSpeed& speed : run.speeds) {
      if (speed.difference && speed.difference->band_m3_s) {
        return true;
      }
    }
  }
  return false;
}

std::string bounds_remark(const study::Comparison& result) {
  const bool any = std::ranges::any_of(result.runs, [](const study::ComparedRun& run) {
    return std::ranges::any_of(run.speeds, [&](const study::ComparedSpeed& speed) {
      return run.check.speeds[speed.index].point.bounds.has_value();
    });
  });
  return any ? "A range by ratings or by a curve's points alone is no 95 % band: it holds every "
               "fan "
               "that falls through them."
             : "";
}

}  // namespace ductledger::words
