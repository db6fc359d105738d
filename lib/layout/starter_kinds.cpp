#include <algorithm>
#include <array>

#include "layout/starter.hpp"

namespace ductledger::layout {
namespace {

struct Starter {
  const char* kind;
  const char* text;
};

constexpr std::array kStarters{
    Starter{
        "bath-fan",
        R"yaml(# A bathroom fan: rigid duct across the ceiling to a side wall. The figures here are invented.
layout: 1
title: Bathroom fan to the side wall

appliance:
  kind: bath-fan
  collar: 4 in round
  includes: [damper]             # parts inside the fan when it was rated
  required_airflow: 50 cfm

fan:
  speeds:
    - name: "on"
      # The two ratings on the carton; a curve with more points says more.
      rated: [{airflow: 80 cfm, pressure: 0.1 inH2O}, {airflow: 66 cfm, pressure: 0.25 inH2O}]

run:
  section: 4 in round
  material: galvanized-steel
  heading: left                  # leaving the collar, as you face the appliance
  pieces:
    - straight: {length: 6 ft, through: joist-bay}
    - straight: {length: 8 in, through: wall}
    - cap: wall-hood-flap        # a maker's figure replaces ours: {type: wall-hood-flap, coefficient: 2.1}
)yaml"},
    Starter{
        "dryer",
        R"yaml(# A clothes dryer: smooth metal duct, no screen at the cap. The figures here are invented.
layout: 1
title: Dryer to the side wall

site:
  duct: {temperature: 130 degF, humidity: 40 %}   # moist air while drying

appliance:
  kind: clothes-dryer
  collar: 4 in round
  required_airflow: 100 cfm

fan:
  speeds:
    - name: dry
      curve: {airflow: 0 60 110 150 180 200 cfm, pressure: 1.6 1.5 1.25 0.85 0.4 0 inH2O}

run:
  section: 4 in round
  material: galvanized-steel
  heading: back
  pieces:
    - straight: 6 in
    - elbow: {type: smooth-radius, turn: up, radius_ratio: 1.5}
    - straight: {length: 5 ft, through: stud-bay}
    - elbow: {type: smooth-radius, turn: back, radius_ratio: 1.5}
    - straight: {length: 1 ft, through: wall}
    - cap: wall-hood-flap
)yaml"},
    Starter{
        "makeup",
        R"yaml(# A hood in a tight house, and the duct that brings its air back in. The figures here are invented.
layout: 1
title: Kitchen hood with a makeup duct

appliance:
  kind: range-hood
  collar: 8 in round
  includes: [filter, damper]
  required_airflow: 300 cfm

fan:
  speeds:
    - name: high
      curve: {airflow: 0 200 380 520 600 cfm, pressure: 0.90 0.82 0.60 0.28 0 inH2O}

run:
  section: 8 in round
  material: galvanized-steel
  heading: up
  pieces:
    - straight: 3 ft
    - elbow: {type: gored-5, turn: back, radius_ratio: 1.5}
    - straight: {length: 2 ft, through: wall}
    - cap: wall-hood-flap

house:
  floor_area: 1500 ft2
  leakage: {airflow: 1100 cfm, at: 50 Pa, exponent: 0.65}   # a blower door's figure
  combustion: [{kind: power-vented-water-heater, inside_air_barrier: true}]   # yours; [] for none
  makeup:
    kind: duct
    interlocked: yes             # the damper opens with the hood
    run:                         # with the airflow: from outdoors to the room
      section: 10 in round
      material: galvanized-steel
      heading: front
      pieces:
        - entry: {type: louver, free_area: 60 %}
        - straight: {length: 1 ft, through: wall}
        - straight: 7 ft
        - damper: motorised
        - cap: {type: grille, free_area: 70 %}
)yaml"},
    Starter{
        "recirculating",
        R"yaml(# A hood that returns its air to the room: grease and smell are held back, moisture and combustion
# products stay inside. The figures here are invented.
layout: 1
title: Hood that returns air to the room

appliance:
  kind: range-hood
  collar: 6 in round
  includes: [filter]
  cooking: {fuel: electric, width: 24 in, mount: wall, hood_height: 26 in}
  required_airflow: 150 cfm

fan:
  speeds:
    - name: high
      curve: {airflow: 0 100 200 270 320 cfm, pressure: 0.8 0.72 0.52 0.26 0 inH2O}

run:
  section: 6 in round
  material: galvanized-steel
  heading: up
  discharge: room
  pieces:
    # What the carbon filter's maker states: a drop at an airflow, and how it grows.
    - filter: {type: carbon, face: 12 x 10 in, pressure: 0.12 inH2O, at: 200 cfm, law: linear}
    - straight: 1 ft 2 in
    - elbow: {type: gored-3, turn: front, radius_ratio: 1.5}
    - cap: grille
)yaml"},
    Starter{
        "remote-fan",
        R"yaml(# A fan inside the run, away from the hood: what stands before it is under suction. The figures here
# are invented.
layout: 1
title: Exhaust with an inline fan

appliance:
  kind: exhaust
  collar: 6 in round
  required_airflow: 150 cfm

fan:
  speeds:
    - name: "on"
      curve: {airflow: 0 100 200 300 cfm, pressure: 0.9 0.75 0.45 0 inH2O}

run:
  section: 6 in round
  material: galvanized-steel
  heading: up
  pieces:
    - entry: flanged             # the hood's mouth is not in an inline fan's curve
    - straight: 3 ft
    - fan: inline                # it stands here
    - straight: 4 ft
    - elbow: {type: gored-5, turn: back, radius_ratio: 1.5}
    - straight: {length: 2 ft, through: wall}
    - cap: wall-hood-flap
)yaml"}};

}  // namespace

const std::vector<std::string>& starter_kinds() {
  static const std::vector<std::string> kKinds = [] {
    std::vector<std::string> kinds;
    for (const Starter& starter : kStarters) {
      kinds.emplace_back(starter.kind);
    }
    return kinds;
  }();
  return kKinds;
}

std::string_view starter_of(std::string_view kind) {
  const auto found = std::find_if(
      kStarters.begin(), kStarters.end(), [&](const Starter& one) { return kind == one.kind; });
  return found == kStarters.end() ? std::string_view() : found->text;
}

}  // namespace ductledger::layout
