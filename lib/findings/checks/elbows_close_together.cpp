#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

using Kind = solve::Closeness::Kind;

std::string relation_words(Kind kind) {
  switch (kind) {
    case Kind::elbows_offset:
      return ", offset";
    case Kind::elbows_turn_back:
      return ", turning back";
    case Kind::elbows_two_planes:
      return ", in two planes";
    default:
      return "";
  }
}

std::vector<Finding> elbows_close_together(const result::Case& subject) {
  std::vector<Finding> found;
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    if (!piece.close || !piece.close->before || piece.close->kind == Kind::cap) {
      continue;
    }
    const solve::Closeness& close = *piece.close;
    const solve::CompiledPiece& before = subject.run->pieces[*close.before];
    units::Message message{
        piece_words(piece) + " is {} behind " + piece_words(before) + relation_words(close.kind),
        {length(close.straight_m)}};
    if (close.straight_m == 0.0) {
      message = {
          piece_words(piece) + " stands on " + piece_words(before) + relation_words(close.kind),
          {}};
    }
    if (close.factor) {
      append(message,
             {": the pair is charged {} times two single elbows", {number(*close.factor)}});
    } else {
      append(message,
             {", under {} diameters: no figure is published for the pair, so two single elbows are "
              "charged and the band is wider",
              {number(solve::kCloseDiameters)}});
    }
    Finding one = finding(kElbowsCloseTogether,
                          {.level = close.factor && *close.factor > 1.1 ? Level::warn : Level::note,
                           .message = std::move(message),
                           .span = span_of(subject, piece)});
    one.observed = {{"length_m", close.straight_m}, {"diameters", close.diameters}};
    if (close.factor) {
      one.observed.push_back({"factor", *close.factor});
    }
    one.limit = {{"diameters", solve::kCloseDiameters}};
    found.push_back(std::move(one));
  }
  return found;
}

}  // namespace

const Check kElbowsCloseTogether{
    .code = "elbows-close-together",
    .title = "two elbows close together",
    .what =
        "two catalogue elbows with only straight duct between them: a pair that a published "
        "table covers (rectangular mitres of 90 degrees, offset or in two planes, corners "
        "within 10 sides; round 30-degree offsets within 3 diameters) is charged by it, a "
        "warning where that is over 1.1 times two single ones; others within 2 diameters get "
        "a wider band",
    .why =
        "the second elbow meets a stream that the first has disturbed, and together they may "
        "take more or less than the sum",
    .instead = "a longer straight between them, elbows of a larger radius, or vanes",
    .source =
        "table of mitered pairs, SMACNA HVAC Systems Duct Design (recalled); 2 diameters is "
        "assumed",
    .check = elbows_close_together,
};

}  // namespace ductledger::findings
