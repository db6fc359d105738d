#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/text.hpp"
#include "layout/catalogue_query.hpp"
#include "layout/read_internal.hpp"

namespace ductledger::layout {
namespace {

using units::Dimension;

constexpr Range kTestPressure{0.1, 200.0, "0.1 Pa to 200 Pa"};
constexpr Range kExponent{0.5, 1.0, "0.5 (a sharp hole) to 1 (a long crack)"};
constexpr Range kFloorArea{1.0, 1e5, "10 ft2 to 1000000 ft2"};
constexpr Range kVolume{1.0, 1e6, "35 ft3 to 35000000 ft3"};
constexpr Range kFreeArea{1e-6, 100.0, "more than 0 in2, up to 1000 ft2"};
constexpr Range kDischargeCoefficient{0.05, 1.0, "0.05 to 1"};
constexpr Range kPlace{-100.0, 100.0, "-300 ft to 300 ft"};
constexpr double kDefaultExponent = 0.65;
constexpr double kDefaultDischargeCoefficient = 0.6;
constexpr double kDoorPressurePa = 50.0;
constexpr double kSecondsPerHour = 3600.0;

/// Density at the reference condition of leakage areas, 20 degC and 101325 Pa.
constexpr double kLeakageAreaDensityKgM3 = 1.204;

std::optional<double> within(yaml::MapReader& map,
                             std::string_view key,
                             Dimension dimension,
                             const Range& range,
                             Reading& reading) {
  const yaml::Node* node = map.get(key);
  return node == nullptr ? std::nullopt : read_within(*node, dimension, range, reading.problems);
}

// --- leakage ---------------------------------------------------------------------------------

/// Air changes an hour at 50 Pa that a word stands for. Figures: common knowledge of the trade,
/// recalled; 0.6 is a requirement of the passive-house standard, 3 and 5 are caps of energy codes.
struct Tightness {
  const char* word;
  double lowest_per_hour;
  double highest_per_hour;
};
constexpr std::array<Tightness, 4> kTightness{{
    {"passive-house", 0.6, 0.6},
    {"new-tight", 3.0, 5.0},
    {"typical-1990s", 5.0, 10.0},
    {"older", 10.0, 20.0},
}};

/// An orifice's airflow at the pressure of its definition, the definition of a leakage area.
struct AreaDefinition {
  double area_m2;
  double pressure_pa;
  double discharge_coefficient;
};
double airflow_of(const AreaDefinition& of) {
  return of.discharge_coefficient * of.area_m2 *
         std::sqrt(2.0 * of.pressure_pa / kLeakageAreaDensityKgM3);
}

class LeakageReader {
 public:
  LeakageReader(const yaml::Node& node, House& house, Reading& reading)
      : map_(node, "house.leakage", reading.problems),
        node_(node),
        house_(house),
        reading_(reading) {}

  void read() {
    if (!map_.is_mapping()) {
      return;
    }
    leakage_.span = node_.span;
    const yaml::Node* airflow = map_.get("airflow");
    const yaml::Node* at = map_.get("at");
    const yaml::Node* changes = map_.get("ach50");
    const yaml::Node* effective = map_.get("effective_area");
    const yaml::Node* equivalent = map_.get("equivalent_area");
    const yaml::Node* tightness = map_.get("class");
    if (const yaml::Node* reported = map_.get("reported_at")) {
      leakage_.at_standard =
          yaml::read_choice(*reported, {"standard"}, "reference of a leakage", reading_.problems)
              .has_value();
    }
    leakage_.above_collar_m = within(
        map_, "above_collar", Dimension::length, {-60.0, 60.0, "-200 ft to 200 ft"}, reading_);
    if (const auto n = within(map_, "exponent", Dimension::number, kExponent, reading_)) {
      leakage_.exponent = *n;
      leakage_.exponent_stated = true;
    } else if (node_.find("exponent") == nullptr) {
      leakage_.exponent = kDefaultExponent;
      reading_.take_default("house.leakage.exponent", "0.65");
    }
    const std::array<const yaml::Node*, 5> ways{airflow, changes, effective, equivalent, tightness};
    const auto stated = std::count_if(
        ways.begin(), ways.end(), [](const yaml::Node* way) { return way != nullptr; });
    bool known = false;
    if (stated != 1) {
      report_ways(stated, ways);
    } else if (airflow != nullptr) {
      known = read_airflow(*airflow, at);
    } else if (changes != nullptr) {
      known = read_changes(*changes);
    } else if (tightness != nullptr) {
      known = read_class(*tightness);
    } else {
      known = effective != nullptr ? read_area(*effective, LeakageBasis::effective_area)
                                   : read_area(*equivalent, LeakageBasis::equivalent_area);
    }
    if (at != nullptr && airflow == nullptr && stated == 1) {
      reading_.problems.error(at->span, "unused-key", "`at` belongs to a stated `airflow`").help =
          "take it out";
    }
    map_.finish();
    if (known) {
      if (leakage_.basis != LeakageBasis::tightness_class) {
        leakage_.lowest_m3_s = leakage_.airflow_m3_s;
        leakage_.highest_m3_s = leakage_.airflow_m3_s;
      }
      house_.leakage = leakage_;
    }
  }

