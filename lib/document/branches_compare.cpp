#include "document/branches_compare.hpp"

#include <nlohmann/json.hpp>
#include <utility>

#include "document/json_internal.hpp"

namespace ductledger::document {
namespace {

using json::Json;
using json::number;
using json::text_or_null;

Json difference_object(const std::optional<study::Difference>& of) {
  if (!of) {
    return nullptr;
  }
  return {{"airflow_m3_s", number(of->airflow_m3_s)},
          {"band_m3_s", json::band(of->band_m3_s)},
          {"band_method", text_or_null(of->method)},
          {"samples", nullptr}};
}

Json inlet_object(const study::Inlet& inlet, const std::optional<study::Difference>& difference) {
  return {
      {"name", inlet.name},
      {"status", study::word(inlet.status)},
      {"airflow_m3_s", number(inlet.airflow_m3_s)},
      {"airflow_band_m3_s", json::band(inlet.band)},
      {"required_airflow_m3_s", number(inlet.required_m3_s)},
      {"requirement", inlet.requirement ? Json(result::word(*inlet.requirement)) : Json(nullptr)},
      {"difference", difference_object(difference)}};
}

Json speed_object(const study::ComparedNetwork& run, const study::ComparedNetworkSpeed& speed) {
  const study::NetworkSpeed& of = run.check.speeds[speed.index];
  const bool known = solve::has_best_airflow(of.point) && of.status == network::Status::solved;
  const study::Inlet& collar = of.inlets.front();
  Json inlets = Json::array();
  for (std::size_t i = 0; known && i < of.inlets.size(); ++i) {
    inlets.push_back(inlet_object(of.inlets[i], speed.differences[i]));
  }
  return {{"name", speed.name},
          {"status", solve::word(of.point.status)},
          {"airflow_m3_s", known ? number(collar.airflow_m3_s) : Json(nullptr)},
          {"airflow_band_m3_s", json::band(collar.band)},
          {"collar_static_pressure_pa",
           collar.path.empty() ? Json(nullptr) : number(of.collar_static_pressure_pa)},
          {"velocity_m_s", nullptr},
          {"difference", difference_object(speed.differences.front())},
          {"discharge_airflow_m3_s", known ? number(of.discharge_m3_s) : Json(nullptr)},
          {"controlling", of.controlling ? Json(of.inlets[*of.controlling].name) : Json(nullptr)},
          {"inlets", std::move(inlets)}};
}

Json holes(const build::PartsResult& parts) {
  Json out = Json::array();
  const auto add = [&](const build::PartsResult& of) {
    for (const build::Hole& hole : of.holes) {
      out.push_back({{"through", hole.through}, {"section", duct::to_text(hole.size)}});
    }
  };
  add(parts);
  for (const build::PartsResult& branch : parts.branches) {
    add(branch);
  }
  return out;
}

Json run_object(const study::ComparedNetwork& run) {
  Json speeds = Json::array();
  for (const study::ComparedNetworkSpeed& speed : run.speeds) {
    speeds.push_back(speed_object(run, speed));
  }
  const std::vector<findings::Finding>& findings = run.check.findings;
  return {
      {"name", run.name},
      {"layout", json::layout_object(run.check.layout)},
      {"speeds", std::move(speeds)},
      {"common_pressure_pa", nullptr},
      {"equivalent_length_m", nullptr},
      {"equivalent_length_section", nullptr},
      {"worst_finding", findings.empty() ? Json(nullptr) : Json(json::finding(findings.front()))},
      {"makeup_air", nullptr},
      {"house", nullptr},
      {"part_count", run.parts.in_all.part_count},
      {"joint_count", run.parts.in_all.joint_count},
      {"mass_kg", number(run.parts.in_all.mass_kg)},
      {"duct_surface_m2", number(run.duct_surface_m2)},
      {"depth_m", number(run.depth_m)},
      {"space_m3", number(run.space_m3)},
      {"holes", holes(run.parts)}};
}

}  // namespace

nlohmann::ordered_json network_compare_document(const study::NetworkComparison& result,
                                                const Record& record) {
  Json runs = Json::array();
  for (const study::ComparedNetwork& run : result.runs) {
    runs.push_back(run_object(run));
  }
  Json answer = Json::array();
  for (const units::Message& sentence : result.answer) {
    answer.push_back(sentence.text(units::System::ip));
  }
  Json changes = Json::array();
  for (std::size_t i = 1; i < result.runs.size(); ++i) {
    changes.push_back(Json::array());
  }
  return {{"format", "ductledger.compare/1"},
          {"tool_version", record.tool_version},
          {"answer", std::move(answer)},
          {"best", result.best ? Json(result.runs[*result.best].name) : Json(nullptr)},
          {"common_airflow_m3_s", nullptr},
          {"unlike", result.unlike},
          {"runs", std::move(runs)},
          {"changes", std::move(changes)},
          {"cautions", result.cautions}};
}

}  // namespace ductledger::document
