#!/usr/bin/python3
"""Random layouts with a house, against a second solver written from the method's equations alone.

    house_check.py PROGRAM [N] [SEED]

The solver shares no code with the program and goes the other way: what the envelope lets through at
a pressure gives the exhaust that draws it there, so that room pressure and airflow run along one
parameter, and the fan is met by scipy's brentq along it.  Agreement: 0.1 % or 0.01 Pa in depressurisation, 0.1 % in airflow.  Statuses must
be equal.  All data is invented.
"""

import json
import math
import pathlib
import random
import subprocess
import sys
import tempfile

try:
    import numpy
    from scipy.optimize import brentq
except ImportError:
    sys.exit(77)

import oracle
from oracle import CFM_M3_S, INCH_M, INCH_WATER_PA, Section

FOOT_M = 0.3048


def friction_factor(reynolds, relative_roughness):
    """Darcy: 64/Re, Colebrook-White, and between them a cubic in Re of f Re^2."""
    def colebrook(re):
        x = 7.0  # 1/sqrt(f)
        for _ in range(30):
            inner = relative_roughness / 3.7 + 2.51 * x / re
            step = ((x + 2.0 * math.log10(inner))
                    / (1.0 + 2.0 / math.log(10.0) / inner * 2.51 / re))
            x -= step
            if abs(step) < 1e-14 * x:
                break
        return x**-2
    if reynolds <= 2300.0:
        return 64.0 / reynolds
    if reynolds >= 4000.0:
        return colebrook(reynolds)
    return float(oracle.friction_factor_re2(reynolds, relative_roughness)) / reynolds**2


def duct_loss_pa(q, pieces, section, air):
    """Loss of a round run of lengths and coefficients at an airflow >= 0 [Pa]."""
    total = 0.0
    velocity = q / section.area_m2
    velocity_pressure = air.density_kg_m3 / 2.0 * velocity**2
    for piece in pieces:
        if "length_m" in piece:
            if q > 0.0:
                d = section.width_m
                f = friction_factor(air.density_kg_m3 * velocity * d / air.viscosity_pa_s,
                                    piece["roughness_m"] / d)
                total += f * piece["length_m"] / d * velocity_pressure
        elif "opening_pa" in piece:
            total += math.hypot(piece["opening_pa"], piece["coefficient"] * velocity_pressure)
        else:
            total += piece["coefficient"] * velocity_pressure
    return total


class House:
    """One zone by its mass balance; `running` says whether makeup that may stand still runs."""

    def __init__(self, house, duct, outdoor, indoor, wind_m_s, running):
        self.house, self.duct, self.outdoor, self.indoor = house, duct, outdoor, indoor
        self.wind_pa = (outdoor.density_kg_m3 / 2.0 * wind_m_s**2
                        * house.get("wind_coefficient", 0.0))
        self.makeup = house["makeup"] if running else {"kind": "none"}

        self.other_m3_s = sum(house["other_m3_s"])
        self.one_way = any("opening_pa" in piece for piece in self.makeup.get("pieces", []))

    def state(self, t):
        """(pressure difference, leak, path): t is the path's airflow where it is a duct that lets
        air through, else the pressure difference (a shut flap: less its opening pressure)."""
        if self.makeup["kind"] == "duct":
            pieces, section = self.makeup["pieces"], self.makeup["section"]
            if self.one_way and t <= 0.0:
                difference = duct_loss_pa(0.0, pieces, section, self.outdoor) + t
                return difference, self.leak_m3_s(difference), 0.0
            air = self.outdoor if t > 0.0 else self.indoor
            difference = math.copysign(duct_loss_pa(abs(t), pieces, section, air), t)
            return difference, self.leak_m3_s(difference), t
        path = 0.0
        if self.makeup["kind"] == "passive-opening":
            rho = (self.outdoor if t > 0.0 else self.indoor).density_kg_m3
            path = math.copysign(self.makeup["discharge_coefficient"] * self.makeup["area_m2"]
                                 * math.sqrt(2.0 * abs(t) / rho), t)
        return t, self.leak_m3_s(t), path

    def leak_m3_s(self, difference_pa):
        leakage = self.house["leakage"]
        n = leakage["exponent"]
        flow = leakage["airflow_m3_s"] * (abs(difference_pa) / leakage["at_pa"]) ** n
        if leakage.get("standard"):
            # ISO 9972, ASTM E779 (recalled): C0 = C (mu/mu0)^(2n-1) (rho/rho0)^(1-n), at 20 degC
            # and 1.204 kg/m3; C is of the air that flows through the leak.
            air = self.outdoor if difference_pa > 0.0 else self.indoor
            mu0 = oracle.sutherland_viscosity_pa_s(293.15)
            flow /= ((air.viscosity_pa_s / mu0) ** (2.0 * n - 1.0)
                     * (air.density_kg_m3 / 1.204) ** (1.0 - n))
        return math.copysign(flow, difference_pa)

    def exhaust_m3_s(self, t):
        """What the appliance draws when the room is in that state."""
        difference, leak, path = self.state(t)
        rho = (self.outdoor if difference > 0.0 else self.indoor).density_kg_m3
        mass = (rho * (leak + path)
                + self.outdoor.density_kg_m3 * self.makeup.get("airflow_m3_s", 0.0))
        return mass / self.duct.density_kg_m3 - self.other_m3_s

    def parameter(self, airflow_m3_s):
        two_way_duct = self.makeup["kind"] == "duct" and not self.one_way
        low, high = (-60.0, 60.0) if self.makeup["kind"] == "duct" else (-1e6, 1e6)
        if self.makeup["kind"] == "duct" and not two_way_duct:
            low = -1e6
        return brentq(lambda t: self.exhaust_m3_s(t) - airflow_m3_s, low, high,
                      xtol=1e-15, rtol=1e-14, maxiter=500)


