#!/usr/bin/env python3
"""Ends `durograde grade --stream` by signals while a slow reader takes what comes, and looks at how the
program that has left ends. Usage: tests/cli/stream.py DUROGRADE SHEETS"""
import os
import pathlib
import random
import resource
import signal
import subprocess
import sys
import tempfile
import time

durograde, sheets = (str(pathlib.Path(name).resolve()) for name in sys.argv[1:3])
seed = 20261127
LAST = "; durograde: incomplete"
# Little is held back, so that lines leave from early on.
PLAN = ["-p", "plan.toml", "--set", "heat.horizon=60"]
passed = 0
faults = []


def check(name, holds, detail=""):
    global passed
    if holds:
        passed += 1
    else:
        faults.append(f"{name}: {detail}")


def start(*before, before_start=None):
    # As a shell would start it in the foreground: no signal is ignored.
    for one in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(one, signal.SIG_DFL)
    return subprocess.Popen([*before, durograde, "grade", "-q", "--stream", *PLAN, "sheet.gcode"],
                            stdout=subprocess.PIPE, stderr=subprocess.PIPE, preexec_fn=before_start)


def read_some(process, count):
    text = b""
    while len(text) < count:
        more = os.read(process.stdout.fileno(), min(4096, count - len(text)))
        if not more:
            break
        text += more
    return text


def ends_well(name, left, whole):
    """What left is a begin of the whole program in whole lines, and then all heaters off."""
    lines = left.decode().splitlines(keepends=True)
    begin = [at for at, line in enumerate(lines) if line.startswith(LAST)]
    check(f"{name}: it says that it is incomplete", len(begin) == 1, repr("".join(lines[-3:])))
    if len(begin) != 1:
        return
    check(f"{name}: the lines before are whole", whole.startswith("".join(lines[:begin[0]])), lines[begin[0] - 1])
    off = "".join(lines[begin[0] + 1:])
    check(f"{name}: all heaters are off", off == HEATERS_OFF, repr(off))


def interrupted(number):
    """At a seeded moment, after a seeded count of bytes."""
    which = [signal.SIGINT, signal.SIGTERM, signal.SIGHUP][number % 3]
    name = f"{which.name} {number}"
    process = start()
    left = read_some(process, random.randint(1, len(WHOLE) * 9 // 10))
    time.sleep(random.random() * 0.02)
    process.send_signal(which)
    rest, told = process.communicate(timeout=60)
    check(f"{name}: it ends by the signal", process.returncode == -which, process.returncode)
    ends_well(name, left + rest, WHOLE)


def stalled():
    """Nobody reads: the first signal waits for room, the second one does not."""
    process = start()
    read_some(process, 1000)
    time.sleep(0.3)
    process.send_signal(signal.SIGTERM)
    time.sleep(0.3)
    check("stalled: it waits for its reader", process.poll() is None)
    process.send_signal(signal.SIGTERM)
    check("stalled: a second signal ends it", process.wait(timeout=20) == -signal.SIGTERM, process.returncode)
    process.communicate()


def ignored():
    process = start("nohup")
    left = read_some(process, 1000)
    process.send_signal(signal.SIGHUP)
    rest, _ = process.communicate(timeout=60)
    check("nohup: it goes on", process.returncode == 0, process.returncode)
    check("nohup: all of it", (left + rest).decode() == WHOLE)


def late_failure():
    """There is no room for the copy that is to be proven: files may not grow beyond two thirds of it."""
    limit = len(WHOLE) * 2 // 3
    process = start(before_start=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit)))
    left, told = process.communicate(timeout=60)
    check("late failure: status", process.returncode == 74, (process.returncode, told))
    check("late failure: some has left", len(left) > limit // 2, len(left))
    ends_well("late failure", left, WHOLE)


def early():
    """Before a line has left there is nothing to end: silence."""
    reader, writer = os.pipe()
    process = subprocess.Popen([durograde, "grade", "-q", "--stream", "-p", "plan.toml"], stdin=reader,
                               stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    os.write(writer, b"G21\nG90\n")
    time.sleep(0.2)
    process.send_signal(signal.SIGTERM)
    left, _ = process.communicate(timeout=20)
    check("early: it ends by the signal", process.returncode == -signal.SIGTERM, process.returncode)
    check("early: nothing leaves", left == b"", left)


with tempfile.TemporaryDirectory() as folder:
    os.chdir(folder)
    random.seed(seed)
    subprocess.run([sheets, "--bench", "1", "-o", "sheet.gcode"], check=True)
    subprocess.run([sheets, "--bench", "1", "--plan", "-o", "plan.toml"], check=True)
    WHOLE = subprocess.run([durograde, "grade", "-q", *PLAN, "sheet.gcode"], check=True,
                           capture_output=True).stdout.decode()
    streamed = start()
    check("undisturbed: the same program", streamed.communicate()[0].decode() == WHOLE)
    tools = sorted({int(line.split("=")[1]) for line in open("plan.toml") if line.startswith("number")})
    HEATERS_OFF = "".join(f"M104 T{tool} S0\n" for tool in tools) + "M140 S0\nM141 S0\n"
    for number in range(60):
        interrupted(number)
    stalled()
    ignored()
    late_failure()
    early()
for fault in faults[:10]:
    print("FAILED:", fault)
print(f"seed {seed}: {passed} passed, {len(faults)} failed")
sys.exit(1 if faults else 0)
