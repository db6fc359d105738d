#!/usr/bin/python3
"""A study of an INVENTED housing stock: nothing here was surveyed, every distribution is made up.

    housing_stock.py OUT [--dwellings N] [--scheduler ADDRESS] [--workers N] [--seed N]

Draws dwellings (route, duct length, cap, house leakage, weather), calculates what each kitchen
exhaust delivers and how far it draws the house down, and writes one CSV file a partition into the
folder OUT as each is done.  Partitions that are there are kept, so that a study that was ended goes
on.  At the end OUT/summary.html holds the shares and two plots.

It runs on dask.distributed (Debian: python3-distributed): on this machine, or with --scheduler
tcp://HOST:8786 on any cluster whose workers have the module `ductledger` and see the folder OUT.
A partition is drawn from the seed and its own number alone: whoever calculates it, and however
often, its rows are the same.
"""

import argparse
import csv
import os
import pathlib
import sys

import numpy

import ductledger

CFM = 0.3048**3 / 60
FOOT = 0.3048
PARTITION = 1000
COLUMNS = ["dwelling", "route", "duct_m", "cap_coefficient", "leakage_m3_s", "outdoor_k", "wind_m_s",
           "airflow_m3_s", "depressurization_pa"]

# What a dwelling is held against: 200 cfm required (invented), 400 cfm, over which some codes ask
# for makeup air, 5 Pa as a screening limit.
REQUIRED_M3_S, THRESHOLD_M3_S, SUCTION_PA = 200 * CFM, 400 * CFM, 5.0

HEAD = """layout: 1
site: {indoor: {temperature: 70 degF}, outdoor: {temperature: 50 degF}, wind: 0 mph}
appliance: {kind: range-hood, collar: %(collar)s, includes: [filter]}
fan:
  speeds:
    - {name: high, curve: {airflow: %(airflow)s cfm, pressure: %(pressure)s inH2O}}
house: {leakage: {airflow: 1500 cfm, at: 50 Pa, exponent: 0.65}}
run:
  section: %(collar)s
  heading: up
  pieces:
"""
SMALL = {"collar": "6 in round", "airflow": "0 90 160 220 260", "pressure": "0.62 0.55 0.42 0.2 0"}
LARGE = {"collar": "8 in round", "airflow": "0 250 450 600 680", "pressure": "0.95 0.88 0.66 0.32 0"}
UP = """    - straight: 2 ft
    - straight: 10 ft
    - cap: {type: conical-rain-cap, coefficient: 1.2}
"""
BACK = """    - elbow: back
    - straight: 4 ft
    - cap: {type: wall-hood-flap, coefficient: 2.0}
"""
ROUTES = {  # name: (layout, share of the stock, number of the long straight, number of the cap)
    "small-up": (HEAD % SMALL + UP, 0.25, 2, 3),
    "small-back": (HEAD % SMALL + BACK, 0.35, 2, 3),
    "large-up": (HEAD % LARGE + UP, 0.15, 2, 3),
    "large-back": (HEAD % LARGE + BACK, 0.25, 2, 3),
}


def partition_rows(number, count, seed):
    """Rows of one partition, drawn and calculated: the same for the same arguments."""
    random = numpy.random.Generator(numpy.random.Philox(key=[seed, number]))
    names = list(ROUTES)
    route = random.choice(len(names), size=count, p=[ROUTES[name][1] for name in names])
    duct_m = random.triangular(3 * FOOT, 8 * FOOT, 40 * FOOT, count)
    cap = random.lognormal(numpy.log(1.6), 0.35, count).clip(0.4, 8)
    leakage = random.lognormal(numpy.log(1500 * CFM), 0.5, count).clip(150 * CFM, 9000 * CFM)
    outdoor_k = random.normal(283, 9, count).clip(245, 312)
    wind_m_s = random.weibull(2, count) * 3
    airflow = numpy.full(count, numpy.nan)
    suction = numpy.full(count, numpy.nan)
    for index, name in enumerate(names):
        text, _, straight, end = ROUTES[name]
        here = route == index
        if not here.any():
            continue
        found = ductledger.Layout(text).points(**{
            f"run.pieces[{straight}].length": duct_m[here],
            f"run.pieces[{end}].coefficient": cap[here],
            "house.leakage.airflow": leakage[here],
            "site.outdoor.temperature": outdoor_k[here],
            "site.wind": wind_m_s[here],
        })
        airflow[here] = found["airflow_m3_s"]
        suction[here] = found["depressurization_pa"]
    first = number * PARTITION
    return [(first + i, names[route[i]], *map(repr, map(float, values)))
            for i, values in enumerate(
                zip(duct_m, cap, leakage, outdoor_k, wind_m_s, airflow, suction))]


