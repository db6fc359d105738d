#include <fmt/format.h>

#include <utility>

#include "edit/edit.hpp"
#include "findings/checks/list_internal.hpp"
#include "fitting/stock.hpp"
#include "layout/written_system.hpp"

namespace ductledger::findings {
namespace {

constexpr double kWorthwhile = 0.10;
[[nodiscard]] std::optional<duct::Section> next_stock_size(const duct::Section& narrowest,
                                                           const duct::Section& collar,
                                                           fitting::Series series) {
  for (const duct::Section& stock : fitting::stock_sizes(duct::Shape::round, series)) {
    if (smaller_by_area(narrowest, stock) && !smaller_by_area(stock, collar)) {
      return stock;
    }
  }
  return std::nullopt;
}

/// Of a curve carried on beyond its points too: both sizes are then told by it.
[[nodiscard]] std::optional<double> best_airflow_m3_s(const result::SpeedResult* speed) {
  return speed != nullptr && solve::has_best_airflow(speed->point)
             ? std::optional(solve::best_airflow_m3_s(speed->point))
             : std::nullopt;
}

[[nodiscard]] std::optional<duct::Section> narrowest_duct(const layout::Run& run) {
  std::optional<duct::Section> narrowest;
  for (const layout::Piece& piece : run.pieces) {
    const bool duct = piece.kind == layout::PieceKind::straight ||
                      piece.kind == layout::PieceKind::flex ||
                      piece.kind == layout::PieceKind::elbow;
    if (duct && (!narrowest || piece.upstream.area_m2() < narrowest->area_m2())) {
      narrowest = piece.upstream;
    }
  }
  return narrowest;
}

/// The layout with every section narrower than `wide` replaced by it.
[[nodiscard]] edit::Edited widened(const result::Case& subject, const duct::Section& wide) {
  return edit::with_sections(
      *subject.layout, *subject.catalogue, {.to = [&](const duct::Section& section) {
        return smaller_by_area(section, wide) ? wide : section;
      }});
}

/// What the house would be drawn down by, where that is over its limit; else 0.
[[nodiscard]] double over_limit_pa(const result::Case& subject, double airflow_m3_s) {
  if (subject.house == nullptr || subject.house->coupled() == nullptr) {
    return 0.0;
  }
  const auto limit = house::limit_of(*subject.layout->house);
  const double drawn_pa = subject.house->depressurisation_pa(airflow_m3_s);
  return limit && drawn_pa > limit->pressure_pa ? drawn_pa : 0.0;
}

/// The run with its narrowest duct a stock size wider, as far as the collar is.
struct Wider {
  duct::Section section;
  solve::OperatingPoint point;

  [[nodiscard]] double airflow_m3_s() const { return solve::best_airflow_m3_s(point); }
  /// What it delivers for sure.
  [[nodiscard]] double sure_m3_s() const {
    return point.status != solve::Status::below_curve ? point.airflow_m3_s
           : point.bounds                             ? point.bounds->low_m3_s
                                                      : 0.0;
  }
};
[[nodiscard]] std::optional<Wider> wider_run(const result::Case& subject) {
  const std::optional<duct::Section> narrowest = narrowest_duct(subject.layout->run);
  const std::optional<duct::Section> wide =
      narrowest ? next_stock_size(*narrowest,
                                  subject.run->collar,
                                  fitting::series_of(layout::written_system(*subject.layout)))
                : std::nullopt;
  if (!wide) {
    return std::nullopt;
  }
  const edit::Edited edited = widened(subject, *wide);
  if (!edited) {
    return std::nullopt;
  }
  const std::optional<solve::OperatingPoint> point = resolved({.layout = *edited,
                                                               .catalogue = *subject.catalogue,
                                                               .speed = headline(subject)->index,
                                                               .options = {}});
  if (!point ||
      (!solve::has_best_airflow(*point) && point->status != solve::Status::beyond_curve)) {
    return std::nullopt;
  }
  return Wider{*wide, *point};
}

[[nodiscard]] units::Message gain_words(const result::Case& subject,
                                        const Wider& wider,
                                        double delivered_m3_s) {
  const bool estimate = solve::is_bound(headline(subject)->point.status) || wider.point.estimate;
  units::Message message = section_words(wider.section);
  append(message,
         {!solve::has_best_airflow(wider.point)
              ? " throughout would deliver more than {} in place of {}, {} more or over"
          : estimate ? " throughout would deliver about {} in place of {}, about {} more"
                     : " throughout would deliver {} in place of {}, {} more",
          {airflow(wider.airflow_m3_s()),
           airflow(delivered_m3_s),
           ratio(wider.airflow_m3_s() / delivered_m3_s - 1.0)}});
  return message;
}

std::vector<Finding> duct_undersized(const result::Case& subject) {
  const layout::Appliance& appliance = subject.layout->appliance;
  const std::optional<double> delivered = best_airflow_m3_s(headline(subject));
  if (!delivered || !subject.run->fan_at_collar ||
      appliance.kind == layout::ApplianceKind::clothes_dryer) {
    return {};
  }
  const std::optional<Wider> wider = wider_run(subject);
  if (!wider) {
    return {};
  }
  const std::optional<double>& required = appliance.required_airflow_m3_s;
  const bool meets =
      required && *delivered < *required * (1.0 - 1e-9) && wider->sure_m3_s() >= *required;
  if (wider->airflow_m3_s() / *delivered - 1.0 <= kWorthwhile && !meets) {
    return {};
  }
  units::Message message = gain_words(subject, *wider, *delivered);
  if (meets) {
    append(message, {", and meet the {} required", {airflow(*required)}});
  }
  if (const double over_pa = over_limit_pa(subject, wider->airflow_m3_s()); over_pa > 0.0) {
    append(
        message,
        {fmt::format(", but would draw the house down by {:.1f} Pa, over its limit", over_pa), {}});
  }
  Finding found =
      finding(kDuctUndersized,
              {.level = meets ? Level::warn : Level::note,
               .message = std::move(message),
               .span = subject.layout->run.section_span.line > 0 ? subject.layout->run.section_span
                                                                 : subject.layout->run.span});
  found.observed = {{"airflow_m3_s", *delivered},
                    {"wider_airflow_m3_s", wider->airflow_m3_s()},
                    {"wider_diameter_m", wider->section.width_m()}};
  found.limit = {{"share_gained", kWorthwhile}};
  return {std::move(found)};
}

}  // namespace

const Check kDuctUndersized{
    .code = "duct-undersized",
    .title = "a wider duct would deliver much more",
    .what =
        "the airflow that the run would deliver with the next stock size of round duct "
        "wherever it is narrower, its transition at the collar and its cap charged; said "
        "where it is more than 10 % more, a warning where the required airflow is missed "
        "and would be met. Silent for dryers, whose duct size is fixed, and where the fan"
        " is not at the collar",
    .why = "loss falls with about the fifth power of the diameter",
    .instead = "the wider duct, where the building has room for it",
    .source = "common practice",
    .check = duct_undersized,
};

}  // namespace ductledger::findings
