#!/usr/bin/python3
"""Runs every benchmark and writes the table of docs/performance.md.

    table.py BUILD_FOLDER [--write]

BUILD_FOLDER is a Release build with DUCTLEDGER_BENCH=ON and DUCTLEDGER_PYTHON=ON.  Each row is the
best of several runs: what the program takes, not what the machine did besides.  Without --write the
table goes to standard output.  The load of the machine before and after stands beneath it: above
0.5 the figures say little.
"""

import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import time

SOURCE = pathlib.Path(__file__).resolve().parents[2]
PAGE = SOURCE / "docs" / "performance.md"
BEGIN, END = "<!-- table.py begins -->", "<!-- table.py ends -->"
EXAMPLES = sorted(str(path) for path in (SOURCE / "examples").glob("*.yaml"))
DRYER = str(SOURCE / "examples" / "basement-dryer-run.yaml")
KITCHEN = str(SOURCE / "examples" / "gable-kitchen-up-through-roof.yaml")


def best_s(command, runs=15):
    """Least time of a process from begin to end [s]."""
    times = []
    for _ in range(runs):
        begin = time.perf_counter()
        done = subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                              cwd=SOURCE, check=False)
        times.append(time.perf_counter() - begin)
        if done.returncode not in (0, 1):
            sys.exit(f"{command}: exit status {done.returncode}")
    return min(times)


def google(bench):
    """Items a second and nanoseconds of each benchmark."""
    done = subprocess.run([bench, "--benchmark_format=json", "--benchmark_repetitions=3",
                           "--benchmark_enable_random_interleaving=true"],
                          capture_output=True, text=True, check=True)
    rows = {}
    for row in json.loads(done.stdout)["benchmarks"]:
        if row.get("run_type") == "iteration":
            name = row["name"].split("/")[0]
            scale = {"ns": 1, "us": 1e3, "ms": 1e6}[row["time_unit"]]
            held = rows.setdefault(name, {"ns": float("inf"), "per_s": 0.0})
            held["ns"] = min(held["ns"], row["cpu_time"] * scale)
            held["per_s"] = max(held["per_s"], row.get("items_per_second", 0.0))
    return rows


def batch_per_s(binary, folder, count, *words):
    command = [binary, "batch", folder, "-o", "/dev/null", "--progress", "none", *words]
    return count / best_s(command, 3)


def growth(binary, command, folder):
    """What 10,000 pieces cost over 1,000."""
    times = []
    for pieces in (1000, 10_000):
        path = pathlib.Path(folder) / f"long-{pieces}.yaml"
        path.write_text(
            "layout: 1\nappliance: {kind: exhaust, collar: 8 in round, required_airflow: 50 cfm}\n"
            "fan:\n  speeds:\n    - {name: high, curve: {airflow: 0 250 450 600 680 cfm, "
            "pressure: 0.95 0.88 0.66 0.32 0 inH2O}}\nrun:\n  section: 8 in round\n  pieces:\n"
            + "    - straight: 1 in\n" * (pieces - 1) + "    - cap: louver\n", encoding="utf-8")
        times.append(best_s([binary, *command, str(path)], 3))
    return times[1] / times[0]


