#include "document/fittings.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "document/json_internal.hpp"
#include "duct/section.hpp"

namespace ductledger::document {
namespace {

using json::Json;
using json::number;
using json::text_or_null;
using units::Dimension;

// Keys end in units.
std::string with_unit(const std::string& name, Dimension dimension) {
  return name + std::string(units::key_suffix(dimension));
}

Json entry_object(const fitting::Entry& entry) {
  return {{"name", entry.key()},
          {"kind", fitting::word(entry.kind)},
          {"type", entry.type},
          {"variant", text_or_null(entry.variant)},
          {"title", entry.title},
          {"use", entry.use}};
}

Json head(const fitting::Catalogue& catalogue, const Record& record) {
  return {{"format", "ductledger.fittings/1"},
          {"tool_version", record.tool_version},
          {"catalogue", {{"hash", catalogue.content_hash()}}}};
}

Json value_object(const study::FittingValue& value) {
  Json out = {
      {"data_set", value.set->key},
      {"source", value.set->source},
      {"location", text_or_null(value.set->location)},
      {"status", fitting::word(value.coefficient ? value.coefficient->status : value.set->status)}};
  out["coefficient"] = nullptr;
  if (!value.coefficient) {
    out["missing"] = value.missing;
    return out;
  }
  const fitting::Coefficient& c = *value.coefficient;
  out["coefficient"] = number(c.value * value.reynolds_factor);
  out["reynolds"] = number(value.reynolds);
  out["reynolds_factor"] = number(value.reynolds_factor);
  out["reynolds_outside"] = value.reynolds_outside;
  out["friction_length_m"] = number(c.friction_length_m);
  out["loss_pa"] = number(value.loss_pa);
  out["whole_coefficient"] = number(value.whole_coefficient);
  out["standard_uncertainty"] = number(c.standard_uncertainty);
  out["uncertainty_basis"] = c.uncertainty_basis;
  out["outside"] = Json::array();
  for (const fitting::OutsideRange& o : c.outside) {
    out["outside"].push_back(o.parameter);
  }
  return out;
}

Json readings(const fitting::Entry& entry) {
  Json list = Json::array();
  for (const fitting::DataSet& set : entry.data) {
    if (!set.measured) {
      continue;
    }
    const fitting::MeasuredDrop& drop = *set.measured;
    list.push_back({{"data_set", set.key},
                    {"section", duct::to_text(drop.section)},
                    {"density_kg_m3", number(drop.density_kg_m3)},
                    {"airflow_m3_s", drop.airflow_m3_s},
                    {"pressure_pa", drop.pressure_pa},
                    {"coefficients", drop.coefficient},
                    {"residuals", drop.residual},
                    {"coefficient", number(drop.fitted)},
                    {"residual_spread", number(drop.residual_spread)},
                    {"exponent", number(drop.exponent)},
                    {"exponent_standard_error", number(drop.exponent_error)},
                    {"trend", drop.trend}});
  }
  return list;
}

}  // namespace

nlohmann::ordered_json fittings_document(const std::vector<const fitting::Entry*>& entries,
                                         const fitting::Catalogue& catalogue,
                                         const Record& record) {
  Json document = head(catalogue, record);
  document["fittings"] = Json::array();
  for (const fitting::Entry* entry : entries) {
    document["fittings"].push_back(entry_object(*entry));
  }
  return document;
}

nlohmann::ordered_json fitting_sheet_document(const study::FittingSheet& sheet,
                                              const fitting::Catalogue& catalogue,
                                              const Record& record) {
  Json document = head(catalogue, record);
  document["fitting"] = entry_object(*sheet.entry);
  document["at"] = {{"section", duct::to_text(sheet.piece.upstream)},
                    {"section_after", duct::to_text(sheet.piece.downstream)},
                    {"section_taken", sheet.section_taken},
                    {"airflow_m3_s", number(sheet.airflow_m3_s)},
                    {"airflow_taken", sheet.airflow_taken},
                    {"velocity_m_s", number(sheet.velocity_m_s)},
                    {"velocity_pressure_pa", number(sheet.velocity_pressure_pa)}};
  document["parameters"] = Json::array();
  for (const study::FittingVariable& v : sheet.variables) {
    document["parameters"].push_back({{"name", v.name},
                                      {"meaning", v.meaning},
                                      {"required", v.required},
                                      {"taken", v.taken},
                                      {with_unit("value", v.dimension), number(v.value)},
                                      {with_unit("default", v.dimension), number(v.default_value)},
                                      {with_unit("lowest", v.dimension), number(v.lowest)},
                                      {with_unit("highest", v.dimension), number(v.highest)}});
  }
  document["quantities"] = Json::object();
  for (const study::FittingQuantity& quantity : sheet.quantities) {
    document["quantities"][quantity.name] = number(quantity.value);
  }
  document["values"] = Json::array();
  for (const study::FittingValue& value : sheet.values) {
    document["values"].push_back(value_object(value));
  }
  document["equivalent_length_m"] = number(sheet.equivalent_length_m);
  const study::CoefficientSpread spread = study::spread_of(sheet);
  document["spread"] = nullptr;
  if (spread.count > 1) {
    document["spread"] = {{"lowest", number(spread.lowest)}, {"highest", number(spread.highest)}};
  }
  document["readings"] = readings(*sheet.entry);
  document["curve"] = {{"variable", text_or_null(sheet.curve.variable)}, {"lines", Json::array()}};
  for (const auto& line : sheet.curve.lines) {
    Json values = Json::array();
    for (const double value : line.value) {
      values.push_back(number(value));
    }
    document["curve"]["lines"].push_back({{"name", line.name},
                                          {with_unit("x", sheet.curve.dimension), line.x},
                                          {"values", std::move(values)},
                                          {with_unit("node_x", sheet.curve.dimension), line.node_x},
                                          {"node_values", line.node_value}});
  }
  document["sources"] = Json::array();
  for (const fitting::DataSet& set : sheet.entry->data) {
    const auto source = catalogue.source(set.source);
    document["sources"].push_back({{"data_set", set.key},
                                   {"role", fitting::word(set.role)},
                                   {"status", fitting::word(set.status)},
                                   {"source", set.source},
                                   {"title", source ? text_or_null(source->title) : Json(nullptr)},
                                   {"location", text_or_null(set.location)}});
  }
  return document;
}

}  // namespace ductledger::document
