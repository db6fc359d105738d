#include <utility>

#include "findings/checks/list_internal.hpp"
#include "layout/geometry.hpp"
#include "layout/piece_number.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> run_passes_through_itself(const result::Case& subject) {
  const auto geometry = layout::run_geometry(*subject.layout);
  if (!geometry) {
    return {};
  }
  const auto clash = layout::first_clash(*subject.layout, *geometry);
  if (!clash) {
    return {};
  }
  const auto words = [&](std::size_t index) {
    return std::string(layout::word(subject.layout->run.pieces[index].kind)) + " (piece " +
           std::to_string(layout::piece_number(index)) + ")";
  };
  units::Message message{words(clash->second) + " comes within {} of " + words(clash->first) +
                             ", and the ducts need {} between their centerlines",
                         {length(clash->distance_m), length(clash->needed_m)}};
  Finding found = finding(kRunPassesThroughItself,
                          {.level = Level::warn,
                           .message = std::move(message),
                           .span = subject.layout->run.pieces[clash->second].span});
  found.observed = {{"distance_m", clash->distance_m}};
  found.limit = {{"distance_m", clash->needed_m}};
  return {std::move(found)};
}

}  // namespace

const Check kRunPassesThroughItself{
    .code = "run-passes-through-itself",
    .title = "run passes through itself",
    .what =
        "two parts of the run, with two elbows or more between them, whose centerlines come "
        "closer than half the smaller sides of both together. Elbows without stated legs are "
        "taken with those that their radius gives",
    .why =
        "the headings and lengths cannot be built as they stand, so rise and cap may be wrong "
        "too",
    .instead = "check the headings and lengths around these pieces",
    .source = "geometry of the layout",
    .check = run_passes_through_itself,
};

}  // namespace ductledger::findings