 private:
  void report_ways(std::ptrdiff_t stated, const std::array<const yaml::Node*, 5>& ways) {
    if (stated == 0) {
      reading_.problems
          .error(node_.span,
                 "missing-key",
                 "this leakage states no `airflow`, `ach50`, `effective_area` nor `class`")
          .help = "such as `{airflow: 1500 cfm, at: 50 Pa}`; leave `leakage` out if not known";
      return;
    }
    const auto is_set = [](const yaml::Node* way) { return way != nullptr; };
    const auto first = std::find_if(ways.begin(), ways.end(), is_set);
    const auto second = std::find_if(first + 1, ways.end(), is_set);
    auto& d = reading_.problems.error(
        (*second)->span, "two-leakages", "the leakage is stated in more than one way");
    d.others.push_back({(*first)->span, "also here"});
    d.help = "keep the one that was measured";
  }

  bool read_airflow(const yaml::Node& airflow, const yaml::Node* at) {
    leakage_.basis = LeakageBasis::airflow;
    const auto q = read_within(airflow, Dimension::airflow, kAirflow, reading_.problems);
    if (at == nullptr) {
      (void)map_.require("at", "50 Pa");
      return false;
    }
    const auto pressure = read_within(*at, Dimension::pressure, kTestPressure, reading_.problems);
    if (!q || !pressure) {
      return false;
    }
    leakage_.airflow_m3_s = *q;
    leakage_.pressure_pa = *pressure;
    return true;
  }

  bool needs_volume(const yaml::Node& node) {
    if (house_.volume_m3) {
      return true;
    }
    reading_.problems
        .error(node.span, "missing-volume", "air changes say nothing without the house's volume")
        .help = "add `volume: 14400 ft3` to `house`: floor area times ceiling height";
    return false;
  }

  bool read_changes(const yaml::Node& node) {
    leakage_.basis = LeakageBasis::air_changes;
    const auto per_hour =
        read_within(node, Dimension::number, {0.01, 200.0, "0.01 to 200"}, reading_.problems);
    if (!per_hour || !needs_volume(node)) {
      return false;
    }
    leakage_.pressure_pa = kDoorPressurePa;
    leakage_.airflow_m3_s = *per_hour * *house_.volume_m3 / kSecondsPerHour;
    return true;
  }

  bool read_class(const yaml::Node& node) {
    leakage_.basis = LeakageBasis::tightness_class;
    std::vector<std::string> words;
    words.reserve(kTightness.size());
    for (const Tightness& one : kTightness) {
      words.emplace_back(one.word);
    }
    const auto choice = yaml::read_choice(node, words, "tightness class", reading_.problems);
    if (!choice || !needs_volume(node)) {
      return false;
    }
    const Tightness& tightness = kTightness[*choice];
    leakage_.tightness = tightness.word;
    leakage_.pressure_pa = kDoorPressurePa;
    leakage_.lowest_m3_s = tightness.lowest_per_hour * *house_.volume_m3 / kSecondsPerHour;
    leakage_.highest_m3_s = tightness.highest_per_hour * *house_.volume_m3 / kSecondsPerHour;
    leakage_.airflow_m3_s = std::sqrt(leakage_.lowest_m3_s * leakage_.highest_m3_s);
    return true;
  }

