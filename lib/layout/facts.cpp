#include "layout/facts.hpp"

#include <algorithm>
#include <array>
#include <cctype>

#include "base/expects.hpp"
#include "units/quantity.hpp"

namespace ductledger::layout {
namespace {

using units::Dimension;

[[nodiscard]] constexpr FactKey word(FactKey key) {
  key.kind = FactKind::word;
  return key;
}
[[nodiscard]] constexpr FactKey listing(FactKey key) {
  key.kind = FactKind::listing;
  return key;
}
[[nodiscard]] constexpr FactKey count(FactKey key) {
  key.kind = FactKind::count;
  return key;
}
[[nodiscard]] constexpr FactKey quantity(FactKey key) {
  key.kind = FactKind::quantity;
  return key;
}
struct Within {
  double lowest_m;
  double highest_m;
  const char* text;
};
[[nodiscard]] constexpr FactKey length_within(FactKey key, const Within& within) {
  key.kind = FactKind::quantity;
  key.dimension = Dimension::length;
  key.lowest = within.lowest_m;
  key.highest = within.highest_m;
  key.range = within.text;
  return key;
}
[[nodiscard]] constexpr FactKey length(const FactKey& key) {
  return length_within(key, {0.0, 300.0, "0 ft to 980 ft"});
}
[[nodiscard]] constexpr FactKey thickness(const FactKey& key) {
  return length_within(key, {1e-5, 0.02, "0.01 mm to 20 mm"});
}
/// A distance to something that may not be there: `none`.
[[nodiscard]] constexpr FactKey distance(FactKey key) {
  key.choices = "none";
  return length(key);
}
/// A height over something, negative below it.
[[nodiscard]] constexpr FactKey height(const FactKey& key) {
  return length_within(key, {-100.0, 100.0, "-330 ft to 330 ft"});
}
[[nodiscard]] constexpr FactKey gauge(FactKey key) {
  key.kind = FactKind::count;
  key.lowest = 10.0;
  key.highest = 30.0;
  key.range = "10 to 30";
  key.choices = "gauge gage ga";
  key.example = "26 gauge";
  return key;
}

constexpr auto kKeys = std::to_array<FactKey>({
    // site
    word({.path = "site.climate_zone",
          .choices = "0a 0b 1a 1b 2a 2b 3a 3b 3c 4a 4b 4c 5a 5b 5c 6a 6b 7 8",
          .example = "5a",
          .meaning = "climate zone as energy codes number them"}),
    // appliance
    listing({.path = "appliance.listing",
             .example = "UL 507",
             .meaning = "standards on the appliance's listing label"}),
    {.path = "appliance.airflow_test",
     .kind = FactKind::words,
     .choices = "amca-210 ashrae-51 hvi-916 other",
     .example = "AMCA 210",
     .meaning = "laboratory test behind the rated airflow"},
    word({.path = "appliance.built_into",
          .choices = "nothing microwave cooking-appliance",
          .example = "nothing",
          .meaning = "what the exhaust fan is part of"}),
    {.path = "appliance.ductless", .meaning = "made and set up to return its air to the room"},
    word({.path = "appliance.fuel",
          .choices = "gas electric",
          .example = "electric",
          .meaning = "of a clothes dryer"}),
    word({.path = "appliance.serves",
          .choices = "kitchen bathroom toilet-room laundry whole-dwelling other",
          .example = "bathroom",
          .meaning = "the room it exhausts"}),
    word({.path = "appliance.operation",
          .choices = "intermittent continuous",
          .example = "intermittent",
          .meaning = "switched by hand or by need, or running all the time"}),
    quantity({.path = "appliance.capture_efficiency",
              .dimension = Dimension::ratio,
              .lowest = 0.0,
              .highest = 1.0,
              .range = "0 % to 100 %",
              .example = "70 %",
              .meaning = "of a hood, as listed"}),
    {.path = "appliance.space_cooling_only",
     .meaning = "runs only to cool, with windows or inlets open"},
    {.path = "appliance.instructions_on_site",
     .meaning = "the manufacturer's instructions for this model are on site"},
    {.path = "appliance.closet", .meaning = "a dryer that stands in a closet"},
    quantity({.path = "appliance.closet_opening",
              .dimension = Dimension::area,
              .lowest = 0.0,
              .highest = 10.0,
              .range = "0 in2 to 15000 in2",
              .example = "100 in2",
              .meaning = "permanent openings into that closet, together"}),
    quantity({.path = "appliance.sound.sones",
              .dimension = Dimension::number,
              .lowest = 0.0,
              .highest = 50.0,
              .range = "0 to 50",
              .example = "1.5",
              .meaning = "rated loudness in sones, a plain number"}),
    quantity({.path = "appliance.sound.at",
              .dimension = Dimension::airflow,
              .lowest = 1e-4,
              .highest = 100.0,
              .range = "more than 0 cfm, up to 200000 cfm",
              .example = "100 cfm",
              .meaning = "airflow of that rating"}),
    length({.path = "appliance.cover.shortest",
            .example = "28 in",
            .meaning = "hood bottom to cover top, telescoped in"}),
    length({.path = "appliance.cover.longest",
            .example = "40 in",
            .meaning = "hood bottom to cover top, pulled out"}),
    length({.path = "appliance.maker.duct_length",
            .example = "65 ft",
            .meaning = "longest duct that the manufacturer allows"}),
    length({.path = "appliance.maker.elbow_length",
            .example = "5 ft",
            .meaning = "what the manufacturer takes off for a 90 deg elbow"}),
    {.path = "appliance.maker.duct_design",
     .meaning = "the duct follows the manufacturer's own design rules"},
    length({.path = "appliance.maker.hood_height_least",
            .example = "26 in",
            .meaning = "least height of the hood above the cooktop, by the manufacturer"}),
    length({.path = "appliance.maker.hood_height_greatest",
            .example = "34 in",
            .meaning = "greatest height of the hood above the cooktop, by the manufacturer"}),
    {.path = "appliance.maker.outlet_place",
     .meaning = "the outlet stands where the manufacturer asks for it"},
    // appliance.cooking
    length({.path = "appliance.cooking.cooktop_height",
            .example = "36 in",
            .meaning = "floor to cooking surface"}),
    length({.path = "appliance.cooking.cooktop_width",
            .example = "30 in",
            .meaning = "the cooking surface, not the hood"}),
    length({.path = "appliance.cooking.combustible_above",
            .example = "32 in",
            .meaning = "cooking surface up to the first combustible or metal cabinet"}),
    word({.path = "appliance.cooking.combustible_protection",
          .choices = "none shield metal-hood listed-appliance",
          .example = "metal-hood",
          .meaning = "what protects it"}),
    {.path = "appliance.cooking.open_top_broiler", .meaning = "the cooktop is an open-top broiler"},
    thickness({.path = "appliance.cooking.hood_thickness",
               .example = "0.0157 in",
               .meaning = "metal of the hood"}),
    length({.path = "appliance.cooking.hood_to_combustible",
            .example = "1/4 in",
            .meaning = "hood to combustible beside or above"}),
    // run
    {.path = "run.concealed", .meaning = "duct is closed in by finished surfaces"},
    {.path = "run.independent", .meaning = "joins no other exhaust system"},
    {.path = "run.fireblocked",
     .meaning = "gaps around the duct are closed at floors and ceilings"},
    {.path = "run.opening_into_garage", .meaning = "the duct opens into a garage"},
    {.path = "run.access_at_turns", .meaning = "turns can be reached for cleaning"},
    {.path = "run.condensate_drain", .meaning = "a trap, or slope to outdoors, takes condensate"},
    {.path = "run.vapour_retarder", .meaning = "insulation carries a vapor retarder outside"},
    listing({.path = "run.power_ventilator",
             .example = "UL 705",
             .meaning = "listing of a dryer's power ventilator"}),
    // run.construction
    thickness({.path = "run.construction.thickness",
               .example = "0.019 in",
               .meaning = "metal of the duct"}),
    gauge({.path = "run.construction.gauge",
           .meaning = "sheet gauge of the duct, in place of its thickness"}),
    word({.path = "run.construction.seal",
          .choices = "weld gasket mastic mastic-with-fabric liquid-sealant tape none",
          .example = "tape",
          .meaning = "how joints and seams are made airtight"}),
    word({.path = "run.construction.tape",
          .choices = "metal-foil cloth other",
          .example = "metal-foil",
          .meaning = "kind of tape"}),
    listing({.path = "run.construction.seal_listing",
             .example = "UL 181B",
             .meaning = "listing of tape or sealant"}),
    {.path = "run.construction.airtight",
     .meaning = "joints are airtight as tested or as looked at"},
    {.path = "run.construction.smooth_inside", .meaning = "no ribs or folds inside"},
    word({.path = "run.construction.fasteners",
          .choices = "screws rivets clamps other none",
          .example = "rivets",
          .meaning = "how joints are held"}),
    count({.path = "run.construction.fasteners_per_joint",
           .lowest = 0.0,
           .highest = 100.0,
           .range = "0 to 100",
           .example = "3",
           .meaning = "round duct"}),
    length({.path = "run.construction.fastener_reach",
            .example = "1/16 in",
            .meaning = "into the air passage"}),
    length({.path = "run.construction.lap",
            .example = "1 in",
            .meaning = "one duct into the next at round joints"}),
    word({.path = "run.construction.joint_direction",
          .choices = "with-airflow against-airflow",
          .example = "with-airflow",
          .meaning = "the way the inserted (crimped) end points"}),
    length({.path = "run.construction.support_spacing",
            .example = "4 ft",
            .meaning = "greatest distance between supports"}),
    length({.path = "run.construction.to_framing_face",
            .example = "1-1/2 in",
            .meaning = "concealed duct to the finished face of studs or joists, at its nearest"}),
    {.path = "run.construction.shield_plates", .meaning = "steel plates guard it there"},
    thickness({.path = "run.construction.shield_thickness",
               .example = "0.062 in",
               .meaning = "of those plates"}),
    // run.termination
    word({.path = "run.termination.place",
          .choices = "wall roof soffit ridge-vent attic crawl-space inside garage",
          .example = "wall",
          .meaning = "where the run ends"}),
    distance({.path = "run.termination.to_opening",
              .example = "4 ft",
              .meaning = "to the nearest window or door that opens, or gravity air intake"}),
    height({.path = "run.termination.above_opening",
            .example = "1 ft",
            .meaning = "outlet above that opening; negative: below"}),
    distance({.path = "run.termination.to_fixed_opening",
              .example = "4 ft",
              .meaning = "to the nearest opening that stays shut"}),
    distance({.path = "run.termination.to_mechanical_intake",
              .example = "12 ft",
              .meaning = "to the nearest fan-driven intake"}),
    height({.path = "run.termination.above_mechanical_intake",
            .example = "3 ft",
            .meaning = "outlet above that intake"}),
    {.path = "run.termination.combined_fitting",
     .meaning = "factory-built intake and outlet in one"},
    length({.path = "run.termination.to_property_line",
            .example = "6 ft",
            .meaning = "to the property line"}),
    distance({.path = "run.termination.to_soffit_vent",
              .example = "4 ft",
              .meaning = "to the nearest vented soffit"}),
    height({.path = "run.termination.above_grade",
            .example = "12 in",
            .meaning = "outlet above the ground"}),
    height({.path = "run.termination.above_roof",
            .example = "12 in",
            .meaning = "outlet above the roof"}),
    {.path = "run.termination.onto_walkway",
     .meaning = "it blows onto a walkway, deck or the like"},
    {.path = "run.termination.damper", .meaning = "the cap has its own backdraft damper"},
    {.path = "run.termination.screen", .meaning = "a screen stands in the outlet"},
    length({.path = "run.termination.screen_opening",
            .example = "1/4 in",
            .meaning = "mesh of that screen, louver or grille"}),
    quantity({.path = "run.termination.open_area",
              .dimension = Dimension::area,
              .lowest = 0.0,
              .highest = 10.0,
              .range = "0 in2 to 15000 in2",
              .example = "13 in2",
              .meaning = "free passage of the outlet"}),
    {.path = "run.termination.corrosion_resistant",
     .meaning = "screen, louver or grille does not rust"},
    {.path = "run.termination.sheds_weather", .meaning = "rain and snow are kept out"},
    // run.transition_duct
    length({.path = "run.transition_duct.length",
            .example = "6 ft",
            .meaning = "dryer to the duct in the building"}),
    count({.path = "run.transition_duct.pieces",
           .lowest = 0.0,
           .highest = 20.0,
           .range = "0 to 20",
           .example = "1",
           .meaning = "lengths it is made of"}),
    listing(
        {.path = "run.transition_duct.listing", .example = "UL 2158A", .meaning = "its listing"}),
    {.path = "run.transition_duct.concealed", .meaning = "it runs inside a wall, floor or ceiling"},
    // run.label
    {.path = "run.label.posted",
     .meaning = "a permanent tag states the dryer duct's equivalent length"},
    length({.path = "run.label.equivalent_length",
            .example = "42 ft",
            .meaning = "as the tag states it"}),
    length({.path = "run.label.from_connection",
            .example = "4 ft",
            .meaning = "tag to the duct connection"}),
    // run.under_slab
    {.path = "run.under_slab.slab_on_grade",
     .meaning = "plastic pipe runs under a concrete slab on grade"},
    {.path = "run.under_slab.backfilled", .meaning = "its trench is filled with sand or gravel"},
    {.path = "run.under_slab.solvent_cemented", .meaning = "its joints are solvent cemented"},
    height({.path = "run.under_slab.above_floor",
            .example = "1 in",
            .meaning = "pipe end above the indoor floor"}),
    height({.path = "run.under_slab.above_grade",
            .example = "1 in",
            .meaning = "pipe end above the ground outdoors"}),
    // house.makeup
    count({.path = "house.makeup.dampers",
           .lowest = 0.0,
           .highest = 20.0,
           .range = "0 to 20",
           .example = "1",
           .meaning = "dampers in the makeup air system"}),
    word({.path = "house.makeup.damper_kind",
          .choices = "gravity electric other",
          .example = "electric",
          .meaning = "what moves them"}),
    {.path = "house.makeup.opens_with_exhaust",
     .meaning = "the damper opens by itself when the exhaust runs"},
    quantity({.path = "house.makeup.damper_pressure",
              .dimension = Dimension::pressure,
              .lowest = 0.0,
              .highest = 500.0,
              .range = "0 Pa to 500 Pa",
              .example = "2.5 Pa",
              .meaning = "rated drop of the damper at the design airflow"}),
    {.path = "house.makeup.damper_access",
     .meaning = "it can be reached without taking the building apart"},
    {.path = "house.makeup.outdoor_duct", .meaning = "at least one duct brings outdoor air"},
    word({.path = "house.makeup.room",
          .choices = "same-room open-to-room other",
          .example = "same-room",
          .meaning = "where the air enters, seen from the appliance"}),
    quantity({.path = "house.makeup.permanent_opening",
              .dimension = Dimension::area,
              .lowest = 0.0,
              .highest = 100.0,
              .range = "0 in2 to 150000 in2",
              .example = "80 in2",
              .meaning = "net area of permanent openings between that room and the appliance's"}),
    // dwelling
    quantity({.path = "dwelling.floor_area",
              .dimension = Dimension::area,
              .lowest = 1.0,
              .highest = 1e5,
              .range = "11 ft2 to 1000000 ft2",
              .example = "1800 ft2",
              .meaning = "conditioned floor area"}),
    count({.path = "dwelling.bedrooms",
           .lowest = 0.0,
           .highest = 100.0,
           .range = "0 to 100",
           .example = "3",
           .meaning = "bedrooms"}),
    quantity({.path = "dwelling.ceiling_height",
              .dimension = Dimension::length,
              .lowest = 1.0,
              .highest = 30.0,
              .range = "3 ft to 100 ft",
              .example = "8 ft",
              .meaning = "floor to ceiling above the appliance"}),
    {.path = "dwelling.kitchen_enclosed", .meaning = "the kitchen is closed off from other rooms"},
    quantity({.path = "dwelling.kitchen_volume",
              .dimension = Dimension::volume,
              .lowest = 1.0,
              .highest = 1e4,
              .range = "35 ft3 to 350000 ft3",
              .example = "960 ft3",
              .meaning = "of an enclosed kitchen"}),
    {.path = "dwelling.other_ventilation",
     .meaning = "the room has ventilation beside this appliance"},
    {.path = "dwelling.institutional", .meaning = "care or custody (groups I-1, I-2), not a home"},
    quantity({.path = "dwelling.ventilation_airflow",
              .dimension = Dimension::airflow,
              .lowest = 1e-4,
              .highest = 100.0,
              .range = "more than 0 cfm, up to 200000 cfm",
              .example = "75 cfm",
              .meaning = "of the whole-dwelling system while it runs"}),
    quantity({.path = "dwelling.ventilation_share",
              .dimension = Dimension::ratio,
              .lowest = 0.0,
              .highest = 1.0,
              .range = "0 % to 100 %",
              .example = "50 %",
              .meaning = "of every four hours that the system runs"}),
    {.path = "dwelling.ventilation_balanced",
     .meaning = "supply and exhaust run together, and reach each bedroom"},
    // electrical
    {.path = "electrical.dedicated_circuit", .meaning = "the circuit feeds nothing else"},
    quantity({.path = "electrical.breaker",
              .dimension = Dimension::current,
              .lowest = 1.0,
              .highest = 200.0,
              .range = "1 A to 200 A",
              .example = "15 A",
              .meaning = "rating of the branch circuit"}),
    quantity({.path = "electrical.voltage",
              .dimension = Dimension::voltage,
              .lowest = 1.0,
              .highest = 1000.0,
              .range = "1 V to 1000 V",
              .example = "120 V",
              .meaning = "of the branch circuit"}),
    {.path = "electrical.grounded",
     .meaning = "the circuit has an equipment ground, and it is connected"},
    word({.path = "electrical.connection",
          .choices = "cord hardwired",
          .example = "hardwired",
          .meaning = "plug, or wired in"}),
    {.path = "electrical.disconnect", .meaning = "a means to cut the power off is within reach"},
    {.path = "electrical.fault_protection",
     .meaning = "ground-fault or arc-fault protection where called for"},
    {.path = "electrical.qualified", .meaning = "a qualified technician does the wiring"},
});

}  // namespace

bool StatedFact::has_word(std::string_view word) const {
  return std::find(words.begin(), words.end(), word) != words.end();
}

std::span<const FactKey> fact_keys() { return kKeys; }

const FactKey* fact_key(std::string_view path) {
  const auto found = std::find_if(
      kKeys.begin(), kKeys.end(), [&](const FactKey& key) { return path == key.path; });
  return found == kKeys.end() ? nullptr : &*found;
}

const StatedFact* Facts::find(std::string_view path) const {
  DUCTLEDGER_EXPECTS(fact_key(path) != nullptr);
  const auto found = stated_.find(path);
  return found == stated_.end() ? nullptr : &found->second;
}

std::optional<bool> Facts::yes_no(std::string_view path) const {
  const StatedFact* fact = find(path);
  return fact == nullptr ? std::nullopt : std::optional<bool>(fact->yes);
}

std::optional<double> Facts::value(std::string_view path) const {
  const StatedFact* fact = find(path);
  return fact == nullptr ? std::nullopt : std::optional<double>(fact->value_si);
}

std::string_view Facts::word(std::string_view path) const {
  const StatedFact* fact = find(path);
  return fact == nullptr ? std::string_view() : std::string_view(fact->word());
}

void Facts::state(StatedFact fact) {
  DUCTLEDGER_EXPECTS(fact.key != nullptr);
  std::string path = fact.key->path;
  stated_.insert_or_assign(std::move(path), std::move(fact));
}

std::string listing_name(std::string_view text) {
  const auto is_letter = [](char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; };
  const auto is_digit = [](char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; };
  std::string name;
  for (const char c : text) {
    if (is_letter(c)) {
      name += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    } else if (c == ' ' || c == '-' || c == '_' || c == '/') {
      if (!name.empty() && name.back() != ' ') {
        name += ' ';
      }
    } else {
      if (is_digit(c) && !name.empty() && is_letter(name.back()) && name.size() > 1 &&
          name.find(' ') == std::string::npos) {
        name += ' ';
      }
      name += c;
    }
  }
  while (!name.empty() && name.back() == ' ') {
    name.pop_back();
  }
  return name;
}

std::optional<double> sheet_thickness_m(int gauge) {
  switch (gauge) {
    case 30:
      return 0.013 * units::kMetresPerInch;
    case 28:
      return 0.016 * units::kMetresPerInch;
    case 26:
      return 0.019 * units::kMetresPerInch;
    case 24:
      return 0.024 * units::kMetresPerInch;
    case 22:
      return 0.030 * units::kMetresPerInch;
    case 20:
      return 0.036 * units::kMetresPerInch;
    case 18:
      return 0.047 * units::kMetresPerInch;
    case 16:
      return 0.0575 * units::kMetresPerInch;
    default:
      return std::nullopt;
  }
}

}  // namespace ductledger::layout
