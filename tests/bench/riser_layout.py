#!/usr/bin/python3
"""Writes a riser with many branches: riser_layout.py BRANCHES [PIECES] > FILE.yaml

A storey and a wye for each branch, which comes from the left or the right through a wall, of one piece, or of two with
a damper. Everything is invented.
"""
import sys

branches = int(sys.argv[1])
pieces = int(sys.argv[2]) if len(sys.argv) > 2 else 1
print("""layout: 1
title: A riser of many branches, invented to measure growth
appliance: {kind: exhaust, collar: 8 in round, collar_at: {above_floor: 80 in, from_wall: 7 in}}
run:
  section: 8 in round
  heading: up
  pieces:""")
for i in range(branches):
    print("    - straight: 9 ft")
    print("    - junction: {type: wye-45, branch: floor-%d, section: 8 in round}" % (i + 1))
print("""    - straight: {length: 3 ft, through: roof}
    - cap: roof-hood-flap
branches:""")
for i in range(branches):
    print("  floor-%d:\n    section: 4 in round\n    heading: %s\n    pieces:" % (i + 1, ["left", "right"][i % 2]))
    print("      - straight: {length: 4 ft, through: wall}")
    if pieces > 1:
        print("      - damper: backdraft-flap")
