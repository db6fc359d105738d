#!/usr/bin/python3
"""Checks the oracle itself against published figures before it judges anything else.

    oracle_check.py

Each row names its source.  Tolerances come from the printed digits.
"""

import math
import sys

import numpy
import oracle
from oracle import CFM_M3_S, FOOT_M, INCH_M, INCH_WATER_PA, Section

STANDARD_AIR = oracle.Air(1.2014, 1.819e-5, 1.2014)


def friction_inh2o_per_100_ft(diameter_in, airflow_cfm, roughness_ft):
    loss_pa = oracle.straight_loss_pa(airflow_cfm * CFM_M3_S, 100 * FOOT_M,
                                      Section("round", diameter_in * INCH_M),
                                      roughness_ft * FOOT_M, STANDARD_AIR)
    return float(loss_pa) / INCH_WATER_PA


def exhaust_fan_airflow_cfm():
    """Local exhaust: hood entry, five elbows, a damper; 650 cfm read from a plotted curve."""
    density = 1.184
    layout = {
        "site": {"air": {"density_kg_m3": density, "viscosity_pa_s": 1.562e-5 * density}},
        "appliance": {"kind": "exhaust"},
        "fan": {"curve_pressure": "total", "rated_density_kg_m3": density, "speeds": [
            {"name": "only",
             "airflow_m3_s": [q * CFM_M3_S for q in (0, 250, 500, 750, 1000, 1200)],
             "pressure_pa": [p * INCH_WATER_PA for p in (0.90, 0.95, 0.90, 0.75, 0.40, 0.0)]}]},
        "run": {"section": Section("round", 0.230), "roughness_m": 0.15e-3, "pieces": [
            {"kind": "entry", "coefficient": 1.3},
            {"kind": "straight", "length_m": 13.4},
            *[{"kind": "elbow", "coefficient": 0.21}] * 5,
            {"kind": "damper", "coefficient": 1.8},
            {"kind": "loss", "coefficient": 0.05}]}}  # kinetic-energy factor 1.05 at the exit
    return oracle.solve(layout)[0]["airflow_m3_s"] / CFM_M3_S


def diameter_in(shape, width_in, height_in):
    section = Section(shape, width_in * INCH_M, height_in * INCH_M)
    return section.equivalent_diameter_m / INCH_M


def loss_rises_everywhere():
    """G = f Re^2 must rise through the blend at any roughness; 1.0 when it does."""
    reynolds = numpy.linspace(1500.0, 6000.0, 9001)
    return float(all(numpy.all(numpy.diff(oracle.friction_factor_re2(reynolds, e)) > 0.0)
                     for e in (0.0, 1e-4, 1e-3, 1e-2, 0.05)))


# (what and source, ours, printed, tolerance)
ROWS = [
    ("exhaust-fan operating point [cfm], Cengel and Cimbala, Fluid Mechanics, fan example",
     exhaust_fan_airflow_cfm(), 650.0, 10.0),
    ("friction 10 in 400 cfm [inH2O/100 ft], McDonald and Magande, chapter 2",
     friction_inh2o_per_100_ft(10, 400, 0.0003), 0.09, 0.005),
    ("friction 6 in 120 cfm [inH2O/100 ft], heating and ventilating textbook sheet",
     friction_inh2o_per_100_ft(6, 120, 0.0003), 0.12, 0.005),
    ("equivalent diameter 10 x 3 [in], ASHAE Guide 1956, chapter 32, table 1",
     diameter_in("rectangular", 10, 3), 5.7, 0.06),
    ("equivalent diameter 24 x 6 [in], ASHAE Guide 1956, chapter 32, table 1",
     diameter_in("rectangular", 24, 6), 12.4, 0.06),
    ("equivalent diameter oval 30 x 24 [in], Dusling, Applied Fluids course notes",
     diameter_in("oval", 30, 24), 27.5, 0.05),
    ("saturation pressure 0.01 degC [Pa], triple point of water",
     oracle.saturation_pressure_pa(273.16), 611.657, 0.2),
    ("saturation pressure 20 degC [Pa], Hyland and Wexler as in the ASHRAE Handbook (memory)",
     oracle.saturation_pressure_pa(293.15), 2338.8, 0.5),
    ("ice and water laws meet at 0 degC [Pa]",
     oracle.saturation_pressure_pa(273.15 - 1e-9), oracle.saturation_pressure_pa(273.15), 0.1),
    ("density of moist air 20 degC 50 % [kg/m3], CIPM-2007 (computed); real gas adds 0.04 %",
     oracle.moist_air_density_kg_m3(293.15, 0.5, 101325.0), 1.19931, 0.0006),
    ("pressure ratio at 6000 ft, US Bureau of Reclamation, table 6a",
     oracle.atmospheric_pressure_pa(6000 * FOOT_M) / 101325.0, 0.801, 0.001),
    ("viscosity of air 20 degC [Pa s], US Standard Atmosphere 1976 (memory)",
     oracle.sutherland_viscosity_pa_s(293.15), 1.8134e-5, 1e-9),
    ("compression multiplier 8 in 15 %, close to four times, Abushakra, Walker, Sherman 2004",
     oracle.compression_multiplier(0.85, 8 * INCH_M), 4.0, 0.5),
    ("loss rises through the blend of the friction laws", loss_rises_everywhere(), 1.0, 0.0),
]


def main():
    wrong = 0
    for what, ours, printed, tolerance in ROWS:
        good = math.isfinite(ours) and abs(ours - printed) <= tolerance
        wrong += not good
        print(f"{'ok  ' if good else 'DIFF'} {what}: {ours:.6g}, printed {printed:.6g} "
              f"+- {tolerance:g}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