  bool read_area(const yaml::Node& node, LeakageBasis basis) {
    leakage_.basis = basis;
    const auto area = read_within(node, Dimension::area, kFreeArea, reading_.problems);
    if (!area) {
      return false;
    }
    const bool effective = basis == LeakageBasis::effective_area;
    leakage_.pressure_pa = effective ? 4.0 : 10.0;
    leakage_.airflow_m3_s = airflow_of({.area_m2 = *area,
                                        .pressure_pa = leakage_.pressure_pa,
                                        .discharge_coefficient = effective ? 1.0 : 0.611});
    return true;
  }

  yaml::MapReader map_;
  const yaml::Node& node_;
  House& house_;
  Reading& reading_;
  Leakage leakage_;
};

// --- exhaust and combustion ------------------------------------------------------------------

void read_other_exhaust(const yaml::Node& node, House& house, Reading& reading) {
  if (node.kind != yaml::NodeKind::sequence) {
    reading.problems.error(node.span, "wrong-kind", "`other_exhaust` must be a list").help =
        "such as `[{name: dryer, airflow: 150 cfm}]`";
    return;
  }
  for (const yaml::Node& item : node.items) {
    OtherExhaust exhaust;
    exhaust.span = item.span;
    yaml::MapReader map(item, "house.other_exhaust", reading.problems);
    if (!map.is_mapping()) {
      continue;
    }
    exhaust.name = map.text("name").value_or("");
    if (const yaml::Node* airflow = map.require("airflow", "150 cfm")) {
      exhaust.airflow_m3_s =
          read_within(*airflow, Dimension::airflow, kAirflow, reading.problems).value_or(0.0);
    }
    map.finish();
    house.other_exhaust.push_back(std::move(exhaust));
  }
}

struct KindWord {
  std::string word;
  Draft draft;
  Burner burner;
};

/// The words of combustion appliances: how the flue gas is moved, then what burns.
const std::vector<KindWord>& combustion_words() {
  static const std::vector<KindWord> words = [] {
    struct DraftWord {
      const char* word;
      Draft draft;
    };
    struct BurnerWord {
      const char* word;
      Burner burner;
    };
    constexpr std::array<DraftWord, 5> kDrafts{{{"natural-draft", Draft::natural},
                                                {"induced-draft", Draft::induced},
                                                {"power-vented", Draft::power_vented},
                                                {"direct-vent", Draft::direct_vent},
                                                {"sealed-combustion", Draft::direct_vent}}};
    constexpr std::array<BurnerWord, 4> kBurners{{{"-water-heater", Burner::water_heater},
                                                  {"-furnace", Burner::furnace},
                                                  {"-boiler", Burner::boiler},
                                                  {"-fireplace", Burner::fireplace}}};
    std::vector<KindWord> list;
    for (const DraftWord& draft : kDrafts) {
      for (const BurnerWord& burner : kBurners) {
        list.push_back({std::string(draft.word) + burner.word, draft.draft, burner.burner});
      }
      if (draft.draft != Draft::natural) {
        list.push_back({draft.word, draft.draft, Burner::not_stated});
      }
    }
    list.push_back({"wood-stove", Draft::solid_fuel, Burner::stove});
    list.push_back({"wood-fireplace", Draft::solid_fuel, Burner::fireplace});
    list.push_back({"solid-fuel", Draft::solid_fuel, Burner::not_stated});
    return list;
  }();
  return words;
}

/// What burns, by a word inside what was typed; empty: none is known.
std::string burner_in(const std::string& word) {
  for (const auto& [typed, burner] : {std::pair{"water-heater", "water-heater"},
                                      {"waterheater", "water-heater"},
                                      {"tankless", "water-heater"},
                                      {"furnace", "furnace"},
                                      {"boiler", "boiler"},
                                      {"fireplace", "fireplace"}}) {
    if (word.find(typed) != std::string::npos) {
      return burner;
    }
  }
  return {};
}

/// Whether a way of venting was typed, or nearly.
bool has_draft(const std::string& word) {
  static const std::vector<std::string> drafts{
      "natural-draft", "induced-draft", "power-vented", "direct-vent", "sealed-combustion", "wood"};
  const std::size_t second = word.find('-', word.find('-') + 1);
  return std::ranges::any_of(drafts,
                             [&](const std::string& draft) { return word.starts_with(draft); }) ||
         base::nearest(word.substr(0, second), drafts).has_value();
}

const char* how_it_vents(Draft draft) {
  switch (draft) {
    case Draft::natural:
      return "draws its air from the room, the flue gas rises by itself (a draft hood or chimney)";
    case Draft::induced:
      return "a fan inside draws the flue gas through it into a chimney";
    case Draft::power_vented:
      return "a fan pushes the flue gas out, its air comes from the room";
    case Draft::direct_vent:
      return "its air comes from outdoors through a pipe of its own";
    case Draft::solid_fuel:
      return "burns wood";
  }
  return "";
}

void read_kind(const yaml::Node& node, CombustionAppliance& appliance, Reading& reading) {
  const auto text = yaml::read_text(node, reading.problems);
  if (!text) {
    return;
  }
  const std::string word = base::canonical_word(*text);
  std::vector<std::string> words;
  for (const KindWord& known : combustion_words()) {
    if (known.word == word) {
      appliance.kind = known.word;
      appliance.draft = known.draft;
      appliance.burner = known.burner;
      return;
    }
    words.push_back(known.word);
  }
  auto& d = reading.problems.error(
      node.span,
      "unknown-combustion-appliance",
      fmt::format("`{}` is no kind of combustion appliance", base::escaped(*text)));
  d.notes.emplace_back(
      "kinds: natural-draft, induced-draft, power-vented or direct-vent, joined with "
      "-water-heater, "
      "-furnace, -boiler or -fireplace; wood-stove, wood-fireplace");
  // How an appliance vents is never guessed: what burns without a draft that is known asks for it.
  const std::string burner = burner_in(word);
  if (!burner.empty() && !has_draft(word)) {
    d.notes.clear();
    std::vector<std::string> kinds_of_it;
    for (const KindWord& known : combustion_words()) {
      if (known.word.ends_with("-" + burner)) {
        kinds_of_it.push_back(known.word);
        d.notes.push_back(fmt::format("`{}`: {}", known.word, how_it_vents(known.draft)));
      }
    }
    d.help = "say how it vents: " + base::joined(kinds_of_it);
  } else if (const auto near = base::nearest(word, words)) {
    d.help = fmt::format("did you mean `{}`?", *near);
  } else {
    d.help = "say how it vents, then what burns, by the kinds above";
  }
}

void read_combustion(const yaml::Node& node, House& house, Reading& reading) {
  house.combustion_stated = true;
  if (node.kind != yaml::NodeKind::sequence) {
    reading.problems.error(node.span, "wrong-kind", "`combustion` must be a list").help =
        "such as `[{kind: ...}]` for each appliance, or `[]` where nothing burns";
    return;
  }
  bool taken_as_inside = false;
  for (const yaml::Node& item : node.items) {
    CombustionAppliance appliance;
    appliance.span = item.span;
    yaml::MapReader map(item, "house.combustion", reading.problems);
    if (!map.is_mapping()) {
      continue;
    }
    if (const yaml::Node* kind = map.require("kind", "how it vents, joined with what burns")) {
      read_kind(*kind, appliance, reading);
    }
    if (const auto inside = map.yes_no("inside_air_barrier")) {
      appliance.inside_air_barrier = *inside;
    } else {
      taken_as_inside = true;
    }
    appliance.common_vent = map.yes_no("common_vent").value_or(false);
    appliance.vent_damper = map.yes_no("vent_damper").value_or(false);
    map.finish();
    house.combustion.push_back(std::move(appliance));
  }
  if (taken_as_inside) {
    reading.take_default("house.combustion.inside_air_barrier", "yes");
  }
}

// --- makeup air ------------------------------------------------------------------------------

class MakeupReader {
 public:
  MakeupReader(const yaml::Node& node, Makeup& makeup, Reading& reading)
      : map_(node, "house.makeup", reading.problems),
        node_(node),
        makeup_(makeup),
        reading_(reading) {}

