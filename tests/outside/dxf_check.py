#!/usr/bin/python3
"""The rough-in sheet's DXF read by ezdxf, and its figures against those of `parts`.

    dxf_check.py BINARY

Every example that knows its headings, in inches and in millimeters: the file passes the reader's
audit, holds lines, circles and texts alone on the layers that the docs name, draws each round hole
at its size, each wall hole as high above the finished floor and each roof or ceiling hole as far
from the wall behind as `parts` says, and its dimensions say the same; so does the sheet of each
branch and of a makeup duct, which stand side by side, the holes numbered through.  Of a makeup duct
an arrow points at its intake from outside, another out of its grille, with their words.  The exit
status is 77 where ezdxf cannot be imported.
"""

import json
import math
import pathlib
import re
import subprocess
import sys
import tempfile

import probe

try:
    import ezdxf
except ImportError as error:
    print(f"skipped: {error}")
    sys.exit(probe.SKIPPED)

ROOT = pathlib.Path(__file__).resolve().parents[2]
LAYERS = {"DUCT", "CENTER", "APPLIANCE", "BUILDING", "HOLES", "DIMENSIONS", "NOTES"}
METERS = {"ip": 0.0254, "si": 0.001}
NEAR_M = 2e-5  # of coordinates written to a ten-thousandth of an inch

# Invented: every kind of hole, floor and wall stated.
HOLES = """layout: 1
title: Holes of every kind 100%% \u00fc
appliance:
  kind: range-hood
  collar: 8 in round
  collar_at: {above_floor: 80 in, from_wall: 7 in}
run:
  heading: up
  pieces:
    - straight: {length: 3 ft, through: ceiling}
    - elbow: {type: gored-5, turn: left}
    - straight: 4 ft
    - elbow: {type: gored-5, turn: back}
    - straight: {length: 30 in, through: wall}
    - cap: wall-hood-flap
"""

# Invented, in metric: right, back and up beyond the wall, and down and away under a floor.
METRIC = """layout: 1
appliance: {kind: exhaust, collar: 150 mm round, collar_at: {above_floor: 1.95 m, from_wall: 180 mm}}
run:
  heading: up
  pieces:
    - straight: {length: 700 mm, through: ceiling}
    - elbow: right
    - straight: {length: 1.4 m, through: wall}
    - elbow: back
    - straight: {length: 900 mm, through: wall}
    - elbow: up
    - straight: {length: 2.6 m, through: roof}
    - cap: roof-hood-flap
"""
# Invented: a branch through a ceiling and a wall, and one that joins it.
TREE = """layout: 1
title: Tree
appliance:
  kind: exhaust
  collar: 8 in round
  collar_at: {above_floor: 80 in, from_wall: 7 in}
run:
  heading: up
  pieces:
    - straight: {length: 3 ft, through: ceiling}
    - junction: {branch: pantry, section: 10 in round}
    - straight: {length: 15 ft, through: roof}
    - cap: roof-hood-flap
branches:
  pantry:
    section: 6 in round
    heading: up
    pieces:
      - straight: {length: 18 in, through: ceiling}
      - elbow: {type: gored-5, turn: front}
      - straight: 4 ft
      - junction: {branch: cellar stair}
      - straight: {length: 7 ft, through: wall}
      - elbow: {type: gored-5, turn: right}
      - straight: 18 in
  cellar stair:
    section: 5 in round
    heading: back
    pieces:
      - straight: {length: 30 in, through: wall}
      - elbow: {type: gored-5, turn: right}
      - straight: {length: 14 ft, through: wall}
"""
# Invented: a makeup duct of two turns with a branch, beside a run of its own.
MAKEUP = """layout: 1
title: Makeup
appliance: {kind: range-hood, collar: 8 in round, collar_at: {above_floor: 80 in, from_wall: 7 in}}
run:
  heading: up
  pieces:
    - straight: {length: 3 ft, through: ceiling}
    - elbow: {type: gored-5, turn: left}
    - straight: {length: 8 ft, through: wall}
    - cap: wall-hood-flap
house:
  leakage: {airflow: 700 cfm, at: 50 Pa}
  makeup:
    kind: duct
    intake_at: {above_floor: 9 ft, from_wall: -6 in, from_center: 6 ft}
    run:
      section: 10 in round
      heading: front
      pieces:
        - entry: louver
        - straight: {length: 12 in, through: wall}
        - damper: motorised
        - straight: 3 ft
        - elbow: {type: gored-5, turn: left, legs: 15 in}
        - straight: 2 ft
        - junction: {type: wye-45, branch: attic, section: 12 in round}
        - straight: 2 ft
        - elbow: {type: gored-5, turn: down}
        - straight: {length: 8 in, through: ceiling}
        - cap: {type: grille}
    branches:
      attic:
        section: 6 in round
        heading: down
        pieces:
          - entry: louver
          - straight: {length: 4 ft, through: roof}
          - elbow: {type: gored-5, turn: front-left}
          - straight: 2 ft
"""
DOWN = """layout: 1
appliance: {kind: exhaust, collar: 6 in round}
run:
  heading: down
  pieces:
    - straight: 2 ft
    - elbow: left
    - transition: 10 x 3-1/4 in
    - straight: {length: 14 ft, through: wall}
    - elbow: {type: mitered, turn: left-front, angle: 45 deg}
    - straight: 3 ft
    - cap: wall-hood-flap
"""