def rows(build):
    binary = str(build / "app" / "ductledger")
    bench = google(str(build / "tests" / "bench" / "bench_network"))
    ms = lambda *words: f"{1e3 * best_s([binary, *words]):.1f} ms"
    yield "operating points a second, one core, ten pieces", "-", f"{bench['operating_points']['per_s']:,.0f}"
    yield "sampled airflows a second, one core, ten pieces", "2,000,000", f"{bench['even_samples']['per_s']:,.0f}"
    yield ("the floor of a sampled airflow: its logarithms and powers alone, a second", "-",
           f"{bench['floor_of_a_sample']['per_s']:,.0f}")
    yield "a point from the checked layout, a changed length", "-", f"{bench['changed_length']['ns'] / 1e3:.1f} us"
    yield "the same by editing the text", "-", f"{bench['changed_text']['ns'] / 1e3:.1f} us"
    yield "`check` of an example, cold", "3.5 ms", ms("check", DRYER)
    yield "`check --advise` of the ten examples, cold, each", "15 ms", \
        f"{1e3 * sum(best_s([binary, 'check', '--advise', one], 5) for one in EXAMPLES) / len(EXAMPLES):.1f} ms"
    yield "`size`, cold", "40 ms", ms("size", KITCHEN, "--deliver", "300cfm")
    yield "`report`, cold", "40 ms", ms("report", KITCHEN, "-o", "/dev/null")
    yield "`compare` of four runs, cold", "15 ms", ms("compare", *EXAMPLES[:4])
    yield "`help`, cold", "-", ms("help")
    with tempfile.TemporaryDirectory() as folder:
        texts = [pathlib.Path(one).read_text(encoding="utf-8") for one in EXAMPLES]
        count = 2000
        for i in range(count):
            (pathlib.Path(folder) / f"{i:05d}.yaml").write_text(texts[i % len(texts)], encoding="utf-8")
        one = batch_per_s(binary, folder, count, "--threads", "1")
        two = batch_per_s(binary, folder, count, "--threads", "2")
        fast = batch_per_s(binary, folder, count, "--threads", "2", "--fail-on", "never",
                           "--columns", "airflow_m3_s")
        yield "`batch`, files a second, one core, findings and bands", "-", f"{one:,.0f}"
        yield "the same on two cores", "5,000", f"{two:,.0f}"
        yield "two cores over one", "1.8", f"{two / one:.2f}"
        yield "the same without bands and findings", "10,000", f"{fast:,.0f}"
        peak = subprocess.run(["/usr/bin/env", "python3", "-c",
                               "import resource,subprocess,sys;subprocess.run(sys.argv[1:],stdout=-3);"
                               "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss//1024)",
                               binary, "batch", folder, "-o", "/dev/null"],
                              capture_output=True, text=True, check=True, cwd=SOURCE).stdout.strip()
        yield f"its greatest memory, {count:,} files", "150 MB", f"{peak} MB"
        for command in (["check"], ["review"], ["parts"], ["batch"]):
            yield (f"`{command[0]}`: 10,000 pieces over 1,000", "11",
                   f"{growth(binary, command, folder):.1f}")
    script = ("import sys,time,numpy,ductledger\n"
              "l=ductledger.Layout(sys.argv[1]); n=200000; v=numpy.linspace(0.5,9,n)\n"
              "b=time.perf_counter(); l.airflow(**{'run.pieces[5].length':v})\n"
              "print(n/(time.perf_counter()-b))")
    done = subprocess.run(["/usr/bin/python3", "-B", "-c", script, KITCHEN], check=True, text=True,
                          capture_output=True, env={**os.environ, "PYTHONPATH": str(build / "app" / "python")})
    yield "from Python, points a second, all cores", "1,000,000", f"{float(done.stdout):,.0f}"


def main(arguments):
    if not arguments or arguments[0].startswith("-"):
        sys.exit(__doc__)
    before = os.getloadavg()[0]
    lines = ["| what | aim | measured |", "|---|---|---|"]
    lines += ["| " + " | ".join(row) + " |" for row in rows(pathlib.Path(arguments[0]).resolve())]
    lines.append("")
    lines.append(f"Load of the machine: {before:.1f} before, {os.getloadavg()[0]:.1f} after "
                 f"({os.cpu_count()} cores).")
    text = "\n".join(lines)
    if "--write" not in arguments:
        print(text)
        return
    page = PAGE.read_text(encoding="utf-8")
    page = re.sub(re.escape(BEGIN) + ".*?" + re.escape(END), f"{BEGIN}\n{text}\n{END}", page, flags=re.DOTALL)
    PAGE.write_text(page, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
