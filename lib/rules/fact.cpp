#include "rules/fact.hpp"

#include <algorithm>
#include <limits>
#include <sstream>

#include "base/text.hpp"
#include "findings/finding_internal.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/facts.hpp"
#include "rules/arithmetic.hpp"
#include "rules/judge_internal.hpp"

namespace ductledger::rules {
namespace {

using layout::Draft;
using layout::PieceKind;
using units::Dimension;
using Values = std::vector<FactValue>;

FactValue value_of(double si, const base::Span& span = {}) {
  FactValue value;
  value.si = si;
  value.span = span;
  return value;
}

FactValue word_of(std::string word, const base::Span& span = {}) {
  FactValue value;
  value.word = std::move(word);
  value.span = span;
  return value;
}

enum class Answer { no, yes };
FactValue answer_of(Answer answer, const base::Span& span = {}) {
  FactValue value;
  value.yes = answer == Answer::yes;
  value.span = span;
  return value;
}

base::Span speed_span(const result::Case& subject, const result::SpeedResult& speed) {
  return subject.layout->fan->speeds[speed.index].span;
}

/// The highest speed that can run; where nothing is known of it, the strongest that is known: a
/// speed without an answer hides none.
const result::SpeedResult* answering_speed(const result::Case& subject) {
  const result::SpeedResult* speed = findings::headline(subject);
  if (speed == nullptr || findings::greatest_airflow_m3_s(*speed) ||
      speed->point.status == solve::Status::no_flow) {
    return speed;
  }
  for (const result::SpeedResult& one : subject.speeds) {
    const auto moved_m3_s = findings::greatest_airflow_m3_s(one);
    if (!one.locked_out && moved_m3_s &&
        *moved_m3_s > findings::greatest_airflow_m3_s(*speed).value_or(0.0)) {
      speed = &one;
    }
  }
  return speed;
}

Values delivered_airflow(const result::Case& subject) {
  const result::SpeedResult* speed = answering_speed(subject);
  if (speed == nullptr) {
    return {};
  }
  FactValue value = value_of(speed->point.airflow_m3_s, speed_span(subject, *speed));
  if (result::on_assumed_shape(subject, *speed)) {
    value.basis = Basis::assumed;
  }
  switch (speed->point.status) {
    case solve::Status::found:
      value.band = result::band_of(*speed);
      return {value};
    case solve::Status::beyond_curve:
    case solve::Status::below_curve:
      value.si = solve::best_airflow_m3_s(speed->point);
      value.band = result::band_of(*speed);
      value.is_bound = true;
      return {value};
    case solve::Status::no_flow:
      value.si = 0.0;
      return {value};
    default:
      return {};
  }
}

Values rated_airflow(const result::Case& subject) {
  Values values;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (!speed.locked_out && speed.rated &&
        (values.empty() || speed.rated->airflow_m3_s > values.front().si)) {
      values = {value_of(speed.rated->airflow_m3_s, speed_span(subject, speed))};
    }
  }
  return values;
}

Values nameplate_airflow(const result::Case& subject) {
  const layout::Appliance& appliance = subject.layout->appliance;
  return appliance.nameplate_airflow_m3_s
             ? Values{value_of(*appliance.nameplate_airflow_m3_s, appliance.nameplate_span)}
             : Values{};
}

/// Of every speed that can run, so that a speed more hides none.
Values rating_pressure(const result::Case& subject) {
  Values values;
  for (const result::SpeedResult& speed : subject.speeds) {
    if (speed.locked_out) {
      continue;
    }
    for (const layout::Rating& rating : subject.layout->fan->speeds[speed.index].ratings) {
      values.push_back(value_of(rating.pressure_pa, rating.span));
    }
  }
  return values;
}

Values kitchen_air_changes(const result::Case& subject) {
  const std::optional<double> volume_m3 = subject.layout->facts.value("dwelling.kitchen_volume");
  Values values = delivered_airflow(subject);
  if (!volume_m3 || values.empty()) {
    return {};
  }
  const double per_hour = 3600.0 / *volume_m3;
  values.front().si *= per_hour;
  if (values.front().band) {
    values.front().band->low *= per_hour;
    values.front().band->high *= per_hour;
  }
  return values;
}

Values discharge(const result::Case& subject) {
  return {word_of(findings::discharges_into_room(subject) ? "room" : "outdoors",
                  subject.layout->run.span)};
}

Values appliance_kind(const result::Case& subject) {
  return {word_of(layout::word(subject.layout->appliance.kind), subject.layout->appliance.span)};
}

fitting::Traits traits_of(const result::Case& subject, const layout::Piece& piece) {
  return layout::traits_of(piece, *subject.catalogue);
}

Values stated_values(const layout::FactKey& key, const result::Case& subject) {
  const layout::StatedFact* fact = subject.layout->facts.find(key.path);
  if (fact == nullptr) {
    return {};
  }
  FactValue value = value_of(fact->value_si, fact->span);
  value.yes = fact->yes;
  if (fact->words.empty()) {
    return {value};
  }
  Values values;
  for (const std::string& word : fact->words) {
    value.word = word;
    values.push_back(value);
  }
  return values;
}

Values stated_values(const char* path, const result::Case& subject) {
  const layout::FactKey* key = layout::fact_key(path);
  DUCTLEDGER_EXPECTS(key != nullptr);
  return stated_values(*key, subject);
}

const layout::Piece* last_cap(const result::Case& subject) {
  const auto& pieces = subject.layout->run.pieces;
  return !pieces.empty() && pieces.back().kind == PieceKind::cap ? &pieces.back() : nullptr;
}

Values termination_place(const result::Case& subject) {
  Values stated = stated_values("run.termination.place", subject);
  if (!stated.empty()) {
    return stated;
  }
  const layout::Piece* cap = last_cap(subject);
  if (findings::discharges_into_room(subject)) {
    return {word_of("inside", subject.layout->run.span)};
  }
  if (cap == nullptr || cap->type.empty() || subject.run->pieces.empty()) {
    return {};  // a cap whose type was not stated shows no place
  }
  const auto outlet = traits_of(subject, *cap).outlet;
  const auto only = outlet ? outlet->only() : std::nullopt;
  return only ? Values{word_of(fitting::word(*only), cap->span)} : Values{};
}

Values termination_damper(const result::Case& subject) {
  Values stated = stated_values("run.termination.damper", subject);
  const layout::Piece* cap = last_cap(subject);
  if (cap != nullptr && !cap->type.empty() && traits_of(subject, *cap).shuts_by_itself()) {
    return {answer_of(Answer::yes, cap->span)};
  }
  return stated;
}

Values backdraft_damper(const result::Case& subject) {
  const layout::Appliance& appliance = subject.layout->appliance;
  bool not_said = false;  // a cap or damper of the user's own that does not say what shuts it
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const layout::Piece* stated = findings::piece_of(subject, piece);
    if (stated == nullptr) {
      continue;
    }
    const fitting::Traits traits = traits_of(subject, *stated);
    const bool chosen = stated->kind == PieceKind::cap || stated->states("type");
    if (chosen && traits.shuts_by_itself()) {
      return {answer_of(Answer::yes, stated->span)};
    }
    const bool can_shut = stated->kind == PieceKind::cap || stated->kind == PieceKind::damper;
    not_said = not_said || (can_shut && !traits.flap);
  }
  if (appliance.includes_damper) {
    return {answer_of(Answer::yes, appliance.span)};
  }
  Values at_end = termination_damper(subject);
  if (!at_end.empty() && at_end.front().yes) {
    return at_end;
  }
  // The pieces are known; what stands inside the appliance only where it is stated.
  if (appliance.includes_stated && !not_said) {
    return {answer_of(Answer::no, subject.layout->run.span)};
  }
  return {};
}

