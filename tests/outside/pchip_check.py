"""Slopes of the monotone cubic against PchipInterpolator of the Python package scipy."""

import random
import sys

import probe

try:
    from scipy.interpolate import PchipInterpolator
except ImportError as error:
    print(f"skipped: {error}")
    sys.exit(probe.SKIPPED)

SEED = 20240229
print(f"seed {SEED}")
generator = random.Random(SEED)

curves = []
for number in range(500):
    count = generator.randint(2, 12)
    x, y = [generator.uniform(0.0, 0.1)], [generator.uniform(-50.0, 300.0)]
    for _ in range(count - 1):
        x.append(x[-1] + 10.0 ** generator.uniform(-3.0, 0.0))
        # Now and then a flat stretch: both slopes are then zero.
        y.append(y[-1] if generator.random() < 0.1 else generator.uniform(-50.0, 300.0))
    if number % 2:
        y.sort(reverse=True)  # a falling curve, as most fans have
    curves.append((x, y))

requests = [f"pchip {len(x)} " + " ".join(map(repr, x + y)) for x, y in curves]
result = probe.Comparison("monotone cubic, slopes at the points", 1e-12)
for (x, y), ours in zip(curves, probe.ask(sys.argv[1], requests)):
    theirs = PchipInterpolator(x, y).derivative()(x)
    secants = [abs((b - a) / (d - c)) for a, b, c, d in zip(y, y[1:], x, x[1:])]
    for place, our_slope, their_slope in zip(x, ours, theirs):
        # Relative to the steepest secant: their slope is the derivative of a stored cubic, so at a
        # hump it is rounding instead of zero.
        result.add(f"at {place:g} of {x}, {y}", our_slope, float(their_slope),
                   scale=max(secants))
result.finish(at_least=2000)
