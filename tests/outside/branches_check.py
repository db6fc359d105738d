#!/usr/bin/python3
"""Runs the program on random networks of branches and compares it with a solution by scipy.

    branches_check.py BINARY [N] [SEED]

Each network is written as a layout and solved here from the equations of the method alone: mass and
total pressure at each junction, Darcy-Weisbach with Colebrook-White, fans by PCHIP, the junction
formulas of Idelchik's handbook (3rd ed. p. 416 to 418) typed a second time. `scipy.optimize.root`
finds airflows of the inlets and pressures of the junctions from several starts. Inlet and discharge
airflows must agree to 1e-6; a flap that would let air back is shut and the rest solved again. Four
in ten stand in a house whose leaks let all of them share its pressure.

Where air comes back there may be two steady answers: the formula of a wye, continued to a combined
leg that runs backward, then stands for a strong jet pump, which draws air in through an inlet beside
one that blows out (seed 23, number 14: the collar's fan pushes air back out of a branch that holds a
wye of its own; both its inlets blow out, or one takes in 0.026 m3/s and the other gives out 0.083).
The one that fans reach as they run up from rest is the answer: their speed is raised in steps from
where all flow is laminar, and there only one answer exists, since every loss but the coefficients'
vanishing part is linear. Ours has to be that one, reversed airflows too.
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
    import numpy
    from scipy.optimize import root
except ImportError:
    sys.exit(probe.SKIPPED)

import oracle

TOLERANCE = 1e-6
SCALE_M3_S = 0.05
AIR = oracle.site_air({"air": {"density_kg_m3": 1.2, "viscosity_pa_s": 1.8e-5}})
ROUGHNESS_M = 0.09e-3


# ---------------------------------------------------------------- junctions, typed a second time


def wye(angle_deg, a, q):
    """(straight, branch) on the combined leg; blends where the print jumps."""
    alpha = math.radians(angle_deg)
    if q <= 0.4:
        large = 0.9 * (1 - q)
    elif q >= 0.5:
        large = 0.55
    else:
        large = 0.54 + (0.55 - 0.54) * (q - 0.4) / 0.1
    share = min(max((a - 0.35) / 0.05, 0.0), 1.0)
    factor = 1.0 + share * (large - 1.0)
    kst = 0.8 * q + share * (max(0.5, 0.8 * q) - 0.8 * q)
    branch = factor * (1 + (q / a) ** 2 - 2 * (1 - q) ** 2 - 2 * q * q / a * math.cos(alpha))
    straight = (1 - (1 - q) ** 2 - (1.4 - q) * q * q * math.sin(alpha)
                - 2 * kst * q / a * math.cos(alpha))
    return straight, branch


ANGLES = {"wye-45": 45.0, "wye-30": 30.0, "tee-90": 90.0}


class Leg:
    def __init__(self, diameter_m, length_m, coefficient, fan=None, flap=False):
        self.section = oracle.Section("round", diameter_m)
        self.length_m, self.coefficient, self.fan, self.flap = length_m, coefficient, fan, flap
        self.start = None  # junction

    def loss_pa(self, q):
        size = abs(q)
        dynamic = AIR.density_kg_m3 / 2 * (size / self.section.area_m2) ** 2
        loss = self.coefficient * dynamic
        if size > 0:
            loss += float(oracle.straight_loss_pa(size, self.length_m, self.section, ROUGHNESS_M,
                                                  AIR))
        return math.copysign(loss, q)

    def fan_pa(self, q):
        if self.fan is None:
            return 0.0
        curve, points, basis, area = self.fan
        q0, q1 = points[0][0], points[0][-1]
        if q <= q0:
            return points[1][0]
        dynamic = AIR.density_kg_m3 / 2 * (q / area) ** 2 if basis == "static" else 0.0
        if q > q1:  # no answer is taken from there
            slope = float(curve.pressure_pa.derivative()(q1))
            return points[1][-1] + slope * (q - q1) + dynamic
        return float(curve.pressure_pa(q)) + dynamic


class Junction:
    def __init__(self, kind, straight, branch, combined, stated):
        self.kind, self.straight, self.branch, self.combined = kind, straight, branch, combined
        self.stated = stated

    def losses(self, qs, qb, legs):
        qc = qs + qb
        area = legs[self.combined].section.area_m2
        dynamic = AIR.density_kg_m3 / 2 * qc * abs(qc) / area**2
        if self.stated:
            cs, cb = self.stated
        else:
            s, b = max(qs, 0.0), max(qb, 0.0)
            ratio = b / (s + b) if b > 0 else 0.0
            cs, cb = wye(ANGLES[self.kind], legs[self.branch].section.area_m2 / area, ratio)
        return cs * dynamic, cb * dynamic


class Network:
    """A trunk with branches, some with a branch of their own; legs as in the file."""

    def __init__(self, rng, house_rng=None):
        self.rng = rng
        self.house = None  # airflow of its leaks at 50 Pa, exponent
        if house_rng is not None and house_rng.random() < 0.4:
            self.house = (round(house_rng.uniform(0.1, 0.8), 4),
                          round(house_rng.uniform(0.55, 0.75), 3))
        self.legs, self.junctions = [], []
        self.branches = {}
        self.names = []
        self.inlets = {}

    def draw_fan(self, section, weak):
        rng = self.rng
        top = rng.uniform(40, 120) if weak else rng.uniform(150, 400)
        span = section.area_m2 * rng.uniform(4, 9) * (1 if weak else 1.6)
        q = [0.0, 0.35 * span, 0.7 * span, span]
        p = [top, top * rng.uniform(0.85, 0.97), top * rng.uniform(0.45, 0.7), 0.0]
        q = [round(x, 5) for x in q]
        p = [round(x, 3) for x in p]
        basis = rng.choice(["static", "total"])
        return oracle.curve_through(q, p), (q, p), basis, section.area_m2

    def pieces(self, leg, flap=False):
        out = [f"straight: {leg.length_m:.4f} m"]
        if leg.coefficient:
            out.append(f"loss: {{coefficient: {leg.coefficient:.4f}}}")
        if flap:
            out.append("damper: {type: backdraft-flap, coefficient: 0.5}")
        self.rng.shuffle(out)
        return out

    def leg(self, diameter_m, fan=None, flap=False):
        rng = self.rng
        leg = Leg(diameter_m, round(rng.uniform(1, 12), 4), round(rng.uniform(0, 3), 4), fan, flap)
        self.legs.append(leg)
        return len(self.legs) - 1

    def build(self):
        rng = self.rng
        self.main_at = rng.choice(["collar", "roof", "none"])
        first = rng.choice([0.1, 0.125, 0.15])
        run = self.run(None, first, rng.randint(1, 3), 0)
        self.run_text = run
        return self

    def run(self, name, diameter_m, joins, depth):
        """Text lines of a run's mapping; adds its legs. The trunk: name None."""
        rng = self.rng
        trunk = name is None
        section = oracle.Section("round", diameter_m)
        fan = None
        if trunk:
            if self.main_at == "collar":
                fan = self.main = self.draw_fan(section, rng.random() < 0.4)
        elif self.main_at == "none" or rng.random() < 0.35:
            fan = self.draw_fan(section, rng.random() < 0.6)
        flap = rng.random() < 0.4 and not (trunk and self.main_at == "collar")
        at = self.leg(diameter_m, fan, flap)
        self.inlets[name or "collar"] = at
        self.fan_of = getattr(self, "fan_of", {})
        self.fan_of[name or "collar"] = fan
        items = self.pieces(self.legs[at], flap)
        if flap:
            self.legs[at].coefficient += 0.5
        for i in range(joins):
            child = f"b{len(self.branches) + 1}"
            self.branches[child] = None
            size = rng.choice([0.1, 0.125, 0.15])
            nested = rng.randint(0, 1) if depth == 0 else 0
            self.branches[child] = self.run(child, size, nested, depth + 1)
            joining = self.branches[child]["last"]
            wide = rng.choice([diameter_m, max(diameter_m, 0.2), max(diameter_m, 0.25)])
            stated = (round(rng.uniform(-0.2, 0.5), 3), round(rng.uniform(-0.3, 1.0), 3)) \
                if rng.random() < 0.4 else None
            kind = rng.choice(list(ANGLES))
            if stated:
                text = (f"junction: {{branch: {child}, straight_coefficient: {stated[0]}, "
                        f"branch_coefficient: {stated[1]}, section: {wide * 1000:g} mm round}}")
            else:
                text = (f"junction: {{type: {kind}, branch: {child}, "
                        f"section: {wide * 1000:g} mm round}}")
            items.append(text)
            diameter_m = wide
            combined = self.leg(diameter_m)
            self.junctions.append(Junction(kind, at, joining, combined, stated))
            self.legs[combined].start = len(self.junctions) - 1
            at = combined
            items += self.pieces(self.legs[at])
        if trunk:
            if self.main_at == "roof":
                self.main = self.draw_fan(oracle.Section("round", diameter_m), False)
                self.legs[at].fan = self.main
                items.append("fan: roof")
            self.legs[at].coefficient += 1.0  # the open end
        return {"section": section, "items": items, "last": at, "fan": fan}

    def fan_text(self, fan, indent):
        _, (q, p), basis, _ = fan
        pad = " " * indent
        return (f"{pad}fan:\n{pad}  curve_pressure: {basis}\n{pad}  rated_density: 1.2 kg/m3\n"
                f"{pad}  speeds:\n{pad}    - name: high\n{pad}      curve: {{airflow: "
                f"{' '.join(f'{x:.5f}' for x in q)} m3/s, pressure: "
                f"{' '.join(f'{x:.3f}' for x in p)} Pa}}\n")

    def text(self):
        out = ("layout: 1\nsite: {air: {density: 1.2 kg/m3, viscosity: 1.8e-5 Pa.s}}\n"
               "appliance: {kind: exhaust}\n")
        if self.house is not None:
            out += (f"house: {{leakage: {{airflow: {self.house[0]} m3/s, at: 50 Pa, "
                    f"exponent: {self.house[1]}}}}}\n")
        if self.main_at != "none":
            out += self.fan_text(self.main, 0)
        def run(mapping, indent):
            pad = " " * indent
            lines = f"{pad}section: {mapping['section'].width_m * 1000:g} mm round\n"
            if indent == 2 and mapping is self.run_text:
                lines += f"{pad}roughness: 0.09 mm\n"
            lines += f"{pad}pieces:\n"
            for item in mapping["items"]:
                lines += f"{pad}  - {item}\n"
            return lines
        out += "run:\n" + run(self.run_text, 2) + "branches:\n"
        for name, mapping in self.branches.items():
            out += f"  {name}:\n" + run(mapping, 4)
            if mapping["fan"] is not None:
                out += self.fan_text(mapping["fan"], 4)
        return out

    # ------------------------------------------------------------ solution

    def room_pa(self, drawn_m3_s):
        """Of the room all inlets stand in: air of one density, leaks by a power law."""
        if self.house is None:
            return 0.0
        at_50_pa, exponent = self.house
        return -math.copysign(50.0 * (abs(drawn_m3_s) / at_50_pa) ** (1.0 / exponent), drawn_m3_s)

    def flows(self, inlet_flows):
        q = [None] * len(self.legs)
        for leg, value in inlet_flows.items():
            q[leg] = value
        for junction in self.junctions:  # upstream first, as they were added
            q[junction.combined] = q[junction.straight] + q[junction.branch]
        return q

    def residuals_of(self, free, shut, speed=1.0):
        """The balances over 100 Pa, fans at a share of their speed; unknowns in its proportion."""
        count = len(free)
        scale_q = SCALE_M3_S * speed
        scale_p = 100.0 * speed**2

        def residuals(x):
            q = self.flows({**{leg: 0.0 for leg in shut},
                            **{leg: x[i] * scale_q for i, leg in enumerate(free)}})
            p = [v * scale_p for v in x[count:]]
            ends = [0.0] * len(self.legs)
            for j, junction in enumerate(self.junctions):
                ls, lb = junction.losses(q[junction.straight], q[junction.branch], self.legs)
                ends[junction.straight], ends[junction.branch] = p[j] + ls, p[j] + lb
            out = []
            room = self.room_pa(max(q[-1], 0.0))
            for i, leg in enumerate(self.legs):
                if i in shut:
                    continue
                start = room if leg.start is None else p[leg.start]
                fan_pa = speed**2 * leg.fan_pa(q[i] / speed)  # fan laws
                out.append((start + fan_pa - leg.loss_pa(q[i]) - ends[i]) / scale_p)
            self.last = (q, room, ends)
            return out

        return residuals

    def from_rest(self, shut):
        """Inlet airflows that the fans reach as they run up; None where the path is lost."""
        free = [leg for leg in self.inlets.values() if leg not in shut]
        x = numpy.zeros(len(free) + len(self.junctions))
        for speed in numpy.geomspace(1e-6, 1.0, 60):
            residuals = self.residuals_of(free, shut, speed)
            for method in ("hybr", "lm"):
                found = root(residuals, x, method=method, tol=1e-12)
                if max(abs(v) for v in residuals(found.x)) < 1e-9:
                    break
            else:
                return None
            x = found.x
        residuals(x)
        return {leg: x[i] * SCALE_M3_S for i, leg in enumerate(free)}

    def solve(self, shut=frozenset()):
        """Inlet airflows by leg, or None."""
        free = [leg for leg in self.inlets.values() if leg not in shut]
        residuals = self.residuals_of(free, shut)
        for attempt in range(12):
            rng = random.Random(attempt)
            x0 = [rng.uniform(0.3, 2.0) for _ in free] + [rng.uniform(-1, 0.5)
                                                         for _ in self.junctions]
            for method in ("hybr", "lm"):
                found = root(residuals, x0, method=method, tol=1e-13)
                if max(abs(v) for v in residuals(found.x)) < 1e-9:
                    residuals(found.x)
                    return {leg: found.x[i] * SCALE_M3_S for i, leg in enumerate(free)}
        return None

    def answer(self):
        """{name: airflow or 'shut'}; None where scipy finds nothing."""
        shut = set()
        for _ in range(10):
            found = self.solve(frozenset(shut))
            if found is None:
                return None
            back = [leg for leg, q in found.items() if q < 0 and self.legs[leg].flap]
            if not back:
                break
            # The one that blows back hardest first.
            shut.add(min(back, key=lambda leg: found[leg]))
        if any(q < 0 for q in found.values()):
            found = self.from_rest(frozenset(shut))
            if found is None or any(q < 0 and self.legs[leg].flap for leg, q in found.items()):
                return None
        q, room, ends = self.last
        for leg in shut:  # nothing opens it again
            if room + self.legs[leg].fan_pa(0.0) > ends[leg] + 1e-6:
                return None
        return {name: "shut" if leg in shut else found[leg] for name, leg in self.inlets.items()}