bool is_duct(const layout::Piece& piece) {
  return piece.kind == PieceKind::straight || piece.kind == PieceKind::flex;
}

bool default_taken(const result::Case& subject, std::string_view what) {
  const auto& defaults = subject.layout->defaults;
  return std::any_of(defaults.begin(), defaults.end(), [&](const layout::DefaultTaken& taken) {
    return taken.what == what;
  });
}

/// The roughness table tells makes of one metal apart, rules do not.
std::string metal_word(const std::string& material) {
  return material.rfind("galvanized", 0) == 0 ? "galvanized-steel" : material;
}

bool in_view(const layout::Piece& piece) {
  const std::string& through = piece.around().through;
  return through.empty() || through == "conditioned" || through == "garage";
}

Values duct_material(const result::Case& subject) {
  const bool run_states_none = default_taken(subject, "run.material");
  const std::vector<layout::Piece>& pieces = subject.layout->run.pieces;
  const layout::Piece* transition = findings::transition_duct(subject);
  Values values;
  for (const layout::Piece& piece : pieces) {
    if (piece.kind == PieceKind::flex && &piece != transition) {
      // A dryer's transition duct has rules of its own.
      values.push_back(word_of("flexible-nonmetallic", piece.span));
    }
    if (piece.kind != PieceKind::straight) {
      continue;
    }
    const auto own = piece.key_spans.find("material");
    if (piece.material.empty() || (run_states_none && own == piece.key_spans.end())) {
      return {};
    }
    values.push_back(word_of(metal_word(piece.material),
                             own == piece.key_spans.end() ? piece.span : own->second));
  }
  return values;
}

/// Whether an appliance is one that returns its air: only where that is stated, and only for air
/// that stays in the room. A duct that ends in an attic is none, whatever else is stated.
Values returns_its_air(const result::Case& subject, layout::ApplianceKind kind) {
  if (subject.layout->appliance.kind != kind) {
    return {answer_of(Answer::no)};
  }
  const Values place = termination_place(subject);
  if (!place.empty() && place.front().word != "inside") {
    return {answer_of(Answer::no, place.front().span)};
  }
  Values stated = stated_values("appliance.ductless", subject);
  const bool hood_to_room =
      kind == layout::ApplianceKind::range_hood && findings::discharges_into_room(subject);
  if (stated.empty() && !hood_to_room) {
    return {answer_of(Answer::no)};
  }
  return stated;
}
Values ductless_hood(const result::Case& subject) {
  return returns_its_air(subject, layout::ApplianceKind::range_hood);
}
Values ductless_dryer(const result::Case& subject) {
  return returns_its_air(subject, layout::ApplianceKind::clothes_dryer);
}

Values transition_duct(const result::Case& subject) {
  if (const layout::Piece* piece = findings::transition_duct(subject)) {
    return {answer_of(Answer::yes, piece->span)};
  }
  for (const char* path : {"run.transition_duct.length",
                           "run.transition_duct.pieces",
                           "run.transition_duct.listing",
                           "run.transition_duct.concealed"}) {
    const Values values = stated_values(path, subject);
    if (!values.empty()) {
      return {answer_of(Answer::yes, values.front().span)};
    }
  }
  return {answer_of(Answer::no)};
}

Values transition_duct_length(const result::Case& subject) {
  Values stated = stated_values("run.transition_duct.length", subject);
  const layout::Piece* piece = findings::transition_duct(subject);
  if (stated.empty() && piece != nullptr && piece->length_m) {
    return {value_of(*piece->length_m, piece->span)};
  }
  return stated;
}

