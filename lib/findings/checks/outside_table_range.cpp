#include <algorithm>
#include <string>
#include <utility>

#include "findings/checks/list_internal.hpp"
#include "fitting/default_uncertainty.hpp"

namespace ductledger::findings {
namespace {

constexpr double kWorthAWarning = 0.15;

[[nodiscard]] units::Dimension dimension_of(const fitting::OutsideRange& outside) {
  const std::string& unit = outside.unit;
  if (outside.parameter == "slack") {
    return units::Dimension::ratio;
  }
  if (unit == "m") {
    return units::Dimension::length;
  }
  if (unit == "m2") {
    return units::Dimension::area;
  }
  if (unit == "rad") {
    return units::Dimension::angle;
  }
  if (unit == "m/s") {
    return units::Dimension::velocity;
  }
  if (unit == "Pa") {
    return units::Dimension::pressure;
  }
  return units::Dimension::number;
}

/// The multiplier of slack flexible duct was measured from 6 to 10 in and to 30 % slack.
[[nodiscard]] std::vector<fitting::OutsideRange> flex_outside(const layout::Piece* stated) {
  std::vector<fitting::OutsideRange> outside;
  const auto* flex = stated == nullptr ? nullptr : stated->if_is<layout::Flex>();
  if (flex == nullptr || flex->stretched >= 1.0) {
    return outside;
  }
  constexpr double kLowest_m = 6.0 * units::kMetresPerInch;
  constexpr double kHighest_m = 10.0 * units::kMetresPerInch;
  constexpr double kSlack = 0.30;
  const double diameter_m = stated->upstream.equivalent_diameter_m();
  if (diameter_m < kLowest_m * (1.0 - 1e-9) || diameter_m > kHighest_m * (1.0 + 1e-9)) {
    outside.push_back({"diameter", diameter_m, kLowest_m, kHighest_m, "m"});
  }
  const double slack = 1.0 - flex->stretched;
  if (slack > kSlack + 1e-9) {
    outside.push_back({"slack", slack, 0.0, kSlack, ""});
  }
  return outside;
}

std::vector<Finding> outside_table_range(const result::Case& subject) {
  std::vector<Finding> all;
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const std::vector<fitting::OutsideRange> flex = flex_outside(piece_of(subject, piece));
    std::vector<fitting::OutsideRange> beyond = flex;
    const bool is_flex = !beyond.empty();
    if (piece.fitting) {
      beyond.insert(beyond.end(), piece.fitting->outside.begin(), piece.fitting->outside.end());
    }
    if (beyond.empty()) {
      continue;
    }
    units::Message message{piece_words(piece) + ": ", {}};
    Finding found = finding(
        kOutsideTableRange,
        {.level = is_flex || share_of(subject, piece) >= kWorthAWarning ? Level::warn : Level::note,
         .message = {},
         .span = span_of(subject, piece)});
    const std::size_t of_flex = flex.size();
    for (std::size_t i = 0; i < beyond.size(); ++i) {
      const fitting::OutsideRange& outside = beyond[i];
      std::string name = outside.parameter;
      std::replace(name.begin(), name.end(), '_', ' ');
      const units::Dimension dimension = dimension_of(outside);
      append(message,
             {(i == 0         ? ""
               : i == of_flex ? "; "
                              : ", ") +
                  literal(name) + " {} is outside {} to {}",
              {{outside.value, dimension},
               {outside.lowest, dimension},
               {outside.highest, dimension}}});
      if (i + 1 == of_flex) {
        append(message,
               {": the multiplier of slack duct is carried on beyond what was measured, uncertain "
                "by {} in place of {}",
                {ratio(fitting::default_uncertainty("compression-outside").value),
                 ratio(fitting::default_uncertainty("compression").value)}});
      } else if (i + 1 == beyond.size()) {
        append(message,
               {"; the nearest edge was used, uncertain by {}",
                {ratio(piece.fitting->standard_uncertainty)}});
      }
      const std::string key = outside.parameter + (outside.unit == "m"     ? "_m"
                                                   : outside.unit == "m2"  ? "_m2"
                                                   : outside.unit == "rad" ? "_rad"
                                                                           : "");
      found.observed.push_back({key, outside.value});
      found.limit.push_back({key + "_lowest", outside.lowest});
      found.limit.push_back({key + "_highest", outside.highest});
    }
    found.message = std::move(message);
    found.source =
        is_flex ? "Abushakra, Walker, Sherman, Compression effects on pressure loss in "
                  "flexible HVAC ducts, HVAC&R Research 10(3), 2004 (as recalled)"
                : "catalogue entry " + piece.fitting->entry + " (" + piece.fitting->source + ")";
    all.push_back(std::move(found));
  }
  return all;
}

}  // namespace

const Check kOutsideTableRange{
    .code = "outside-table-range",
    .title = "piece outside its published range",
    .what =
        "the parameters of each piece against the range of its catalogue entry: a warning"
        " where the piece takes 15 % or more of the losses",
    .why =
        "a table is read at its nearest edge there, and its uncertainty is widened by what the "
        "slope at the edge makes of the distance; the multiplier of slack flexible duct is carried "
        "on, with a wider uncertainty",
    .instead =
        "choose a shape inside the range, pull flexible duct tight, or state the manufacturer's "
        "`coefficient`",
    .source = "the catalogue entry's own range",
    .check = outside_table_range,
};

}  // namespace ductledger::findings
