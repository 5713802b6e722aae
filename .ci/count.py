#!/usr/bin/env python3
"""Runs `meson test` in a build folder and counts what the test programs reported.

  count.py BUILD [meson test options]   runs, prints failures in full, ends "N passed, N failed"
  count.py --sum LOG LOG ...            adds up the closing lines of earlier runs

A TAP program counts by its subtests; a program that crashes, times out or reports no test at all
counts as one failure. A skipped subtest counts as a failure: nothing here may be skipped.
"""
import json
import os
import re
import shutil
import subprocess
import sys

LINE = re.compile(r"^(\d+) passed, (\d+) failed$")
TAP = re.compile(r"^(not )?ok\b(?:[ \t]+\d+)?(.*)$", re.M)


def closing_line(path):
    found = None
    with open(path, encoding="utf-8", errors="replace") as f:
        for line in f:
            match = LINE.match(line.strip())
            found = match or found
    return (int(found[1]), int(found[2])) if found else None


def add_up(paths):
    passed = failed = 0
    for path in paths:
        counted = closing_line(path)
        if counted is None:
            print(f"{os.path.basename(path)}: no closing line, so it did not finish: one failure")
            counted = (0, 1)
        passed, failed = passed + counted[0], failed + counted[1]
    return passed, failed


def count_one(test):
    output = test.get("stdout") or ""
    good = test["result"] in ("OK", "EXPECTEDFAIL")
    points = TAP.findall(output)
    if not points:
        silent_tap = "TAP version" in output or output.lstrip().startswith("1..")
        return (1, 0) if good and not silent_tap else (0, 1)
    bad = sum(1 for negated, rest in points if negated or re.search(r"#\s*(skip|todo)", rest, re.I))
    good_points = len(points) - bad
    return good_points, bad if good or bad else 1


def run(build, options):
    meson = shutil.which("meson") or "meson"
    setup = "-" + options[options.index("--setup") + 1] if "--setup" in options else ""
    log = os.path.join(build, "meson-logs", f"testlog{setup}.json")
    if os.path.exists(log):
        os.remove(log)
    status = subprocess.run([meson, "test", "-C", build, "--print-errorlogs", *options]).returncode
    passed = failed = 0
    if os.path.exists(log):
        with open(log, encoding="utf-8", errors="replace") as f:
            for line in f:
                p, n = count_one(json.loads(line))
                passed, failed = passed + p, failed + n
    if (status != 0 or passed == 0) and failed == 0:
        failed = 1
    return passed, failed


def main(args):
    if args[:1] == ["--sum"]:
        passed, failed = add_up(args[1:])
    else:
        passed, failed = run(args[0], args[1:])
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