Values transition_duct_concealed(const result::Case& subject) {
  const layout::Piece* piece = findings::transition_duct(subject);
  if (piece != nullptr && !in_view(*piece)) {
    return {answer_of(Answer::yes, piece->span)};
  }
  return stated_values("run.transition_duct.concealed", subject);
}

/// A screen where the duct ends: stated, or a piece of the run.
Values termination_screen(const result::Case& subject) {
  for (const layout::Piece& piece : subject.layout->run.pieces) {
    if (piece.kind == PieceKind::screen) {
      return {answer_of(Answer::yes, piece.span)};
    }
  }
  return stated_values("run.termination.screen", subject);
}

Values flexible_duct(const result::Case& subject) {
  const layout::Piece* transition = findings::transition_duct(subject);
  for (const solve::CompiledPiece& piece : subject.run->pieces) {
    const layout::Piece* stated = findings::piece_of(subject, piece);
    if (stated != nullptr && stated != transition &&
        (stated->kind == PieceKind::flex ||
         traits_of(subject, *stated).is(fitting::Make::flexible))) {
      return {answer_of(Answer::yes, stated->span)};
    }
  }
  return {answer_of(Answer::no)};
}

bool is_metal(const std::string& material) {
  return material != "pvc" && material != "flexible-nonmetallic";
}

Values metal_duct(const result::Case& subject) {
  const Values materials = duct_material(subject);
  for (const FactValue& material : materials) {
    if (!is_metal(material.word)) {
      return {answer_of(Answer::no, material.span)};
    }
  }
  return materials.empty() ? Values{} : Values{answer_of(Answer::yes, materials.front().span)};
}

Values smooth_inside(const result::Case& subject) {
  Values flexible = flexible_duct(subject);
  if (flexible.front().yes) {
    return {answer_of(Answer::no, flexible.front().span)};
  }
  for (const layout::Piece& piece : subject.layout->run.pieces) {
    if (piece.kind == PieceKind::straight &&
        (piece.material.find("ribbed") != std::string::npos ||
         piece.material.find("corrugated") != std::string::npos)) {
      return {answer_of(Answer::no, piece.span)};
    }
  }
  return stated_values("run.construction.smooth_inside", subject);
}

Values duct_thickness(const result::Case& subject) {
  Values stated = stated_values("run.construction.thickness", subject);
  if (!stated.empty()) {
    return stated;
  }
  for (const FactValue& gauge : stated_values("run.construction.gauge", subject)) {
    if (const auto thickness_m = layout::sheet_thickness_m(static_cast<int>(gauge.si))) {
      return {value_of(*thickness_m, gauge.span)};
    }
  }
  return {};
}

Values duct_size(const result::Case& subject) {
  Values values;
  for (const layout::Piece& piece : subject.layout->run.pieces) {
    if (is_duct(piece)) {
      values.push_back(
          value_of(std::max(piece.upstream.width_m(), piece.upstream.height_m()), piece.span));
    }
  }
  return values;
}

Values passes(const result::Case& subject) {
  Values values;
  for (const layout::Piece& piece : subject.layout->run.pieces) {
    if (!is_duct(piece)) {
      continue;
    }
    if (piece.around().through.empty()) {
      return {};
    }
    values.push_back(word_of(piece.around().through, piece.span));
  }
  return values;
}

Values through_garage(const result::Case& subject) {
  bool all_stated = true;
  for (const layout::Piece& piece : subject.layout->run.pieces) {
    if (piece.around().through == "garage") {
      return {answer_of(Answer::yes, piece.span)};
    }
    all_stated = all_stated && (!is_duct(piece) || !piece.around().through.empty());
  }
  return all_stated ? Values{answer_of(Answer::no)} : Values{};
}

Values dryer_equivalent_length(const result::Case& subject) {
  const std::optional<double> length_m = dryer_equivalent_length_m(subject);
  return length_m ? Values{value_of(*length_m, subject.layout->run.span)} : Values{};
}

Values fan_in_duct(const result::Case& subject) {
  const auto& at = subject.layout->run.fan_piece;
  return {at ? answer_of(Answer::yes, subject.layout->run.pieces[*at].span)
             : answer_of(Answer::no)};
}

Values airflow_measured(const result::Case& subject) {
  for (const layout::Measurement& reading : subject.layout->measurements) {
    if (reading.airflow_m3_s) {
      return {answer_of(Answer::yes, reading.span)};
    }
  }
  return {answer_of(Answer::no)};
}

Values smallest_size_ratio(const result::Case& subject) {
  const layout::Layout& layout = *subject.layout;
  if (!layout.appliance.collar || layout.run.pieces.empty()) {
    return {};
  }
  const double collar_m2 = layout.appliance.collar->area_m2();
  FactValue smallest =
      value_of(layout.run.first_section.area_m2() / collar_m2, layout.run.section_span);
  for (const layout::Piece& piece : layout.run.pieces) {
    const double ratio = piece.downstream.area_m2() / collar_m2;
    if (ratio < smallest.si) {
      smallest = value_of(ratio, piece.span);
    }
  }
  return {smallest};
}

const layout::Cooking* cooking(const result::Case& subject) {
  const auto& stated = subject.layout->appliance.cooking;
  return stated ? &*stated : nullptr;
}

Values cooking_fuel(const result::Case& subject) {
  const layout::Cooking* cook = cooking(subject);
  if (cook == nullptr || cook->fuel.empty()) {
    return {};
  }
  const std::string fuel = base::canonical_word(cook->fuel);
  const bool gas =
      fuel.find("gas") != std::string::npos || fuel.find("propane") != std::string::npos;
  const bool electric = fuel.find("electric") != std::string::npos || fuel == "induction";
  return {word_of(gas ? "gas" : electric ? "electric" : "other", cook->span)};
}

