#include "document/branches.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <span>

#include "document/advice_internal.hpp"
#include "document/check_internal.hpp"
#include "document/house.hpp"
#include "result/figures.hpp"

namespace ductledger::document {
namespace {

using namespace json;

Json name_or_null(const layout::Layout& layout, const std::optional<std::size_t>& branch) {
  return branch ? Json(layout.branches[*branch].name) : Json(nullptr);
}

Json path(const study::NetworkResult& of, const study::Inlet& inlet, std::size_t most) {
  Json out = Json::array();
  for (const study::PathRow& row : std::span(inlet.path).first(std::min(most, inlet.path.size()))) {
    out.push_back(ledger_row(row.row));
    out.back()["branch"] = name_or_null(of.layout, row.branch);
    out.back()["equivalent_length_m"] = nullptr;
  }
  return out;
}

/// @param folded its path's rows as they are told; null: all of them
Json inlet_object(const study::NetworkResult& of,
                  const study::NetworkSpeed& speed,
                  std::size_t index,
                  const study::FoldedPath* folded) {
  const study::Inlet& inlet = speed.inlets[index];
  const bool known = speed.status == network::Status::solved &&
                     speed.point.status != solve::Status::not_determined &&
                     speed.point.status != solve::Status::no_fan;
  const study::Balance::Path* balance = nullptr;
  if (speed.balance) {
    balance = &speed.balance->paths[index];
  }
  return {
      {"name", inlet.name},
      {"status", known ? Json(study::word(inlet.status)) : Json(nullptr)},
      {"airflow_m3_s", known ? number(inlet.airflow_m3_s) : Json(nullptr)},
      {"airflow_band_m3_s", band(inlet.band)},
      {"required_airflow_m3_s", number(inlet.required_m3_s)},
      {"requirement", inlet.requirement ? Json(result::word(*inlet.requirement)) : Json(nullptr)},
      {"fan_status", solve::word(inlet.fan)},
      {"fan_total_pressure_pa",
       inlet.fan == solve::Status::no_fan ? Json(nullptr) : number(inlet.fan_total_pressure_pa)},
      {"path_loss_pa", inlet.path.empty() ? Json(nullptr) : number(inlet.path_loss_pa)},
      {"controlling", speed.controlling == index},
      {"needed_pa", balance == nullptr ? Json(nullptr) : number(balance->needed_pa)},
      {"surplus_pa", balance == nullptr ? Json(nullptr) : number(balance->surplus_pa)},
      {"damper_pa", balance == nullptr ? Json(nullptr) : number(balance->damper_pa)},
      {"path", path(of, inlet, folded == nullptr ? inlet.path.size() : folded->rows)},
      {"path_goes_on_as",
       folded != nullptr && folded->goes_on_as ? Json(speed.inlets[*folded->goes_on_as].name)
                                               : Json(nullptr)}};
}

Json junctions(const study::NetworkResult& of, const study::NetworkSpeed& speed) {
  Json out = Json::array();
  for (const study::JunctionFound& one : speed.junctions) {
    out.push_back({{"branch", one.branch},
                   {"run", name_or_null(of.layout, one.run)},
                   {"type", one.type},
                   {"stated", one.stated},
                   {"flow_ratio", number(one.flow_ratio)},
                   {"area_ratio", number(one.area_ratio)},
                   {"straight_coefficient", number(one.straight_coefficient)},
                   {"branch_coefficient", number(one.branch_coefficient)},
                   {"combined_airflow_m3_s", number(one.combined_airflow_m3_s)},
                   {"total_pressure_pa", number(one.total_pressure_pa)},
                   {"line", one.span.line},
                   {"column", one.span.column}});
  }
  return out;
}

/// The main fan's, as of any run.
result::SpeedResult main_fan(const study::NetworkResult& of, const study::NetworkSpeed& speed) {
  result::SpeedResult main;
  main.name = speed.name;
  main.locked_out = speed.locked_out;
  main.point = speed.point;
  main.rated = speed.rated;
  main.fan = speed.fan;
  main.airflow_band_m3_s = speed.inlets.front().band;
  main.house = speed.house;
  const bool none = of.network.fan_leg == network::kNone;
  const std::size_t leg = none ? of.network.collar_leg : of.network.fan_leg;
  main.figures = result::figures(main, of.network.legs[leg].run);
  return main;
}

/// At the collar; a fan further on carries more.
Json point_object(const study::NetworkResult& of,
                  const study::NetworkSpeed& speed,
                  const result::SpeedResult& main) {
  Json point = operating_point(main);
  point["fan_airflow_m3_s"] = nullptr;
  if (main.figures.bound != result::Bound::none) {
    const study::Inlet& collar = speed.inlets.front();
    const double density = of.network.air.density_kg_m3 / units::kStandardDensityKgM3;
    point["fan_airflow_m3_s"] = number(main.figures.airflow_m3_s);
    point["airflow_m3_s"] = number(collar.airflow_m3_s);
    point["airflow_standard_m3_s"] = number(collar.airflow_m3_s * density);
    point["collar_static_pressure_pa"] =
        collar.path.empty() ? Json(nullptr) : number(speed.collar_static_pressure_pa);
  }
  point["band_method"] = !main.airflow_band_m3_s     ? Json(nullptr)
                         : speed.why_sampled.empty() ? Json("first-order")
                                                     : Json("sampled");
  return point;
}

Json network_object(const study::NetworkResult& of, const study::NetworkSpeed& speed) {
  const bool house = of.house.coupled() != nullptr;
  return {{"status", network::word(speed.status)},
          {"residual_pa", number(speed.residual_pa)},
          {"mass_residual", number(speed.mass_residual)},
          {"iterations", speed.iterations},
          {"balance_at_required", speed.balance.has_value()},
          {"shared_fan", speed.balance ? Json(speed.balance->shared_fan) : Json(nullptr)},
          {"controlling",
           speed.controlling ? Json(speed.inlets[*speed.controlling].name) : Json(nullptr)},
          {"depressurisation_pa", house ? number(speed.depressurisation_pa) : Json(nullptr)},
          {"why_sampled", text_or_null(speed.why_sampled)}};
}

Json speed_object(const study::NetworkResult& of, const study::NetworkSpeed& speed, PathRows rows) {
  const result::SpeedResult main = main_fan(of, speed);
  const bool has_airflow = main.figures.bound != result::Bound::none;
  std::vector<study::FoldedPath> folded;
  if (rows == PathRows::folded) {
    folded = study::folded_paths(of.network, speed);
    std::ranges::sort(folded, {}, &study::FoldedPath::inlet);
  }
  const auto inlet = [&](std::size_t i) {
    const auto at = std::ranges::lower_bound(folded, i, {}, &study::FoldedPath::inlet);
    return inlet_object(of, speed, i, at == folded.end() || at->inlet != i ? nullptr : &*at);
  };
  Json branches = Json::array();
  for (std::size_t i = 1; i < speed.inlets.size(); ++i) {
    branches.push_back(inlet(i));
  }
  Json object = speed_head(main);
  object["operating_point"] = point_object(of, speed, main);
  // What looks at single runs only.
  for (const char* key : {"uncertainty",
                          "equivalent_length_m",
                          "equivalent_length_airflow_m3_s",
                          "equivalent_length_of",
                          "nominal_route"}) {
    object[key] = nullptr;
  }
  object["network"] = network_object(of, speed);
  object["collar"] = inlet(0);
  object["branches"] = std::move(branches);
  object["junctions"] = junctions(of, speed);
  object["discharge_airflow_m3_s"] = has_airflow ? number(speed.discharge_m3_s) : Json(nullptr);
  if (speed.house) {
    object["house"] = speed_house_object(main);
  }
  object["ledger"] = path(of, speed.inlets.front(), speed.inlets.front().path.size());
  return object;
}

/// Null where none was asked for.
Json advice(const study::NetworkResult& of) {
  if (!of.advice) {
    return nullptr;
  }
  const auto& inlets = of.speeds[of.headline.value_or(of.shown)].inlets;
  Json rows = Json::array();
  for (const study::NetworkAdviceRow& row : of.advice->rows) {
    rows.push_back(change_object(row.change));
    Json& one = rows.back();
    one["branch"] = name_or_null(of.layout, row.branch);
    one["helps"] = inlets[of.advice->inlet].name;
    one["gain_m3_s"] = number(row.gain_m3_s);
    one["inlets"] = Json::array();
    for (std::size_t i = 0; i < inlets.size(); ++i) {
      one["inlets"].push_back(
          {{"name", inlets[i].name}, {"airflow_m3_s", number(row.airflow_m3_s[i])}});
    }
    one["lacks"] = row.lacks;
    one["mends"] = row.mends;
  }
  return rows;
}

Json sources(const study::NetworkResult& of) {
  std::vector<const solve::LedgerRow*> rows;
  for (const study::NetworkSpeed& speed : of.speeds) {
    for (const study::Inlet& inlet : speed.inlets) {
      for (const study::PathRow& row : inlet.path) {
        rows.push_back(&row.row);
      }
    }
  }
  return sources_of(rows);
}

}  // namespace

nlohmann::ordered_json network_document(const study::NetworkResult& result,
                                        const Record& record,
                                        PathRows rows) {
  const layout::Layout& layout = result.layout;
  Json document = {{"format", "ductledger.check/1"},
                   {"tool_version", record.tool_version},
                   {"layout", layout_object(layout)},
                   {"catalogue", json::catalogue(result.catalogue_hash, result.catalogue_files)},
                   {"options",
                    {{"speed", layout.fan ? Json(result.speeds[result.shown].name) : Json(nullptr)},
                     {"fail_on", record.fail_on}}},
                   {"air", air(result.network.air)},
                   {"appliance", appliance(layout)}};
  if (result.network.stack_unknown) {
    document["air"]["stack_pa"] = nullptr;
  }
  document["fan"] = nullptr;
  if (layout.fan) {
    document["fan"] = {
        {"count", layout.fan->count},
        {"curve_pressure", word(layout.fan->basis)},
        {"rated_density_kg_m3", number(layout.fan->rated_density_kg_m3)},
        {"headline_speed",
         result.headline ? Json(result.speeds[*result.headline].name) : Json(nullptr)}};
  }
  if (layout.house) {
    document["house"] = house_object(study::as_single(result));
  }
  document["speeds"] = Json::array();
  for (const study::NetworkSpeed& speed : result.speeds) {
    document["speeds"].push_back(speed_object(result, speed, rows));
  }
  // What looks at single runs only.
  document["nominal_route"] = nullptr;
  document["dryer_length"] = nullptr;
  document["resistance"] = Json::array();
  document["advice"] = advice(result);
  document["advice_left_out"] = result.advice ? Json(result.advice->left_out) : Json(nullptr);
  document["advice_pair"] = nullptr;
  document["advice_missing"] = result.advice ? text_or_null(result.advice->why_not) : Json(nullptr);
  document["verdict"] = json::verdict_object(study::as_single(result));
  document["findings"] = findings_array(result.findings);
  document["defaults"] = json::defaults(layout);
  document["remarks"] = texts(layout.remarks);
  document["warnings"] = diagnostics_array(layout.warnings);
  document["sources"] = sources(result);
  document["cautions"] = result.cautions;
  return document;
}

nlohmann::ordered_json layout_document(const study::CheckedLayout& result,
                                       const Record& record,
                                       PathRows rows) {
  return result.network ? network_document(*result.network, record, rows)
                        : check_document(result.check, record);
}

}  // namespace ductledger::document
