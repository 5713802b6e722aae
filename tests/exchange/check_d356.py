#!/usr/bin/env python3
"""Compares `leeward-cli inspect --json` with a reader of its own, on every IPC-D-356 sample.

usage: check_d356.py LEEWARD_CLI DATA_FOLDER

The reader below finds records with one regular expression over whole lines. Designators and sides are also held
against the IDF file of the same design, where there is one; a test netlist cuts designators to six characters.
"""
import json
import math
import pathlib
import re
import subprocess
import sys

LAND = re.compile(r"^3[12]7.{14}...(.{6}).(.{4}).*?A(\d\d)X([+-]\d{6})Y([+-]\d{6})X(\d{4})Y(\d{4})(?:R(\d{3}))?")
UNIT = 0.00254  # P  UNITS CUST 0: 0.0001 inch

# file: IDF file of the same design or None
SAMPLES = {
    "coldfire_kit/coldfire.ipc": "coldfire_kit/coldfire.emn",
    "ecc83_v2/ecc83v2.ipc": "ecc83_v2/ecc83v2.emn",
    "interf_u/interf_u.ipc": "interf_u/interf_u.emn",
    "numpres/numpres.ipc": None,
}


def read(path):
    """Designator: (lands, middle of their box, side)."""
    parts = {}
    for line in path.read_text("latin-1").splitlines():
        found = LAND.match(line)
        if not found or found[1].strip() == "VIA":
            continue
        w, h = int(found[6]) * UNIT, (int(found[7]) or int(found[6])) * UNIT
        turn = complex(math.cos(math.radians(int(found[8] or 0))), math.sin(math.radians(int(found[8] or 0))))
        corners = [turn * complex(a * w / 2, b * h / 2) for a, b in ((1, 1), (1, -1))]
        w, h = (2 * max(abs(getattr(c, k)) for c in corners) for k in ("real", "imag"))
        parts.setdefault(found[1].strip(), []).append((int(found[4]) * UNIT, int(found[5]) * UNIT, w, h, found[3], found[2].strip()))
    for ref, lands in parts.items():
        low = [min(land[k] - land[k + 2] / 2 for land in lands) for k in (0, 1)]
        high = [max(land[k] + land[k + 2] / 2 for land in lands) for k in (0, 1)]
        below = sum(land[4] not in ("00", "01") for land in lands)
        pins = [land[5] for land in lands]
        several = len(ref) == 6 and len(set(pins)) < len(pins)
        yield ref, ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2, "bottom" if 2 * below > len(lands) else "top", several)


def inspect(cli, path):
    out = subprocess.run([cli, "inspect", "--json", str(path)], capture_output=True, text=True)
    if out.returncode != 0:
        raise ValueError(out.stderr)
    return json.loads(out.stdout)


def faults_of(cli, folder, name, design):
    have = {part["ref"]: part for part in inspect(cli, folder / name)["parts"]}
    want = dict(read(folder / name))
    if set(have) != set(want) or not want:
        yield f"other parts: {set(have) ^ set(want)}"
        return
    for ref, (x, y, side, several) in want.items():
        part = have[ref]
        if part["side"] != side or part["placed"] == several:
            yield f"{ref}: {part['side']}, placed {part['placed']}"
        if abs(part["x_mm"] - x) + abs(part["y_mm"] - y) > 0.01:
            yield f"{ref} at {part['x_mm']}, {part['y_mm']}; {x}, {y} wanted"
    if design is None:
        return
    for part in inspect(cli, folder / design)["parts"]:
        ref = part["ref"].upper()[:6]
        found = have.get(ref) or have.get(part["ref"][:6])
        if found is not None and found["placed"] and found["side"] != part["side"]:
            yield f"{ref} on the {found['side']}, by the design on the {part['side']}"


def main(cli, folder):
    print(f"1..{len(SAMPLES)}")
    status = 0
    for i, (name, design) in enumerate(SAMPLES.items(), 1):
        faults = list(faults_of(cli, pathlib.Path(folder), name, design))
        for fault in faults[:20]:
            print("#", fault)
        print(f"{'not ok' if faults else 'ok'} {i} {name}")
        status |= bool(faults)
    return int(status)


sys.exit(main(*sys.argv[1:]))
