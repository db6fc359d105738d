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
