#!/usr/bin/env python3
"""Grades a sheet the way a short script of one's own would: the yardstick of the bench.

Reads a program on standard input and writes it to standard output. Each bead goes whole to the zone
in which its middle lies, by its distance from an upright capsule at the nearest place; its E is
multiplied by the zone's flow, and the tool is changed on the spot whenever the zone changes. Beads
are not split, nothing is put in order, no tool is heated ahead, and strings are left to hang.

usage: naive.py PLAN < SHEET > GRADED
The plan has one capsule, zones "distance(...) <= D" and "true" at last; the sheet has relative E.
"""
import math
import re
import sys
import tomllib

WORD = re.compile(r"([XYZE])(-?[0-9.]+)")
MOVE = re.compile(r"G[01] ")
E_WORD = re.compile(r"E-?[0-9.]+")


def read_plan(path):
    """Gives the places, the capsule, and for each zone its limit, tool, temperature and flow."""
    with open(path, "rb") as file:
        plan = tomllib.load(file)
    places = [(place["x"], place["y"]) for place in plan["sheet"]["place"]]
    heat = {tool["number"]: tool["temperature"] for tool in plan["tool"]}
    flow = {point["temperature"]: point["flow"] for point in plan["material"]["point"]}
    zones = []
    for zone in plan["zone"]:
        limit = re.search(r"<= *([0-9.]+)", zone["where"])
        celsius = heat[zone["tool"]]
        zones.append((float(limit[1]) if limit else math.inf, zone["tool"], celsius, flow[celsius]))
    return places, plan["shape"][0]["capsule"], zones


def main():
    places, capsule, zones = read_plan(sys.argv[1])
    low, high, radius = capsule["from"][2], capsule["to"][2], capsule["radius"]
    x = y = z = 0.0
    tool_now = place = None
    for line in sys.stdin:
        if not MOVE.match(line):
            sys.stdout.write(line)
            continue
        words = dict(WORD.findall(line))
        to_x, to_y = float(words.get("X", x)), float(words.get("Y", y))
        z = float(words.get("Z", z))
        if float(words.get("E", 0)) > 0 and (to_x != x or to_y != y):
            mid_x, mid_y = (x + to_x) / 2, (y + to_y) / 2
            if place is None:
                place = min(places, key=lambda p: (p[0] - mid_x) ** 2 + (p[1] - mid_y) ** 2)
            above = z - min(max(z, low), high)
            away = math.sqrt((mid_x - place[0]) ** 2 + (mid_y - place[1]) ** 2 + above**2) - radius
            tool, celsius, flow = next(zone[1:] for zone in zones if away <= zone[0])
            if tool != tool_now:
                sys.stdout.write(f"T{tool}\nM109 T{tool} S{celsius}\n")
                tool_now = tool
            line = E_WORD.sub(f"E{float(words['E']) * flow:.5f}", line)
        else:
            place = None  # beads come to another part only by a travel
        x, y = to_x, to_y
        sys.stdout.write(line)


main()
