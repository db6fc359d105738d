#!/usr/bin/python3
"""Do the bands hold what they claim?  Joint samples of all stated errors, by a loop of its own.

    coverage_check.py PROGRAM [SEED]

Twelve layouts with stated coefficients.  Sizes and laws of the errors are read from the method's
table of uncertainties, not from the program's output: one standard normal number an error, shared
by all it touches; factors 1 + u z, from u = 0.3 lognormal.  Every sample is solved here by
bisection on arrays, with scipy's PCHIP for the fan; beyond its printed points the fan is carried on
by a parabola through the two nearest, one of the falling fans that the band has to hold.  From 93
to 98 % of the samples have to lie within the program's band; more where the band spans two shapes of
a curve or ends at a bound by the falling fan, both of which hold more than one fan.  All data is
invented.
"""

import json
import math
import pathlib
import subprocess
import sys
import tempfile

try:
    import numpy
    from scipy.interpolate import PchipInterpolator
except ImportError:
    sys.exit(77)

import oracle
from oracle import CFM_M3_S, FOOT_M, INCH_M, INCH_WATER_PA

SAMPLES = 4000
LAYOUTS = [
    # name, kind, collar in, curve cfm, curve inH2O, ratio, pieces, leakage cfm at 50 Pa, two shapes
    ("several points", "range-hood", 8, [0, 250, 450, 600, 680], [0.95, 0.88, 0.66, 0.32, 0], 1,
     [("straight", 12), ("stated", 0.4, 0.25), ("straight", 6), ("cap", 2.5, 0.4)], None),
    ("steep", "exhaust", 6, [0, 100, 200, 260, 280], [0.6, 0.58, 0.4, 0.15, 0], 1,
     [("straight", 30), ("cap", 1.5, 0.15)], None),
    ("two points", "exhaust", 4, [60, 85], [0.25, 0.1], 1,
     [("straight", 8), ("cap", 1.8, 0.15)], None),
    ("two points, wide", "exhaust", 6, [120, 240], [0.5, 0.1], 1,
     [("straight", 20), ("stated", 1.2, 0.2), ("cap", 2.0, 0.3)], None),
    ("humped", "exhaust", 8, [0, 100, 200, 350, 500, 680], [0.6, 0.56, 0.57, 0.55, 0.3, 0], 1,
     [("straight", 20), ("stated", 0.5, 0.2), ("cap", 3.0, 0.3)], None),
    ("near free delivery", "exhaust", 10, [0, 150, 250, 330, 360], [0.9, 0.8, 0.6, 0.2, 0], 1,
     [("straight", 3), ("cap", 1.3, 0.1)], None),
    ("near the first point", "exhaust", 4, [80, 90, 100], [0.4, 0.3, 0.1], 1,
     [("straight", 9), ("cap", 3.0, 0.4)], None),
    ("near the last point", "exhaust", 6, [100, 180, 220], [0.7, 0.5, 0.3], 1,
     [("straight", 9), ("cap", 2.6, 0.4)], None),
    ("tight house", "range-hood", 8, [0, 250, 450, 600, 680], [0.95, 0.88, 0.66, 0.32, 0], 1,
     [("straight", 12), ("cap", 2.0, 0.3)], 450),
    ("middling house", "range-hood", 6, [0, 150, 250, 330, 360], [0.9, 0.8, 0.6, 0.2, 0], 1,
     [("straight", 12), ("cap", 2.0, 0.4)], 900),
    ("flexible", "exhaust", 6, [0, 80, 140, 180, 200], [0.5, 0.45, 0.3, 0.1, 0], 1,
     [("flex", 8, 0.9), ("cap", 2.0, 0.3)], None),
    ("low speed with a flap", "exhaust", 7, [0, 200, 350, 450, 500], [0.8, 0.7, 0.5, 0.2, 0], 0.5,
     [("flap", 0.8, 0.2, 6.0), ("straight", 10), ("cap", 2.0, 0.3)], None),
]