def solve(case, speed, running):
    duct, outdoor, indoor = case["airs"]
    house = House(case["house"], duct, outdoor, indoor, case["wind_m_s"], running)
    rho_ratio = duct.density_kg_m3 / (0.075 * oracle.LB_FT3_KG_M3)
    ratio = speed["ratio"]
    curve = oracle.curve_through(case["curve_m3_s"], case["curve_pa"])
    last = numpy.nextafter(curve.last_m3_s * ratio, 0.0)
    end_pa = (outdoor.density_kg_m3 / 2.0 * case["wind_m_s"] ** 2 * case["cap_wind"]
              - (outdoor.density_kg_m3 - duct.density_kg_m3) * 9.80665 * case["rise_m"])

    def g(t):
        q = min(max(house.exhaust_m3_s(t), 0.0), last)
        fan = (rho_ratio * ratio**2 * float(curve.pressure_pa(min(q / ratio, curve.last_m3_s)))
               + duct.density_kg_m3 / 2.0 * (q / case["section"].area_m2) ** 2)
        suction = house.state(t)[0] - house.wind_pa
        return fan - duct_loss_pa(q, case["pieces"], case["section"], duct) - suction - end_pa

    start, stop = house.parameter(0.0), house.parameter(last)
    grid = start + (stop - start) * numpy.unique(numpy.concatenate(
        [[0.0], numpy.geomspace(1e-7, 1.0, 40), numpy.linspace(0.0, 1.0, 200) ** 2,
         numpy.linspace(0.0, 1.0, 200)]))
    grid[-1] = stop
    values = [g(t) for t in grid]
    roots = []
    for a, b, ga, gb in zip(grid[:-1], grid[1:], values[:-1], values[1:]):
        if (ga > 0.0) != (gb > 0.0):
            roots.append((brentq(g, a, b, xtol=1e-15, rtol=1e-13), ga > 0.0))
    stable = [t for t, falls in roots if falls]
    if values[0] <= 0.0:
        status, t = "no-flow", start
    elif stable:
        status, t = "found", stable[0]
    else:
        status, t = "beyond-curve", stop
    difference, leak, path = house.state(t)
    return {"status": status, "airflow_m3_s": max(house.exhaust_m3_s(t), 0.0),
            "depressurisation_pa": difference - house.wind_pa,
            "leakage_airflow_m3_s": leak,
            "makeup_airflow_m3_s": path + house.makeup.get("airflow_m3_s", 0.0),
            "judged_depressurisation_pa":
                house.state(stable[-1] if stable else t)[0] - house.wind_pa,
            "margin": min(abs(values[0]), abs(values[-1]))}


# ---------------------------------------------------------------- layouts


def run_pieces(rng, lengths, first=None):
    """A few lengths and losses, and their YAML."""
    pieces, text = [], []
    for _ in range(lengths):
        length_ft, roughness_mm = rng.randint(2, 30), rng.choice([0.03, 0.09, 0.15, 0.9])
        pieces.append({"length_m": length_ft * FOOT_M, "roughness_m": roughness_mm / 1e3})
        text.append(f"{{straight: {{length: {length_ft} ft, roughness: {roughness_mm} mm}}}}")
        coefficient = round(rng.uniform(0.1, 1.5), 2)
        pieces.append({"coefficient": coefficient})
        text.append(f"{{loss: {{coefficient: {coefficient}}}}}")
    if first:
        pieces.insert(0, first[0])
        text.insert(0, first[1])
    return pieces, text


