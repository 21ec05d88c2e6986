#!/usr/bin/env python3
"""Runs a command several times; prints its best wall time in seconds and its greatest peak memory.

usage: measure.py TIMES INPUT OUTPUT COMMAND...     (INPUT and OUTPUT become the standard streams)

Memory is in MiB, as the kernel counts it for the child that was waited for. What this interpreter
itself holds when it starts the child counts too, so that nothing below about 10 MiB can be told.
"""
import os
import sys
import time


def run(source, target, command):
    """Gives the seconds, the peak in KiB and the exit status of one run."""
    begun = time.monotonic()
    child = os.fork()
    if child == 0:
        os.dup2(os.open(source, os.O_RDONLY), 0)
        os.dup2(os.open(target, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o644), 1)
        try:
            os.execvp(command[0], command)
        except OSError as error:
            print(f"measure.py: {command[0]}: {error.strerror}", file=sys.stderr)
            os._exit(127)
    _, status, usage = os.wait4(child, 0)
    return time.monotonic() - begun, usage.ru_maxrss, os.waitstatus_to_exitcode(status)


def main():
    times, source, target, *command = sys.argv[1:]
    seconds, peak = float("inf"), 0
    for _ in range(int(times)):
        taken, memory, status = run(source, target, command)
        if status != 0:
            print(f"measure.py: {command[0]}: exit status {status}", file=sys.stderr)
            return 1
        seconds, peak = min(seconds, taken), max(peak, memory)
    print(f"{seconds:.3f} {peak / 1024:.0f}")
    return 0


sys.exit(main())
