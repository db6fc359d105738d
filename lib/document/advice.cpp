#include "document/advice_internal.hpp"
#include "layout/piece_number.hpp"
#include "units/message.hpp"

namespace ductledger::document::json {
namespace {

using study::AdviceRow;
using study::Change;

void add_answers(Json& to, const AdviceRow& row, const study::CheckResult& result) {
  const study::Advice& advice = *result.advice;
  to["speeds"] = Json::array();
  for (std::size_t i = 0; i < row.speeds.size(); ++i) {
    to["speeds"].push_back({{"name", result.speeds[advice.speeds[i]].name},
                            {"status", solve::word(row.speeds[i].status)},
                            {"airflow_m3_s", number(row.speeds[i].airflow_m3_s)},
                            {"gain_m3_s", number(row.speeds[i].gain_m3_s)},
                            {"gain_band_m3_s", band(row.speeds[i].gain_band_m3_s)}});
  }
  const bool pressure = advice.airflow_m3_s.has_value();
  to["total_pressure_pa"] = pressure ? number(row.pressure_pa) : Json(nullptr);
  to["pressure_saved_pa"] = pressure ? number(row.pressure_saved_pa) : Json(nullptr);
  to["depressurisation_pa"] = number(row.depressurisation_pa);
  to["over_limit"] = row.depressurisation_pa ? Json(row.over_limit) : Json(nullptr);
  to["brings"] = findings_array(row.brings);
  to["mends"] = row.mends;
}

}  // namespace

Json change_object(const study::Change& from) {
  Json pieces = Json::array();
  for (const std::size_t piece : from.pieces) {
    pieces.push_back(layout::piece_number(piece));
  }
  const bool placed = from.span.line > 0;
  return {{"kind", word(from.kind)},
          {"pieces", std::move(pieces)},
          {"words", message_or_null(from.words)},
          {"condition", message_or_null(from.condition)},
          {"parts_new", from.parts_new},
          {"parts_out", from.parts_out},
          {"room_m", number(from.room_m)},
          {"line", placed ? Json(from.span.line) : Json(nullptr)},
          {"column", placed ? Json(from.span.column) : Json(nullptr)}};
}

Json equivalent_length(const std::optional<solve::EquivalentLength>& from) {
  if (!from) {
    return nullptr;
  }
  return {{"section", duct::to_text(from->section)},
          {"material", text_or_null(from->material)},
          {"friction_pa_m", number(from->gradient_pa_m)},
          {"duct_m", number(from->duct_m)}};
}

Json nominal_speed(const study::CheckResult& result, std::size_t index) {
  if (!result.nominal || index >= result.nominal->speeds.size() || !result.nominal->speeds[index]) {
    return nullptr;
  }
  const study::NominalSpeed& speed = *result.nominal->speeds[index];
  return {{"status", solve::word(speed.status)},
          {"airflow_m3_s", number(speed.airflow_m3_s)},
          {"difference_m3_s", number(speed.difference_m3_s)},
          {"difference_ratio", number(speed.difference_ratio)}};
}

Json nominal_route(const study::CheckResult& result) {
  if (!result.nominal) {
    return nullptr;
  }
  return {{"length_m", number(study::kNominalLengthM)},
          {"section", duct::to_text(result.nominal->section)},
          {"elbow", result.nominal->elbow},
          {"elbows", 2},
          {"cap", result.nominal->cap}};
}

Json dryer_length(const study::CheckResult& result) {
  if (!result.dryer) {
    return nullptr;
  }
  const solve::DryerRun& run = *result.dryer;
  Json elbows = Json::array();
  for (const solve::DryerRun::Elbow& elbow : run.elbows) {
    elbows.push_back({{"number", layout::piece_number(elbow.piece)},
                      {"equivalent_length_m", number(elbow.length_m)},
                      {"listed", elbow.listed}});
  }
  return {{"duct_m", number(run.duct_m)},
          {"transition_duct_m", number(run.transition_duct_m)},
          {"elbows_m", number(run.elbows_m)},
          {"total_m", number(run.total_m)},
          {"greatest_length_m", number(run.greatest_length_m)},
          {"other_size", run.other_size},
          {"elbows", std::move(elbows)}};
}

Json advice(const study::CheckResult& result) {
  if (!result.advice) {
    return nullptr;
  }
  Json rows = Json::array();
  for (const AdviceRow& row : result.advice->rows) {
    rows.push_back(change_object(row.changes.front()));
    add_answers(rows.back(), row, result);
  }
  return rows;
}

Json best_pair(const study::CheckResult& result) {
  if (!result.advice || !result.advice->best_pair) {
    return nullptr;
  }
  const AdviceRow& row = *result.advice->best_pair;
  Json out{{"changes", Json::array()}};
  for (const Change& each : row.changes) {
    out["changes"].push_back(change_object(each));
  }
  add_answers(out, row, result);
  return out;
}

}  // namespace ductledger::document::json