Values cooking_mount(const result::Case& subject) {
  static constexpr std::array<const char*, 4> kMounts{
      "wall", "island", "under-cabinet", "downdraft"};
  const layout::Cooking* cook = cooking(subject);
  return cook == nullptr || !cook->mount
             ? Values{}
             : Values{word_of(kMounts.at(static_cast<std::size_t>(*cook->mount)), cook->span)};
}

Values hood_height(const result::Case& subject) {
  const layout::Cooking* cook = cooking(subject);
  return cook == nullptr || !cook->hood_height_m
             ? Values{}
             : Values{value_of(*cook->hood_height_m, cook->span)};
}

Values hood_width(const result::Case& subject) {
  const layout::Cooking* cook = cooking(subject);
  return cook == nullptr || !cook->width_m ? Values{}
                                           : Values{value_of(*cook->width_m, cook->span)};
}

Values floor_area(const result::Case& subject) {
  Values stated = stated_values("dwelling.floor_area", subject);
  const auto& house = subject.layout->house;
  if (stated.empty() && house && house->floor_area_m2) {
    return {value_of(*house->floor_area_m2, house->span)};
  }
  return stated;
}

bool by_draft(Draft draft) { return draft == Draft::natural || draft == Draft::solid_fuel; }

Values natural_draft_inside(const result::Case& subject) {
  const auto& house = subject.layout->house;
  if (!house || !house->combustion_stated) {
    return {};
  }
  for (const layout::CombustionAppliance& appliance : house->combustion) {
    if (appliance.inside_air_barrier && by_draft(appliance.draft)) {
      return {answer_of(Answer::yes, appliance.span)};
    }
  }
  return {answer_of(Answer::no, house->span)};
}

Values fuel_burning_inside(const result::Case& subject) {
  const auto& house = subject.layout->house;
  if (!house || !house->combustion_stated) {
    return {};
  }
  for (const layout::CombustionAppliance& appliance : house->combustion) {
    if (appliance.inside_air_barrier) {
      return {answer_of(Answer::yes, appliance.span)};
    }
  }
  return {answer_of(Answer::no, house->span)};
}

Values depressurisation(const result::Case& subject) {
  const result::SpeedResult* speed = findings::headline(subject);
  if (speed == nullptr || !speed->house || !speed->house->coupled || !speed->house->band) {
    return {};
  }
  FactValue value = value_of(speed->house->judged_depressurisation_pa, subject.layout->house->span);
  value.band = result::Band{speed->house->band->low_pa, speed->house->band->high_pa};
  return {value};
}

bool makeup_stated(const result::Case& subject) {
  const auto& house = subject.layout->house;
  return house && house->makeup.span.line > 0;
}

Values makeup_kind(const result::Case& subject) {
  if (!makeup_stated(subject)) {
    return {};
  }
  const layout::Makeup& makeup = subject.layout->house->makeup;
  return {word_of(layout::word(makeup.kind), makeup.span)};
}

/// Whether the file states makeup air; a question about the file, so it always has an answer.
Values makeup_provided(const result::Case& subject) {
  if (!makeup_stated(subject)) {
    return {answer_of(Answer::no)};
  }
  const layout::Makeup& makeup = subject.layout->house->makeup;
  return {
      answer_of(makeup.kind == layout::MakeupKind::none ? Answer::no : Answer::yes, makeup.span)};
}

/// Stated as a fact, or by the makeup air's own key; a default shows nothing.
Values makeup_opens_with_exhaust(const result::Case& subject) {
  Values stated = stated_values("house.makeup.opens_with_exhaust", subject);
  if (!makeup_stated(subject)) {
    return stated;
  }
  const layout::Makeup& makeup = subject.layout->house->makeup;
  if (makeup.interlock_stated && (!makeup.interlocked || stated.empty())) {
    return {answer_of(makeup.interlocked ? Answer::yes : Answer::no, makeup.span)};
  }
  return stated;
}

// --- the place and the answers ---------------------------------------------------------------

Values elevation(const result::Case& subject) {
  if (default_taken(subject, "site") || default_taken(subject, "site.elevation")) {
    return {};
  }
  FactValue value = value_of(subject.layout->site.elevation_m);
  value.basis = Basis::stated;
  return {value};
}

Values outdoor_temperature(const result::Case& subject) {
  const layout::Site& site = subject.layout->site;
  if (!site.outdoor_stated || default_taken(subject, "site.outdoor.temperature")) {
    return {};
  }
  FactValue value = value_of(site.outdoor.temperature_k);
  value.basis = Basis::stated;
  return {value};
}

Values required_airflow(const result::Case& subject) {
  const layout::Appliance& appliance = subject.layout->appliance;
  return appliance.required_airflow_m3_s
             ? Values{value_of(*appliance.required_airflow_m3_s, appliance.required_span)}
             : Values{};
}

/// The headline speed where its operating point was found.
const result::SpeedResult* found_speed(const result::Case& subject) {
  const result::SpeedResult* speed = findings::headline(subject);
  return speed != nullptr && speed->point.status == solve::Status::found && speed->ledger ? speed
                                                                                          : nullptr;
}

/// A figure that goes with the airflow, at the airflow and at the ends of its band.
FactValue along_airflow(const result::SpeedResult& speed, double per_m3_s) {
  FactValue value = value_of(speed.point.airflow_m3_s * per_m3_s);
  if (const auto band = result::band_of(speed)) {
    value.band = result::Band{band->low * per_m3_s, band->high * per_m3_s};
  }
  return value;
}

Values share_of_rated(const result::Case& subject) {
  const result::SpeedResult* speed = found_speed(subject);
  return speed != nullptr && speed->rated && speed->rated->airflow_m3_s > 0.0
             ? Values{along_airflow(*speed, 1.0 / speed->rated->airflow_m3_s)}
             : Values{};
}