def makeup(rng):
    kind = rng.choice(["none", "passive-opening", "passive-opening", "powered", "duct", "duct"])
    if kind == "none":
        return {"kind": "none"}, "{kind: none}", True
    if kind == "passive-opening":
        coefficient = rng.choice([0.4, 0.6, 0.65])
        if rng.random() < 0.5:
            inches = rng.choice([3, 4, 6, 8, 10, 14])
            area, text = math.pi / 4.0 * (inches * INCH_M) ** 2, f"section: {inches} in round"
        else:
            square_inches = rng.choice([5, 20, 50, 140])
            area, text = square_inches * INCH_M**2, f"free_area: {square_inches} in2"
        return ({"kind": kind, "area_m2": area, "discharge_coefficient": coefficient},
                f"{{kind: passive-opening, {text}, discharge_coefficient: {coefficient}}}", True)
    interlocked = rng.random() < 0.6
    if kind == "powered":
        cfm = rng.choice([100, 300, 600, 1200])
        return ({"kind": kind, "airflow_m3_s": cfm * CFM_M3_S},
                f"{{kind: powered, airflow: {cfm} cfm, interlocked: {str(interlocked).lower()}}}",
                interlocked)
    inches = rng.choice([5, 6, 8, 10])
    entry = round(rng.uniform(0.3, 3.0), 2)
    pieces, text = run_pieces(
        rng, rng.randint(1, 3), ({"coefficient": entry}, f"{{entry: {{coefficient: {entry}}}}}"))
    damper = rng.choice(["none", "barometric", "motorised"])
    if damper == "barometric":
        opening = rng.choice([1, 5, 20])
        pieces.append({"coefficient": 0.8, "opening_pa": opening})
        text.append("{damper: {type: barometric, coefficient: 0.8, opening_pressure: "
                    f"{opening} Pa}}}}")
    elif damper == "motorised":
        pieces.append({"coefficient": 0.5})
        text.append("{damper: {type: motorised, coefficient: 0.5}}")
    pieces.append({"coefficient": 2.5})
    text.append("{cap: {type: grille, coefficient: 2.5}}")
    always = damper != "motorised"
    return ({"kind": kind, "pieces": pieces, "section": Section("round", inches * INCH_M)},
            f"{{kind: duct, interlocked: {str(interlocked).lower()}, run: {{section: {inches} in "
            f"round, pieces: [{', '.join(text)}]}}}}", always or interlocked)


def make(rng):
    elevation_ft = rng.choice([0, 1200, 5000, 8000])
    t_in, t_duct, t_out = rng.choice([68, 75]), rng.choice([70, 95, 140]), rng.choice([-20, 30, 95])
    pressure_pa = oracle.atmospheric_pressure_pa(elevation_ft * FOOT_M)

    def air(t_f):
        t_k = (t_f + 459.67) / 1.8
        return oracle.Air(oracle.moist_air_density_kg_m3(t_k, 0.5, pressure_pa),
                          oracle.sutherland_viscosity_pa_s(t_k), 0.0)
    wind_mph = rng.choice([0, 0, 10, 20])
    envelope = rng.choice([None, -0.25, 0.3])
    inches = rng.choice([6, 8, 10])
    pieces, text = run_pieces(rng, rng.randint(1, 4))
    cap = round(rng.uniform(1.0, 4.0), 2)
    pieces.append({"coefficient": cap})
    text.append(f"{{cap: {{type: wall-hood-flap, coefficient: {cap}, wind_coefficient: 0.7}}}}")
    rise_ft = rng.choice([0, 10, 30])
    shape = rng.choice(["falling", "falling", "humped", "parabola", "short"])
    top_cfm, top_in = rng.choice([300, 600, 1000, 1500]), rng.choice([0.3, 0.8, 1.5])
    q = {"falling": [0, 0.4, 0.7, 0.9, 1], "humped": [0, 0.15, 0.35, 0.55, 0.8, 1],
         "parabola": [0, 1], "short": [0, 0.3, 0.6]}[shape]
    p = {"falling": [1, 0.9, 0.6, 0.25, 0], "humped": [0.9, 0.8, 0.85, 1.0, 0.6, 0],
         "parabola": [1, 0], "short": [1, 0.9, 0.75]}[shape]
    curve_cfm = [round(top_cfm * x) for x in q]
    curve_in = [round(top_in * y, 4) for y in p]
    leak_cfm, at_pa = rng.choice([150, 400, 900, 1500, 4000]), rng.choice([50, 50, 25])
    exponent = rng.choice([0.5, 0.6, 0.65, 0.75, 1.0])
    standard = rng.random() < 0.5
    other = rng.choice([[], [150], [50, 110]])
    make_up, makeup_text, relied_on = makeup(rng)
    house = {"leakage": {"airflow_m3_s": leak_cfm * CFM_M3_S, "at_pa": at_pa,
                         "exponent": exponent, "standard": standard},
             "other_m3_s": [x * CFM_M3_S for x in other], "makeup": make_up}
    if envelope is not None:
        house["wind_coefficient"] = envelope
    yaml = "\n".join([
        "layout: 1",
        f"site: {{elevation: {elevation_ft} ft, indoor: {{temperature: {t_in} degF}}, "
        f"duct: {{temperature: {t_duct} degF, humidity: 50 %}}, "
        f"outdoor: {{temperature: {t_out} degF}}, wind: {wind_mph} mph}}",
        f"appliance: {{kind: exhaust, collar: {inches} in round}}",
        "fan:", "  speeds:",
        f"    - {{name: high, curve: {{airflow: {' '.join(map(str, curve_cfm))} cfm, "
        f"pressure: {' '.join(map(str, curve_in))} inH2O}}}}",
        "    - {name: low, speed_ratio: 0.6}",
        f"run: {{section: {inches} in round, rise: {rise_ft} ft, pieces: [{', '.join(text)}]}}",
        "house:",
        f"  leakage: {{airflow: {leak_cfm} cfm, at: {at_pa} Pa, exponent: {exponent}"
        f"{', reported_at: standard' if standard else ''}}}",
        f"  other_exhaust: [{', '.join(f'{{airflow: {x} cfm}}' for x in other)}]",
        *([f"  wind_coefficient: {envelope}"] if envelope is not None else []),
        f"  makeup: {makeup_text}", ""])
    return {"yaml": yaml, "airs": (air(t_duct), air(t_out), air(t_in)),
            "wind_m_s": wind_mph * 0.44704, "cap_wind": 0.7, "rise_m": rise_ft * FOOT_M,
            "section": Section("round", inches * INCH_M), "pieces": pieces,
            "curve_m3_s": [x * CFM_M3_S for x in curve_cfm],
            "curve_pa": [x * INCH_WATER_PA for x in curve_in],
            "house": house, "relied_on": relied_on}


