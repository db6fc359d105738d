#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

std::vector<Finding> elbow_close_to_cap(const result::Case& subject) {
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    if (!piece.close || piece.close->kind != solve::Closeness::Kind::cap) {
      continue;
    }
    const solve::Closeness& close = *piece.close;
    units::Message message{piece_words(piece) + " is {} behind " +
                               piece_words(subject.run->pieces[*close.before]) +
                               ", under {} diameters: no published loss",
                           {length(close.straight_m), number(solve::kCloseDiameters)}};
    if (close.straight_m == 0.0) {
      message = {piece_words(piece) + " directly after " +
                     piece_words(subject.run->pieces[*close.before]) + ": no published loss",
                 {}};
    }
    Finding found = finding(
        kElbowCloseToCap,
        {.level = Level::note, .message = std::move(message), .span = span_of(subject, piece)});
    found.observed = {{"length_m", close.straight_m}, {"diameters", close.diameters}};
    found.limit = {{"diameters", solve::kCloseDiameters}};
    return {std::move(found)};
  }
  return {};
}

}  // namespace

const Check kElbowCloseToCap{
    .code = "elbow-close-to-cap",
    .title = "elbow too close to the cap",
    .what = "a catalogue cap with less than 2 diameters of straight duct between it and an elbow",
    .why =
        "the cap's coefficient belongs to an even stream; no figure is published for one from "
        "an elbow, so the band of the cap is at least 30 % (one standard uncertainty)",
    .instead = "a longer straight before the cap, where the building has room for it",
    .source = "common practice; 2 diameters is assumed",
    .check = elbow_close_to_cap,
};

}  // namespace ductledger::findings