def write_partition(folder, number, count, seed):
    """Written whole or not at all; one that is there is kept."""
    path = pathlib.Path(folder) / f"part-{number:06d}.csv"
    if not path.exists():
        beside = path.with_suffix(f".{os.getpid()}.tmp")
        with open(beside, "w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file)
            writer.writerow(COLUMNS)
            writer.writerows(partition_rows(number, count, seed))
        os.replace(beside, path)
    return number


def partitions(dwellings):
    return [(number, min(PARTITION, dwellings - number * PARTITION))
            for number in range((dwellings + PARTITION - 1) // PARTITION)]


def run(client, folder, dwellings, seed, done=lambda number: None):
    """All partitions on a cluster; what a worker that is lost had begun is begun anew."""
    from distributed import as_completed
    pathlib.Path(folder).mkdir(parents=True, exist_ok=True)
    futures = [client.submit(write_partition, str(folder), number, count, seed, pure=False)
               for number, count in partitions(dwellings)]
    for future in as_completed(futures):
        done(future.result())


def table(folder):
    """Every row of a study as columns, in the order of the dwellings."""
    columns = {name: [] for name in COLUMNS}
    for path in sorted(pathlib.Path(folder).glob("part-*.csv")):
        with open(path, newline="", encoding="utf-8") as file:
            for row in csv.DictReader(file):
                for name, value in row.items():
                    columns[name].append(value if name == "route" else float(value))
    return {name: numpy.array(values) for name, values in columns.items()}


def histogram(values, title, unit, limits):
    """A plot of how often each value comes, as SVG; limits are drawn as lines with their names."""
    values = values[numpy.isfinite(values)]
    counts, edges = numpy.histogram(values, bins=40)
    width, height, low, high = 640, 220, edges[0], edges[-1]

    def x(value):
        return 20 + (width - 40) * (value - low) / (high - low)

    bars = "".join(
        f'<rect x="{x(edges[i]):.1f}" y="{180 - 150 * count / counts.max():.1f}" '
        f'width="{x(edges[i + 1]) - x(edges[i]) - 1:.1f}" height="{150 * count / counts.max():.1f}"/>'
        for i, count in enumerate(counts))
    lines = "".join(
        f'<path d="M{x(value):.1f} 24V180" stroke="#000" stroke-dasharray="4 3"/>'
        f'<text x="{x(value) + 3:.1f}" y="34">{name}</text>'
        for name, value in limits.items() if low <= value <= high)
    ticks = "".join(f'<text x="{x(value):.1f}" y="196" text-anchor="middle">{value:.0f}</text>'
                    for value in numpy.linspace(low, high, 6))
    return (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" '
            f'font-family="sans-serif" font-size="11"><title>{title}</title>'
            f'<text x="20" y="14" font-size="13">{title} [{unit}]</text>'
            f'<g fill="#4a6a8a">{bars}</g>{lines}{ticks}</svg>')


def summary(folder):
    """(text, page) of a study that is done."""
    rows = table(folder)
    airflow, suction = rows["airflow_m3_s"], rows["depressurization_pa"]
    known = numpy.isfinite(airflow)
    count = int(known.sum())
    shares = {
        f"deliver less than the {REQUIRED_M3_S / CFM:.0f} cfm required":
            (airflow[known] < REQUIRED_M3_S).mean(),
        f"deliver more than {THRESHOLD_M3_S / CFM:.0f} cfm, where some codes ask for makeup air":
            (airflow[known] > THRESHOLD_M3_S).mean(),
        f"are drawn down more than {SUCTION_PA:.0f} Pa": (suction[known] > SUCTION_PA).mean(),
    }
    lines = [f"{len(airflow)} dwellings of an invented housing stock: no figure here was surveyed.",
             f"{len(airflow) - count} of them without an answer within the fan's printed curve."]
    lines += [f"{100 * share:.1f} % {what}" for what, share in shares.items()]
    plots = (histogram(airflow / CFM, "Delivered airflow", "cfm",
                       {"required": REQUIRED_M3_S / CFM, "threshold": THRESHOLD_M3_S / CFM})
             + histogram(suction, "Depressurization", "Pa", {"limit": SUCTION_PA}))
    page = ("<!DOCTYPE html><html lang=\"en\"><meta charset=\"utf-8\"><title>Invented housing stock"
            "</title><h1>Invented housing stock</h1>"
            + "".join(f"<p>{line}</p>" for line in lines) + plots
            + "<p>A calculation, no permit; local code and the authority having jurisdiction "
              "decide.</p></html>\n")
    return "\n".join(lines), page


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("out", type=pathlib.Path)
    parser.add_argument("--dwellings", type=int, default=1_000_000)
    parser.add_argument("--scheduler", help="address of a scheduler; else workers on this machine")
    parser.add_argument("--workers", type=int, default=os.cpu_count())
    parser.add_argument("--seed", type=int, default=20250101)
    asked = parser.parse_args()
    if asked.dwellings < 1 or asked.workers < 1 or asked.seed < 0:
        parser.error("--dwellings and --workers are at least 1, --seed is not negative")
    from distributed import Client, LocalCluster
    if asked.scheduler:
        client = Client(asked.scheduler)
    else:
        # The module uses all cores by itself; a worker is there for what it loses.
        client = Client(LocalCluster(n_workers=asked.workers, threads_per_worker=1,
                                     dashboard_address=None))
    with client:
        total, ready = len(partitions(asked.dwellings)), 0

        def done(_):
            nonlocal ready
            ready += 1
            if sys.stderr.isatty():
                print(f"\r{ready} of {total} partitions", end="", file=sys.stderr)

        run(client, asked.out, asked.dwellings, asked.seed, done)
    text, page = summary(asked.out)
    (asked.out / "summary.html").write_text(page, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
