#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> section_shrinks(const result::Case& subject) {
  std::vector<Finding> all;
  const std::optional<std::size_t> told = first_narrower_piece(subject);
  for (std::size_t i = 0; i < subject.run->pieces.size(); ++i) {
    const solve::CompiledPiece& piece = subject.run->pieces[i];
    if (i == told || !piece.piece || !smaller_by_area(piece.downstream, piece.upstream)) {
      continue;
    }
    units::Message message{piece_words(piece) + ": ", {}};
    append(message, section_words(piece.upstream));
    append(message, {" shrinks to ", {}});
    append(message, section_words(piece.downstream));
    append(message,
           {", {} of its area", {ratio(piece.downstream.area_m2() / piece.upstream.area_m2())}});
    Finding found = finding(
        kSectionShrinks,
        {.level = Level::note, .message = std::move(message), .span = span_of(subject, piece)});
    found.observed = {{"area_m2", piece.downstream.area_m2()}};
    found.limit = {{"area_m2", (1.0 - kAreaTolerance) * piece.upstream.area_m2()}};
    all.push_back(std::move(found));
  }
  return all;
}

}  // namespace

const Check kSectionShrinks{
    .code = "section-shrinks",
    .title = "duct gets narrower on the way",
    .what =
        "the free area after each piece against that before it, with 4 % allowed for "
        "trade sizes; where the duct first gets narrower than the collar, "
        "section-smaller-than-collar says so instead",
    .why =
        "a duct that narrows on the way costs pressure twice: at the change and in all "
        "that follows",
    .instead = "keep one size from the collar to the cap",
    .source = "common practice",
    .check = section_shrinks,
};

}  // namespace ductledger::findings