Values duct_velocity(const result::Case& subject) {
  const result::SpeedResult* speed = found_speed(subject);
  double least_m2 = 0.0;
  for (const layout::Piece& piece : subject.layout->run.pieces) {
    if (is_duct(piece)) {
      const double area_m2 = piece.upstream.area_m2();
      least_m2 = least_m2 > 0.0 ? std::min(least_m2, area_m2) : area_m2;
    }
  }
  return speed != nullptr && least_m2 > 0.0 ? Values{along_airflow(*speed, 1.0 / least_m2)}
                                            : Values{};
}

Values collar_static_pressure(const result::Case& subject) {
  const result::SpeedResult* speed = found_speed(subject);
  return speed != nullptr ? Values{value_of(speed->ledger->collar_static_pressure_pa)} : Values{};
}

Values run_equivalent_length(const result::Case& subject) {
  const result::SpeedResult* speed = found_speed(subject);
  const auto length_m = speed != nullptr ? equivalent_length_m(subject, speed->point.airflow_m3_s)
                                         : std::optional<double>();
  return length_m ? Values{value_of(*length_m)} : Values{};
}

std::vector<std::string> split(std::string_view text) {
  std::istringstream stream{std::string(text)};
  std::vector<std::string> words;
  for (std::string word; stream >> word;) {
    words.push_back(word);
  }
  return words;
}

/// A row of the facts that are worked out.
struct Row {
  const char* name;
  const char* noun;
  FactKind kind;
  Dimension dimension;
  const char* words;
  const char* key;
  const char* example;
  Values (*read)(const result::Case&);
};