  void read() {
    if (!map_.is_mapping()) {
      return;
    }
    makeup_.span = node_.span;
    if (is_a_kind_for_a_key()) {
      return;
    }
    const yaml::Node* kind = map_.require("kind", "passive-opening");
    if (kind == nullptr) {
      for (const char* key : {"section",
                              "free_area",
                              "discharge_coefficient",
                              "airflow",
                              "interlocked",
                              "run",
                              "branches",
                              "intake_at"}) {
        map_.allow(key);
      }
      map_.finish();
      return;
    }
    const auto choice =
        yaml::read_choice(*kind, kMakeupKindWords, "kind of makeup air", reading_.problems);
    if (!choice) {
      return;
    }
    makeup_.kind = *choice;
    switch (makeup_.kind) {
      case MakeupKind::none:
        break;
      case MakeupKind::passive_opening:
        read_opening();
        break;
      case MakeupKind::powered:
        read_powered();
        break;
      case MakeupKind::duct:
        read_duct();
        break;
    }
    read_facts(map_, "house.makeup", reading_);
    map_.finish();
  }

 private:
  /// `makeup: {duct: ...}` and the like: the one thing to say of it is how a kind is written.
  bool is_a_kind_for_a_key() {
    if (std::ranges::find(node_.entries, "kind", &yaml::Entry::key) != node_.entries.end()) {
      return false;
    }
    const auto entry = std::ranges::find_if(node_.entries, [](const yaml::Entry& one) {
      return kMakeupKindWords.find(one.key).has_value();
    });
    if (entry == node_.entries.end()) {
      return false;
    }
    reading_.problems.error(entry->key_span, "missing-key", "house.makeup has no `kind`").help =
        fmt::format("`{0}` is one: write `kind: {0}`{1}",
                    entry->key,
                    entry->key == kMakeupKindWords.of(MakeupKind::duct)
                        ? ", and the duct as `run: {section: 8 in round, pieces: [...]}`"
                        : " and what belongs to it beside it");
    return true;
  }