def yaml_of(case):
    name, kind, inches, cfm, in_h2o, ratio, pieces, leak = case
    words = []
    for piece in pieces:
        if piece[0] == "straight":
            words.append(f"{{straight: {{length: {piece[1]} ft, roughness: 0.09 mm}}}}")
        elif piece[0] == "flex":
            words.append(f"{{flex: {{length: {piece[1]} ft, stretched: {100 * piece[2]:g} %}}}}")
        elif piece[0] == "flap":
            words.append(f"{{damper: {{type: backdraft-flap, coefficient: {piece[1]} +- "
                         f"{100 * piece[2]:g} %, opening_pressure: {piece[3]} Pa}}}}")
        elif piece[0] == "cap":
            words.append(f"{{cap: {{type: grille, coefficient: {piece[1]} +- {100 * piece[2]:g} %}}}}")
        else:
            words.append(f"{{loss: {{coefficient: {piece[1]} +- {100 * piece[2]:g} %}}}}")
    low = f"\n    - {{name: low, speed_ratio: {ratio}}}" if ratio != 1 else ""
    house = f"house: {{leakage: {{airflow: {leak} cfm, at: 50 Pa}}}}\n" if leak else ""
    return (f"layout: 1\ntitle: {name}\nappliance: {{kind: {kind}, collar: {inches} in round}}\n"
            f"fan:\n  speeds:\n    - {{name: high, curve: {{airflow: {' '.join(map(str, cfm))} cfm, "
            f"pressure: {' '.join(map(str, in_h2o))} inH2O}}{', locked_out: true' if low else ''}}}"
            f"{low}\nrun: {{section: {inches} in round, pieces: [{', '.join(words)}]}}\n{house}")


def factor(u, z):
    if u >= 0.3:
        return numpy.exp(math.sqrt(math.log1p(u * u)) * z)
    return numpy.maximum(1.0 + u * z, 0.02)


def curve_through(cfm, in_h2o, shape):
    """Pressure [Pa] at any airflow [m3/s] >= 0, carried on by parabolas at both ends."""
    q = numpy.array(cfm) * CFM_M3_S
    p = numpy.array(in_h2o) * INCH_WATER_PA
    parabola = lambda i, j: (p[i] - p[j]) / (q[j] ** 2 - q[i] ** 2)
    if len(q) == 2:
        inside = ((lambda x: p[0] - (p[0] - p[1]) / (q[1] - q[0]) * (x - q[0])) if shape
                  else (lambda x: p[0] - parabola(0, 1) * (x**2 - q[0] ** 2)))
    else:
        inside = PchipInterpolator(q, p)
    start, end = parabola(0, 1), parabola(len(q) - 2, len(q) - 1)

    def pressure(x):
        y = inside(numpy.clip(x, q[0], q[-1]))
        y = numpy.where(x < q[0], p[0] + start * (q[0] ** 2 - x**2), y)
        return numpy.where(x > q[-1], p[-1] - end * (x**2 - q[-1] ** 2), y)
    return pressure


