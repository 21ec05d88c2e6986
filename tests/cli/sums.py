#!/usr/bin/env python3
"""Adds up what a JSON report tells: time, filament, mass, open air, swaps, retractions and lines.

    sums.py FILAMENT_MM REPORT...        FILAMENT_MM is the filament's diameter
"""
import json
import math
import sys

faults = []
sums = 0


def near(report, what, sum_of, told, slack=1e-3):
    global sums
    sums += 1
    if abs(sum_of - told) > slack:
        faults.append(f"{report}: {what}: {sum_of:.6f}, told {told:.6f}")


def add(entries, key):
    return sum(entry[key] for entry in entries)


def look(name, area_mm2):
    with open(name, encoding="utf-8") as file:
        report = json.load(file)
    if not report["zones"]:
        return
    time, zones, tools, waste = (report[key] for key in ("time", "zones", "tools", "waste"))
    own = [zone for zone in zones if zone["kind"] == "zone"]
    printed = [zone for zone in zones if zone["kind"] != "start and end"]
    last = zones[-1]
    assert [zone["kind"] for zone in zones[len(own):]] == ["outside", "start and end"], name

    shares = ("printing_s", "travel_s", "swaps_s", "waiting_s", "priming_s", "start_and_end_s")
    near(name, "time", sum(time[key] for key in shares), time["after_s"])
    for key in shares:
        near(name, f"{key} below zero", min(time[key], 0.0), 0.0)
    near(name, "printing of zones", add(printed, "printing_s") + time["block_s"], time["printing_s"])
    near(name, "printing of tools", add(tools, "printing_s"), time["printing_s"])
    near(name, "start and end", last["printing_s"], time["start_and_end_s"])
    for zone in printed:
        if (zone["length_mm"] > 0.01) != (zone["printing_s"] > 0):
            faults.append(f"{name}: zone {zone['name']} has {zone['length_mm']} mm in {zone['printing_s']} s")

    fed = add(zones, "filament_mm") * area_mm2
    fed += waste["prime_mm3"] + waste["block_mm3"] + waste["restart_mm3"] + waste["refill_mm3"]
    fed += waste["swap_lines_mm3"]
    near(name, "filament", fed, add(tools, "filament_mm") * area_mm2, 0.01)
    sum_of = report["filament"]
    near(name, "sum of filament", sum(value for key, value in sum_of.items() if key != "fed_mm3"), sum_of["fed_mm3"],
         0.01)
    near(name, "mass", add(zones, "mass_g") + waste["mass_g"], report["material"]["mass_g"], 1e-5)
    near(name, "mass of parts", add(report["parts"], "mass_g"), add(own, "mass_g"), 1e-5)

    travel = report["travel"]
    for key in ("open_air_mm_before", "open_air_mm_after", "open_air_unprotected_mm_after"):
        near(name, f"{key} of zones", add(zones, key), travel[key])
        near(name, f"{key} by temperature", add(travel["by_temperature"], key), travel[key])
    near(name, "retractions", add(tools, "retractions"), travel["retractions_after"])
    near(name, "swaps", add(report["layer_times"], "swaps"), report["swaps"]["count"])

    edits = report["edits"]
    changed, new, gone = (sum(edits[key].values()) for key in ("rewritten", "inserted", "removed"))
    near(name, "lines in", edits["copied"] + changed + gone, report["input"]["lines"], 0)
    near(name, "lines out", edits["copied"] + changed + new, report["output"]["lines"], 0)


area = math.pi / 4 * float(sys.argv[1]) ** 2
for one in sys.argv[2:]:
    look(one, area)
for fault in faults:
    print("FAILED:", fault)
print(f"{sums} sums of {len(sys.argv) - 2} reports, {len(faults)} wrong")
sys.exit(1 if faults or sums < 10 else 0)