def differences(binary, path, network):
    expected = network.answer()
    if expected is None:
        return None
    run = subprocess.run([binary, "check", str(path), "--json"], capture_output=True, timeout=60,
                         check=False)
    if run.returncode not in (0, 1):
        return [f"exit status {run.returncode}: {run.stderr.decode('utf-8', 'replace')}"]
    speed = json.loads(run.stdout)["speeds"][0]
    flowing = [q for q in expected.values() if q != "shut"]
    beyond = any(network.fan_of[name] is not None and q != "shut" and
                 q > network.fan_of[name][1][0][-1] for name, q in expected.items())
    total = sum(flowing)
    if network.main_at == "roof":
        beyond = beyond or total > network.main[1][0][-1]
    if beyond:
        return []  # the end of a curve: statuses are tested elsewhere
    if network.main_at == "collar" and expected["collar"] < 0:
        status = speed["operating_point"]["status"]
        return [] if status == "no-flow" else [f"status {status}, expected no-flow"]
    ours = {"collar": speed["collar"]} | {one["name"]: one for one in speed["branches"]}
    found = []
    for name, q in expected.items():
        status = "shut" if q == "shut" else "reversed" if q < 0 else "flowing"
        if ours[name]["status"] != status:
            found.append(f"{name}: {ours[name]['status']} {ours[name]['airflow_m3_s']}, "
                         f"expected {status} {q}")
        elif status != "shut" and abs(ours[name]["airflow_m3_s"] - q) > TOLERANCE * abs(q):
            found.append(f"{name}: {ours[name]['airflow_m3_s']!r}, expected {q!r}")
    if abs(speed["discharge_airflow_m3_s"] - total) > TOLERANCE * total:
        found.append(f"discharge {speed['discharge_airflow_m3_s']!r}, expected {total!r}")
    return found


def main():
    binary = sys.argv[1]
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 60
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 17
    compared = wrong = shut = 0
    with tempfile.TemporaryDirectory() as folder:
        for i in range(count):
            network = Network(random.Random(seed * 1000 + i), random.Random(f"{seed} {i}")).build()
            path = pathlib.Path(folder) / f"network-{i}.yaml"
            path.write_text(network.text(), encoding="utf-8")
            found = differences(binary, path, network)
            if found is None:
                continue
            compared += 1
            if found:
                wrong += 1
                print(f"network {i}, seed {seed}:")
                print("\n".join("  " + line for line in found))
                print(network.text())
    print(f"{compared} of {count} networks compared, {wrong} differ")
    sys.exit(1 if wrong or compared < 0.8 * count else 0)


if __name__ == "__main__":
    main()
