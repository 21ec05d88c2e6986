"""Checks a JSON report (format 1): keys, their order, finite numbers, and figures that files can tell.

    report_keys.py REPORT INPUT OUTPUT
"""
import json
import math
import os
import sys

TOP = ["format", "program", "plan", "input", "output", "layers", "parts", "zones", "tools", "time", "material", "waste",
       "filament", "travel", "gradient", "prediction", "cost", "swaps", "edits", "checks", "warnings"]
PARTS = {
    "input": ["name", "bytes", "lines"],
    "output": ["name", "bytes", "lines", "released"],
    "parts": ["index", "x_mm", "y_mm", "turn_deg", "mass_g", "cost", "kind", "open_air_mm_before",
              "open_air_mm_after", "open_air_unprotected_mm_after"],
    "zones": ["name", "kind", "tool", "temperature_c", "length_mm", "volume_mm3", "filament_mm", "mass_g", "hardness_shore_a",
              "asked_shore_a", "card", "thinnest_mm", "thinnest_at", "printing_s", "flow_mm3_s", "residence_s", "open_air_mm_before", "open_air_mm_after",
              "open_air_unprotected_mm_after"],
    "tools": ["number", "visits", "printing_s", "idle_s", "standby_s", "off_s", "wait_s", "filament_mm",
              "retractions", "retracted_mm", "retractions_of_a_stretch"],
    "time": ["before_s", "after_s", "printing_s", "travel_s", "swaps_s", "waiting_s", "priming_s", "start_and_end_s", "block_s"],
    "material": ["mass_g", "cost"],
    "waste": ["prime_mm3", "block_mm3", "ooze_mm3", "restart_mm3", "refill_mm3", "swap_lines_mm3", "mass_g", "cost"],
    "filament": ["fed_mm3", "beads_mm3", "start_and_end_mm3", "primes_mm3", "block_mm3", "around_swaps_mm3",
                 "off_beads_mm3"],
    "travel": ["open_air_mm_before", "open_air_mm_after", "open_air_unprotected_mm_after",
               "retractions_before", "retractions_after", "by_temperature"],
    "swaps": ["count", "fewest_possible", "fewest_as_parted", "barriers", "temperature_changes"],
    "edits": ["copied", "rewritten", "inserted", "removed"],
}


def in_order(wanted, found, where):
    places = [found.index(key) for key in wanted if key in found]
    missing = [key for key in wanted if key not in found]
    assert not missing, f"{where}: missing {missing}"
    assert places == sorted(places), f"{where}: order {found}"


def finite(value, where):
    if isinstance(value, dict):
        for key, item in value.items():
            finite(item, f"{where}.{key}")
    elif isinstance(value, list):
        for item in value:
            finite(item, where)
    elif isinstance(value, float):
        assert math.isfinite(value), f"{where} is {value}"


def count_lines(path):
    with open(path, "rb") as file:
        text = file.read()
    return text.count(b"\n") + (1 if text and not text.endswith(b"\n") else 0)


def check_heat(report):
    heat = report["heat"]
    assert list(heat) == ["scheduled", "tools"], heat
    assert heat["scheduled"] is True
    assert [tool["number"] for tool in heat["tools"]] == [tool["number"] for tool in report["tools"]]
    for tool in heat["tools"]:
        assert list(tool) == ["number", "thinned", "points"]
        points = tool["points"]
        assert not tool["thinned"] and 2 <= len(points) <= 1000
        assert all(list(point) == ["time_s", "set_point_c", "temperature_c"] for point in points)
        times = [point["time_s"] for point in points]
        assert times == sorted(times) and times[0] == 0, times
        assert abs(times[-1] - report["time"]["after_s"]) < 0.006, times[-1]
        assert points[-1]["set_point_c"] == 0, "left on"
        assert max(point["temperature_c"] for point in points) <= 290


def main(report_path, input_path, output_path):
    with open(report_path, encoding="utf-8") as file:
        report = json.load(file)
    in_order(TOP, list(report), "report")
    for name, keys in PARTS.items():
        entries = report[name] if isinstance(report[name], list) else [report[name]]
        assert entries, f"{name} is empty"
        for entry in entries:
            in_order(keys, list(entry), name)
    finite(report, "report")
    assert report["format"] == 1
    assert report["plan"] == "two pads"
    assert report["layers"] == 2
    for name, path in (("input", input_path), ("output", output_path)):
        assert report[name]["name"] == path, report[name]
        assert report[name]["bytes"] == os.path.getsize(path), name
        assert report[name]["lines"] == count_lines(path), name
    assert report["output"]["released"] is True
    assert [part["x_mm"] for part in report["parts"]] == [25, 55]
    # Each pad has eight beads of 20 mm, half of it to either side of its middle.
    lengths = [zone["length_mm"] for zone in report["zones"] if zone["kind"] == "zone"]
    assert all(abs(length - 160) < 0.1 for length in lengths), lengths
    for check in report["checks"]:
        assert list(check) == ["name", "held", "worst", "limit", "unit"], check
        assert check["held"] and (check["limit"] is None or check["worst"] <= check["limit"]), check
    assert sum(check["limit"] is not None for check in report["checks"]) >= 8
    swaps = report["swaps"]
    assert swaps["count"] >= swaps["fewest_possible"] > 0, swaps
    time = report["time"]
    assert [layer["z_mm"] for layer in report["layer_times"]] == [0.2, 0.4], report["layer_times"]
    assert sum(layer["swaps"] for layer in report["layer_times"]) == swaps["count"]
    check_heat(report)


main(*sys.argv[1:])
