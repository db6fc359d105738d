#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> section_smaller_than_collar(const result::Case& subject) {
  const std::optional<duct::Section>& collar = subject.layout->appliance.collar;
  if (!collar) {
    return {};
  }
  const std::optional<std::size_t> where = first_narrower_piece(subject);
  if (!where) {
    return {};
  }
  const solve::CompiledPiece& piece = subject.run->pieces[*where];
  const duct::Section narrow =
      smaller_by_area(piece.upstream, *collar) ? piece.upstream : piece.downstream;

  units::Message message = section_words(narrow);
  append(message,
         {" has {} of the area of the collar, ", {ratio(narrow.area_m2() / collar->area_m2())}});
  append(message, section_words(*collar));
  if (narrow.shape() != duct::Shape::round) {
    append(message,
           {"; its friction is that of {} round", {length(narrow.equivalent_diameter_m())}});
  }
  Finding found = finding(
      kSectionSmallerThanCollar,
      {.level = Level::warn, .message = std::move(message), .span = span_of(subject, piece)});
  found.observed = {{"area_m2", narrow.area_m2()},
                    {"equivalent_diameter_m", narrow.equivalent_diameter_m()}};
  found.limit = {{"area_m2", (1.0 - kAreaTolerance) * collar->area_m2()},
                 {"equivalent_diameter_m", collar->equivalent_diameter_m()}};
  return {std::move(found)};
}

}  // namespace

const Check kSectionSmallerThanCollar{
    .code = "section-smaller-than-collar",
    .title = "duct narrower than the collar",
    .what =
        "the free area of every piece against the collar that the manufacturer asks for, with 4 "
        "% allowed for trade sizes",
    .why =
        "a manufacturer rates the fan with the size of its collar; a smaller one costs pressure "
        "and makes noise",
    .instead = "keep the collar's size, or a section of the same area, to the end",
    .source = "common practice",
    .check = section_smaller_than_collar,
};

}  // namespace ductledger::findings