# ---------------------------------------------------------------- comparison


def close(ours, theirs, floor):
    return abs(ours - theirs) <= max(1e-3 * abs(theirs), floor)


def compare(expected, point, house, name):
    found = []
    if point["status"] != expected["status"]:
        return [] if expected["margin"] < 1e-6 else [
            f"{name}: status {point['status']}, expected {expected['status']}"]
    pairs = [("airflow_m3_s", point, 1e-8), ("depressurisation_pa", house, 0.01),
             ("judged_depressurisation_pa", house, 0.01),
             ("leakage_airflow_m3_s", house, 1e-6), ("makeup_airflow_m3_s", house, 1e-6)]
    for key, where, floor in pairs:
        if key in expected and not close(where[key], expected[key], floor):
            found.append(f"{name}: {key} {where[key]:.9g}, expected {expected[key]:.9g}")
    return found


def main():
    program = sys.argv[1]
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 60
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 20261
    rng = random.Random(seed)
    faults, statuses, compared = [], {}, 0
    with tempfile.TemporaryDirectory() as folder:
        for index in range(count):
            case = make(rng)
            path = pathlib.Path(folder) / f"{index:04d}.yaml"
            path.write_text(case["yaml"])
            done = subprocess.run([program, "check", "--json", "--fail-on", "never", str(path)],
                                  capture_output=True, text=True, check=False)
            if done.returncode != 0:
                faults.append(f"{index}: exit {done.returncode}\n{case['yaml']}\n{done.stdout}")
                continue
            document = json.loads(done.stdout)
            for speed, ratio in zip(document["speeds"], (1.0, 0.6)):
                expected = solve(case, {"ratio": ratio}, case["relied_on"])
                statuses[expected["status"]] = statuses.get(expected["status"], 0) + 1
                compared += 1
                wrong = compare(expected, speed["operating_point"], speed["house"],
                                f"{index} {speed['name']}")
                if not case["relied_on"]:
                    running = solve(case, {"ratio": ratio}, True)
                    beside = speed["house"]["with_makeup"]
                    for key, floor in (("airflow_m3_s", 1e-9), ("depressurisation_pa", 0.01)):
                        if not close(beside[key], running[key], floor):
                            wrong.append(f"{index} {speed['name']} with makeup: {key} "
                                         f"{beside[key]:.9g}, expected {running[key]:.9g}")
                if wrong:
                    faults.append("\n".join(wrong) + "\n" + case["yaml"])
    print(f"{compared} operating points of {count} layouts, seed {seed}: {statuses}")
    for fault in faults:
        print(fault)
    sys.exit(1 if faults or statuses.get("found", 0) < count / 2 else 0)


if __name__ == "__main__":
    main()
