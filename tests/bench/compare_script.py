#!/usr/bin/python3
"""The benchmark's ten-piece run by a script on fluids and scipy, beside this program.

    compare_script.py BINARY BENCH_NETWORK [EXAMPLE]

BENCH_NETWORK is the program of bench_network.cpp, EXAMPLE a layout for the cold start (default: a
dryer run among the examples).  All is measured in one call, one after the other, and printed as
ratios:

  - operating points a second: the script's, and those of the benchmark `operating_points`;
  - a process that answers once, cold, by hyperfine: `check` of the example, and this script with
    the ten pieces.  Without hyperfine the two lines are left out, and that is said.

Before anything is timed the script's answer must agree with that of `check` to 1e-6, else the exit
status is 1.  It is 77 where fluids or scipy cannot be imported.
"""

import json
import math
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import time

SKIPPED = 77
try:
    from fluids.friction import Colebrook
    from scipy.interpolate import PchipInterpolator
    from scipy.optimize import brentq
except ImportError as error:
    print(f"skipped: {error}")
    sys.exit(SKIPPED)

HERE = pathlib.Path(__file__).resolve().parent
EXAMPLE = HERE.parent.parent / "examples" / "basement-dryer-run.yaml"
ONCE = "--once"
AGREEMENT = 1e-6
LEAST_TIME_S = 3.0

INCH_M, FOOT_M, INCH_WATER_PA = 0.0254, 0.3048, 249.08891
CFM_M3_S = FOOT_M**3 / 60

# The run of bench_network.cpp, typed again; `check` of that one must give the same airflow.
DIAMETER_M = 8 * INCH_M
AREA_M2 = math.pi / 4 * DIAMETER_M**2
ROUGHNESS_M = 0.0003 * FOOT_M  # galvanized steel
PIECES = [("coefficient", 0.6), ("length", 4 * FOOT_M), ("coefficient", 0.3),
          ("length", 6 * FOOT_M), ("coefficient", 0.3), ("length", 3 * FOOT_M),
          ("coefficient", 0.18), ("length", 2 * FOOT_M), ("coefficient", 0.4),
          ("coefficient", 2.5)]
AIRFLOWS_M3_S = [q * CFM_M3_S for q in (0, 250, 450, 600, 680)]
PRESSURES_PA = [p * INCH_WATER_PA for p in (0.95, 0.88, 0.66, 0.32, 0.0)]
RATED_DENSITY_KG_M3 = 0.075 * 0.45359237 / FOOT_M**3


class Script:
    """What a practitioner would write: a loop over pieces, a library's f, curve and root finder."""

    def __init__(self, density_kg_m3, viscosity_pa_s):
        self.density_kg_m3, self.viscosity_pa_s = density_kg_m3, viscosity_pa_s
        self.curve = PchipInterpolator(AIRFLOWS_M3_S, PRESSURES_PA)

    def shortfall_pa(self, airflow_m3_s, back_pa):
        """Fan total pressure less losses and back pressure."""
        velocity_m_s = airflow_m3_s / AREA_M2
        velocity_pressure_pa = self.density_kg_m3 / 2 * velocity_m_s**2
        reynolds = self.density_kg_m3 * velocity_m_s * DIAMETER_M / self.viscosity_pa_s
        friction_factor = Colebrook(reynolds, ROUGHNESS_M / DIAMETER_M)  # one section: once
        losses_pa = 0.0
        for kind, value in PIECES:
            coefficient = friction_factor * value / DIAMETER_M if kind == "length" else value
            losses_pa += coefficient * velocity_pressure_pa
        fan_pa = (float(self.curve(airflow_m3_s)) * self.density_kg_m3 / RATED_DENSITY_KG_M3
                  + velocity_pressure_pa)
        return fan_pa - losses_pa - back_pa

    def airflow_m3_s(self, back_pa):
        return brentq(self.shortfall_pa, 0.1 * AIRFLOWS_M3_S[-1], AIRFLOWS_M3_S[-1],
                      args=(back_pa,), rtol=1e-10)

    def points_per_second(self):
        """The back pressure changes as in the benchmark, so that no answer repeats."""
        back_pa, count, start = 0.0, 0, time.perf_counter()
        while (spent := time.perf_counter() - start) < LEAST_TIME_S:
            for _ in range(20):
                back_pa = 0.0 if back_pa > 40.0 else back_pa + 0.01
                self.airflow_m3_s(back_pa)
            count += 20
        return count / spent


