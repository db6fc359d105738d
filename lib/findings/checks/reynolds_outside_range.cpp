#include <cmath>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"

namespace ductledger::findings {
namespace {

constexpr double kWorthANote = 0.01;

std::vector<Finding> reynolds_outside_range(const result::Case& subject) {
  const std::optional<double> delivered = delivered_m3_s(subject);
  if (!delivered || *delivered <= 0.0) {
    return {};
  }
  std::vector<std::string> outside;
  const solve::CompiledPiece* first = nullptr;
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const fitting::ReynoldsFactor& factor = piece.loss.reynolds;
    const double reynolds = piece.loss.reynolds_s_m3 * *delivered;
    if (!factor.is_constant() && (reynolds < factor.lowest() || reynolds > factor.highest())) {
      first = first == nullptr ? &piece : first;
      outside.push_back(piece_words(piece));
    }
  }
  if (first == nullptr) {
    return {};
  }
  const std::optional<solve::OperatingPoint> constant = resolved({
      .layout = *subject.layout,
      .catalogue = *subject.catalogue,
      .speed = headline(subject)->index,
      .options = {.constant_reynolds = true},
  });
  if (!constant || constant->status != solve::Status::found ||
      std::abs(constant->airflow_m3_s / *delivered - 1.0) <= kWorthANote) {
    return {};
  }
  Finding found =
      finding(kReynoldsOutsideRange,
              {.level = Level::note,
               .message = {"the Reynolds correction is used beyond its range at " +
                               listed(outside) + "; without any correction {} would be delivered",
                           {airflow(constant->airflow_m3_s)}},
               .span = span_of(subject, *first)});
  found.observed = {{"airflow_m3_s", *delivered},
                    {"airflow_without_correction_m3_s", constant->airflow_m3_s}};
  return {std::move(found)};
}

}  // namespace

const Check kReynoldsOutsideRange{
    .code = "reynolds-outside-range",
    .title = "Reynolds number outside the range of a correction",
    .what =
        "the Reynolds numbers of the highest speed that is not locked out against the "
        "range of each correction; said only where leaving the corrections out would move"
        " the airflow by more than 1 %",
    .why = "the correction's edge was used beyond its range",
    .instead = "nothing to mend; the airflow is less certain",
    .source = "the catalogue entries' own ranges",
    .check = reynolds_outside_range,
};

}  // namespace ductledger::findings
