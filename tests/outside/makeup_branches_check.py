#!/usr/bin/python3
"""Runs the program on houses whose makeup duct branches and compares it with a solution by scipy.

    makeup_branches_check.py BINARY [N] [SEED]

A hood draws on a leaking house with two to four outdoor inlets that join in one makeup duct. At the
airflow that the program says the hood draws, `scipy.optimize.root` finds the airflows of the inlets,
the pressures of the junctions and that of the room from the equations of the method alone: mass and
total pressure at each junction, Darcy-Weisbach with Colebrook-White, the junction formulas typed a
second time, leaks by a power law. Depressurization and makeup airflow must agree to 1e-5.
"""

import json
import pathlib
import random
import subprocess
import sys
import tempfile

import probe

try:
    from scipy.optimize import root
except ImportError:
    sys.exit(probe.SKIPPED)

from branches_check import ANGLES, Junction, Leg

TOLERANCE = 1e-5
LAYOUT = """layout: 1
site: {air: {density: 1.2 kg/m3, viscosity: 1.8e-5 Pa.s}}
appliance: {kind: range-hood, collar: 200 mm round}
fan:
  speeds:
    - {name: high, curve: {airflow: 0 0.1 0.2 0.3 m3/s, pressure: 250 220 140 0 Pa}}
run:
  section: 200 mm round
  pieces: [{straight: 3 m}]
house:
"""


class Makeup:
    """A duct with inlets that join it one after the other; some have one of their own."""

    def __init__(self, rng):
        self.rng = rng
        self.legs, self.junctions, self.inlets = [], [], []
        self.branches = {}
        self.leak = (round(rng.uniform(0.05, 0.5), 4), round(rng.uniform(0.55, 0.75), 3))
        self.trunk = self.run(rng.randint(1, 2), True)
        self.legs[self.trunk["last"]].coefficient += 1.0  # the open end in the room

    def leg(self, diameter_m):
        rng = self.rng
        self.legs.append(Leg(diameter_m, round(rng.uniform(1, 8), 4), round(rng.uniform(0, 2), 4)))
        leg = self.legs[-1]
        return len(self.legs) - 1, [f"straight: {leg.length_m:.4f} m",
                                    f"loss: {{coefficient: {leg.coefficient:.4f}}}"]

    def run(self, joins, may_nest):
        rng = self.rng
        diameter_m = first_m = rng.choice([0.1, 0.125, 0.15])
        at, items = self.leg(diameter_m)
        self.inlets.append(at)
        for _ in range(joins):
            child = f"inlet-{len(self.branches) + 1}"
            self.branches[child] = None
            self.branches[child] = self.run(rng.randint(0, 1) if may_nest else 0, False)
            wide = rng.choice([diameter_m, max(diameter_m, 0.2)])
            kind = rng.choice(list(ANGLES))
            stated = (round(rng.uniform(0, 0.5), 3), round(rng.uniform(0, 1.0), 3)) \
                if rng.random() < 0.4 else None
            how = (f"straight_coefficient: {stated[0]}, branch_coefficient: {stated[1]}"
                   if stated else f"type: {kind}")
            items.append(f"junction: {{branch: {child}, {how}, section: {wide * 1000:g} mm round}}")
            diameter_m = wide
            combined, more = self.leg(wide)
            self.junctions.append(Junction(kind, at, self.branches[child]["last"], combined, stated))
            self.legs[combined].start = len(self.junctions) - 1
            at = combined
            items += more
        return {"section_m": first_m, "items": items, "last": at}

    def text(self):
        def lines(run, pad):
            out = f"{pad}section: {run['section_m'] * 1000:g} mm round\n{pad}pieces:\n"
            return out + "".join(f"{pad}  - {item}\n" for item in run["items"])

        out = LAYOUT + (f"  leakage: {{airflow: {self.leak[0]} m3/s, at: 50 Pa, "
                        f"exponent: {self.leak[1]}}}\n  makeup:\n    kind: duct\n    run:\n"
                        "      roughness: 0.09 mm\n")
        out += lines(self.trunk, "      ") + "    branches:\n"
        for name, run in self.branches.items():
            out += f"      {name}:\n" + lines(run, "        ")
        return out

    def answer(self, drawn_m3_s):
        """(room below outdoors, airflow of the makeup duct); None where scipy finds nothing."""
        count = len(self.inlets)

        def residuals(x):
            q = [None] * len(self.legs)
            for i, leg in enumerate(self.inlets):
                q[leg] = x[i] * 0.05
            for one in self.junctions:
                q[one.combined] = q[one.straight] + q[one.branch]
            p = [v * 10.0 for v in x[count:-1]]
            room = -x[-1] * 10.0
            ends = [room] * len(self.legs)
            for j, one in enumerate(self.junctions):
                straight, branch = one.losses(q[one.straight], q[one.branch], self.legs)
                ends[one.straight], ends[one.branch] = p[j] + straight, p[j] + branch
            out = []
            for i, leg in enumerate(self.legs):
                start = 0.0 if leg.start is None else p[leg.start]
                out.append((start - leg.loss_pa(q[i]) - ends[i]) / 10.0)
            last = q[self.trunk["last"]]
            leaks = self.leak[0] * (max(-room, 0.0) / 50.0) ** self.leak[1]
            out.append((leaks + last - drawn_m3_s) / 0.05)
            self.found = (-room, last)
            return out

        for attempt in range(20):
            rng = random.Random(attempt)
            x0 = ([rng.uniform(0.1, 1.0) for _ in self.inlets]
                  + [rng.uniform(-1.0, 0.0) for _ in self.junctions] + [rng.uniform(0.2, 2.0)])
            for method in ("hybr", "lm"):
                found = root(residuals, x0, method=method, tol=1e-13)
                if max(abs(v) for v in residuals(found.x)) < 1e-9:
                    residuals(found.x)
                    return self.found
        return None


def main():
    binary = sys.argv[1]
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 25
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 17
    compared = wrong = 0
    with tempfile.TemporaryDirectory() as folder:
        for i in range(count):
            makeup = Makeup(random.Random(f"{seed} {i}"))
            path = pathlib.Path(folder) / f"makeup-{i}.yaml"
            path.write_text(makeup.text(), encoding="utf-8")
            run = subprocess.run([binary, "check", str(path), "--json", "--fail-on", "never"],
                                 capture_output=True, timeout=60, check=False)
            if run.returncode != 0:
                wrong += 1
                print(run.stderr.decode("utf-8", "replace"))
                continue
            speed = json.loads(run.stdout)["speeds"][0]
            expected = makeup.answer(speed["operating_point"]["airflow_m3_s"])
            if expected is None:
                continue
            compared += 1
            ours = (speed["house"]["depressurisation_pa"], speed["house"]["makeup_airflow_m3_s"])
            if any(abs(a - b) > TOLERANCE * abs(b) for a, b in zip(ours, expected)):
                wrong += 1
                print(f"makeup {i}, seed {seed}: {ours}, expected {expected}\n{makeup.text()}")
    print(f"{compared} of {count} makeup ducts compared, {wrong} differ")
    sys.exit(1 if wrong or compared < 0.8 * count else 0)


if __name__ == "__main__":
    main()
