#include "rules/fact.hpp"

#include <algorithm>
#include <limits>

#include "base/text.hpp"
#include "findings/finding_internal.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/facts.hpp"
#include "rules/arithmetic.hpp"
#include "rules/fact_internal.hpp"
#include "rules/judge_internal.hpp"

namespace ductledger::rules {

namespace worked_out {

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

}  // namespace worked_out

namespace {

using namespace worked_out;
using units::Dimension;

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
  const auto found = std::ranges::find(kSpoken, fact.name, &Spoken::name);
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
    fact.words = base::split(row.words);
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
      fact.words = base::split(key.choices);
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
  std::vector<FactValue> values = fact.stated != nullptr
                                      ? worked_out::stated_values(*fact.stated, subject)
                                      : fact.read(subject);
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
  std::vector<FactValue> values = fact_values(*index, subject);
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
