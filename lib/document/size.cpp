#include "document/size.hpp"

#include <nlohmann/json.hpp>
#include <utility>

#include "document/json_internal.hpp"
#include "layout/piece_number.hpp"

namespace ductledger::document {
namespace {

using namespace json;
using study::Refusal;
using study::TriedSize;

Json size_object(const TriedSize& size) {
  Json refusals = Json::array();
  for (const Refusal refusal : size.refusals) {
    refusals.push_back(word(refusal));
  }
  const bool known = !size.refused_for(Refusal::no_figures);
  const auto figure = [&](double value) { return known ? number(value) : Json(nullptr); };
  return {{"section", duct::to_text(size.section)},
          {"area_m2", number(size.section.area_m2())},
          {"equivalent_diameter_m", number(size.section.equivalent_diameter_m())},
          {"changes", texts(size.changes)},
          {"delivers", size.delivers()},
          {"refusals", std::move(refusals)},
          {"status", known ? Json(solve::word(size.status)) : Json(nullptr)},
          {"airflow_m3_s", figure(size.airflow_m3_s)},
          {"airflow_band_m3_s", band(size.airflow_band_m3_s)},
          {"airflow_low_m3_s", number(size.low_m3_s)},
          {"velocity_m_s", figure(size.velocity_m_s)},
          {"depth_m", number(size.depth_m)},
          {"needed_static_pressure_pa", figure(size.needed_static_pa)},
          {"why_not", text_or_null(size.why_not)},
          {"breaks", size.breaks},
          {"worst_finding", size.worst ? finding(*size.worst) : Json(nullptr)},
          {"remarks", texts(size.remarks)}};
}

Json sizes_array(const std::vector<TriedSize>& sizes) {
  Json out = Json::array();
  for (const TriedSize& size : sizes) {
    out.push_back(size_object(size));
  }
  return out;
}

Json reach_object(const std::optional<study::Reach>& reach) {
  if (!reach) {
    return nullptr;
  }
  return {{"length_m", number(reach->length_m)}, {"further", reach->further}};
}

Json limits_object(const study::Limits& limits) {
  const auto count = [](const std::optional<int>& from) {
    return from ? Json(*from) : Json(nullptr);
  };
  return {
      {"straight", limits.straight ? Json(layout::piece_number(*limits.straight)) : Json(nullptr)},
      {"straight_length_m", number(limits.straight_m)},
      {"greatest_length", reach_object(limits.reach)},
      {"greatest_length_with_margin", reach_object(limits.reach_with_margin)},
      {"stack_helps", limits.stack_helps},
      {"further_elbow", text_or_null(limits.elbow)},
      {"further_elbow_coefficient", number(limits.elbow_coefficient)},
      {"further_elbows", count(limits.elbows)},
      {"further_elbows_with_margin", count(limits.elbows_with_margin)},
      {"needed_static_pressure_pa", number(limits.needed_static_pa)},
      {"fan_static_pressure_pa", number(limits.fan_static_pa)}};
}

Json bound_object(const study::SizeResult& result) {
  if (!result.bound) {
    return nullptr;
  }
  Json pieces = Json::array();
  for (const study::WithoutPiece& piece : result.bound->without_piece) {
    pieces.push_back({{"number", piece.number},
                      {"piece", piece.piece},
                      {"status", solve::word(piece.status)},
                      {"airflow_m3_s", number(piece.airflow_m3_s)}});
  }
  return {{"best",
           result.bound->best ? Json(duct::to_text(result.tried[*result.bound->best].section))
                              : Json(nullptr)},
          {"without_piece", std::move(pieces)},
          {"airflow_without_house_m3_s", number(result.bound->without_house_m3_s)}};
}

}  // namespace

nlohmann::ordered_json size_document(const study::SizeResult& result, const Record& record) {
  Json document = {{"format", "ductledger.size/1"},
                   {"tool_version", record.tool_version},
                   {"layout", layout_object(result.check.layout)},
                   {"catalogue", {{"hash", result.check.catalogue_hash}}},
                   {"speed", result.check.speeds[result.speed].name},
                   {"wanted_airflow_m3_s", number(result.wanted_m3_s)},
                   {"greatest_depth_m", number(result.max_depth_m)},
                   {"greatest_velocity_m_s", number(result.max_velocity_m_s)},
                   {"coverage_factor", number(solve::kCoverage)},
                   {"free_air_m3_s", number(result.free_air_m3_s)},
                   {"free_air_is_curve_end", result.free_air_is_curve_end}};
  document["breaks_at_every_size"] = result.breaks_at_every_size;
  document["drawn"] = size_object(result.drawn);
  document["smallest"] =
      result.smallest ? Json(duct::to_text(result.tried[*result.smallest].section)) : Json(nullptr);
  document["sizes"] = sizes_array(result.tried);
  document["varied"] = sizes_array(result.varied);
  document["varied_tried"] = result.varied_count;
  document["bound"] = bound_object(result);
  document["limits"] = limits_object(result.limits);
  document["smallest_limits"] =
      result.smallest_limits ? limits_object(*result.smallest_limits) : Json(nullptr);
  document["cautions"] = result.check.cautions;
  return document;
}

}  // namespace ductledger::document
