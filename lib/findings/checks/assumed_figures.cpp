#include <cmath>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

constexpr double kUncertain = 0.3;
constexpr double kWeighty = 0.15;

/// Assumed, common practice, or a cap's one number that was put together of other figures.
[[nodiscard]] bool without_source(const fitting::Coefficient& from) {
  return from.status == fitting::Status::assumed ||
         from.status == fitting::Status::common_practice ||
         (from.source == "composed" && from.entry.starts_with("cap/") &&
          std::isfinite(from.stated_range[0]));
}

std::vector<Finding> assumed_figures(const result::Case& subject) {
  std::vector<std::string> pieces;
  units::Message message;
  base::Span span{.line = 0};
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const double share = share_of(subject, piece);
    if (!piece.fitting || piece.standard_uncertainty < kUncertain - 1e-12 || share < kWeighty ||
        !without_source(*piece.fitting)) {
      continue;
    }
    if (pieces.empty()) {
      span = span_of(subject, piece);
    }
    pieces.push_back(piece_words(piece) + ", {} of the losses, uncertain by {}");
    message.values.push_back(ratio(share));
    message.values.push_back(ratio(piece.standard_uncertainty));
  }
  if (pieces.empty()) {
    return {};
  }
  message.pattern = "without a published figure: ";
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    message.pattern += (i == 0 ? "" : "; ") + pieces[i];
  }
  return {finding(kAssumedFigures,
                  {.level = Level::note, .message = std::move(message), .span = span})};
}

}  // namespace

const Check kAssumedFigures{
    .code = "assumed-figures",
    .title = "coefficients without a published source weigh much",
    .what =
        "catalogue entries whose figures are assumed, common practice or, of a cap, put "
        "together of other entries, with an uncertainty of 30 % or more, where the piece takes 15 "
        "% or more of the losses",
    .why = "no published figure was found for these pieces",
    .instead =
        "state what the manufacturer gives: an `equivalent_length` of a size (`30 ft of 6 in "
        "round`), a drop table (`pressure`, `at`, `basis`), a cap's `free_area`, or a measured "
        "`coefficient`",
    .source = "catalogue entries, as marked there",
    .check = assumed_figures,
};

}  // namespace ductledger::findings
