#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "air/air.hpp"
#include "base/expects.hpp"
#include "base/sha256.hpp"
#include "base/text.hpp"
#include "fitting/materials.hpp"
#include "layout/read_internal.hpp"
#include "layout/rise.hpp"
#include "yaml/parse.hpp"

namespace ductledger::layout {

using units::Dimension;

std::optional<duct::Section> read_section(const yaml::Node& node, yaml::Problems& problems) {
  const auto text = yaml::read_text(node, problems);
  if (!text) {
    return std::nullopt;
  }
  auto parsed = duct::parse_section(*text);
  if (auto* fault = std::get_if<units::TextFault>(&parsed)) {
    auto& diagnostic = problems.error(node.span, fault->rule, fault->message);
    diagnostic.label = fault->label;
    diagnostic.help = fault->help;
    return std::nullopt;
  }
  return std::get<duct::Section>(parsed);
}

bool holds_at_most(const yaml::Node& node,
                   std::size_t most,
                   std::string_view what,
                   yaml::Problems& problems) {
  const std::size_t count = node.items.size() + node.entries.size();
  if (count > most) {
    problems.error(node.span, "too-many", fmt::format("`{}` holds {} entries", what, count)).label =
        fmt::format("{} at most", most);
  }
  return count <= most;
}

std::optional<double> read_within(const yaml::Node& node,
                                  Dimension dimension,
                                  const Range& range,
                                  yaml::Problems& problems) {
  const auto value = yaml::read_quantity(node, dimension, problems);
  if (!value) {
    return std::nullopt;
  }
  if (!(*value >= range.lowest && *value <= range.highest)) {
    auto& diagnostic = problems.error(
        node.span, "out-of-range", fmt::format("`{}` is out of range", base::escaped(node.text)));
    diagnostic.label = fmt::format("expected {}", range.text);
    return std::nullopt;
  }
  return value;
}

namespace {

constexpr Range kTemperature{173.15, 473.15, "-100 degC to 200 degC"};
constexpr Range kHumidity{0.0, 1.0, "0 % to 100 %"};
constexpr Range kElevation{-500.0, 11000.0, "-1600 ft to 36000 ft"};
constexpr Range kWind{0.0, 100.0, "0 mph to 220 mph"};
constexpr Range kDensity{0.1, 5.0, "0.1 kg/m3 to 5 kg/m3"};
constexpr Range kViscosity{1e-6, 1e-4, "1e-6 Pa.s to 1e-4 Pa.s"};
constexpr Range kShortLength{0.0, 100.0, "0 ft to 300 ft"};
constexpr Range kPressure{0.0, 80.0 * units::kPascalPerInchWater, "0 inH2O to 80 inH2O"};

/// Reads a key's quantity within a range, or nothing.
std::optional<double> within(yaml::MapReader& map,
                             std::string_view key,
                             Dimension dimension,
                             const Range& range,
                             yaml::Problems& problems) {
  const yaml::Node* node = map.get(key);
  return node == nullptr ? std::nullopt : read_within(*node, dimension, range, problems);
}

/// A value that can be, but seldom is: taken, and said.
struct Unusual {
  const char* what;
  const char* help;
};
void remark(const yaml::Node* node, const Unusual& unusual, Reading& reading) {
  auto& d = reading.problems.warning(
      node->span,
      "out-of-range",
      fmt::format("{} is {}; it is taken as it stands", base::shown(node->text), unusual.what));
  d.label = "unusual";
  d.help = unusual.help;
}
constexpr double kHottestUsualK = 343.15;  // 70 degC; common practice: dryers stay below
constexpr double kDriestUsual = 0.02;
constexpr double kRoughestUsualM = 0.0015;  // flexible duct is 0.9 mm

struct StatedState {
  std::optional<double> temperature_k;
  std::optional<double> relative_humidity;
};

StatedState read_state(const yaml::Node* node, const char* what, Reading& reading) {
  StatedState state;
  if (node == nullptr) {
    return state;
  }
  yaml::MapReader map(*node, what, reading.problems);
  state.temperature_k =
      within(map, "temperature", Dimension::temperature, kTemperature, reading.problems);
  state.relative_humidity = within(map, "humidity", Dimension::ratio, kHumidity, reading.problems);
  if (state.temperature_k > kHottestUsualK) {
    remark(
        map.get("temperature"), {"hotter than exhausted air is", "did you mean `degF`?"}, reading);
  }
  if (state.relative_humidity > 0.0 && state.relative_humidity < kDriestUsual) {
    remark(map.get("humidity"),
           {"drier than air is", "a fraction of one is written in percent: `50 %`"},
           reading);
  }
  map.finish();
  return state;
}

/// Hot and humid air at a height can hold no dry air at all: vapour alone would pass its pressure.
void check_vapour(const Site& site, const base::Span& span, Reading& reading) {
  const auto pressure = air::pressure_at(units::metres(site.elevation_m));
  for (const AirState* state : {&site.indoor, &site.duct, &site.outdoor}) {
    const double vapour_pa = air::vapour_pressure_pa(
        {units::kelvin(state->temperature_k), state->relative_humidity, pressure});
    if (vapour_pa > 0.5 * pressure.value()) {
      reading.problems
          .error(span,
                 "impossible-air",
                 "air this hot and humid is mostly water vapor at this elevation")
          .help = "check `temperature` and `humidity`";
      return;
    }
  }
}

void read_indoor(yaml::MapReader& map, Reading& reading) {
  Site& site = reading.layout.site;
  const StatedState indoor = read_state(map.get("indoor"), "site.indoor", reading);
  site.indoor.temperature_k = indoor.temperature_k.value_or(site.indoor.temperature_k);
  site.indoor.relative_humidity = indoor.relative_humidity.value_or(site.indoor.relative_humidity);
  if (!indoor.temperature_k) {
    reading.take_default("site.indoor.temperature", "70 degF");
  }
  if (!indoor.relative_humidity) {
    reading.take_default("site.indoor.humidity", "50 %");
  }
}

/// Air that is not stated is that of the room, in the duct and outdoors.
void read_duct_air(yaml::MapReader& map, Reading& reading) {
  Site& site = reading.layout.site;
  const yaml::Node* duct_node = map.get("duct");
  const StatedState duct = read_state(duct_node, "site.duct", reading);
  site.duct_stated = duct_node != nullptr;
  site.duct.temperature_k = duct.temperature_k.value_or(site.indoor.temperature_k);
  site.duct.relative_humidity = duct.relative_humidity.value_or(site.indoor.relative_humidity);
  if (!site.duct_stated) {
    reading.take_default("site.duct", "as indoors");
  } else if (!duct.relative_humidity) {
    reading.take_default("site.duct.humidity", "as indoors");
  }
}

void read_outdoor(yaml::MapReader& map, Reading& reading) {
  Site& site = reading.layout.site;
  const yaml::Node* outdoor_node = map.get("outdoor");
  const StatedState outdoor = read_state(outdoor_node, "site.outdoor", reading);
  site.outdoor_stated = outdoor_node != nullptr;
  if (site.outdoor_stated) {
    site.outdoor.temperature_k = outdoor.temperature_k.value_or(site.indoor.temperature_k);
    site.outdoor.relative_humidity = outdoor.relative_humidity.value_or(0.5);
    if (!outdoor.relative_humidity) {
      reading.take_default("site.outdoor.humidity", "50 %");
    }
  } else {
    site.outdoor = site.indoor;
    reading.take_default("site.outdoor", "as indoors");
  }
}

void read_stated_air(const yaml::Node& node, Reading& reading) {
  yaml::MapReader stated(node, "site.air", reading.problems);
  const yaml::Node* density = stated.require("density", "1.2 kg/m3");
  const auto rho = density == nullptr
                       ? std::nullopt
                       : read_within(*density, Dimension::density, kDensity, reading.problems);
  const auto mu = within(stated, "viscosity", Dimension::viscosity, kViscosity, reading.problems);
  if (rho) {
    reading.layout.site.stated_air = StatedAir{*rho, mu};
  }
  stated.finish();
}

void read_site(const yaml::Node* node, Reading& reading) {
  Site& site = reading.layout.site;
  if (node == nullptr) {
    reading.take_default("site", "sea level, air at 70 degF and 50 %, no stack, no wind");
    return;
  }
  yaml::MapReader map(*node, "site", reading.problems);
  if (const auto z = within(map, "elevation", Dimension::length, kElevation, reading.problems)) {
    site.elevation_m = *z;
  } else {
    reading.take_default("site.elevation", "0 ft");
  }
  read_indoor(map, reading);
  read_duct_air(map, reading);
  read_outdoor(map, reading);
  if (const auto wind = within(map, "wind", Dimension::velocity, kWind, reading.problems)) {
    site.wind_m_s = *wind;
  } else {
    reading.take_default("site.wind", "none");
  }
  site.wind_coefficient =
      within(map, "wind_coefficient", Dimension::number, {-3.0, 3.0, "-3 to 3"}, reading.problems);

  if (const yaml::Node* air = map.get("air")) {
    read_stated_air(*air, reading);
  }
  read_facts(map, "site", reading);
  map.finish();
  check_vapour(site, node->span, reading);
}

void read_collar_at(const yaml::Node& node, Reading& reading) {
  yaml::MapReader map(node, "collar_at", reading.problems);
  StartPlace& place = reading.layout.appliance.collar_at;
  place.above_floor_m =
      within(map, "above_floor", Dimension::length, kShortLength, reading.problems);
  place.from_wall_m = within(map, "from_wall", Dimension::length, kShortLength, reading.problems);
  place.from_left_m = within(
      map, "from_left", Dimension::length, {-100.0, 100.0, "-300 ft to 300 ft"}, reading.problems);
  map.finish();
}

void read_includes(const yaml::Node& node, Reading& reading) {
  Appliance& appliance = reading.layout.appliance;
  appliance.includes_stated = true;
  const auto one = [&](const yaml::Node& item) {
    const auto choice = yaml::read_choice(item, {"filter", "damper"}, "part", reading.problems);
    if (choice) {
      (*choice == 0 ? appliance.includes_filter : appliance.includes_damper) = true;
    }
  };
  if (node.kind == yaml::NodeKind::sequence) {
    std::for_each(node.items.begin(), node.items.end(), one);
  } else {
    one(node);
  }
}

void read_cooking(const yaml::Node& node, Reading& reading) {
  Cooking cooking;
  cooking.span = node.span;
  yaml::MapReader map(node, "cooking", reading.problems);
  if (const yaml::Node* fuel = map.get("fuel")) {
    static const std::vector<std::string> fuels{"gas", "electric", "induction", "solid", "other"};
    if (const auto choice = yaml::read_choice(*fuel, fuels, "fuel", reading.problems)) {
      cooking.fuel = fuels[*choice];
    }
  }
  cooking.width_m =
      within(map, "width", Dimension::length, {0.1, 10.0, "4 in to 33 ft"}, reading.problems);
  if (const yaml::Node* mount = map.get("mount")) {
    if (const auto choice = yaml::read_choice(*mount, kMountWords, "mount", reading.problems)) {
      cooking.mount = *choice;
    }
  }
  cooking.hood_height_m =
      within(map, "hood_height", Dimension::length, {0.0, 10.0, "0 in to 33 ft"}, reading.problems);
  read_facts(map, "appliance.cooking", reading);
  map.finish();
  reading.layout.appliance.cooking = cooking;
}

void read_appliance(const yaml::Node* node, Reading& reading) {
  Appliance& appliance = reading.layout.appliance;
  if (node == nullptr) {
    reading.take_default("appliance.kind", "exhaust");
    return;
  }
  appliance.span = node->span;
  yaml::MapReader map(*node, "appliance", reading.problems);
  const yaml::Node* kind = map.get("kind");
  if (kind != nullptr && base::canonical_word(kind->text) == "commercial-hood") {
    appliance.kind_stated = true;
    reading.layout.remarks.push_back(
        {"a hood of a commercial kitchen: the rules for those (grease duct, clearances, fire "
         "suppression, capture) are not here; the airflow is calculated as of any exhaust"});
  } else if (kind != nullptr) {
    if (const auto choice =
            yaml::read_choice(*kind, kApplianceKindWords, "appliance kind", reading.problems)) {
      appliance.kind = *choice;
      appliance.kind_stated = true;
    }
  } else {
    reading.take_default("appliance.kind", "exhaust");
  }
  if (const yaml::Node* collar = map.get("collar")) {
    appliance.collar = read_section(*collar, reading.problems);
    appliance.collar_span = collar->span;
  }
  if (const yaml::Node* place = map.get("collar_at")) {
    read_collar_at(*place, reading);
  }
  if (const yaml::Node* includes = map.get("includes")) {
    read_includes(*includes, reading);
  }
  if (const yaml::Node* airflow = map.get("nameplate_airflow")) {
    appliance.nameplate_airflow_m3_s =
        read_within(*airflow, Dimension::airflow, kAirflow, reading.problems);
    appliance.nameplate_span = airflow->span;
  }
  if (const yaml::Node* airflow = map.get("required_airflow")) {
    appliance.required_airflow_m3_s =
        read_within(*airflow, Dimension::airflow, kAirflow, reading.problems);
    appliance.required_span = airflow->span;
  }
  if (const yaml::Node* cooking = map.get("cooking")) {
    read_cooking(*cooking, reading);
  }
  read_facts(map, "appliance", reading);
  map.finish();
}

std::string fault_text(fan::FanCurve::Fault fault) {
  using Fault = fan::FanCurve::Fault;
  switch (fault) {
    case Fault::too_few:
      return "a fan curve needs two points or more";
    case Fault::not_finite:
      return "a fan curve's points must be finite numbers";
    case Fault::negative_airflow:
      return "a fan curve's airflow cannot be negative";
    case Fault::not_ascending:
      return "the airflow of a fan curve must ascend";
    case Fault::never_falls:
      return "the pressure of this fan curve never falls as airflow grows";
  }
  return "this fan curve cannot be used";
}

std::string fault_help(fan::FanCurve::Fault fault) {
  using Fault = fan::FanCurve::Fault;
  switch (fault) {
    case Fault::too_few:
      return "add points, or state a single rating as `rated`";
    case Fault::not_ascending:
      return "order the points by airflow, each airflow once";
    case Fault::never_falls:
      return "check the order of the columns: a curve may rise at first, but it must fall in the "
             "end";
    default:
      return {};
  }
}

void read_curve(const yaml::Node& node, Speed& speed, Reading& reading) {
  yaml::MapReader map(node, "curve", reading.problems);
  const yaml::Node* airflow = map.require("airflow", "0 250 450 cfm");
  const yaml::Node* pressure = map.require("pressure", "0.9 0.6 0 inH2O");
  map.finish();
  if (airflow == nullptr || pressure == nullptr) {
    return;
  }
  const auto q = yaml::read_column(*airflow, Dimension::airflow, reading.problems);
  const auto p = yaml::read_column(*pressure, Dimension::pressure, reading.problems);
  if (!q || !p) {
    return;
  }
  if (q->size() > kMostPoints) {
    reading.problems
        .error(airflow->span, "too-many", fmt::format("this fan curve holds {} points", q->size()))
        .label = fmt::format("{} at most", kMostPoints);
    return;
  }
  if (q->size() != p->size()) {
    auto& d = reading.problems.error(
        pressure->span,
        "unequal-columns",
        fmt::format("{} airflow values, but {} pressure values", q->size(), p->size()));
    d.label = fmt::format("expected {} values", q->size());
    d.others.push_back({airflow->span, "the airflow column"});
    return;
  }
  for (std::size_t i = 0; i < q->size(); ++i) {
    const bool airflow_fits = (*q)[i] <= kAirflow.highest;
    if (!airflow_fits || (*p)[i] > kPressure.highest) {
      reading.problems
          .error(airflow_fits ? pressure->span : airflow->span,
                 "out-of-range",
                 "a point of this fan curve is out of range")
          .label = airflow_fits ? "expected 80 inH2O or less" : "expected 200000 cfm or less";
      return;
    }
    speed.curve.push_back({(*q)[i], (*p)[i]});
  }
  const auto made = fan::FanCurve::from_points(speed.curve, fan::CurveShape::parabola);
  if (const auto* fault = std::get_if<fan::FanCurve::Fault>(&made)) {
    const bool of_pressure = *fault == fan::FanCurve::Fault::never_falls;
    auto& d = reading.problems.error(
        of_pressure ? pressure->span : airflow->span, "unusable-fan-curve", fault_text(*fault));
    d.help = fault_help(*fault);
    return;
  }
  const bool any_negative =
      std::any_of(p->begin(), p->end(), [](double value) { return value < 0.0; });
  if (any_negative) {
    reading.problems
        .error(pressure->span, "unusable-fan-curve", "a fan curve's pressure cannot be negative")
        .help = "end the curve at its free-air airflow, where the pressure is 0";
  }
}

void read_one_rating(const yaml::Node& node, Speed& speed, Reading& reading) {
  if (node.kind == yaml::NodeKind::scalar) {
    // As cartons print it: an airflow alone.
    if (const auto q = read_within(node, Dimension::airflow, kAirflow, reading.problems)) {
      speed.ratings.push_back({.airflow_m3_s = *q, .pressure_pa = 0.0, .span = node.span});
      reading.take_default("rated.pressure", "0 inH2O (free air)");
    }
    return;
  }
  yaml::MapReader map(node, "rated", reading.problems);
  const yaml::Node* airflow = map.require("airflow", "600 cfm");
  Rating rating;
  rating.span = node.span;
  bool good = airflow != nullptr;
  if (airflow != nullptr) {
    const auto q = read_within(*airflow, Dimension::airflow, kAirflow, reading.problems);
    good = q.has_value();
    rating.airflow_m3_s = q.value_or(0.0);
  }
  if (const yaml::Node* pressure = map.get("pressure")) {
    const auto p = read_within(*pressure, Dimension::pressure, kPressure, reading.problems);
    good = good && p.has_value();
    rating.pressure_pa = p.value_or(0.0);
  } else {
    reading.take_default("rated.pressure", "0 inH2O (free air)");
  }
  map.finish();
  if (good) {
    speed.ratings.push_back(rating);
  }
}

void read_ratings(const yaml::Node& node, Speed& speed, Reading& reading) {
  if (node.kind != yaml::NodeKind::sequence) {
    read_one_rating(node, speed, reading);
    return;
  }
  if (!holds_at_most(node, kMostPoints, "rated", reading.problems)) {
    return;
  }
  for (const yaml::Node& item : node.items) {
    read_one_rating(item, speed, reading);
  }
  std::sort(speed.ratings.begin(), speed.ratings.end(), [](const Rating& a, const Rating& b) {
    return a.airflow_m3_s < b.airflow_m3_s;
  });
  if (speed.ratings.size() < 2 || !speed.curve.empty()) {
    return;
  }
  std::vector<fan::FanPoint> points;
  for (const Rating& rating : speed.ratings) {
    points.push_back({rating.airflow_m3_s, rating.pressure_pa});
  }
  const auto made = fan::FanCurve::from_points(points, fan::CurveShape::parabola);
  if (const auto* fault = std::get_if<fan::FanCurve::Fault>(&made)) {
    reading.problems.error(node.span, "unusable-ratings", fault_text(*fault)).help =
        "a rating at a higher pressure has the smaller airflow";
  }
}

void read_speed(const yaml::Node& node, Fan& fan, Reading& reading) {
  Speed speed;
  speed.span = node.span;
  yaml::MapReader map(node, "speed", reading.problems);
  if (!map.is_mapping()) {
    return;
  }
  if (const yaml::Node* name = map.require("name", "high")) {
    speed.name = yaml::read_text(*name, reading.problems).value_or("");
    speed.span = name->span;
    for (const Speed& other : fan.speeds) {
      if (other.name == speed.name) {
        reading.problems
            .error(name->span,
                   "duplicate-speed",
                   fmt::format("two speeds are named `{}`", base::escaped(speed.name)))
            .others.push_back({other.span, "the first"});
      }
    }
  }
  const yaml::Node* curve = map.get("curve");
  const yaml::Node* rated = map.get("rated");
  const yaml::Node* ratio = map.get("speed_ratio");
  if (curve != nullptr) {
    read_curve(*curve, speed, reading);
  }
  if (rated != nullptr) {
    read_ratings(*rated, speed, reading);
  }
  if (ratio != nullptr) {
    speed.speed_ratio =
        read_within(*ratio, Dimension::number, {0.05, 2.0, "0.05 to 2"}, reading.problems);
    if (fan.speeds.empty()) {
      reading.problems
          .error(ratio->span,
                 "speed-ratio-of-itself",
                 "`speed_ratio` is of the first speed, and this is the first")
          .help = "give the first speed a `curve` or `rated`";
    } else if (curve != nullptr) {
      reading.problems
          .error(ratio->span,
                 "two-fan-descriptions",
                 "this speed states both a `curve` and a `speed_ratio`")
          .help = "keep the one that is known";
    }
  }
  if (curve == nullptr && rated == nullptr && ratio == nullptr &&
      !map.misspells({"curve", "rated", "speed_ratio"})) {
    reading.problems
        .error(speed.span,
               "missing-key",
               "this speed states neither `curve`, `rated` nor `speed_ratio`")
        .help = "such as `curve: {airflow: 0 250 450 cfm, pressure: 0.9 0.6 0 inH2O}`";
  }
  speed.locked_out = map.yes_no("locked_out").value_or(false);
  map.finish();
  fan.speeds.push_back(std::move(speed));
}

/// `{free_air: 600 cfm, blower: generic}`: what a carton says, on an assumed shape where asked for.
void read_generic(yaml::MapReader& map, Fan& fan, Reading& reading) {
  const yaml::Node* blower = map.get("blower");
  const yaml::Node* free_air = map.get("free_air");
  if (blower != nullptr) {
    fan.generic_blower =
        yaml::read_choice(*blower, {"generic"}, "blower", reading.problems).has_value();
  }
  if (free_air == nullptr) {
    return;
  }
  if (blower == nullptr) {
    reading.problems
        .error(free_air->span,
               "missing-key",
               "a free-air airflow says nothing of the pressure the fan makes")
        .help =
        "add `blower: generic` to take the assumed shape of a small blower, or give "
        "`speeds` with a `curve` or two ratings";
    return;
  }
  const auto q = read_within(*free_air, Dimension::airflow, kAirflow, reading.problems);
  if (q && *q > 0.0) {
    Speed speed;
    speed.name = "high";
    speed.span = free_air->span;
    speed.ratings.push_back({.airflow_m3_s = *q, .pressure_pa = 0.0, .span = free_air->span});
    fan.speeds.push_back(std::move(speed));
  }
}

}  // namespace

void read_fan(const yaml::Node* node, Reading& reading) {
  if (node == nullptr) {
    return;
  }
  Fan fan;
  fan.span = node->span;
  yaml::MapReader map(*node, "fan", reading.problems);
  if (const yaml::Node* count = map.get("count")) {
    const auto n = yaml::read_whole(*count, reading.problems);
    if (n && (*n < 1 || *n > 20)) {
      reading.problems.error(count->span, "out-of-range", "`count` is out of range").label =
          "expected 1 to 20 blowers";
    } else if (n) {
      fan.count = static_cast<int>(*n);
    }
  }
  if (const yaml::Node* basis = map.get("curve_pressure")) {
    if (const auto choice = yaml::read_choice(
            *basis, fan::kPressureBasisWords, "curve pressure", reading.problems)) {
      fan.basis = *choice;
      fan.basis_stated = true;
    }
  } else {
    reading.take_default("fan.curve_pressure", "static");
  }
  if (const auto rho =
          within(map, "rated_density", Dimension::density, kDensity, reading.problems)) {
    fan.rated_density_kg_m3 = *rho;
  } else {
    fan.rated_density_kg_m3 = 0.075 * units::kKgM3PerLbFt3;
    reading.take_default("fan.rated_density", "0.075 lb/ft3");
  }
  if (const yaml::Node* outlet = map.get("outlet")) {
    fan.outlet = read_section(*outlet, reading.problems);
  }
  read_generic(map, fan, reading);
  const yaml::Node* speeds = fan.generic_blower && map.get("speeds") == nullptr
                                 ? nullptr
                                 : map.require("speeds", "[{name: high, curve: ...}]");
  if (speeds != nullptr) {
    if (speeds->kind != yaml::NodeKind::sequence || speeds->items.empty()) {
      reading.problems.error(speeds->span, "wrong-kind", "`speeds` must be a list of speeds").help =
          "write each speed as `- name: high` with its `curve` below";
    } else if (holds_at_most(*speeds, kMostSpeeds, "speeds", reading.problems)) {
      for (const yaml::Node& item : speeds->items) {
        read_speed(item, fan, reading);
      }
    }
  }
  map.finish();
  reading.layout.fan = std::move(fan);
}

namespace {

/// The first section of the run and whether the collar changes into it.
void settle_first_section(const yaml::Node& run_node,
                          const yaml::Node* pieces,
                          bool section_given,
                          Reading& reading) {
  Run& run = reading.layout.run;
  const auto& collar = reading.layout.appliance.collar;
  if (run.stated_section) {
    run.first_section = *run.stated_section;
  } else if (collar) {
    run.first_section = *collar;
    if (!section_given) {
      reading.take_default("run.section", "the collar's size");
    }
  } else if (!section_given && !reading.problems.has_error()) {
    reading.problems
        .error(
            run_node.span, "missing-key", "neither `run.section` nor `appliance.collar` is stated")
        .help = "add `section: 8 in round` to the run";
  }
  if (!collar || !run.stated_section || *collar == *run.stated_section) {
    return;
  }
  // A first transition that leads from the collar to the run's section is that change.
  if (pieces != nullptr && pieces->kind == yaml::NodeKind::sequence && !pieces->items.empty()) {
    const yaml::Node& first = pieces->items.front();
    if (first.kind == yaml::NodeKind::mapping && first.find("transition") != nullptr) {
      const yaml::Node& value = *first.find("transition");
      const yaml::Node* to = value.kind == yaml::NodeKind::mapping ? value.find("to") : &value;
      if (to != nullptr && to->kind == yaml::NodeKind::scalar) {
        const auto parsed = duct::parse_section(to->text);
        const auto* section = std::get_if<duct::Section>(&parsed);
        if (section != nullptr && *section == *run.stated_section) {
          run.first_section = *collar;
          return;
        }
      }
    }
  }
  run.changes_at_collar = true;
}

void settle_rise(Reading& reading) {
  Run& run = reading.layout.run;
  run.rise_m = rise_by_headings(run);
  if (run.stated_rise_m) {
    if (run.rise_m && std::abs(*run.rise_m - *run.stated_rise_m) > 0.3) {
      reading.layout.remarks.push_back(
          {"the stated rise of {} is taken; headings and lengths add up to {}",
           {{*run.stated_rise_m, units::Dimension::length},
            {*run.rise_m, units::Dimension::length}}});
    }
    run.rise_m = run.stated_rise_m;
  }
}

void read_submitted(const yaml::Node& list, Reading& reading) {
  if (list.kind != yaml::NodeKind::sequence) {
    reading.problems.error(list.span, "wrong-kind", "`submitted` must be a list").help =
        "start each record with a dash";
    return;
  }
  if (!holds_at_most(list, kMostReadings, "submitted", reading.problems)) {
    return;
  }
  for (const yaml::Node& item : list.items) {
    Submitted record;
    record.span = item.span;
    yaml::MapReader map(item, "submitted", reading.problems);
    if (const yaml::Node* speed = map.get("speed")) {
      record.speed = yaml::read_text(*speed, reading.problems).value_or("");
      check_speed(*speed, record.speed, reading);
    }
    record.airflow_m3_s = within(map, "airflow", Dimension::airflow, kAirflow, reading.problems);
    record.static_pressure_pa = within(map,
                                       "static_pressure",
                                       Dimension::pressure,
                                       {-20000.0, 20000.0, "-80 inH2O to 80 inH2O"},
                                       reading.problems);
    record.equivalent_length_m = within(map,
                                        "equivalent_length",
                                        Dimension::length,
                                        {0.0, 10000.0, "0 ft to 30000 ft"},
                                        reading.problems);
    map.finish();
    reading.layout.submitted.push_back(std::move(record));
  }
}

void read_rules(const yaml::Node* node, Reading& reading) {
  if (node == nullptr) {
    return;
  }
  const auto take = [&](const yaml::Node& item) {
    const auto name = yaml::read_text(item, reading.problems);
    if (name && base::trimmed(*name).empty()) {
      reading.problems.error(item.span, "missing-value", "a rule set has no name").help =
          "such as `rules: irc-2021`";
    } else if (name) {
      reading.layout.rules.push_back({std::string(base::trimmed(*name)), item.span});
    }
  };
  if (node->kind == yaml::NodeKind::sequence) {
    for (const yaml::Node& item : node->items) {
      take(item);
    }
  } else {
    take(*node);
  }
}

void read_version(yaml::MapReader& map, Reading& reading) {
  const yaml::Node* version = map.require("layout", "1");
  if (version == nullptr) {
    return;
  }
  const auto number = yaml::read_whole(*version, reading.problems);
  if (number && *number != 1) {
    reading.problems
        .error(version->span,
               "unknown-version",
               fmt::format("layout version {} is not known", *number))
        .label = "expected 1";
  }
}

/// Reads what stands in `layout.tree`.
base::Checked<Layout> read_tree(Layout layout, const fitting::Catalogue& catalogue) {
  layout.warnings = layout.tree->warnings;
  yaml::Problems problems(layout.source);
  Reading reading{problems, catalogue, layout};

  yaml::MapReader map(layout.tree->root, "layout", problems);
  if (map.is_mapping()) {
    read_version(map, reading);
    layout.title = map.text("title").value_or("");
    if (layout.title.empty()) {
      layout.title = layout.file;
    }
    read_rules(map.get("rules"), reading);
    read_seen(map.get("seen_on_site"), reading);
    layout.catalogue = map.text("catalogue").value_or("");
    if (const yaml::Node* named = map.get("catalogue"); named != nullptr && named->text.empty()) {
      reading.problems.error(named->span, "missing-value", "`catalogue` names no file").help =
          "name a file, such as `my-caps.yaml`, or leave the key out";
    }
    read_site(map.get("site"), reading);
    read_appliance(map.get("appliance"), reading);
    read_fan(map.get("fan"), reading);
    const yaml::Node* branches = map.get("branches");
    BranchTable table = branch_table(branches, reading);
    reading.branches = &table;
    if (const yaml::Node* run = map.require("run", "{section: 8 in round, pieces: [...]}")) {
      read_run(*run, reading);
    }
    if (branches != nullptr) {
      read_branches(*branches, reading);
    }
    reading.branches = nullptr;
    read_house(map.get("house"), reading);
    read_uncertainty(map.get("uncertainty"), reading);
    if (const yaml::Node* submitted = map.get("submitted")) {
      read_submitted(*submitted, reading);
    }
    if (const yaml::Node* measurements = map.get("measurements")) {
      read_measurements(*measurements, reading, layout.measurements);
    }
    read_fact_group(map.get("dwelling"), "dwelling", reading);
    read_fact_group(map.get("electrical"), "electrical", reading);
    if (const yaml::Node* variants = map.get("variants")) {
      read_variants(*variants, reading);
    }
    map.finish();
    check_facts(reading);
  }
  if (problems.has_error()) {
    auto list = problems.take();
    list.insert(list.end(), layout.warnings.begin(), layout.warnings.end());
    base::sort_by_place(list);
    return list;
  }
  auto list = problems.take();
  layout.warnings.insert(layout.warnings.end(), list.begin(), list.end());
  base::sort_by_place(layout.warnings);
  return layout;
}

}  // namespace

/// `3-1/4 x 10 in` on a level run stands on edge: most who write it mean the flat duct.
void tell_of_duct_on_edge(Reading& reading) {
  for (const Piece& piece : reading.layout.run.pieces) {
    const duct::Section& section = piece.upstream;
    const bool level = piece.heading_in && std::abs((*piece.heading_in)[2]) < 0.5;
    if (piece.kind == PieceKind::straight && level && section.shape() == duct::Shape::rectangular &&
        section.width_m() < section.height_m()) {
      reading.layout.remarks.push_back(
          {fmt::format("the {{}} duct on line {} runs level and stands on edge, the first figure "
                       "being its width: write `{{}}` where it lies flat",
                       piece.span.line),
           {duct::message_value(section),
            duct::message_value(duct::Section::rectangular(units::metres(section.height_m()),
                                                           units::metres(section.width_m())))}});
      return;
    }
  }
}

void read_run_heading(yaml::MapReader& map, Reading& reading) {
  const yaml::Node* heading = map.get("heading");
  const auto text = heading == nullptr ? std::nullopt : yaml::read_text(*heading, reading.problems);
  if (!text) {
    return;
  }
  Run& run = reading.layout.run;
  run.heading = direction_of(*text);
  if (!run.heading) {
    reading.heading_failed = true;
    auto& d = reading.problems.error(heading->span,
                                     "unknown-direction",
                                     fmt::format("`{}` is no direction", base::escaped(*text)));
    d.label = "expected up, down, left, right, back or front, or two joined such as up-back";
    if (const auto near = base::nearest(*text, direction_words())) {
      d.help = fmt::format("did you mean `{}`?", *near);
    }
  }
}

void read_run_rise(yaml::MapReader& map, Reading& reading) {
  reading.layout.run.stated_rise_m = within(
      map, "rise", Dimension::length, {-200.0, 200.0, "-650 ft to 650 ft"}, reading.problems);
}

void settle_run(Reading& reading) {
  settle_rise(reading);
  tell_of_duct_on_edge(reading);
}

void read_run(const yaml::Node& node, Reading& reading) {
  Run& run = reading.layout.run;
  run.span = node.span;
  yaml::MapReader map(node, "run", reading.problems);
  if (!map.is_mapping()) {
    return;
  }
  const yaml::Node* section = map.get("section");
  if (section != nullptr) {
    run.stated_section = read_section(*section, reading.problems);
    run.section_span = section->span;
  }
  if (const auto wall = read_wall(map, reading)) {
    run.material = wall->material;
    run.roughness_m = wall->roughness_m;
  } else {
    const auto* material = fitting::material("galvanized-steel");
    DUCTLEDGER_EXPECTS(material != nullptr);
    run.material = material->name;
    run.roughness_m = material->roughness_m;
    reading.take_default("run.material", material->name);
  }
  read_run_heading(map, reading);
  if (const yaml::Node* discharge = map.get("discharge")) {
    if (const auto choice =
            yaml::read_choice(*discharge, kDischargeWords, "discharge", reading.problems)) {
      run.discharge = *choice;
    }
  } else {
    reading.take_default("run.discharge", "outdoors");
  }
  run.back_pressure_pa = within(map,
                                "back_pressure",
                                Dimension::pressure,
                                {-500.0, 500.0, "-2 inH2O to 2 inH2O"},
                                reading.problems)
                             .value_or(0.0);
  read_run_rise(map, reading);
  const yaml::Node* pieces = map.require("pieces", "[{straight: 4 ft}, {cap: wall-hood-flap}]");
  read_facts(map, "run", reading);
  map.finish();
  settle_first_section(node, pieces, section != nullptr, reading);
  if (pieces == nullptr) {
    return;
  }
  read_pieces(*pieces, reading);
  settle_run(reading);
}

void check_speed(const yaml::Node& node, const std::string& name, Reading& reading) {
  const auto& fan = reading.layout.fan;
  if (!fan || std::any_of(fan->speeds.begin(), fan->speeds.end(), [&](const Speed& speed) {
        return speed.name == name;
      })) {
    return;
  }
  auto& d = reading.problems.error(
      node.span, "unknown-speed", fmt::format("no speed is named `{}`", base::escaped(name)));
  std::vector<std::string> names;
  for (const Speed& speed : fan->speeds) {
    names.push_back(speed.name);
  }
  if (const auto near = base::nearest(name, names)) {
    d.help = fmt::format("did you mean `{}`?", *near);
  }
}

std::optional<Wall> read_wall(yaml::MapReader& map, Reading& reading) {
  const yaml::Node* material = map.get("material");
  const yaml::Node* roughness = map.get("roughness");
  Wall wall;
  bool known = false;
  if (material != nullptr) {
    if (const auto text = yaml::read_text(*material, reading.problems)) {
      if (const auto* row = fitting::material(*text)) {
        wall = {row->name, row->roughness_m};
        known = true;
      } else {
        const auto words = fitting::material_names();
        auto& d =
            reading.problems.error(material->span,
                                   "unknown-material",
                                   fmt::format("no material is named `{}`", base::escaped(*text)));
        d.label = "not in the roughness table";
        d.notes.push_back("known: " + base::joined(words));
        if (const auto near = base::nearest(*text, words)) {
          d.help = fmt::format("did you mean `{}`?", *near);
        } else {
          d.help = "or state `roughness: 0.09 mm` instead";
        }
      }
    }
  }
  if (roughness != nullptr) {
    if (const auto value = read_within(
            *roughness, Dimension::length, {0.0, 0.02, "0 mm to 20 mm"}, reading.problems)) {
      wall = {std::string(), *value};
      known = true;
      if (*value > kRoughestUsualM) {
        remark(roughness, {"rougher than flexible duct", "did you mean `mm`?"}, reading);
      }
    }
  }
  return known ? std::optional<Wall>(wall) : std::nullopt;
}

std::optional<CatalogueKey> catalogue_key(const base::SourcePtr& text) {
  // Parsing costs as much again as reading; most layouts do not name the key at all.
  if (text->text().find("catalogue") == std::string_view::npos) {
    return std::nullopt;
  }
  const auto tree = yaml::parse(text, {.may_be_blank = may_be_blank});
  if (!tree || tree->root.kind != yaml::NodeKind::mapping) {
    return std::nullopt;
  }
  const yaml::Node* node = tree->root.find("catalogue");
  if (node == nullptr || node->kind != yaml::NodeKind::scalar || node->text.empty()) {
    return std::nullopt;
  }
  return CatalogueKey{node->text, node->span};
}

std::optional<double> rise_by_headings(const Run& run) {
  if (!run.heading) {
    return std::nullopt;
  }
  double rise_m = 0.0;
  for (const Piece& piece : run.pieces) {
    if (!piece.heading_in || !piece.heading_out) {
      return std::nullopt;
    }
    rise_m += piece.length_m.value_or(0.0) * (*piece.heading_in)[2];
    if (const auto* elbow = piece.if_is<Elbow>()) {
      rise_m +=
          elbow->legs_m[0] * (*piece.heading_in)[2] + elbow->legs_m[1] * (*piece.heading_out)[2];
    }
  }
  return rise_m;
}

base::Checked<Layout> read(const base::SourcePtr& text, const fitting::Catalogue& catalogue) {
  auto tree = yaml::parse(text, {.may_be_blank = may_be_blank});
  if (!tree) {
    return std::move(tree).error();
  }
  Layout layout;
  layout.source = text;
  layout.file = text->name();
  layout.sha256 = text->sha256();
  take_out_blank_answers(*tree);
  layout.tree = std::make_shared<const yaml::Tree>(*std::move(tree));
  layout.origins = std::make_shared<const Origins>(layout.tree);
  auto read = read_tree(layout, catalogue);
  if (!read) {
    base::Diagnostics faults = std::move(read).error();
    if (std::ranges::find(faults, "unknown-key", &base::Diagnostic::rule) != faults.end()) {
      yaml::KeyLog log(text);
      static_cast<void>(read_tree(layout, catalogue));
      tell_places(faults, layout.tree->root, log);
    }
    return faults;
  }
  read->digest = digest(*read);
  return read;
}

base::Checked<Layout> read_edited(const Layout& original,
                                  yaml::Node root,
                                  const fitting::Catalogue& catalogue) {
  DUCTLEDGER_EXPECTS(original.tree != nullptr);
  Layout layout;
  layout.source = original.source;
  layout.file = original.file;
  layout.origins = original.origins;
  layout.digest = original.digest;
  layout.tree = std::make_shared<const yaml::Tree>(
      yaml::Tree{original.tree->source, std::move(root), original.tree->warnings});
  return read_tree(std::move(layout), catalogue);
}

}  // namespace ductledger::layout