constexpr auto kWorkedOut = std::to_array<Row>({
    {"appliance-kind",
     "appliance",
     FactKind::word,
     Dimension::number,
     "range-hood bath-fan clothes-dryer exhaust",
     "appliance.kind",
     "range-hood",
     appliance_kind},
    {"discharge",
     "discharge",
     FactKind::word,
     Dimension::number,
     "outdoors room",
     "run.discharge",
     "outdoors",
     discharge},
    {"delivered-airflow",
     "delivered airflow",
     FactKind::quantity,
     Dimension::airflow,
     "",
     "fan.speeds",
     "[{name: high, curve: {airflow: 0 250 600 cfm, pressure: 0.9 0.6 0 inH2O}}]",
     delivered_airflow},
    {"rated-airflow",
     "rated airflow",
     FactKind::quantity,
     Dimension::airflow,
     "",
     "fan.speeds",
     "[{name: high, rated: {airflow: 600 cfm, pressure: 0.1 inH2O}}]",
     rated_airflow},
    {"nameplate-airflow",
     "nameplate airflow",
     FactKind::quantity,
     Dimension::airflow,
     "",
     "appliance.nameplate_airflow",
     "600 cfm",
     nameplate_airflow},
    {"rating-pressure",
     "pressure of the airflow rating",
     FactKind::quantity,
     Dimension::pressure,
     "",
     "fan.speeds",
     "[{name: on, rated: {airflow: 80 cfm, pressure: 0.25 inH2O}}]",
     rating_pressure},
    {"kitchen-air-changes",
     "air changes of the kitchen an hour",
     FactKind::quantity,
     Dimension::number,
     "",
     "dwelling.kitchen_volume",
     "960 ft3",
     kitchen_air_changes},
    {"cooking-fuel",
     "cooking fuel",
     FactKind::word,
     Dimension::number,
     "gas electric other",
     "appliance.cooking.fuel",
     "gas",
     cooking_fuel},
    {"hood-mount",
     "hood mounting",
     FactKind::word,
     Dimension::number,
     "wall island under-cabinet downdraft",
     "appliance.cooking.mount",
     "wall",
     cooking_mount},
    {"hood-height",
     "hood bottom above the cooktop",
     FactKind::quantity,
     Dimension::length,
     "",
     "appliance.cooking.hood_height",
     "30 in",
     hood_height},
    {"hood-width",
     "hood width",
     FactKind::quantity,
     Dimension::length,
     "",
     "appliance.cooking.width",
     "36 in",
     hood_width},
    {"duct-material",
     "duct material",
     FactKind::word,
     Dimension::number,
     "galvanized-steel stainless-steel copper aluminium steel pvc drawn-tubing spiral-corrugated "
     "flexible-nonmetallic flexible-metallic",
     "run.material",
     "galvanized-steel",
     duct_material},
    {"metal-duct",
     "duct of metal throughout",
     FactKind::yes_no,
     Dimension::number,
     "",
     "run.material",
     "galvanized-steel",
     metal_duct},
    {"ductless-hood",
     "hood made to return its air",
     FactKind::yes_no,
     Dimension::number,
     "",
     "appliance.ductless",
     "no",
     ductless_hood},
    {"ductless-dryer",
     "dryer made to return its air",
     FactKind::yes_no,
     Dimension::number,
     "",
     "appliance.ductless",
     "no",
     ductless_dryer},
    {"transition-duct",
     "transition duct at the dryer",
     FactKind::yes_no,
     Dimension::number,
     "",
     "run.transition_duct.length",
     "4 ft",
     transition_duct},
    {"transition-duct-length",
     "length of the transition duct",
     FactKind::quantity,
     Dimension::length,
     "",
     "run.transition_duct.length",
     "4 ft",
     transition_duct_length},
    {"transition-duct-concealed",
     "transition duct concealed",
     FactKind::yes_no,
     Dimension::number,
     "",
     "run.transition_duct.concealed",
     "no",
     transition_duct_concealed},
    {"termination-screen",
     "screen at the outlet",
     FactKind::yes_no,
     Dimension::number,
     "",
     "run.termination.screen",
     "no",
     termination_screen},
    {"flexible-duct",
     "flexible duct in the run",
     FactKind::yes_no,
     Dimension::number,
     "",
     "run.pieces",
     "",
     flexible_duct},
    {"smooth-inside",
     "duct smooth inside",
     FactKind::yes_no,
     Dimension::number,
     "",
     "run.construction.smooth_inside",
     "yes",
     smooth_inside},
    {"duct-thickness",
     "metal thickness of the duct",
     FactKind::quantity,
     Dimension::length,
     "",
     "run.construction.gauge",
     "26 gauge",
     duct_thickness},
    {"duct-size",
     "widest side or diameter of the duct",
     FactKind::quantity,
     Dimension::length,
     "",
     "run.section",
     "6 in round",
     duct_size},
    {"dryer-equivalent-length",
     "equivalent length of the dryer duct",
     FactKind::quantity,
     Dimension::length,
     "",
     "",
     "",
     dryer_equivalent_length},
    {"fan-in-duct",
     "fan in the duct",
     FactKind::yes_no,
     Dimension::number,
     "",
     "run.pieces",
     "",
     fan_in_duct},
    {"airflow-measured",
     "airflow measured as installed",
     FactKind::yes_no,
     Dimension::number,
     "",
     "measurements",
     "[{speed: high, airflow: 95 cfm}]",
     airflow_measured},
    {"smallest-size-ratio",
     "smallest duct area over collar area",
     FactKind::quantity,
     Dimension::number,
     "",
     "appliance.collar",
     "8 in round",
     smallest_size_ratio},
    {"passes",
     "where the duct runs",
     FactKind::word,
     Dimension::number,
     "ceiling roof wall stud-bay joist-bay attic crawl-space chase garage conditioned",
     "run.pieces: straight.through",
     "conditioned",
     passes},
    {"through-garage",
     "duct through a garage",
     FactKind::yes_no,
     Dimension::number,
     "",
     "run.pieces: straight.through",
     "conditioned",
     through_garage},
    {"backdraft-damper",
     "backdraft damper",
     FactKind::yes_no,
     Dimension::number,
     "",
     "appliance.includes",
     "[damper]",
     backdraft_damper},
    {"termination-place",
     "place of the outlet",
     FactKind::word,
     Dimension::number,
     "wall roof soffit ridge-vent attic crawl-space inside garage",
     "run.termination.place",
     "wall",
     termination_place},
    {"termination-damper",
     "damper at the outlet",
     FactKind::yes_no,
     Dimension::number,
     "",
     "run.termination.damper",
     "yes",
     termination_damper},
    {"floor-area",
     "floor area",
     FactKind::quantity,
     Dimension::area,
     "",
     "dwelling.floor_area",
     "1800 ft2",
     floor_area},
    {"natural-draft-inside",
     "natural-draft appliance inside the air barrier",
     FactKind::yes_no,
     Dimension::number,
     "",
     "house.combustion",
     "[{kind: natural-draft-water-heater, inside_air_barrier: yes}]",
     natural_draft_inside},
    {"fuel-burning-inside",
     "fuel-burning appliance inside the air barrier",
     FactKind::yes_no,
     Dimension::number,
     "",
     "house.combustion",
     "[{kind: natural-draft-water-heater, inside_air_barrier: yes}]",
     fuel_burning_inside},
    {"depressurisation",
     "depressurisation of the house",
     FactKind::quantity,
     Dimension::pressure,
     "",
     "house.leakage",
     "{airflow: 1500 cfm, at: 50 Pa}",
     depressurisation},
    {"makeup-kind",
     "makeup air",
     FactKind::word,
     Dimension::number,
     "none passive-opening powered duct",
     "house.makeup",
     "{kind: passive-opening, section: 8 in round}",
     makeup_kind},
    {"makeup-opens-with-exhaust",
     "makeup air opens and starts with the exhaust",
     FactKind::yes_no,
     Dimension::number,
     "",
     "house.makeup.opens_with_exhaust",
     "yes",
     makeup_opens_with_exhaust},
    {"makeup-provided",
     "makeup air stated in the file",
     FactKind::yes_no,
     Dimension::number,
     "",
     "house.makeup",
     "{kind: passive-opening, section: 8 in round}",
     makeup_provided},
    {"elevation",
     "elevation of the site",
     FactKind::quantity,
     Dimension::length,
     "",
     "site.elevation",
     "1200 ft",
     elevation},
    {"outdoor-temperature",
     "outdoor temperature",
     FactKind::quantity,
     Dimension::temperature,
     "",
     "site.outdoor.temperature",
     "10 degF",
     outdoor_temperature},
    {"required-airflow",
     "required airflow",
     FactKind::quantity,
     Dimension::airflow,
     "",
     "appliance.required_airflow",
     "300 cfm",
     required_airflow},
    {"share-of-rated",
     "delivered share of the rated airflow",
     FactKind::quantity,
     Dimension::ratio,
     "",
     "fan.speeds",
     "[{name: high, rated: {airflow: 600 cfm, pressure: 0.1 inH2O}}]",
     share_of_rated},
    {"duct-velocity",
     "greatest velocity in the duct",
     FactKind::quantity,
     Dimension::velocity,
     "",
     "fan.speeds",
     "[{name: high, rated: {airflow: 600 cfm, pressure: 0.1 inH2O}}]",
     duct_velocity},
    {"collar-static-pressure",
     "static pressure at the collar",
     FactKind::quantity,
     Dimension::pressure,
     "",
     "fan.speeds",
     "[{name: high, rated: {airflow: 600 cfm, pressure: 0.1 inH2O}}]",
     collar_static_pressure},
    {"equivalent-length",
     "equivalent length of the run",
     FactKind::quantity,
     Dimension::length,
     "",
     "fan.speeds",
     "[{name: high, rated: {airflow: 600 cfm, pressure: 0.1 inH2O}}]",
     run_equivalent_length},
});

