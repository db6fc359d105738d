#pragma once

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>
#include <string>

namespace ductledger::published {

/// Where a figure stands in print. `status`: seen (the print was read), memory, computed, derived.
struct Source {
  const char* cite;
  const char* location;
  const char* status;
};

/// A figure as printed and what its printing leaves open, with the reason.
struct Printed {
  double value;
  double tolerance;
  const char* reason;
};

/// Whether `ours` lies within what the print leaves open; else everything needed to see why not.
inline testing::AssertionResult agrees(double ours, const Printed& printed, const Source& source) {
  const double difference = ours - printed.value;
  if (std::fabs(difference) <= printed.tolerance) {
    return testing::AssertionSuccess();
  }
  return testing::AssertionFailure() << fmt::format(
             "ours {:.8g}, printed {:.8g}, difference {:.3g} over {:.3g} ({})\n  {}, {} [{}]",
             ours,
             printed.value,
             difference,
             printed.tolerance,
             printed.reason,
             source.cite,
             source.location,
             source.status);
}

}  // namespace ductledger::published
