#include "document/compare.hpp"

#include <nlohmann/json.hpp>
#include <utility>

#include "document/json_internal.hpp"

namespace ductledger::document {
namespace {

using json::Json;
using json::number;
using json::text_or_null;

Json samples_object(const std::optional<study::DifferenceSamples>& samples) {
  if (!samples) {
    return nullptr;
  }
  return {{"count", samples->count}, {"seed", samples->seed}, {"at_bound", samples->at_bound}};
}

Json speed_object(const study::ComparedRun& run, const study::ComparedSpeed& speed) {
  const result::SpeedResult& result = run.check.speeds[speed.index];
  const result::Figures& known = result.figures;
  Json difference = nullptr;
  if (speed.difference) {
    difference = {{"airflow_m3_s", number(speed.difference->airflow_m3_s)},
                  {"band_m3_s", json::band(speed.difference->band_m3_s)},
                  {"band_method", text_or_null(speed.difference->method)},
                  {"samples", samples_object(speed.difference->samples)}};
  }
  return {{"name", speed.name},
          {"status", solve::word(result.point.status)},
          {"airflow_m3_s",
           known.bound == result::Bound::none ? Json(nullptr) : number(known.airflow_m3_s)},
          {"airflow_band_m3_s", json::band(result.airflow_band_m3_s)},
          {"collar_static_pressure_pa",
           result.ledger ? number(result.ledger->collar_static_pressure_pa) : Json(nullptr)},
          {"velocity_m_s", number(speed.velocity_m_s)},
          {"difference", std::move(difference)}};
}

Json house_object(const study::ComparedRun& run) {
  const house::SpeedHouse* at = run.house();
  if (at == nullptr) {
    return nullptr;
  }
  return {{"depressurisation_pa", number(at->balance.depressurisation_pa)},
          {"verdict", house::word(at->verdict)}};
}

Json run_object(const study::ComparedRun& run) {
  Json speeds = Json::array();
  for (const study::ComparedSpeed& speed : run.speeds) {
    speeds.push_back(speed_object(run, speed));
  }
  Json holes = Json::array();
  for (const build::Hole& hole : run.parts.holes) {
    holes.push_back({{"through", hole.through}, {"section", duct::to_text(hole.size)}});
  }
  const std::vector<findings::Finding>& findings = run.check.findings;
  return {
      {"name", run.name},
      {"layout", json::layout_object(run.check.layout)},
      {"speeds", std::move(speeds)},
      {"common_pressure_pa", number(run.common_pressure_pa)},
      {"equivalent_length_m",
       run.equivalent_length ? number(run.equivalent_length->total_m) : Json(nullptr)},
      {"equivalent_length_section",
       run.equivalent_length ? Json(duct::to_text(run.equivalent_length->section)) : Json(nullptr)},
      {"worst_finding", findings.empty() ? Json(nullptr) : Json(json::finding(findings.front()))},
      {"makeup_air", run.makeup},
      {"house", house_object(run)},
      {"part_count", run.parts.part_count},
      {"joint_count", run.parts.joints.size()},
      {"mass_kg", number(run.parts.mass_kg)},
      {"duct_surface_m2", number(run.parts.duct_surface_m2)},
      {"depth_m", number(run.depth_m)},
      {"space_m3", number(run.space_m3)},
      {"holes", std::move(holes)}};
}

Json change_object(const study::PieceChange& change) {
  return {{"first", change.first ? Json(*change.first) : Json(nullptr)},
          {"other", change.other ? Json(*change.other) : Json(nullptr)},
          {"was", json::message_or_null(change.was)},
          {"is", json::message_or_null(change.is)},
          {"loss_change_pa", number(change.loss_change_pa)}};
}

}  // namespace

nlohmann::ordered_json compare_document(const study::Comparison& result, const Record& record) {
  Json runs = Json::array();
  for (const study::ComparedRun& run : result.runs) {
    runs.push_back(run_object(run));
  }
  Json changes = Json::array();
  for (const auto& list : result.changes) {
    Json one = Json::array();
    for (const study::PieceChange& change : list) {
      one.push_back(change_object(change));
    }
    changes.push_back(std::move(one));
  }
  Json answer = Json::array();
  for (const units::Message& sentence : result.answer) {
    answer.push_back(json::message_or_null(sentence));
  }
  return {{"format", "ductledger.compare/1"},
          {"tool_version", record.tool_version},
          {"answer", std::move(answer)},
          {"best", result.best ? Json(result.runs[*result.best].name) : Json(nullptr)},
          {"common_airflow_m3_s", number(result.common_airflow_m3_s)},
          {"unlike", result.unlike},
          {"runs", std::move(runs)},
          {"changes", std::move(changes)},
          {"cautions", result.cautions}};
}

}  // namespace ductledger::document
