#include "document/branches_size.hpp"

#include <nlohmann/json.hpp>
#include <utility>

#include "document/json_internal.hpp"

namespace ductledger::document {
namespace {

using json::Json;
using json::number;
using json::text_or_null;

Json leg_object(const study::NetworkSizeResult& of, const study::SizedLeg& leg) {
  Json drawn = Json::array();
  for (const duct::Section& section : leg.drawn) {
    drawn.push_back(duct::to_text(section));
  }
  return {{"branch", leg.branch ? Json(of.check.layout.branches[*leg.branch].name) : Json(nullptr)},
          {"part", leg.leg + 1},
          {"length_m", number(leg.length_m)},
          {"drawn", std::move(drawn)},
          {"section", leg.section ? Json(duct::to_text(*leg.section)) : Json(nullptr)},
          {"airflow_m3_s", leg.section ? number(leg.airflow_m3_s) : Json(nullptr)},
          {"velocity_m_s", leg.section ? number(leg.velocity_m_s) : Json(nullptr)},
          {"why_not_smaller", text_or_null(leg.why_not_smaller.text(units::System::ip))}};
}

Json inlet_object(const study::SizedInlet& inlet) {
  return {{"name", inlet.name},
          {"wanted_airflow_m3_s", number(inlet.wanted_m3_s)},
          {"status", study::word(inlet.status)},
          {"airflow_m3_s", number(inlet.airflow_m3_s)},
          {"airflow_band_m3_s", json::band(inlet.band)}};
}

}  // namespace

nlohmann::ordered_json network_size_document(const study::NetworkSizeResult& result,
                                             const Record& record) {
  Json document = {
      {"format", "ductledger.size/1"},
      {"tool_version", record.tool_version},
      {"layout", json::layout_object(result.check.layout)},
      {"catalogue", {{"hash", result.check.catalogue_hash}}},
      {"speed", result.check.speeds[result.speed].name},
      {"wanted_airflow_m3_s", number(result.check.layout.appliance.required_airflow_m3_s)},
      {"greatest_depth_m", number(result.max_depth_m)},
      {"greatest_velocity_m_s", number(result.max_velocity_m_s)},
      {"coverage_factor", number(solve::kCoverage)},
      {"free_air_m3_s", nullptr},
      {"free_air_is_curve_end", false},
      {"breaks_at_every_size", result.breaks_at_every_size},
      {"drawn", nullptr},
      {"smallest", nullptr},
      {"sizes", Json::array()},
      {"varied", Json::array()},
      {"varied_tried", 0},
      {"bound", nullptr},
      {"limits", nullptr},
      {"smallest_limits", nullptr},
      {"found", result.found},
      {"tried", result.tried}};
  document["legs"] = Json::array();
  for (const study::SizedLeg& leg : result.legs) {
    document["legs"].push_back(leg_object(result, leg));
  }
  document["inlets"] = Json::array();
  for (const study::SizedInlet& inlet : result.inlets) {
    document["inlets"].push_back(inlet_object(inlet));
  }
  document["why_not"] = Json::array();
  for (const units::Message& one : result.why_not) {
    document["why_not"].push_back(one.text(units::System::ip));
  }
  document["cautions"] = result.check.cautions;
  return document;
}

}  // namespace ductledger::document
