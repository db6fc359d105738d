#!/usr/bin/python3
"""Writes a run of many pieces: large_layout.py PIECES > FILE.yaml

Straights, elbows, flexible duct, transitions there and back and stated losses in turn, with a cap at the end, in a
duct so wide and a fan so strong that air still moves. Everything is invented.
"""
import sys

count = int(sys.argv[1])
print("""layout: 1
title: A run of many pieces, invented to measure growth
appliance: {kind: range-hood, collar: 16 in round, required_airflow: 200 cfm}
fan:
  speeds: [{name: high, curve: {airflow: 0 250 450 600 680 cfm, pressure: 2 1.9 1.6 1.0 0 inH2O}}]
run:
  section: 16 in round
  heading: up
  material: galvanized-steel
  pieces:""")
written = 0
turns = ["back", "up"]
turn = 0
while written < count - 1:
    left = count - 1 - written
    at = written % 10
    if at in (1, 6):
        line = "elbow: {type: smooth-radius, turn: %s}" % turns[turn % 2]
        turn += 1
    elif at == 3 and left > 2:
        print("    - transition: {to: 14 in round, length: 12 in}")
        print("    - straight: 3 in")
        print("    - transition: {to: 16 in round, length: 12 in}")
        written += 3
        continue
    elif at == 8:
        line = "loss: {coefficient: 0.01, note: seam}"
    elif at == 7:
        line = "straight: {length: 6 in, through: attic, insulated: R-8}"
    else:
        line = "straight: %d in" % (4 + written % 7)
    print("    - " + line)
    written += 1
print("    - cap: wall-hood-flap")