/// Worked-out facts that are calculated; the others are read off what the file states.
constexpr auto kCalculated = std::to_array<std::string_view>({"delivered-airflow",
                                                              "rated-airflow",
                                                              "kitchen-air-changes",
                                                              "dryer-equivalent-length",
                                                              "smallest-size-ratio",
                                                              "depressurisation",
                                                              "share-of-rated",
                                                              "duct-velocity",
                                                              "collar-static-pressure",
                                                              "equivalent-length"});

/// What a reader calls a fact, where its key alone does not say it.
struct Spoken {
  std::string_view name;
  std::string_view words;
};
constexpr auto kSpoken = std::to_array<Spoken>({
    {"depressurisation", "depressurization of the house"},
    {"appliance.listing", "listing of the appliance"},
    {"appliance.airflow_test", "test behind the rated airflow"},
    {"appliance.built_into", "what the fan is built into"},
    {"appliance.ductless", "appliance made to return its air"},
    {"appliance.fuel", "fuel of the dryer"},
    {"appliance.serves", "room that the appliance serves"},
    {"appliance.operation", "operation, intermittent or continuous"},
    {"appliance.space_cooling_only", "used for space cooling alone"},
    {"appliance.instructions_on_site", "manufacturer's instructions on site"},
    {"appliance.closet", "dryer in a closet"},
    {"appliance.closet_opening", "openings into the closet"},
    {"appliance.sound.sones", "rated sound"},
    {"appliance.sound.at", "airflow of the sound rating"},
    {"appliance.maker.duct_length", "manufacturer's longest duct"},
    {"appliance.maker.elbow_length", "manufacturer's length of an elbow"},
    {"appliance.maker.duct_design", "duct by the manufacturer's own rules"},
    {"appliance.maker.hood_height_least", "manufacturer's least hood height"},
    {"appliance.maker.hood_height_greatest", "manufacturer's greatest hood height"},
    {"appliance.maker.outlet_place", "outlet placed by the manufacturer's instructions"},
    {"appliance.cooking.cooktop_width", "cooktop width"},
    {"appliance.cooking.combustible_above", "cooktop to combustible material above"},
    {"appliance.cooking.combustible_protection", "protection of combustible material above"},
    {"appliance.cooking.open_top_broiler", "open-top broiler"},
    {"appliance.cooking.hood_thickness", "metal thickness of the hood"},
    {"appliance.cooking.hood_to_combustible", "hood to combustible material"},
    {"run.concealed", "duct concealed"},
    {"run.independent", "duct joins no other exhaust system"},
    {"run.fireblocked", "openings around the duct fireblocked"},
    {"run.opening_into_garage", "duct opens into a garage"},
    {"run.power_ventilator", "listing of the power ventilator"},
    {"run.construction.seal", "seal of the joints"},
    {"run.construction.tape", "tape at the joints"},
    {"run.construction.seal_listing", "listing of the tape or sealant"},
    {"run.construction.airtight", "joints airtight"},
    {"run.construction.fasteners", "fasteners of the joints"},
    {"run.construction.fasteners_per_joint", "fasteners at a joint"},
    {"run.construction.fastener_reach", "fasteners into the air passage"},
    {"run.construction.lap", "lap of the joints"},
    {"run.construction.joint_direction", "inserted end points"},
    {"run.construction.support_spacing", "distance between supports"},
    {"run.construction.to_framing_face", "duct to the face of the framing"},
    {"run.construction.shield_plates", "shield plates"},
    {"run.construction.shield_thickness", "thickness of the shield plates"},
    {"run.termination.to_opening", "outlet to nearest opening"},
    {"run.termination.above_opening", "outlet above that opening"},
    {"run.termination.to_fixed_opening", "outlet to nearest fixed opening"},
    {"run.termination.to_mechanical_intake", "outlet to nearest mechanical intake"},
    {"run.termination.above_mechanical_intake", "outlet above that intake"},
    {"run.termination.combined_fitting", "factory-built intake and outlet in one"},
    {"run.termination.to_property_line", "outlet to property line"},
    {"run.termination.to_soffit_vent", "outlet to nearest vented soffit"},
    {"run.termination.above_grade", "outlet above grade"},
    {"run.termination.above_roof", "outlet above the roof"},
    {"run.termination.onto_walkway", "outlet aimed at a walkway"},
    {"run.termination.screen_opening", "mesh of the outlet's screen"},
    {"run.termination.open_area", "free area of the outlet"},
    {"run.termination.corrosion_resistant", "outlet's screen or louver resists corrosion"},
    {"run.termination.sheds_weather", "outlet keeps rain and snow out"},
    {"run.transition_duct.pieces", "lengths of transition duct"},
    {"run.transition_duct.listing", "listing of the transition duct"},
    {"run.label.posted", "tag with the duct's equivalent length"},
    {"run.label.equivalent_length", "equivalent length on the tag"},
    {"run.label.from_connection", "tag to the duct connection"},
    {"house.makeup.dampers", "dampers of the makeup air"},
    {"house.makeup.damper_kind", "damper of the makeup air"},
    {"house.makeup.damper_pressure", "rated drop of the makeup air damper"},
    {"house.makeup.damper_access", "makeup air damper within reach"},
    {"house.makeup.outdoor_duct", "makeup air duct from outdoors"},
    {"house.makeup.room", "room where makeup air enters"},
    {"house.makeup.permanent_opening", "permanent openings between the rooms"},
    {"dwelling.other_ventilation", "other ventilation of the kitchen"},
    {"electrical.dedicated_circuit", "dedicated circuit"},
});