def run(binary, *words):
    done = subprocess.run([binary, *words], capture_output=True, text=True, check=False)
    return done.returncode, done.stdout, done.stderr


def close(a, b):
    return math.isclose(a, b, abs_tol=NEAR_M)


def diameter_m(section):
    """Of `9 in round` or `229 mm round`, in eighths as they are shown; nothing of other shapes."""
    words = section.split()
    if words[-1] != "round":
        return None
    if words[1] == "mm":
        return float(words[0]) * 0.001
    whole, _, part = words[0].partition("-")
    inches = float(whole) if "/" not in whole else 0.0
    part = part or (whole if "/" in whole else "")
    if part:
        over, under = part.split("/")
        inches += float(over) / float(under)
    return inches * 0.0254


def number(text):
    """`3`, `1/2`, `3-1/2`, `3.16`"""
    total = 0.0
    for part in text.split("-"):
        over, _, under = part.partition("/")
        total += float(over) / float(under or 1)
    return total


def measured(text):
    """Of `10 ft 8-1/2 in H1`, `3.16 m H1`, `0 wall behind: H1` the length, and what it is rounded by."""
    if text.startswith("0 "):
        return 0.0, 0.002
    found = re.match(r"(?:([\d/.-]+) ft ?)?(?:([\d/.-]+) in)?", text)
    if found.group(1) or found.group(2):
        return (0.3048 * number(found.group(1) or "0") + 0.0254 * number(found.group(2) or "0"),
                0.0254 / 16 + NEAR_M)
    found = re.match(r"([\d.]+) (mm|m) ", text)
    return (float(found.group(1)) * (1.0 if found.group(2) == "m" else 0.001),
            0.005 if found.group(2) == "m" else 0.0005) if found else None


def said(texts, number, hole):
    """What the dimensions that name a hole do not say of its center."""
    center = hole["centre"]
    own = [measured(text) for text in texts
           if re.search(rf"\bH{number}\b", text) and measured(text) is not None]
    for axis, stated in (("x", "from_center_m"), ("y", "from_wall_m"), ("z", "above_floor_m")):
        wanted = center[stated] if center[stated] is not None else center[axis + "_m"]
        # What lies on the datum with all the rest has no dimension.
        if axis != center["across"] and abs(wanted) > 0.002 and not any(
                abs(value - abs(wanted)) <= within + 1e-9 for value, within in own):
            yield f"no dimension says that H{number} is at {axis} {wanted} m: {own}"


