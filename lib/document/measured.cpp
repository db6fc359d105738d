#include "document/measured.hpp"

#include "document/json_internal.hpp"
#include "layout/piece_number.hpp"

namespace ductledger::document {
namespace {

using site::Judged;
using namespace json;

Json extra_object(const std::optional<site::Extra>& extra) {
  if (!extra) {
    return nullptr;
  }
  Json faults = Json::array();
  for (const site::Fault& fault : extra->faults) {
    faults.push_back(
        {{"fault", fault.what},
         {"text", fault.text.text(units::System::ip)},
         {fault.unit == "rad" ? "angle_rad" : "amount", number(fault.amount)},
         {"piece", fault.piece ? Json(layout::piece_number(*fault.piece)) : Json(nullptr)}});
  }
  return {{"pressure_pa", number(extra->pressure_pa)},
          {"doubt_pa", number(extra->doubt_pa)},
          {"coefficient", number(extra->coefficient)},
          {"faults", std::move(faults)}};
}

Json place_object(const layout::GaugePlace& place) {
  using Kind = layout::GaugePlace::Kind;
  if (place.kind == Kind::piece) {
    return {{"piece", layout::piece_number(place.piece)},
            {"from_start_m", number(place.from_start_m)}};
  }
  return place.kind == Kind::fan ? "fan" : "collar";
}

Json reading_object(const Judged& judged) {
  Json airflows = Json::array();
  for (const site::AirflowRead& read : judged.airflows) {
    airflows.push_back({{"airflow_m3_s", read.is_bound ? Json() : number(read.airflow_m3_s)},
                        {"airflow_band_m3_s", band(read.band)},
                        {"open_low", read.open_low},
                        {"open_high", read.open_high}});
  }
  const layout::Measurement& reading = judged.reading;
  Json traverse = nullptr;
  if (judged.traverse) {
    traverse = {{"airflow_m3_s", number(judged.traverse->airflow_m3_s)},
                {"mean_velocity_m_s", number(judged.traverse->mean_velocity_m_s)},
                {"standard_uncertainty", number(judged.traverse->standard_uncertainty)},
                {"plane", judged.traverse->plane == site::Plane::good ? "good" : "poor"}};
  }
  Json causes = Json::array();
  for (const units::Message& cause : judged.causes) {
    causes.push_back(cause.text(units::System::ip));
  }
  return {{"speed", judged.speed_name},
          {"inlet", text_or_null(judged.inlet)},
          {"behind_junction", judged.trunk},
          {"static_pressure_pa", number(reading.static_pressure_pa)},
          {"at", place_object(reading.at)},
          {"airflow_m3_s", number(reading.airflow_m3_s)},
          {"instrument", reading.airflow_m3_s ? Json(layout::word(reading.instrument)) : Json()},
          {"traverse", std::move(traverse)},
          {"airflows", std::move(airflows)},
          {"calculated_airflow_m3_s", number(judged.calculated_m3_s)},
          {"calculated_airflow_band_m3_s", band(judged.calculated_band_m3_s)},
          {"required_airflow_m3_s", number(judged.required_m3_s)},
          {"calculated_static_pressure_pa",
           judged.expected ? number(judged.expected->pressure_pa) : Json(nullptr)},
          {"calculated_static_pressure_band_pa",
           judged.expected ? band(judged.expected->band_pa) : Json(nullptr)},
          {"above_calculated_band", judged.above_expected},
          {"fan_share_of_curve", number(judged.fan_share_of_curve)},
          {"extra", extra_object(judged.extra)},
          {"causes", std::move(causes)},
          {"verdict", word(judged.verdict)},
          {"requirement", word(judged.requirement)},
          {"line", reading.span.line > 0 ? Json(reading.span.line) : Json(nullptr)}};
}

}  // namespace

nlohmann::ordered_json measured_document(const site::MeasuredResult& result, const Record& record) {
  const layout::Layout& layout = result.check.layout;
  Json document = {{"format", "ductledger.measured/1"},
                   {"tool_version", record.tool_version},
                   {"layout", layout_object(layout)},
                   {"catalogue", {{"hash", result.check.catalogue_hash}}},
                   {"required_airflow_m3_s", number(layout.appliance.required_airflow_m3_s)},
                   {"coverage_factor", number(solve::kCoverage)}};
  document["readings"] = Json::array();
  for (const Judged& judged : result.readings) {
    document["readings"].push_back(reading_object(judged));
  }
  document["together"] = Json::array();
  for (const site::Together& sum : result.together) {
    const auto doubt = sum.leaves_m3_s ? number(sum.leaves_doubt_m3_s) : Json(nullptr);
    document["together"].push_back({{"speed", sum.speed},
                                    {"inlets_read", sum.inlets},
                                    {"inlets", sum.of},
                                    {"airflow_m3_s", number(sum.airflow_m3_s)},
                                    {"doubt_m3_s", number(sum.doubt_m3_s)},
                                    {"calculated_airflow_m3_s", number(sum.calculated_m3_s)},
                                    {"leaves_airflow_m3_s", number(sum.leaves_m3_s)},
                                    {"leaves_doubt_m3_s", doubt}});
  }
  document["cautions"] = result.check.cautions;
  return document;
}

}  // namespace ductledger::document
