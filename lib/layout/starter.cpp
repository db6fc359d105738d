#include "layout/layout.hpp"

namespace ductledger::layout {

const std::string& starter() {
  static const std::string text =
      R"yaml(# A layout: the duct run of one exhaust appliance. Change it to yours; every quantity carries its
# unit (in, ft, mm, m, cfm, L/s, m3/h, inH2O, Pa, degF, degC, %). The figures here are invented.
layout: 1
title: Kitchen hood, back through the wall

site:
  elevation: 500 ft
  indoor: {temperature: 70 degF, humidity: 45 %}

appliance:
  kind: range-hood               # range-hood, bath-fan, clothes-dryer or exhaust
  collar: 7 in round             # where the duct meets the appliance
  includes: [filter, damper]     # parts inside the appliance when its fan was rated
  required_airflow: 200 cfm      # what you want delivered; leave it out if you do not know

fan:
  curve_pressure: static         # what the manufacturer's curve shows: static, total or static-rise
  speeds:
    - name: high
      # Read a few points off the manufacturer's curve: airflow and pressure, one unit at each end.
      curve: {airflow: 0 120 220 290 330 cfm, pressure: 0.62 0.55 0.40 0.18 0 inH2O}
    - name: low
      speed_ratio: 0.6           # of the first speed
    # A fan known by two ratings only:
    # - {name: boost, rated: [{airflow: 300 cfm, pressure: 0.1 inH2O}, {airflow: 240 cfm, pressure: 0.25 inH2O}]}

run:
  section: 7 in round            # or `10 x 3-1/4 in`, `12 x 6 in oval`, `150 mm round`
  material: galvanized-steel     # or state `roughness: 0.09 mm`
  heading: up                    # leaving the collar, as you face the appliance
  pieces:                        # from the collar to outdoors, one dash a piece
    - straight: 2 ft 6 in
    - elbow: {type: gored-5, turn: back, radius_ratio: 1.5}
    - straight: {length: 1 ft 2 in, through: wall}
    - cap: wall-hood-flap        # a manufacturer's figure replaces ours: {type: wall-hood-flap, coefficient: 2.1}
)yaml";
  return text;
}

}  // namespace ductledger::layout