  void read_opening() {
    const yaml::Node* section = map_.get("section");
    const yaml::Node* area = map_.get("free_area");
    if (section != nullptr) {
      makeup_.section = read_section(*section, reading_.problems);
      if (makeup_.section) {
        makeup_.free_area_m2 = makeup_.section->area_m2();
      }
    }
    if (area != nullptr) {
      makeup_.free_area_m2 =
          read_within(*area, Dimension::area, kFreeArea, reading_.problems).value_or(0.0);
    }
    if (section == nullptr && area == nullptr) {
      reading_.problems
          .error(node_.span, "missing-key", "this opening states no `section` and no `free_area`")
          .help = "such as `section: 8 in round` or `free_area: 50 in2`";
    } else if (section != nullptr && area != nullptr) {
      auto& d = reading_.problems.error(
          area->span, "two-areas", "the opening states both a `section` and a `free_area`");
      d.others.push_back({section->span, "also here"});
      d.help = "keep `free_area` where a louver or screen leaves less than the section";
    }
    if (const auto cd = within(
            map_, "discharge_coefficient", Dimension::number, kDischargeCoefficient, reading_)) {
      makeup_.discharge_coefficient = *cd;
    } else if (node_.find("discharge_coefficient") == nullptr) {
      makeup_.discharge_coefficient = kDefaultDischargeCoefficient;
      reading_.take_default("house.makeup.discharge_coefficient", "0.6 (a sharp-edged opening)");
    }
  }

  void read_interlock() {
    if (const auto interlocked = map_.yes_no("interlocked")) {
      makeup_.interlocked = *interlocked;
      makeup_.interlock_stated = true;
    } else if (node_.find("interlocked") == nullptr) {
      reading_.take_default("house.makeup.interlocked", "no");
    }
  }