def sampled(case, rng):
    _, _, inches, cfm, in_h2o, ratio, pieces, leak = case
    air = oracle.site_air({})
    z = lambda: rng.standard_normal(SAMPLES)
    d = inches * INCH_M + 0.001 * z()
    area = math.pi / 4.0 * d**2
    rho = air.density_kg_m3 * factor(0.01, z())
    law, rough, flex_rough = factor(0.05, z()), z(), z()
    losses = []

    def friction(length_m, roughness_m, by):
        def loss(q):
            re = rho * q * d / area / air.viscosity_pa_s
            g = numpy.empty_like(re)
            relative = roughness_m / d
            # Colebrook by iteration, laminar below, a straight blend of f Re^2 between.
            safe = numpy.maximum(re, 4000.0)
            x = numpy.full_like(re, 7.0)
            for _ in range(20):
                x = -2.0 * numpy.log10(relative / 3.7 + 2.51 * x / safe)
            turbulent = safe**2 / x**2
            t = (re - 2300.0) / 1700.0
            g = numpy.where(re >= 4000.0, turbulent,
                            numpy.where(re <= 2300.0, 64.0 * re,
                                        64.0 * 2300.0 * (1 - t) + turbulent * t))
            return by * length_m / d * g * air.viscosity_pa_s**2 / (2.0 * rho * d**2)
        losses.append(loss)

    for piece in pieces:
        if piece[0] == "straight":
            length = piece[1] * FOOT_M
            # a stated roughness: 5 % of the friction
            friction(length, 0.09e-3, law * factor(0.05, rough) * factor(0.05 / length, z()))
        elif piece[0] == "flex":
            length = piece[1] * FOOT_M
            multiplier = oracle.compression_multiplier(piece[2], inches * INCH_M)
            # the stretched duct 20 % in all, the compression 22.4 % where it is stated
            rest = math.sqrt(0.20**2 - 0.05**2)
            friction(length, 0.9e-3, multiplier * law * factor(rest, flex_rough)
                     * factor(0.05 / length, z()) * factor(0.224, z()))
        elif piece[0] == "flap":
            c, p0 = piece[1] * factor(piece[2], z()), piece[3] * factor(0.5, z())
            losses.append(lambda q, c=c, p0=p0: numpy.hypot(p0, c * rho / 2.0 * (q / area) ** 2))
        else:
            c = piece[1] * factor(piece[2], z())
            losses.append(lambda q, c=c: c * rho / 2.0 * (q / area) ** 2)
    tied = z()
    flow, pressure = factor(0.05, tied), factor(0.10, tied)
    if ratio != 1:
        slip = factor(0.05, z())
        flow, pressure = flow * slip, pressure * slip**2
    shapes = [0]
    if len(cfm) == 2:
        flow = flow * factor(0.03, z())
        shapes = [0, 1]
    pick = rng.integers(0, len(shapes), SAMPLES)
    curves = [curve_through(cfm, in_h2o, shape) for shape in shapes]
    rho_ratio = rho / (0.075 * oracle.LB_FT3_KG_M3)
    if leak:
        n = numpy.clip(0.65 + 0.05 * z(), 0.5, 1.0)
        test = leak * CFM_M3_S * factor(0.05, z())

    def left(q):
        at = q / (flow * ratio)
        curve = numpy.choose(pick, [c(at) for c in curves])
        g = rho_ratio * pressure * ratio**2 * curve + rho / 2.0 * (q / area) ** 2
        for loss in losses:
            g = g - loss(q)
        return g - 50.0 * (q / test) ** (1.0 / n) if leak else g

    # From rest to the first place where the fan has nothing left, then halving.
    low = numpy.full(SAMPLES, 1e-9)
    high = numpy.full(SAMPLES, 3.0 * cfm[-1] * CFM_M3_S)
    found = left(low) <= 0.0
    low[found] = high[found] = 0.0
    grid = numpy.linspace(1e-9, 1.0, 121) * 3.0 * cfm[-1] * CFM_M3_S
    for a, b in zip(grid[:-1], grid[1:]):
        here = ~found & (left(numpy.full(SAMPLES, b)) <= 0.0)
        low[here], high[here] = a, b
        found |= here
    for _ in range(45):
        middle = (low + high) / 2.0
        over = left(numpy.maximum(middle, 1e-12)) > 0.0
        low, high = numpy.where(over, middle, low), numpy.where(over, high, middle)
    return (low + high) / 2.0


def main():
    program = sys.argv[1]
    rng = numpy.random.default_rng(int(sys.argv[2]) if len(sys.argv) > 2 else 12)
    bad = 0
    with tempfile.TemporaryDirectory() as folder:
        for case in LAYOUTS:
            file = pathlib.Path(folder) / "case.yaml"
            file.write_text(yaml_of(case))
            ran = subprocess.run([program, "check", "--format", "json", str(file)],
                                 capture_output=True, text=True, check=False)
            try:
                speed = json.loads(ran.stdout)["speeds"][-1]
            except (json.JSONDecodeError, KeyError):
                print(f"{case[0]}: no answer\n{ran.stderr}")
                bad += 1
                continue
            point = speed["operating_point"]
            band = point["airflow_band_m3_s"]
            if band is None:
                print(f"BAD  {case[0]}: {point['status']} without a band")
                bad += 1
                continue
            answers = sampled(case, rng)
            low = -1.0 if band[0] is None else band[0]
            high = math.inf if band[1] is None else band[1]
            inside = numpy.mean((answers >= low) & (answers <= high))
            uncertainty = speed["uncertainty"] or {}
            counts = uncertainty.get("samples") or {}
            outside = counts.get("below_curve", 0) + counts.get("beyond_curve", 0)
            wider = (uncertainty.get("over_two_shapes") or point["status"] != "found"
                     or outside > 0.023 * counts.get("count", 1))
            good = 0.93 <= inside and (wider or inside <= 0.98)
            bad += not good
            print(f"{'ok  ' if good else 'BAD '} {case[0]}: {100 * inside:.1f} % inside "
                  f"{band}, median {numpy.median(answers):.5f}, program "
                  f"{point['status']} {point['airflow_m3_s']}")
    sys.exit(1 if bad else 0)


main()
