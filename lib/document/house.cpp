#include "document/house.hpp"

#include <optional>
#include <utility>

#include "base/words.hpp"
#include "document/json_internal.hpp"
#include "units/constants.hpp"

namespace ductledger::document {
namespace {

using json::Json;
using json::number;
using json::text_or_null;

constexpr auto kLeakageBasisWords =
    base::words<layout::LeakageBasis>({{layout::LeakageBasis::airflow, "airflow"},
                                       {layout::LeakageBasis::air_changes, "ach50"},
                                       {layout::LeakageBasis::effective_area, "effective-area"},
                                       {layout::LeakageBasis::equivalent_area, "equivalent-area"},
                                       {layout::LeakageBasis::tightness_class, "class"}});
constexpr const char* word(layout::LeakageBasis basis) { return kLeakageBasisWords.of(basis); }

Json leakage(const std::optional<layout::Leakage>& from) {
  if (!from) {
    return nullptr;
  }
  return {{"basis", word(from->basis)},
          {"class", text_or_null(from->tightness)},
          {"airflow_m3_s", number(from->airflow_m3_s)},
          {"pressure_pa", number(from->pressure_pa)},
          {"exponent", number(from->exponent)},
          {"lowest_airflow_m3_s", number(from->lowest_m3_s)},
          {"highest_airflow_m3_s", number(from->highest_m3_s)}};
}

Json limit(const std::optional<house::Limit>& from) {
  if (!from) {
    return nullptr;
  }
  Json listed = Json::array();
  for (const house::ListedLimit& one : from->listed) {
    listed.push_back({{"pressure_pa", number(one.pressure_pa)},
                      {"source", one.key},
                      {"title", one.title},
                      {"status", one.status},
                      {"note", text_or_null(one.note)}});
  }
  return {{"depressurisation_pa", number(from->pressure_pa)},
          {"appliance", text_or_null(from->appliance)},
          {"line", from->span.line},
          {"listed", std::move(listed)}};
}

Json at_limit(const std::optional<house::AtLimit>& from) {
  if (!from) {
    return nullptr;
  }
  Json opening = nullptr;
  if (from->opening) {
    opening = {{"free_area_m2", number(from->opening->free_area_m2)},
               {"round_diameter_m", number(from->opening->round_diameter_m)},
               {"discharge_coefficient", number(from->opening->discharge_coefficient)}};
  }
  return {{"airflow_m3_s", number(from->airflow_m3_s)},
          {"missing_airflow_m3_s", number(from->missing_m3_s)},
          {"opening", std::move(opening)},
          {"airtightness_50_pa_m3_s", number(from->airtightness_m3_s)}};
}

/// The wind's part of what acts on the envelope: the rest is the stack on leaks of stated height.
double wind_on(const house::Zone& zone, const layout::House& house) {
  const double above_m = house.leakage ? house.leakage->above_collar_m.value_or(0.0) : 0.0;
  return above_m == 0.0
             ? zone.envelope_pa
             : zone.envelope_pa + (zone.outdoor_density_kg_m3 - zone.indoor_density_kg_m3) *
                                      units::kGravityM_S2 * above_m;
}

}  // namespace

nlohmann::ordered_json house_object(const study::CheckResult& result) {
  if (!result.layout.house) {
    return nullptr;
  }
  const layout::House& from = *result.layout.house;
  return {{"coupled", result.house.coupled() != nullptr},
          {"leakage", leakage(from.leakage)},
          {"other_exhaust_m3_s",
           result.house.zone ? number(result.house.zone->other_exhaust_m3_s) : Json(nullptr)},
          {"envelope_wind_pa",
           result.house.zone ? number(wind_on(*result.house.zone, from)) : Json(nullptr)},
          {"makeup",
           {{"kind", layout::word(from.makeup.kind)}, {"interlocked", from.makeup.interlocked}}},
          {"limit", limit(house::limit_of(from))}};
}

nlohmann::ordered_json speed_house_object(const result::SpeedResult& speed) {
  if (!speed.house) {
    return nullptr;
  }
  const house::SpeedHouse& from = *speed.house;
  const Json nothing = nullptr;
  const auto known = [&](double value) { return from.coupled ? number(value) : nothing; };
  const double in_m3_s = from.balance.leakage_airflow_m3_s + from.balance.makeup_airflow_m3_s;
  Json band = nullptr;
  Json band_method = nullptr;
  Json shares = nullptr;
  if (from.band) {
    band = Json::array({number(from.band->low_pa), number(from.band->high_pa)});
    band_method = from.band->method == house::BandMethod::first_order ? "first-order" : "sampled";
    shares = {{"exponent", number(from.band->shares.exponent)},
              {"airtightness", number(from.band->shares.airtightness)},
              {"makeup", number(from.band->shares.path)},
              {"airflow", number(from.band->shares.airflow)}};
  }
  Json with_makeup = nullptr;
  if (from.with_makeup) {
    with_makeup = {
        {"airflow_m3_s", number(from.with_makeup->point.airflow_m3_s)},
        {"depressurisation_pa", number(from.with_makeup->balance.depressurisation_pa)},
        {"makeup_airflow_m3_s", number(from.with_makeup->balance.makeup_airflow_m3_s)},
        {"leakage_airflow_m3_s", number(from.with_makeup->balance.leakage_airflow_m3_s)}};
  }
  Json openings = Json::array();
  for (const house::OpeningTried& tried : from.openings) {
    openings.push_back({{"round_diameter_m", number(tried.diameter_m)},
                        {"airflow_m3_s", number(tried.airflow_m3_s)},
                        {"depressurisation_pa", number(tried.depressurisation_pa)}});
  }
  return {{"basis",
           from.basis == house::AirflowBasis::operating_point ? "operating-point"
           : from.basis == house::AirflowBasis::bounds        ? "airflow-bounds"
                                                              : "rated-airflow"},
          {"depressurisation_pa", known(from.balance.depressurisation_pa)},
          {"makeup_airflow_m3_s", known(from.balance.makeup_airflow_m3_s)},
          {"leakage_airflow_m3_s", known(from.balance.leakage_airflow_m3_s)},
          {"airflow_without_house_m3_s", number(from.airflow_without_house_m3_s)},
          {"leakage_share",
           from.coupled && in_m3_s != 0.0 ? number(from.balance.leakage_airflow_m3_s / in_m3_s)
                                          : nothing},
          {"mass_residual_kg_s", known(from.balance.residual_kg_s)},
          {"judged_airflow_m3_s", number(from.judged_airflow_m3_s)},
          {"judged_depressurisation_pa", known(from.judged_depressurisation_pa)},
          {"depressurisation_band_pa", std::move(band)},
          {"band_method", std::move(band_method)},
          {"band_shares", std::move(shares)},
          {"verdict", house::word(from.verdict)},
          {"with_makeup", std::move(with_makeup)},
          {"at_limit", at_limit(from.at_limit)},
          {"openings", std::move(openings)}};
}

}  // namespace ductledger::document