  void read_powered() {
    if (const yaml::Node* airflow = map_.require("airflow", "400 cfm")) {
      makeup_.airflow_m3_s =
          read_within(*airflow, Dimension::airflow, kAirflow, reading_.problems).value_or(0.0);
    }
    read_interlock();
  }

  void read_duct() {
    if (const yaml::Node* run = map_.require(
            "run", "{section: 8 in round, pieces: [{entry: louver}, {cap: {type: grille}}]}")) {
      read_duct_run(*run, map_.get("branches"));
    } else {
      map_.allow("branches");
    }
    if (const yaml::Node* place = map_.get("intake_at")) {
      read_intake_at(*place);
    }
    const auto shuts = [this](const Run& run) {
      return std::ranges::any_of(run.pieces, [this](const Piece& piece) {
        return traits_of(piece, reading_.catalogue).flap == fitting::Flap::motor;
      });
    };
    if (std::ranges::any_of(makeup_.duct, shuts) ||
        std::ranges::any_of(makeup_.branches,
                            [&](const Branch& branch) { return shuts(branch.run); })) {
      read_interlock();
    } else {
      const std::optional<bool> interlocked = map_.yes_no("interlocked");
      makeup_.interlocked = interlocked.value_or(false);
      makeup_.interlock_stated = interlocked.has_value();
    }
  }

  void read_intake_at(const yaml::Node& node) {
    yaml::MapReader map(node, "intake_at", reading_.problems);
    StartPlace& place = makeup_.intake_at;
    place.above_floor_m = within(map, "above_floor", Dimension::length, kPlace, reading_);
    place.from_wall_m = within(map, "from_wall", Dimension::length, kPlace, reading_);
    place.from_center_m = within(map, "from_center", Dimension::length, kPlace, reading_);
    map.finish();
  }

  /// The makeup run is read as any other run, into a layout of its own, with what joins it.
  void read_duct_run(const yaml::Node& node, const yaml::Node* branches) {
    if (node.kind != yaml::NodeKind::mapping) {
      reading_.problems.error(node.span, "wrong-kind", "`run` must be keys and values").help =
          "such as `{section: 8 in round, pieces: [...]}`";
      return;
    }
    if (node.find("section") == nullptr) {
      reading_.problems.error(node.span, "missing-key", "the makeup duct states no `section`")
          .help = "add `section: 8 in round`";
      return;
    }
    if (refuse_fan(node)) {
      return;
    }
    Layout own;
    own.source = reading_.layout.source;
    Reading reading{reading_.problems, reading_.catalogue, own};
    BranchTable table = branch_table(branches, reading);
    reading.branches = branches == nullptr ? nullptr : &table;
    read_run(node, reading);
    if (branches != nullptr) {
      read_duct_branches(*branches, reading);
    }
    refuse_facts(own.facts);
    own.run.discharge = Discharge::room;
    for (DefaultTaken& taken : own.defaults) {
      if (taken.what != "run.discharge") {
        reading_.take_default("house.makeup." + taken.what, std::move(taken.value));
      }
    }
    for (units::Message& remark : own.remarks) {
      remark.pattern.insert(0, "makeup duct: ");
      reading_.layout.remarks.push_back(std::move(remark));
    }
    if (!own.run.pieces.empty() && own.run.pieces.front().kind != PieceKind::entry) {
      reading_.layout.remarks.push_back(
          {"the makeup duct does not begin with an `entry`: the loss of drawing air in from "
           "outdoors is not counted"});
    }
    makeup_.duct.push_back(std::move(own.run));
    makeup_.branches = std::move(own.branches);
  }

  /// Passive inlets, of which nobody requires an airflow.
  void read_duct_branches(const yaml::Node& branches, Reading& reading) {
    for (const yaml::Entry& entry : branches.entries) {
      const yaml::Node* fan = entry.value.find("fan");
      if (fan != nullptr) {
        refuse(*fan);
      } else {
        refuse_fan(entry.value);
      }
      if (const yaml::Node* airflow = entry.value.find("required_airflow")) {
        reading_.problems
            .error(airflow->span,
                   "required-airflow-of-makeup",
                   "nothing requires an airflow of one inlet of a makeup duct")
            .help = "take it out; what comes in is what the house draws";
      }
    }
    read_branches(branches, reading);
  }

