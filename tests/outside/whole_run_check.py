#!/usr/bin/python3
"""Whole runs solved by fluids, scipy's PCHIP and brentq against the program's operating points.

    whole_run_check.py BINARY

Twenty random runs: straights of one to three round sections, fittings with stated coefficients,
a falling fan curve of five points on its total-pressure basis, stated air.  The resistance is
Darcy-Weisbach with the Colebrook factor of fluids; the airflow and the pressure must agree to 1e-6
relative, and every friction factor of the ledger to 1e-8.  All data is invented.  The exit status
is 77 where fluids or scipy cannot be imported.
"""

import json
import math
import pathlib
import random
import subprocess
import sys
import tempfile

import probe

try:
    from fluids.friction import Colebrook
    from scipy.interpolate import PchipInterpolator
    from scipy.optimize import brentq
except ImportError as error:
    print(f"skipped: {error}")
    sys.exit(probe.SKIPPED)

RUNS = 20
SEED = 20
DIAMETERS_MM = [100, 125, 150, 160, 200, 250]


class Run:
    """One random run: the text of its layout, and its losses as (length, coefficient, section)."""

    def __init__(self, rng, number):
        self.density_kg_m3 = round(rng.uniform(0.95, 1.25), 4)
        self.viscosity_pa_s = round(rng.uniform(1.7e-5, 2.0e-5), 8)
        self.roughness_m = rng.choice([0.03e-3, 0.09e-3, 0.15e-3, 0.9e-3])
        self.losses = []  # (length_m, coefficient, diameter_m)
        self.straights = []  # index into the ledger, from 1, and diameter
        sections = rng.sample(DIAMETERS_MM, rng.randint(1, 3))
        pieces = []
        for index, diameter_mm in enumerate(sections):
            if index:
                coefficient = round(rng.uniform(0.05, 0.6), 3)
                pieces.append(f"transition: {{to: {diameter_mm} mm round, "
                              f"coefficient: {coefficient}, reference: downstream}}")
                self.losses.append((0.0, coefficient, diameter_mm / 1000))
            for _ in range(rng.randint(1, 4)):
                length_m = round(rng.uniform(0.3, 6.0), 3)
                coefficient = round(rng.uniform(0.05, 1.2), 3)
                pieces += [f"straight: {length_m} m",
                           f"elbow: {{angle: 90 deg, coefficient: {coefficient}}}"]
                self.losses += [(length_m, 0.0, diameter_mm / 1000),
                                (0.0, coefficient, diameter_mm / 1000)]
                self.straights.append((len(pieces) - 1, diameter_mm / 1000))
        coefficient = round(rng.uniform(1.0, 3.0), 3)
        pieces.append(f"cap: {{type: wall-hood-flap, coefficient: {coefficient}}}")
        self.losses.append((0.0, coefficient, sections[-1] / 1000))
        self.fan_points(rng, min(sections) / 1000)
        flows = " ".join(f"{q * 1000:g}" for q in self.airflow_m3_s)
        pressures = " ".join(f"{p:g}" for p in self.pressure_pa)
        body = "\n".join(f"    - {piece}" for piece in pieces)
        self.text = f"""layout: 1
title: Invented run {number}
site: {{air: {{density: {self.density_kg_m3} kg/m3, viscosity: {self.viscosity_pa_s:.8f} Pa.s}}}}
appliance: {{kind: exhaust, collar: {sections[0]} mm round}}
fan:
  curve_pressure: total
  rated_density: {self.density_kg_m3} kg/m3
  speeds:
    - name: only
      curve: {{airflow: {flows} L/s, pressure: {pressures} Pa}}
run:
  section: {sections[0]} mm round
  roughness: {self.roughness_m * 1000:g} mm
  pieces:
{body}
"""

    def fan_points(self, rng, narrowest_m):
        """Five falling points; about the middle one the curve meets the run."""
        middle_m3_s = math.pi / 4 * narrowest_m**2 * rng.uniform(4.0, 10.0)
        middle_pa = self.resistance_pa(middle_m3_s)
        shares = [0.0, rng.uniform(0.4, 0.6), rng.uniform(0.8, 0.95), rng.uniform(1.1, 1.3), 1.6]
        heights = [rng.uniform(1.6, 1.9), rng.uniform(1.4, 1.55), rng.uniform(1.05, 1.3),
                   rng.uniform(0.5, 0.8), 0.0]
        self.airflow_m3_s = [round(middle_m3_s * s * 1000, 2) / 1000 for s in shares]
        self.pressure_pa = [round(middle_pa * h, 2) for h in heights]

    def friction_factor(self, airflow_m3_s, diameter_m):
        reynolds = (4 * self.density_kg_m3 * airflow_m3_s
                    / (math.pi * diameter_m * self.viscosity_pa_s))
        if reynolds < 4000.0:
            raise ValueError("outside the range of the Colebrook law")
        return Colebrook(reynolds, self.roughness_m / diameter_m, tol=0)

    def resistance_pa(self, airflow_m3_s):
        total_pa = 0.0
        for length_m, coefficient, diameter_m in self.losses:
            if length_m:
                coefficient = (self.friction_factor(airflow_m3_s, diameter_m)
                               * length_m / diameter_m)
            velocity_m_s = airflow_m3_s / (math.pi / 4 * diameter_m**2)
            total_pa += coefficient * self.density_kg_m3 / 2 * velocity_m_s**2
        return total_pa

    def solve(self):
        """(airflow, pressure) where the curve meets the run."""
        curve = PchipInterpolator(self.airflow_m3_s, self.pressure_pa)
        low, high = 0.4 * self.airflow_m3_s[-1], self.airflow_m3_s[-1]
        airflow = brentq(lambda q: float(curve(q)) - self.resistance_pa(q), low, high, xtol=1e-16,
                         rtol=1e-14)
        return airflow, float(curve(airflow))


def main(arguments):
    if len(arguments) != 1:
        sys.exit(__doc__)
    rng = random.Random(SEED)
    flows = probe.Comparison("airflow of whole runs", 1e-6)
    pressures = probe.Comparison("pressure of whole runs", 1e-6)
    factors = probe.Comparison("friction factors in their ledgers", 1e-8)
    with tempfile.TemporaryDirectory() as folder:
        for number in range(RUNS):
            run = Run(rng, number)
            path = pathlib.Path(folder) / f"{number:02}.yaml"
            path.write_text(run.text, encoding="utf-8")
            done = subprocess.run([arguments[0], "check", str(path), "--json"], capture_output=True,
                                  text=True, check=False, timeout=60)
            if done.returncode not in (0, 1):
                sys.exit(f"exit status {done.returncode}: {done.stdout}{done.stderr}\n{run.text}")
            speed = json.loads(done.stdout)["speeds"][0]
            point = speed["operating_point"]
            if point["status"] != "found":
                sys.exit(f"no operating point: {point['status']}\n{run.text}")
            airflow, pressure = run.solve()
            flows.add(f"run {number}", point["airflow_m3_s"], airflow)
            pressures.add(f"run {number}", point["total_pressure_pa"], pressure)
            rows = {row["number"]: row for row in speed["ledger"]}
            for index, diameter_m in run.straights:
                # At the program's own airflow: the law alone is compared here.
                factors.add(f"run {number}, piece {index}", rows[index]["friction_factor"],
                            run.friction_factor(point["airflow_m3_s"], diameter_m))
    factors.finish(at_least=RUNS)
    pressures.finish(at_least=RUNS)
    flows.finish(at_least=RUNS)


if __name__ == "__main__":
    main(sys.argv[1:])
