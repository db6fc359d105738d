#!/usr/bin/python3
"""Runs the program on random layouts and compares it with the independent oracle.

    compare_oracle.py BINARY [N] [SEED]

Each layout of make_layouts.py goes through `BINARY check FILE --json`; exit status 0 and 1 are both
an answer.  Air, status, crossings, airflow and pressures of every speed must agree.  Every
difference is printed with its layout; any difference makes the exit status 1.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

import make_layouts

AIRFLOW_TOLERANCE = 1e-6   # relative
PRESSURE_TOLERANCE = 1e-5  # relative: pressure moves more than airflow on a steep run
PRESSURE_FLOOR_PA = 1e-5
STANDARD_TOLERANCE = 5e-6  # relative: standard density is printed to six figures


def crossing_airflow(item):
    """A crossing stands as a number or as an object with its airflow."""
    return item["airflow_m3_s"] if isinstance(item, dict) else item


def close(ours, theirs, tolerance, floor=0.0):
    return theirs is not None and abs(ours - theirs) <= tolerance * abs(ours) + floor


def speed_differences(expected, speed):
    """What differs between one expected speed and the program's: a list of sentences."""
    point = speed["operating_point"]
    if point["status"] != expected["status"]:
        return [f"status {point['status']}, expected {expected['status']}"]
    found = []
    if expected["status"] == "found":
        if not close(expected["airflow_m3_s"], point["airflow_m3_s"], AIRFLOW_TOLERANCE):
            found.append(f"airflow_m3_s {point['airflow_m3_s']!r}, "
                         f"expected {expected['airflow_m3_s']!r}")
        if not close(expected["airflow_standard_m3_s"], point["airflow_standard_m3_s"],
                     STANDARD_TOLERANCE):
            found.append(f"airflow_standard_m3_s {point['airflow_standard_m3_s']!r}, "
                         f"expected {expected['airflow_standard_m3_s']!r}")
        for key in ("total_pressure_pa", "static_pressure_pa", "collar_static_pressure_pa"):
            ours = expected[key]
            if ours is not None and not close(ours, point[key], PRESSURE_TOLERANCE,
                                              PRESSURE_FLOOR_PA):
                found.append(f"{key} {point[key]!r}, expected {ours!r}")
    ours = expected.get("crossings_m3_s", [])
    theirs = sorted(crossing_airflow(c) for c in point.get("crossings") or [])
    if len(ours) != len(theirs) or not all(
            close(a, b, AIRFLOW_TOLERANCE) for a, b in zip(ours, theirs)):
        found.append(f"crossings {theirs}, expected {ours}")
    return found


def layout_differences(binary, path, expected_layout):
    """What differs for one layout: a list of sentences."""
    try:
        run = subprocess.run([binary, "check", str(path), "--json"], capture_output=True,
                             timeout=60, check=False)
    except subprocess.TimeoutExpired:
        return ["no answer within 60 s"]
    if run.returncode not in (0, 1):
        return [f"exit status {run.returncode}: {run.stderr.decode('utf-8', 'replace')}"]
    result = json.loads(run.stdout)
    speeds, expected_speeds = result["speeds"], expected_layout["speeds"]
    found = [f"air {key} {result['air'][key]!r}, expected {ours!r}"
             for key, ours in expected_layout["air"].items()
             if not close(ours, result["air"][key], AIRFLOW_TOLERANCE)]
    if [s["status"] for s in expected_speeds] == ["no-fan"]:
        statuses = [s["operating_point"]["status"] for s in speeds]
        return found + ([] if statuses == ["no-fan"]
                        else [f"statuses {statuses}, expected no-fan"])
    by_name = {s["name"]: s for s in speeds}
    for expected in expected_speeds:
        name = expected["name"]
        if name not in by_name:
            found.append(f"speed {name!r} is missing; there are {list(by_name)}")
            continue
        found += [f"speed {name!r}: {text}"
                  for text in speed_differences(expected, by_name[name])]
    return found


def main(arguments):
    if not 1 <= len(arguments) <= 3:
        sys.exit(__doc__)
    binary = arguments[0]
    count = int(arguments[1]) if len(arguments) > 1 else 240
    seed = int(arguments[2]) if len(arguments) > 2 else 1
    agreed = 0
    with tempfile.TemporaryDirectory() as folder:
        for entry in make_layouts.make_layouts(folder, count, seed):
            path = pathlib.Path(folder) / entry["file"]
            differences = layout_differences(binary, path, entry)
            if not differences:
                agreed += 1
                continue
            print(f"==== {entry['file']} ({entry['theme']}, seed {seed})")
            for text in differences:
                print(f"  {text}")
            print(path.read_text(encoding="utf-8"))
    print(f"{agreed} of {count} layouts agree")
    return 0 if agreed == count else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
