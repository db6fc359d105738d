#include "document/makeup.hpp"

#include "document/json_internal.hpp"
#include "duct/section_text.hpp"

namespace ductledger::document {
namespace {

using namespace json;

Json tried_object(const study::MakeupTried& tried) {
  Json speeds = Json::array();
  for (const study::MakeupSpeed& speed : tried.speeds) {
    speeds.push_back({{"name", speed.name},
                      {"airflow_m3_s", number(speed.airflow_m3_s)},
                      {"depressurisation_pa", number(speed.depressurisation_pa)},
                      {"depressurisation_band_pa", band(speed.band_pa)},
                      {"verdict", house::word(speed.verdict)}});
  }
  return {{"way", study::word(tried.way)},
          {"section", tried.section ? Json(duct::to_text(*tried.section)) : Json(nullptr)},
          {"airflow_m3_s",
           tried.way == study::MakeupWay::powered ? number(tried.airflow_m3_s) : Json(nullptr)},
          {"keeps_the_limit", tried.keeps()},
          {"speeds", std::move(speeds)}};
}

}  // namespace

nlohmann::ordered_json makeup_document(const study::MakeupSize& result, const Record& record) {
  const auto chosen = [&](const std::optional<std::size_t>& index) {
    return index ? tried_object(result.tried[*index]) : Json(nullptr);
  };
  Json document = {{"format", "ductledger.makeup/1"},
                   {"tool_version", record.tool_version},
                   {"layout", layout_object(result.check.layout)},
                   {"catalogue", {{"hash", result.check.catalogue_hash}}},
                   {"coverage_factor", number(solve::kCoverage)},
                   {"limit_pa", number(result.limit.pressure_pa)},
                   {"limit_appliance", text_or_null(result.limit.appliance)},
                   {"duct_is_drawn", result.own_duct},
                   {"duct_why_not", text_or_null(result.duct_why_not)},
                   {"drawn", tried_object(result.drawn)},
                   {"duct", chosen(result.duct)},
                   {"opening", chosen(result.opening)},
                   {"powered", chosen(result.powered)}};
  document["tried"] = Json::array();
  for (const study::MakeupTried& tried : result.tried) {
    document["tried"].push_back(tried_object(tried));
  }
  document["cautions"] = result.check.cautions;
  return document;
}

}  // namespace ductledger::document