std::string spoken_of(const Fact& fact) {
  const auto* const found = std::ranges::find(kSpoken, fact.name, &Spoken::name);
  return found == kSpoken.end() ? fact.noun : std::string(found->words);
}

/// `run.termination.to_opening` is spoken of as `termination to opening`.
std::string noun_of(std::string_view path) {
  const std::size_t dot = path.find('.');
  std::string noun(path.substr(dot + 1));
  std::replace(noun.begin(), noun.end(), '.', ' ');
  std::replace(noun.begin(), noun.end(), '_', ' ');
  return noun;
}

FactKind kind_of(layout::FactKind kind) {
  switch (kind) {
    case layout::FactKind::yes_no:
      return FactKind::yes_no;
    case layout::FactKind::quantity:
    case layout::FactKind::count:
      return FactKind::quantity;
    default:
      break;
  }
  return FactKind::word;
}

std::vector<Fact> made() {
  std::vector<Fact> all;
  for (const Row& row : kWorkedOut) {
    Fact fact;
    fact.name = row.name;
    fact.noun = row.noun;
    fact.meaning = row.noun;
    fact.kind = row.kind;
    fact.dimension = row.dimension;
    fact.words = split(row.words);
    fact.key = row.key;
    fact.example = row.example;
    fact.read = row.read;
    fact.calculated = std::ranges::find(kCalculated, fact.name) != kCalculated.end();
    fact.spoken = spoken_of(fact);
    all.push_back(std::move(fact));
  }
  for (const layout::FactKey& key : layout::fact_keys()) {
    Fact fact;
    fact.name = key.path;
    fact.noun = noun_of(key.path);
    fact.meaning = key.meaning;
    fact.kind = kind_of(key.kind);
    fact.dimension = key.kind == layout::FactKind::quantity ? key.dimension : Dimension::number;
    if (key.kind == layout::FactKind::word || key.kind == layout::FactKind::words) {
      fact.words = split(key.choices);
    }
    fact.over = key.kind == layout::FactKind::words || key.kind == layout::FactKind::listing
                    ? Over::any
                    : Over::all;
    fact.key = key.path;
    fact.example = key.example;
    fact.stated = &key;
    fact.spoken = spoken_of(fact);
    all.push_back(std::move(fact));
  }
  return all;
}

}  // namespace

const std::vector<Fact>& facts() {
  static const std::vector<Fact> table = made();
  return table;
}

const std::vector<std::string>& fact_names() {
  static const std::vector<std::string> list = [] {
    std::vector<std::string> names;
    for (const Fact& fact : facts()) {
      names.push_back(fact.name);
    }
    return names;
  }();
  return list;
}

std::optional<std::size_t> find_fact(std::string_view name) {
  const auto& names = fact_names();
  const auto found = std::find(names.begin(), names.end(), name);
  return found == names.end() ? std::nullopt
                              : std::optional(static_cast<std::size_t>(found - names.begin()));
}

namespace {

/// The record of what was seen on site that covers a key of the layout; null: none.
const layout::SeenOnSite* seen(const layout::Layout& layout, std::string_view key) {
  const auto found = std::ranges::find_if(layout.seen, [&](const layout::SeenOnSite& one) {
    return std::ranges::any_of(one.keys, [&](const std::string& covered) {
      return key == covered || (key.starts_with(covered) && key[covered.size()] == '.');
    });
  });
  return found == layout.seen.end() ? nullptr : &*found;
}

}  // namespace

std::vector<FactValue> fact_values(std::size_t index, const result::Case& subject) {
  const Fact& fact = facts()[index];
  std::vector<FactValue> values =
      fact.stated != nullptr ? stated_values(*fact.stated, subject) : fact.read(subject);
  if (fact.calculated) {
    return values;
  }
  const bool by_default = default_taken(subject, fact.key);
  const layout::SeenOnSite* record = fact.key.empty() ? nullptr : seen(*subject.layout, fact.key);
  for (FactValue& value : values) {
    if (by_default) {
      value.basis = Basis::assumed;
    } else if (value.basis == Basis::stated || value.span.line > 0) {
      value.basis = record != nullptr ? Basis::seen_on_site : Basis::stated;
      value.seen = record != nullptr ? record->date : std::string();
    }
  }
  return values;
}

std::string basis_words(const FactValue& value) {
  switch (value.basis) {
    case Basis::assumed:
      return "assumed";
    case Basis::stated:
      return "stated";
    case Basis::seen_on_site:
      return "seen on site, " + value.seen;
    case Basis::worked_out:
      break;
  }
  return {};
}

std::string result_key(const Fact& fact) {
  std::string key = fact.noun;
  std::replace(key.begin(), key.end(), ' ', '_');
  std::replace(key.begin(), key.end(), '-', '_');
  return key + std::string(units::key_suffix(fact.dimension));
}

std::optional<FactValue> fact_value(std::string_view name, const result::Case& subject) {
  const auto index = find_fact(name);
  DUCTLEDGER_EXPECTS(index.has_value());
  Values values = fact_values(*index, subject);
  return values.empty() ? std::nullopt : std::optional(values.front());
}

std::optional<double> quantity(std::string_view name, const result::Case& subject) {
  const auto value = fact_value(name, subject);
  return value ? std::optional(value->si) : std::nullopt;
}

std::optional<bool> yes_no(std::string_view name, const result::Case& subject) {
  const auto value = fact_value(name, subject);
  return value ? std::optional(value->yes) : std::nullopt;
}

std::string fact_word(std::string_view name, const result::Case& subject) {
  const auto value = fact_value(name, subject);
  return value ? value->word : std::string();
}

}  // namespace ductledger::rules