def check(binary, layout, system):
    faults = []
    code, text, why = run(binary, "report", str(layout), "--sheet", "rough-in", "--dxf", "--units",
                          system, "--fail-on", "never")
    if code == 2:
        return None if "nothing-to-draw" in why else [why]
    parts = json.loads(run(binary, "parts", str(layout), "--json")[1])
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "sheet.dxf"
        path.write_text(text, encoding="ascii")
        drawing = ezdxf.readfile(path)
    audit = drawing.audit()
    faults += [str(one.message) for one in audit.errors]
    if drawing.dxfversion != "AC1009":
        faults.append(f"version {drawing.dxfversion}")
    unit = METERS[system]
    lines, circles, texts, corners = [], [], [], []
    for entity in drawing.modelspace():
        kind, layer = entity.dxftype(), entity.dxf.layer
        if layer not in LAYERS:
            faults.append(f"layer {layer}")
        if layer not in drawing.layers:
            faults.append(f"layer {layer} has no row")
        if kind == "LINE":
            lines.append((layer, entity.dxf.start * unit, entity.dxf.end * unit))
        elif kind == "CIRCLE":
            circles.append((layer, entity.dxf.center * unit, entity.dxf.radius * unit))
        elif kind == "TEXT":
            texts.append((entity.dxf.insert * unit, entity.dxf.text))
            if entity.dxf.text.startswith("unit: "):
                corners.append(texts[-1][0].x)
        else:
            faults.append(f"entity {kind}")
    makeup = parts["makeup"]
    parts = [parts, *parts["branches"]]
    first_of_makeup = len(parts)
    if makeup is not None and (makeup["holes"] == [] or makeup["holes"][0]["centre"] is not None):
        parts += [makeup, *makeup["branches"]]
    if len(corners) != len(parts) or corners != sorted(corners):
        return [*faults, f"{len(corners)} sheets of {len(parts)} parts, at {corners}"]
    first = 1
    for index, (own, low, high) in enumerate(zip(parts, corners, [*corners[1:], math.inf])):
        def here(point):
            return low - NEAR_M <= point.x < high - NEAR_M
        faults += check_sheet(own["holes"], first,
                              [one for one in lines if here(one[1])],
                              [one for one in circles if here(one[1])],
                              [text for at, text in texts if here(at)])
        wanted = [] if index < first_of_makeup else ["outside air in", "into the room"]
        found = [text for at, text in texts if here(at) and text in ("outside air in", "into the room")]
        if index > first_of_makeup:
            wanted = wanted[:1]
        if sorted(set(found)) != sorted(wanted):
            faults.append(f"sheet {index + 1} says of its air {found}")
        first += len(own["holes"])
    return faults


def check_sheet(holes, first, lines, circles, texts):
    """What one sheet does not draw or say of its holes, whose numbers begin at `first`."""
    levels = [start.y for layer, start, end in lines
              if layer == "BUILDING" and abs(start.y - end.y) < NEAR_M and abs(end.x - start.x) > 0.3]
    drawn = [(center, radius) for layer, center, radius in circles if layer == "HOLES"]
    for number, hole in enumerate(holes, first):
        if hole["centre"] is None:
            continue
        if not any(text.startswith(f"H{number} ") for text in texts):
            yield f"H{number} is not named"
        yield from said(texts, number, hole)
        across = diameter_m(hole["section"])
        if across is None or hole["along_slant_m"] is not None:  # drawn as its cut, no circle
            continue
        same = [center for center, radius in drawn if math.isclose(2 * radius, across, abs_tol=6e-4)]
        if hole["centre"]["across"] == "z" and not same:
            yield f"H{number} is not in the plan"
        above, wall = hole["centre"]["above_floor_m"], hole["centre"]["from_wall_m"]
        front = "Elevation from the front" in texts
        if hole["centre"]["across"] == "y" and above is not None and front:
            if not any(close(center.y - level, above) for center in same for level in levels):
                yield f"H{number} is not {above} m above the floor"
        if hole["centre"]["across"] == "z" and wall is not None:
            if not any(close(level - center.y, wall) for center in same for level in levels):
                yield f"H{number} is not {wall} m from the wall"


def main(binary):
    bad = checked = 0
    with tempfile.TemporaryDirectory() as folder:
        own = []
        for name, text in (("holes", HOLES), ("metric", METRIC), ("down", DOWN), ("tree", TREE), ("makeup", MAKEUP)):
            own.append(pathlib.Path(folder) / f"{name}.yaml")
            own[-1].write_text(text, encoding="utf-8")
        for layout in [*own, *sorted(ROOT.glob("examples/*.yaml")),
                       *sorted(ROOT.glob("examples/branches/*.yaml"))]:
            for system in METERS:
                faults = check(binary, layout, system)
                checked += faults is not None
                for fault in faults or []:
                    bad += 1
                    print(f"{layout.name} {system}: {fault}")
    print(f"{checked} sheets read")
    return 1 if bad or checked < 20 else 0


sys.exit(main(sys.argv[1]))