def checked(binary):
    """(airflow, density, viscosity) by `check` of the benchmark's own layout text."""
    source = (HERE / "bench_network.cpp").read_text(encoding="utf-8")
    layout = re.search(r'kTenPieces = R"\((.*?)\)"', source, re.DOTALL)
    if not layout:
        sys.exit("no ten-piece layout found in bench_network.cpp")
    done = subprocess.run([binary, "check", "-", "--json"], input=layout.group(1), text=True,
                          capture_output=True, check=False)
    if done.returncode not in (0, 1):
        sys.exit(f"exit status {done.returncode}: {done.stdout}{done.stderr}")
    result = json.loads(done.stdout)
    return (result["speeds"][0]["operating_point"]["airflow_m3_s"],
            result["air"]["density_kg_m3"], result["air"]["viscosity_pa_s"])


def benchmark_per_second(bench):
    done = subprocess.run([bench, "--benchmark_filter=^operating_points$",
                           "--benchmark_format=json"], capture_output=True, text=True, check=True)
    (row,) = json.loads(done.stdout)["benchmarks"]
    return row["items_per_second"]


def cold_ms(commands):
    """Mean and standard deviation of each command as a process [ms]."""
    with tempfile.NamedTemporaryFile(suffix=".json") as file:
        # -i: a finding makes the exit status of `check` 1.
        subprocess.run(["hyperfine", "-N", "-i", "--warmup", "2", "--min-runs", "15",
                        "--export-json", file.name, *commands], capture_output=True, check=True)
        rows = json.loads(pathlib.Path(file.name).read_text(encoding="utf-8"))["results"]
    return [(1e3 * row["mean"], 1e3 * row["stddev"]) for row in rows]


def main(arguments):
    if len(arguments) == 3 and arguments[0] == ONCE:
        print(Script(float(arguments[1]), float(arguments[2])).airflow_m3_s(0.0))
        return 0
    if not 2 <= len(arguments) <= 3:
        sys.exit(__doc__)
    binary, bench = arguments[:2]
    example = arguments[2] if len(arguments) == 3 else str(EXAMPLE)

    ours, density, viscosity = checked(binary)
    script = Script(density, viscosity)
    theirs = script.airflow_m3_s(0.0)
    difference = abs(ours - theirs) / theirs
    print(f"ten pieces: check {ours:.9f} m3/s, script {theirs:.9f} m3/s, "
          f"relative difference {difference:.1e}")
    if not difference <= AGREEMENT:
        print(f"no comparison: the two must agree to {AGREEMENT:g}")
        return 1

    slow, fast = script.points_per_second(), benchmark_per_second(bench)
    print(f"operating points a second: program {fast:,.0f}, script {slow:,.0f}, "
          f"ratio {fast / slow:,.0f}")
    if not shutil.which("hyperfine"):
        print("cold start: not measured, hyperfine is not installed")
        return 0
    (check, check_sd), (python, python_sd) = cold_ms([
        f"{binary} check {example}",
        f"{sys.executable} -B {HERE / 'compare_script.py'} {ONCE} {density!r} {viscosity!r}"])
    print(f"cold process: check {check:.1f} ± {check_sd:.1f} ms, script {python:.0f} ± "
          f"{python_sd:.0f} ms, ratio {python / check:.0f}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
