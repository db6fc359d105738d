#pragma once

#include <utility>

#include "result/figures.hpp"
#include "study/check.hpp"

/// A result put together by hand, for tests of the views: every figure is invented.
namespace ductledger::test {

inline duct::Section round_inches(double inches) {
  return duct::Section::round(units::metres(inches * 0.0254));
}

inline layout::Piece piece(layout::PieceKind kind, const duct::Section& section) {
  layout::Piece out(kind);
  out.upstream = section;
  out.downstream = section;
  return out;
}

inline solve::LedgerRow row(int number, std::string word, double loss_pa) {
  solve::LedgerRow out;
  out.number = number;
  out.piece = std::move(word);
  out.loss_pa = loss_pa;
  out.piece_index = number > 0 ? number - 1 : -1;
  const duct::Section eight = duct::Section::round(units::inches(8.0));
  out.sections = duct::SectionPair{eight, eight};
  out.velocity_m_s = number > 0 ? 6.0 : 0.0;
  out.velocity_pressure_pa = number > 0 ? 21.6 : 0.0;
  out.coefficient = number > 0 ? loss_pa / 21.6 : 0.0;
  out.share = number > 0 ? loss_pa / 50.0 : 0.0;
  out.line = number > 0 ? 30 + number : 0;
  out.column = 7;
  return out;
}

/// What a check works out from the rest of its result, again after a test changed that.
inline study::CheckResult settled(study::CheckResult result) {
  for (result::SpeedResult& speed : result.speeds) {
    speed.figures = result::figures(speed, result.run);
  }
  result.curves = study::curves(result);
  result.profile = study::profile(result);
  return result;
}

inline study::CheckResult invented_result() {
  const duct::Section eight = round_inches(8.0);
  layout::Layout layout;
  layout.run.first_section = eight;
  layout.run.pieces = {piece(layout::PieceKind::straight, eight),
                       piece(layout::PieceKind::elbow, eight),
                       piece(layout::PieceKind::cap, eight)};
  layout.file = "invented.yaml";
  layout.title = "Invented run";
  layout.sha256 = "00ff";
  layout.appliance.required_airflow_m3_s = 0.15;
  layout.fan = layout::Fan{};

  solve::CompiledRun compiled;
  compiled.fan_inlet = eight;
  compiled.fan_outlet = eight;
  compiled.collar = eight;
  compiled.air.density_kg_m3 = 1.20138;
  compiled.outlet_dynamic_pa_s2_m6 = 500.0;

  solve::Ledger ledger;
  ledger.airflow_m3_s = 0.2;
  ledger.collar_static_pressure_pa = 30.0;
  ledger.rows = {
      row(-1, "fan", -50.0), row(1, "straight", 5.0), row(2, "elbow", 15.0), row(3, "cap", 30.0)};
  ledger.rows[1].length_m = 3.0;
  ledger.rows[2].type = "gored-5";
  ledger.rows[2].type_defaulted = true;
  ledger.rows[3].type = "conical-rain-cap";
  ledger.rows[3].entry = "stated";

  result::SpeedResult high;
  high.name = "high";
  high.point.status = solve::Status::found;
  high.point.stable = true;
  high.point.airflow_m3_s = 0.2;
  high.point.total_pressure_pa = 50.0;
  high.rated = solve::RatedAirflow{0.25, 0.0, solve::RatedAirflow::Basis::free_air};
  high.ledger = ledger;
  high.airflow_band_m3_s = result::Band{0.18, 0.22};

  study::CheckResult result;
  result.layout = layout;
  result.run = compiled;
  result.speeds = {high};
  result.headline = 0;
  result.requirement =
      result::Requirement{.required_m3_s = 0.15, .state = result::Requirement::State::met, .by = 0};
  result.ledger_speed = 0;
  result.requirement =
      result::Requirement{.required_m3_s = 0.15, .state = result::Requirement::State::met, .by = 0};
  result.cautions = {"Power off and locked before work."};
  return settled(std::move(result));
}

inline findings::Finding finding(findings::Level level, std::string code) {
  findings::Finding out;
  out.level = level;
  out.code = std::move(code);
  out.message = {"{} is seen where {} is the bound",
                 {{0.2, units::Dimension::airflow}, {0.15, units::Dimension::airflow}}};
  out.source = "common practice";
  out.span.line = 12;
  out.span.column = 3;
  out.observed = {{"airflow_m3_s", 0.2}};
  return out;
}

}  // namespace ductledger::test
