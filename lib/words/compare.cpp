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

}  // namespace ductledger::words
