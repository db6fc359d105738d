#include <algorithm>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

constexpr double kLongestM = 8.0 * units::kMetresPerFoot;

std::vector<Finding> transition_duct_wrong(const result::Case& subject) {
  const layout::Layout& layout = *subject.layout;
  if (layout.appliance.kind != layout::ApplianceKind::clothes_dryer) {
    return {};
  }
  const layout::Facts& facts = layout.facts;
  const auto& pieces = layout.run.pieces;
  const bool flex_first = pieces.front().kind == layout::PieceKind::flex;
  std::vector<Finding> all;
  const auto add = [&](units::Message message, const base::Span& span) {
    all.push_back(finding(kTransitionDuctWrong,
                          {.level = Level::warn, .message = std::move(message), .span = span}));
  };
  const layout::StatedFact* stated = facts.find("run.transition_duct.length");
  const double length_m = flex_first          ? pieces.front().length_m.value_or(0.0)
                          : stated != nullptr ? stated->value_si
                                              : 0.0;
  if (length_m > kLongestM * (1.0 + 1e-9)) {
    add({"the transition duct is {}, the longest is {}", {length(length_m), length(kLongestM)}},
        flex_first ? pieces.front().span : stated->span);
    all.back().observed = {{"length_m", length_m}};
    all.back().limit = {{"length_m", kLongestM}};
  }
  const layout::StatedFact* lengths = facts.find("run.transition_duct.pieces");
  const std::ptrdiff_t in_run = std::find_if(pieces.begin(),
                                             pieces.end(),
                                             [](const layout::Piece& piece) {
                                               return piece.kind != layout::PieceKind::flex;
                                             }) -
                                pieces.begin();
  if (lengths != nullptr && lengths->value_si > 1.0) {
    add({"the transition duct is made of {} lengths, and one is the most",
         {number(lengths->value_si)}},
        lengths->span);
  } else if (lengths == nullptr && in_run > 1) {
    add({"the run begins with {} lengths of flexible duct; a transition duct is one",
         {number(static_cast<double>(in_run))}},
        pieces[1].span);
  }
  const layout::StatedFact* concealed = facts.find("run.transition_duct.concealed");
  const bool hidden_place = flex_first && !pieces.front().around().through.empty() &&
                            pieces.front().around().through != "conditioned";
  if ((concealed != nullptr && concealed->yes) || hidden_place) {
    add({"the transition duct is closed in by the building", {}},
        hidden_place ? pieces.front().span : concealed->span);
  }
  return all;
}

}  // namespace

const Check kTransitionDuctWrong{
    .code = "transition-duct-wrong",
    .title = "a dryer's transition duct too long, in several lengths or closed in",
    .what =
        "the flexible duct at the start of a dryer's run and `run.transition_duct`: over 8 ft, "
        "more than one length, or within a wall, floor or ceiling",
    .why = "it is the weakest part of the run and has to stay where it can be seen and cleaned",
    .instead = "one listed length of 8 ft at most, in the room; smooth metal duct from there on",
    .source = "International Residential Code, M1502.4.3",
    .check = transition_duct_wrong,
};

}  // namespace ductledger::findings
