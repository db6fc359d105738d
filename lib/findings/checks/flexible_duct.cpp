#include <algorithm>
#include <utility>

#include "findings/checks/list_internal.hpp"
#include "layout/catalogue_query.hpp"

namespace ductledger::findings {
namespace {

constexpr double kStretched = 0.90;

std::vector<Finding> flexible_duct(const result::Case& subject) {
  const layout::ApplianceKind kind = subject.layout->appliance.kind;
  const bool dryer = kind == layout::ApplianceKind::clothes_dryer;
  const bool never = is_range_hood(subject) || dryer;
  const layout::Piece* transition = transition_duct(subject);
  const solve::CompiledPiece* first = nullptr;
  double length_m = 0.0;
  double least_stretched = 1.0;
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const layout::Piece* stated = piece_of(subject, piece);
    if (stated == nullptr || stated == transition) {
      continue;
    }
    const auto* flex = stated->if_is<layout::Flex>();
    const bool slack = flex != nullptr && flex->stretched < kStretched - 1e-9;
    const bool bend = layout::traits_of(*stated, *subject.catalogue).is(fitting::Make::flexible);
    if (never ? flex != nullptr || bend : slack) {
      first = first == nullptr ? &piece : first;
      length_m += piece.length_m;
      least_stretched =
          flex != nullptr ? std::min(least_stretched, flex->stretched) : least_stretched;
    }
  }
  if (first == nullptr) {
    return {};
  }
  units::Message message;
  if (never) {
    message.pattern = dryer ? "flexible duct in a dryer run" : "flexible duct in a hood run";
    if (length_m > 0.0) {
      append(message, {", {}", {length(length_m)}});
    }
  } else {
    message = {"flexible duct stretched to {} only, under {}",
               {ratio(least_stretched), ratio(kStretched)}};
  }
  Finding found = finding(
      kFlexibleDuct,
      {.level = Level::warn, .message = std::move(message), .span = span_of(subject, *first)});
  if (is_range_hood(subject)) {
    found.source =
        "International Residential Code, M1503.3 in recent editions: hood duct smooth inside";
  } else if (dryer) {
    found.source = "International Residential Code, M1502.4.1: dryer duct of metal, smooth inside";
  } else {
    found.observed = {{"stretched", least_stretched}};
    found.limit = {{"stretched", kStretched}};
  }
  return {std::move(found)};
}

}  // namespace

const Check kFlexibleDuct{
    .code = "flexible-duct",
    .title = "flexible duct in the run",
    .what =
        "flexible pieces: for range hoods and dryers any; for other appliances only when "
        "stretched below 90 %",
    .why =
        "flexible duct is not smooth inside: it costs pressure, holds grease or lint, and"
        " a slack piece costs several times a stretched one",
    .instead = "smooth metal duct; where flexible duct is allowed, stretch it fully",
    .source = "common practice",
    .check = flexible_duct,
};

}  // namespace ductledger::findings
