#include "document/check.hpp"

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <utility>
#include <vector>

#include "base/words.hpp"
#include "document/advice_internal.hpp"
#include "document/check_internal.hpp"
#include "document/house.hpp"
#include "document/json_internal.hpp"

namespace ductledger::document {
namespace {

using namespace json;

constexpr auto kRatedBasisWords = base::words<solve::RatedAirflow::Basis>(
    {{solve::RatedAirflow::Basis::rating_at_pressure, "rating-at-pressure"},
     {solve::RatedAirflow::Basis::free_air, "free-air"},
     {solve::RatedAirflow::Basis::curve_end, "curve-end"}});

constexpr auto kCurveOriginWords =
    base::words<solve::CurveOrigin>({{solve::CurveOrigin::points, "points"},
                                     {solve::CurveOrigin::two_points, "two-points"},
                                     {solve::CurveOrigin::two_ratings, "two-ratings"},
                                     {solve::CurveOrigin::one_rating, "one-rating"},
                                     {solve::CurveOrigin::free_air, "free-air"},
                                     {solve::CurveOrigin::none, "none"}});

}  // namespace

const char* json::word(solve::CurveOrigin origin) { return kCurveOriginWords.of(origin); }

Json json::sources_of(const std::vector<const solve::LedgerRow*>& rows) {
  std::map<std::pair<std::string, std::string>, std::vector<std::string>> found;
  for (const solve::LedgerRow* row : rows) {
    if (row->source.empty()) {
      continue;
    }
    std::vector<std::string>& entries = found[{row->source, row->status}];
    if (std::find(entries.begin(), entries.end(), row->entry) == entries.end()) {
      entries.push_back(row->entry);
    }
  }
  Json out = Json::array();
  for (const auto& [key, entries] : found) {
    out.push_back(
        {{"source", key.first}, {"status", text_or_null(key.second)}, {"entries", entries}});
  }
  return out;
}

namespace {

Json bound_word(result::Bound bound) {
  switch (bound) {
    case result::Bound::exact:
      return "exact";
    case result::Bound::at_least:
      return "at-least";
    case result::Bound::at_most:
      return "at-most";
    case result::Bound::none:
      break;
  }
  return nullptr;
}

Json closeness(const std::optional<solve::Closeness>& close) {
  if (!close) {
    return nullptr;
  }
  return {{"kind", solve::word(close->kind)},
          {"straight_m", number(close->straight_m)},
          {"diameters", number(close->diameters)},
          {"spacing_ratio", close->factor ? number(close->spacing_ratio) : Json(nullptr)},
          {"factor", number(close->factor)},
          {"data_set", text_or_null(close->data_set)},
          {"source", text_or_null(close->source)},
          {"status", close->factor ? Json(fitting::word(close->status)) : Json(nullptr)}};
}

}  // namespace

Json json::ledger_row(const solve::LedgerRow& row) {
  return {{"number", row.number},
          {"piece", row.piece},
          {"type", row.type},
          {"type_defaulted", row.type_defaulted},
          {"section", row.sections ? duct::to_text(*row.sections) : std::string()},
          {"length_m", number(row.length_m)},
          {"velocity_m_s", number(row.velocity_m_s)},
          {"velocity_pressure_pa", number(row.velocity_pressure_pa)},
          {"friction_factor", number(row.friction_factor)},
          {"equivalent_diameter_m", number(row.equivalent_diameter_m)},
          {"reynolds", number(row.reynolds)},
          {"coefficient", number(row.coefficient)},
          {"loss_pa", number(row.loss_pa)},
          {"share", number(row.share)},
          {"variance_share", number(row.variance_share)},
          {"total_pressure_after_pa", number(row.total_pressure_after_pa)},
          {"static_pressure_after_pa", number(row.static_pressure_after_pa)},
          {"entry", text_or_null(row.entry)},
          {"source", text_or_null(row.source)},
          {"status", text_or_null(row.status)},
          {"interaction_factor", number(row.interaction)},
          {"close", closeness(row.close)},
          {"line", row.line > 0 ? Json(row.line) : Json(nullptr)},
          {"column", row.line > 0 ? Json(row.column) : Json(nullptr)}};
}

namespace {

Json ledger_rows(const std::optional<solve::Ledger>& ledger,
                 const std::optional<solve::EquivalentLength>& length) {
  Json out = Json::array();
  if (!ledger) {
    return out;
  }
  std::size_t piece = 0;  // rows of pieces stand in the order of the compiled run
  for (const solve::LedgerRow& row : ledger->rows) {
    out.push_back(ledger_row(row));
    const bool counts = row.number >= 0 && length && piece < length->pieces_m.size();
    out.back()["equivalent_length_m"] = counts ? number(length->pieces_m[piece]) : Json(nullptr);
    piece += row.number >= 0 ? 1 : 0;
  }
  return out;
}

// The crossings besides the answer.
Json crossings(const solve::OperatingPoint& point) {
  Json out = Json::array();
  for (std::size_t i = 0; i < point.crossing_count; ++i) {
    const solve::Crossing& crossing = point.crossings[i];
    if (crossing.reached_from_rest) {
      continue;
    }
    out.push_back({{"airflow_m3_s", number(crossing.airflow_m3_s)},
                   {"total_pressure_pa", number(crossing.total_pressure_pa)},
                   {"stable", crossing.stable},
                   {"reached_from_rest", crossing.reached_from_rest}});
  }
  return out;
}

constexpr const char* kBoundsBasis =
    "a fan that falls makes at least its first printed pressure to the left of that point and at "
    "most its last to the right: from where the run asks for that pressure to the printed point, "
    "nominal run; that the fan falls is assumed";
constexpr const char* kEstimateBasis =
    "the curve carried on by a parabola P0 - a Q^2 through its two nearest printed points "
    "(assumed)";

Json bounds(const solve::OperatingPoint& point) {
  return point.bounds
             ? Json::array({number(point.bounds->low_m3_s), number(point.bounds->high_m3_s)})
             : Json(nullptr);
}

}  // namespace

Json json::operating_point(const result::SpeedResult& speed) {
  const solve::OperatingPoint& point = speed.point;
  const result::Figures& known = speed.figures;
  const bool has_airflow = known.bound != result::Bound::none;
  const bool has_pressure = has_airflow && point.status != solve::Status::no_flow;
  const Json nothing = nullptr;
  return {
      {"status", solve::word(point.status)},
      {"bound", bound_word(known.bound)},
      {"stable", point.stable},
      {"airflow_m3_s", has_airflow ? number(known.airflow_m3_s) : nothing},
      {"airflow_standard_m3_s", has_airflow ? number(known.standard_airflow_m3_s) : nothing},
      {"static_pressure_pa", has_pressure ? number(known.static_pressure_pa) : nothing},
      {"total_pressure_pa", has_pressure ? number(point.total_pressure_pa) : nothing},
      {"collar_static_pressure_pa",
       speed.ledger ? number(speed.ledger->collar_static_pressure_pa) : nothing},
      {"airflow_band_m3_s", band(speed.airflow_band_m3_s)},
      {"airflow_bounds_m3_s", bounds(point)},
      {"airflow_bounds_basis", point.bounds ? Json(kBoundsBasis) : nothing},
      {"airflow_estimate_m3_s", point.estimate ? number(point.estimate->airflow_m3_s) : nothing},
      {"airflow_estimate_basis", point.estimate ? Json(kEstimateBasis) : nothing},
      {"band_k", speed.airflow_band_m3_s ? number(solve::kCoverage) : nothing},
      {"band_method",
       speed.band                ? Json(solve::word(speed.band->method))
       : speed.airflow_band_m3_s ? Json(solve::word(solve::BandMethod::sampled))
                                 : nothing},
      {"other_shape_airflow_m3_s",
       speed.other_shape && speed.other_shape->status == solve::Status::found
           ? number(speed.other_shape->airflow_m3_s)
           : nothing},
      {"residual_pa", has_airflow ? number(point.residual_pa) : nothing},
      {"bracket_m3_s",
       has_airflow ? Json::array({number(point.bracket_low_m3_s), number(point.bracket_high_m3_s)})
                   : nothing},
      {"iterations", point.iterations},
      {"crossings", crossings(point)},
      {"more_crossings", point.more_crossings}};
}

namespace {

Json samples(const std::optional<solve::SampleCount>& from) {
  if (!from) {
    return nullptr;
  }
  return {{"count", from->count},
          {"seed", from->seed},
          {"found", from->found},
          {"beyond_curve", from->beyond_curve},
          {"below_curve", from->below_curve},
          {"no_flow", from->no_flow},
          {"airflow_band_m3_s",
           Json::array({number(from->quantiles.low_m3_s), number(from->quantiles.high_m3_s)})}};
}

// What the band is made of, the greatest share first.
Json uncertainty(const result::SpeedResult& speed) {
  if (!speed.band) {
    return nullptr;
  }
  const solve::AirflowBand& band = *speed.band;
  const solve::AirflowLimits first_order = band.first_order_limits();
  Json sources = Json::array();
  for (const solve::SourceEffect& effect : band.first_order.effects) {
    const solve::ErrorSource& source = band.sources[effect.source];
    sources.push_back({{"key", source.key},
                       {"title", source.name()},
                       {"standard_uncertainty", number(source.standard_uncertainty)},
                       {"unit", source.unit},
                       {"spread", solve::word(source.spread)},
                       {"stated", source.stated},
                       {"basis", text_or_null(source.basis)},
                       {"status", text_or_null(source.status)},
                       {"airflow_change_m3_s", number(effect.airflow_m3_s)},
                       {"variance_share", number(effect.share)}});
  }
  return {{"standard_uncertainty_m3_s", number(band.first_order.standard_m3_s)},
          {"first_order_band_m3_s",
           Json::array({number(first_order.low_m3_s), number(first_order.high_m3_s)})},
          {"why_sampled", text_or_null(band.why_sampled)},
          {"over_two_shapes", band.over_two_shapes},
          {"samples", samples(band.samples)},
          {"ends_variance_share", number(band.first_order.ends_share)},
          {"sources", std::move(sources)}};
}

/// @param index in `speeds`; the count of them where the layout has no fan
Json speed_object(const study::CheckResult& result,
                  const result::SpeedResult& speed,
                  std::size_t index) {
  const std::optional<solve::EquivalentLength>& length = index < result.equivalent_lengths.size()
                                                             ? result.equivalent_lengths[index]
                                                             : result.required_length;
  Json object = json::speed_head(speed);
  object["operating_point"] = operating_point(speed);
  object["uncertainty"] = uncertainty(speed);
  object["equivalent_length_m"] = length ? number(length->total_m) : Json(nullptr);
  object["equivalent_length_airflow_m3_s"] = length ? number(length->airflow_m3_s) : Json(nullptr);
  object["equivalent_length_of"] = json::equivalent_length(length);
  object["nominal_route"] = json::nominal_speed(result, index);
  if (speed.house) {
    object["house"] = speed_house_object(speed);
  }
  object["ledger"] = ledger_rows(speed.ledger, length);
  return object;
}

Json sources(const study::CheckResult& result) {
  std::vector<const solve::LedgerRow*> rows;
  for (const result::SpeedResult& speed : result.speeds) {
    if (speed.ledger) {
      for (const solve::LedgerRow& row : speed.ledger->rows) {
        rows.push_back(&row);
      }
    }
  }
  return json::sources_of(rows);
}

}  // namespace

Json json::speed_head(const result::SpeedResult& speed) {
  return {{"name", speed.name},
          {"locked_out", speed.locked_out},
          {"curve", word(speed.fan.origin)},
          {"curve_missing", text_or_null(speed.fan.why_not)},
          {"rated_airflow_m3_s", speed.rated ? number(speed.rated->airflow_m3_s) : Json(nullptr)},
          {"rated", rating(speed.rated)},
          {"share_of_rated", number(speed.figures.share_of_rated)}};
}

Json json::rating(const std::optional<solve::RatedAirflow>& from) {
  if (!from) {
    return nullptr;
  }
  return {{"airflow_m3_s", number(from->airflow_m3_s)},
          {"pressure_pa", number(from->pressure_pa)},
          {"basis", kRatedBasisWords.of(from->basis)}};
}

Json json::air(const solve::SiteAir& from) {
  return {{"density_kg_m3", number(from.density_kg_m3)},
          {"viscosity_pa_s", number(from.viscosity_pa_s)},
          {"indoor_density_kg_m3", number(from.indoor_density_kg_m3)},
          {"outdoor_density_kg_m3", number(from.outdoor_density_kg_m3)},
          {"absolute_pressure_pa", number(from.pressure_pa)},
          {"stack_pa", from.stack_unknown ? Json(nullptr) : number(from.stack_pa)},
          {"wind_pa", number(from.wind_pa)},
          {"back_pressure_pa", number(from.back_pressure_pa)}};
}

Json json::appliance(const layout::Layout& from) {
  return {{"kind", layout::word(from.appliance.kind)},
          {"required_airflow_m3_s", number(from.appliance.required_airflow_m3_s)},
          {"nameplate_airflow_m3_s", number(from.appliance.nameplate_airflow_m3_s)}};
}

Json json::catalogue(const std::string& hash, const std::vector<fitting::Catalogue::Added>& added) {
  Json files = Json::array();
  for (const fitting::Catalogue::Added& file : added) {
    files.push_back({{"file", file.name}, {"sha256", file.sha256}});
  }
  return {{"hash", hash}, {"files", std::move(files)}};
}

Json json::defaults(const layout::Layout& layout) {
  Json out = Json::array();
  for (const layout::DefaultTaken& taken : layout.defaults) {
    out.push_back({{"what", taken.what}, {"value", taken.value}});
  }
  return out;
}

nlohmann::ordered_json check_document(const study::CheckResult& result, const Record& record) {
  const layout::Layout& layout = result.layout;
  const auto speed_name = [&](const std::optional<std::size_t>& index) {
    return index ? Json(result.speeds[*index].name) : Json(nullptr);
  };
  Json document = {
      {"format", "ductledger.check/1"},
      {"tool_version", record.tool_version},
      {"layout", layout_object(layout)},
      {"catalogue", json::catalogue(result.catalogue_hash, result.catalogue_files)},
      {"options", {{"speed", speed_name(result.ledger_speed)}, {"fail_on", record.fail_on}}},
      {"air", air(result.run.air)},
      {"appliance", appliance(layout)}};
  document["air"]["airflow_without_wind_m3_s"] = number(result.without_wind_m3_s);
  document["air"]["airflow_without_back_pressure_m3_s"] = number(result.without_back_pressure_m3_s);
  document["fan"] = nullptr;
  if (layout.fan) {
    document["fan"] = {{"count", layout.fan->count},
                       {"curve_pressure", word(layout.fan->basis)},
                       {"rated_density_kg_m3", number(layout.fan->rated_density_kg_m3)},
                       {"headline_speed", speed_name(result.headline)}};
  }
  if (layout.house) {
    document["house"] = house_object(result);
  }
  document["speeds"] = Json::array();
  for (std::size_t i = 0; i < result.speeds.size(); ++i) {
    document["speeds"].push_back(speed_object(result, result.speeds[i], i));
  }
  if (!layout.fan) {
    document["speeds"].push_back(speed_object(result, result::SpeedResult{}, 0));
  }
  document["nominal_route"] = json::nominal_route(result);
  document["dryer_length"] = json::dryer_length(result);
  document["resistance"] = Json::array();
  for (const study::ResistancePoint& point : result.resistance) {
    document["resistance"].push_back({{"airflow_m3_s", number(point.airflow_m3_s)},
                                      {"total_pressure_pa", number(point.total_pressure_pa)},
                                      {"static_pressure_pa", number(point.static_pressure_pa)},
                                      {"at_required", point.at_required},
                                      {"at_rating_pressure", point.at_rating_pressure}});
  }
  document["advice"] = json::advice(result);
  document["advice_pair"] = json::best_pair(result);
  document["advice_missing"] = result.advice ? text_or_null(result.advice->why_not) : Json(nullptr);
  document["advice_left_out"] = result.advice ? Json(result.advice->smaller) : Json(nullptr);
  document["verdict"] = json::verdict_object(result);
  document["findings"] = findings_array(result.findings);
  document["defaults"] = json::defaults(layout);
  document["remarks"] = texts(layout.remarks);
  document["warnings"] = diagnostics_array(layout.warnings);
  document["sources"] = sources(result);
  document["cautions"] = result.cautions;
  return document;
}

nlohmann::ordered_json error_document(const base::Diagnostics& diagnostics, const Record& record) {
  return {{"format", "ductledger.error/1"},
          {"tool_version", record.tool_version},
          {"diagnostics", diagnostics_array(diagnostics)}};
}

nlohmann::ordered_json checks_document(std::span<const nlohmann::ordered_json> results,
                                       const Record& record) {
  Json list = Json::array();
  for (const Json& one : results) {
    list.push_back(one);
  }
  return {{"format", "ductledger.checks/1"},
          {"tool_version", record.tool_version},
          {"results", std::move(list)}};
}

std::string to_text(const nlohmann::ordered_json& document) {
  return base::escaped_beyond_ascii(document.dump(2, ' ', false, Json::error_handler_t::replace)) +
         '\n';
}

}  // namespace ductledger::document
