"""Floating flaps against the balance of moments about the hinge, solved with the Python package scipy.

Written anew from docs/method.md, "Floating flap": the table of the hinged flap, powers of the angle
between its rows, force and weight at half the flap's height.
"""

import math
import sys

import probe

try:
    import numpy
    from scipy.integrate import quad
    from scipy.optimize import brentq
except ImportError as error:
    print(f"skipped: {error}")
    sys.exit(probe.SKIPPED)

ANGLES = numpy.radians([15.0, 20.0, 25.0, 30.0, 45.0, 60.0, 90.0])
TABLE = numpy.array([11.0, 6.3, 4.5, 4.0, 3.0, 2.5, 2.0])


def coefficient(angle):
    if angle < ANGLES[0]:
        return TABLE[0] * (ANGLES[0] / angle) ** 2
    return math.exp(numpy.interp(math.log(angle), numpy.log(ANGLES), numpy.log(TABLE)))


def moments(angle, velocity_pressure, weight):
    """Of the stream less that of the weight, of a flap 1 m high and wide."""
    normal = (coefficient(angle) + 1.0) * velocity_pressure * math.cos(angle)
    stream = quad(lambda along: normal * along, 0.0, 1.0)[0]
    held = quad(lambda along: weight * math.sin(angle) * along, 0.0, 1.0)[0]
    return stream - held


def main():
    cases = []
    for weight in (0.5, 13.24, 43.3, 200.0):
        for velocity in numpy.geomspace(0.02, 40.0, 60):
            pressure = 1.20138 / 2.0 * velocity**2
            angle = brentq(moments, 1e-7, math.pi / 2, args=(pressure, weight), xtol=1e-15)
            if angle < math.radians(89.9):  # beyond, cos(angle) has no digits left
                cases.append((pressure / weight, angle))
    requests = [f"flap {lift!r}" for lift, _ in cases]
    angles = probe.Comparison("flap: angle", 1e-7)
    # The coefficient is read from nodes 6 % apart in lift, a cubic over the kinks at printed rows.
    flap = probe.Comparison("flap: coefficient", 2e-3)
    for (lift, angle), (our_angle, our_excess) in zip(cases, probe.ask(sys.argv[1], requests)):
        angles.add(f"at lift {lift:g}", our_angle, angle)
        excess = (coefficient(angle) - 1.0) / (TABLE[-1] - 1.0) - 1.0
        flap.add(f"at lift {lift:g}", 1.0 + our_excess, 1.0 + excess)
    angles.finish(at_least=100)
    flap.finish(at_least=100)


main()