  bool refuse_fan(const yaml::Node& run) {
    const yaml::Node* const fan = fan_in(run);
    if (fan != nullptr) {
      refuse(*fan);
    }
    return fan != nullptr;
  }
  void refuse(const yaml::Node& fan) {
    reading_.problems.error(fan.span, "fan-in-makeup-duct", "a makeup duct here has no fan").help =
        "a makeup fan is `makeup: {kind: powered, airflow: 400 cfm, interlocked: yes}`";
  }

  /// Facts of a run speak of the exhaust; no rule asks for those of a makeup duct.
  void refuse_facts(const Facts& facts) {
    for (const auto& [path, fact] : facts.all()) {
      auto& d = reading_.problems.error(
          fact.span,
          "fact-of-makeup-duct",
          fmt::format("a makeup duct keeps no facts, and this states `{}`", path));
      d.help = "take it out; what rules ask of makeup air stands under `house.makeup`";
    }
  }

  static const yaml::Node* fan_in(const yaml::Node& run) {
    const yaml::Node* pieces = run.find("pieces");
    if (pieces == nullptr || pieces->kind != yaml::NodeKind::sequence) {
      return nullptr;
    }
    for (const yaml::Node& item : pieces->items) {
      if (item.find("fan") != nullptr ||
          (item.kind == yaml::NodeKind::scalar && base::canonical_word(item.text) == "fan")) {
        return &item;
      }
    }
    return nullptr;
  }

  yaml::MapReader map_;
  const yaml::Node& node_;
  Makeup& makeup_;
  Reading& reading_;
};

HouseTest read_tested(const yaml::Node& node, Reading& reading) {
  HouseTest tested;
  tested.span = node.span;
  yaml::MapReader map(node, "tested", reading.problems);
  if (!map.is_mapping()) {
    return tested;
  }
  tested.suction_pa =
      within(map, "suction", Dimension::pressure, {-100.0, 250.0, "-100 Pa to 250 Pa"}, reading);
  tested.spillage = map.yes_no("spillage");
  tested.date = map.text("date").value_or("");
  map.finish();
  if (!tested.suction_pa && !tested.spillage && !reading.problems.has_error()) {
    reading.problems.error(node.span, "missing-key", "`tested` says nothing that was found").help =
        "such as `tested: {suction: 3 Pa, spillage: no, date: 2026-03-14}`";
  }
  return tested;
}

}  // namespace

void read_house(const yaml::Node* node, Reading& reading) {
  if (node == nullptr) {
    return;
  }
  House house;
  house.span = node->span;
  yaml::MapReader map(*node, "house", reading.problems);
  if (!map.is_mapping()) {
    return;
  }
  house.floor_area_m2 = within(map, "floor_area", Dimension::area, kFloorArea, reading);
  house.volume_m3 = within(map, "volume", Dimension::volume, kVolume, reading);
  if (const yaml::Node* leakage = map.get("leakage")) {
    LeakageReader(*leakage, house, reading).read();
  }
  if (const auto cp =
          within(map, "wind_coefficient", Dimension::number, {-3.0, 3.0, "-3 to 3"}, reading)) {
    house.wind_coefficient = *cp;
  } else if (reading.layout.site.wind_m_s > 0.0) {
    reading.take_default("house.wind_coefficient", "0");
  }
  if (const yaml::Node* others = map.get("other_exhaust")) {
    read_other_exhaust(*others, house, reading);
  }
  if (const yaml::Node* combustion = map.get("combustion")) {
    read_combustion(*combustion, house, reading);
  }
  if (const yaml::Node* makeup = map.get("makeup")) {
    MakeupReader(*makeup, house.makeup, reading).read();
  } else {
    reading.take_default("house.makeup", "none");
  }
  if (const yaml::Node* tested = map.get("tested")) {
    house.tested = read_tested(*tested, reading);
  }
  map.finish();
  reading.layout.house = std::move(house);
}

}  // namespace ductledger::layout
