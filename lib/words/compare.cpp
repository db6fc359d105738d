#include "words/compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <numeric>

#include "base/text.hpp"
#include "document/verdict.hpp"
#include "words/words.hpp"

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

namespace {

const result::SpeedResult* headline(const study::ComparedRun& run) {
  return run.check.headline ? &run.check.speeds[*run.check.headline] : nullptr;
}

/// Whether something of it fails, whatever it delivers.
bool fails(const study::ComparedRun& run) {
  return std::ranges::any_of(run.check.findings, [](const findings::Finding& one) {
    return one.level == findings::Level::fail;
  });
}

struct Reservation {
  bool build = true;  ///< whether to say that the run is the one to build
  const char* words = "";
};
/// What the worst finding of a run that delivers more takes from that.
Reservation reservation(const study::ComparedRun& run) {
  switch (document::verdict(run.check).standing) {
    case document::Standing::not_shown:
      return {false, ", but is not shown to deliver what is required"};
    case document::Standing::not_met:
    case document::Standing::fail:
      return {false, ", but fails: see below"};
    case document::Standing::warn:
      return {true, ", with a warning: see below"};
    case document::Standing::clear:
      break;
  }
  return {};
}

}  // namespace

const study::Difference* headline_difference(const study::ComparedRun& run) {
  for (const study::ComparedSpeed& speed : run.speeds) {
    if (speed.difference && run.check.headline == speed.index) {
      return &*speed.difference;
    }
  }
  return nullptr;
}

std::vector<std::size_t> best_first(const study::Comparison& result) {
  std::vector<std::size_t> order(result.runs.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  const auto airflow = [&](std::size_t run) {
    const result::SpeedResult* speed = headline(result.runs[run]);
    return speed == nullptr || speed->figures.bound == result::Bound::none
               ? -1.0
               : speed->figures.airflow_m3_s;
  };
  std::ranges::stable_sort(order, std::greater{}, airflow);
  return order;
}

std::string winner_sentence(const study::Comparison& result, units::System system) {
  const auto named = [&](std::size_t run) {
    return fmt::format("{}, {}", run_letter(run), base::escaped(result.runs[run].name));
  };
  const bool all_fail = std::ranges::all_of(result.runs, fails);
  const char* const none = all_fail ? " Every run fails: see below." : "";
  if (result.best) {
    const study::ComparedRun& run = result.runs[*result.best];
    const std::string delivered = headline(run) == nullptr ? "" : answer(*headline(run), system);
    const Reservation but = reservation(run);
    return fmt::format("{}{} surely delivers more than {}{}. {}",
                       but.build ? "For the most air build " : "",
                       named(*result.best) + (but.build ? ": it" : ","),
                       result.runs.size() == 2 ? "the other run" : "every other run",
                       but.words,
                       delivered);
  }
  const std::vector<std::size_t> order = best_first(result);
  const result::SpeedResult* first = headline(result.runs[order.front()]);
  if (first == nullptr || first->figures.bound == result::Bound::none) {
    return fmt::format("No run's airflow is known, so none is named as the better one.{}", none);
  }
  return fmt::format("No run surely delivers more than {}: choose by space, parts and price.{}",
                     result.runs.size() == 2 ? "the other" : "every other one",
                     none);
}

}  // namespace ductledger::words
