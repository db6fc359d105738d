#include "document/commission.hpp"

#include "document/json_internal.hpp"
#include "layout/piece_number.hpp"

namespace ductledger::document {
namespace {

using namespace json;

Json hole_object(const std::optional<site::TestHole>& hole) {
  if (!hole) {
    return nullptr;
  }
  return {{"piece", layout::piece_number(hole->piece)},
          {"from_start_m", number(hole->from_start_m)},
          {"upstream_diameters", number(hole->upstream_diameters)},
          {"downstream_diameters", number(hole->downstream_diameters)},
          {"good_plane", hole->good_plane}};
}

Json network_speed(const site::ExpectedNetwork& speed) {
  Json inlets = Json::array();
  for (const site::ExpectedInlet& inlet : speed.inlets) {
    const auto known = [&](double value) { return speed.known ? number(value) : Json(nullptr); };
    inlets.push_back({{"name", inlet.name},
                      {"status", speed.known ? Json(study::word(inlet.status)) : Json(nullptr)},
                      {"airflow_m3_s", known(inlet.airflow_m3_s)},
                      {"airflow_band_m3_s", band(inlet.band)},
                      {"required_airflow_m3_s", number(inlet.required_m3_s)},
                      {"controlling", inlet.controlling},
                      {"damper_pa", number(inlet.damper_pa)},
                      {"hole_static_pressure_pa",
                       inlet.at_hole ? number(inlet.at_hole->pressure_pa) : Json(nullptr)},
                      {"hole_static_pressure_band_pa",
                       inlet.at_hole ? band(inlet.at_hole->band_pa) : Json(nullptr)},
                      {"loaded_filter_airflow_m3_s", number(inlet.loaded_m3_s)}});
  }
  return {{"name", speed.name},
          {"locked_out", speed.locked_out},
          {"known", speed.known},
          {"discharge_airflow_m3_s", speed.known ? number(speed.leaves_m3_s) : Json(nullptr)},
          {"fan_static_rise_pa",
           speed.across_fan ? number(speed.across_fan->pressure_pa) : Json(nullptr)},
          {"inlets", std::move(inlets)}};
}

}  // namespace

nlohmann::ordered_json commission_document(const site::CommissionResult& result,
                                           const Record& record) {
  Json document = {{"format", "ductledger.commission/1"},
                   {"tool_version", record.tool_version},
                   {"layout", layout_object(result.check.layout)},
                   {"catalogue", {{"hash", result.check.catalogue_hash}}},
                   {"coverage_factor", number(solve::kCoverage)}};
  document["speeds"] = Json::array();
  for (const site::ExpectedSpeed& expected : result.speeds) {
    const result::SpeedResult& speed = result.check.speeds[expected.speed];
    const bool found = speed.point.status == solve::Status::found;
    document["speeds"].push_back(
        {{"name", speed.name},
         {"locked_out", speed.locked_out},
         {"status", solve::word(speed.point.status)},
         {"airflow_m3_s", found ? number(speed.point.airflow_m3_s) : Json(nullptr)},
         {"airflow_band_m3_s", band(speed.airflow_band_m3_s)},
         {"collar_static_pressure_pa",
          expected.collar ? number(expected.collar->pressure_pa) : Json(nullptr)},
         {"collar_static_pressure_band_pa",
          expected.collar ? band(expected.collar->band_pa) : Json(nullptr)},
         {"hole_static_pressure_pa",
          expected.at_hole ? number(expected.at_hole->pressure_pa) : Json(nullptr)},
         {"hole_static_pressure_band_pa",
          expected.at_hole ? band(expected.at_hole->band_pa) : Json(nullptr)},
         {"fan_static_rise_pa",
          expected.across_fan ? number(expected.across_fan->pressure_pa) : Json(nullptr)},
         {"fan_static_rise_band_pa",
          expected.across_fan ? band(expected.across_fan->band_pa) : Json(nullptr)},
         {"airflow_estimate_m3_s",
          speed.point.estimate ? number(speed.point.estimate->airflow_m3_s) : Json(nullptr)}});
  }
  document["network"] = Json::array();
  for (const site::ExpectedNetwork& speed : result.network) {
    document["network"].push_back(network_speed(speed));
  }
  document["inlets"] = Json::array();
  for (const site::InletHoles& inlet : result.inlets) {
    document["inlets"].push_back({{"name", inlet.name},
                                  {"gauge_hole", hole_object(inlet.gauge_hole)},
                                  {"traverse_plane", hole_object(inlet.traverse_plane)}});
  }
  document["all_inlets_plane"] = hole_object(result.all_plane);
  document["gauge_hole"] = hole_object(result.gauge_hole);
  document["traverse_plane"] = hole_object(result.traverse_plane);
  document["loaded_filter"] = Json::array();
  for (const site::LoadedFilter& loaded : result.loaded) {
    document["loaded_filter"].push_back(
        {{"name", result.check.speeds[loaded.speed].name},
         {"airflow_m3_s", number(loaded.airflow_m3_s)},
         {"lost_m3_s", number(loaded.lost_m3_s)},
         {"collar_static_pressure_pa", number(loaded.collar_static_pa)}});
  }
  document["loaded_filter_missing"] = text_or_null(result.loaded_why_not);
  document["checks"] = Json::array();
  for (const site::SiteCheck& check : result.checks) {
    document["checks"].push_back({{"what", check.what}, {"how", check.how}});
  }
  document["cautions"] = result.check.cautions;
  return document;
}

}  // namespace ductledger::document
