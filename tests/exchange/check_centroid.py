#!/usr/bin/env python3
"""Compares `leeward-cli inspect --json` with Python's csv module, on every placement table among the samples.

usage: check_centroid.py LEEWARD_CLI DATA_FOLDER

Nothing is guessed here: how each file is to be read is written down in SAMPLES, from the samples' README files
and from looking at them. Counts are those of the README files, taken from the native designs.
"""
import csv
import json
import pathlib
import subprocess
import sys

IN, MIL = 25.4, 0.0254

# file: (separator, lines before the first part, columns of ref x y angle side package value, mm, comma, parts, on top)
SAMPLES = {
    "centroid_variants/a_mid_xy_suffix_mm.csv": (",", 1, (0, 1, 2, 4, 3, None, None), 1, 0, 11, 11),
    "centroid_variants/b_preamble_center_xy.csv": (",", 6, (0, 4, 5, 6, 2, 3, 1), 1, 0, 11, 11),
    "centroid_variants/c_no_header_blanks.mnt": (None, 0, (0, 1, 2, 3, None, 5, 4), 1, 0, 11, 11),
    "centroid_variants/d_inch_side_letter.csv": (",", 1, (0, 3, 4, 5, 6, 2, 1), IN, 0, 11, 11),
    "centroid_variants/e_semicolon_decimal_comma.csv": (";", 1, (0, 3, 4, 5, 6, 2, 1), 1, 1, 11, 11),
    "centroid_variants/f_tab_mil_comment.txt": ("\t", 3, (0, 1, 2, 3, 4, None, 5), MIL, 0, 11, 11),
    "numpres/numpres-mil.xy": (",", 8, (0, 3, 4, 5, 6, 1, 2), MIL, 0, 22, 22),
    "numpres/numpres-mm-pos.csv": (",", 4, (1, 4, 5, 6, 7, 3, 2), 1, 0, 22, 22),
    # Its column "Type" is empty, so that what follows stands one field earlier than in the header.
    "numpres/numpres-mm-spaces.xy": (None, 7, (0, 1, 2, 3, 4, 8, 7), 1, 0, 22, 22),
    "ecc83_v2/ecc83v2-pos.csv": (",", 1, (0, 3, 4, 5, 6, 2, 1), 1, 0, 11, 11),
    "ecc83_v2/ecc83v2.pos": (None, 5, (0, 3, 4, 5, 6, 2, 1), 1, 0, 11, 11),
    "interf_u/interf_u.pos": (None, 5, (0, 3, 4, 5, 6, 2, 1), IN, 0, 24, 24),
    "coldfire_kit/coldfire-pos.csv": (",", 1, (0, 3, 4, 5, 6, 2, 1), 1, 0, 160, 146),
    "tinytapeout_demo/tinytapeout-pos.csv": (",", 1, (0, 3, 4, 5, 6, 2, 1), 1, 0, 136, 135),
}


def rows(path, separator, skip):
    text = pathlib.Path(path).read_text("utf-8-sig")
    lines = [line for line in text.splitlines()[skip:] if line.strip() and not line.startswith("#")]
    if separator is None:
        return [line.split() for line in lines]
    return list(csv.reader(lines, delimiter=separator))


def number(text, comma):
    return float((text.replace(",", ".") if comma else text).removesuffix("mm"))


def read(path, sample):
    separator, skip, columns, unit, comma, _, _ = sample
    for row in rows(path, separator, skip):
        ref, x, y, angle, side, package, value = (None if c is None else row[c].strip() for c in columns)
        side = "bottom" if (side or "top").lower()[0] == "b" else "top"
        angle = number(angle, comma)
        # Both exporters with bottom parts flip them top to bottom and count from the top: R(f)(u, -v).
        yield ref, (number(x, comma) * unit, number(y, comma) * unit, (180 - angle if side == "bottom" else angle) % 360,
                    side, package or "", value or "")


def faults_of(cli, folder, name, sample):
    out = subprocess.run([cli, "inspect", "--json", str(pathlib.Path(folder, name))], capture_output=True, text=True)
    if out.returncode != 0:
        return [out.stderr]
    board = json.loads(out.stdout)
    have = {part["ref"]: part for part in board["parts"]}
    want = dict(read(pathlib.Path(folder, name), sample))
    faults = [f"parts differ: {set(want) ^ set(have)}"] if set(want) != set(have) else []
    top = sum(part["side"] == "top" for part in have.values())
    if (len(have), top) != sample[5:7]:
        faults.append(f"{len(have)} parts, {top} on top; {sample[5]} and {sample[6]} wanted")
    for ref in set(want) & set(have):
        x, y, angle, side, package, value = want[ref]
        part = have[ref]
        if abs(part["x_mm"] - x) > 0.01 or abs(part["y_mm"] - y) > 0.01:
            faults.append(f"{ref} at {part['x_mm']}, {part['y_mm']}; {x}, {y} wanted")
        if abs((part["rotation_deg"] - angle + 180) % 360 - 180) > 0.001:
            faults.append(f"{ref} turned {part['rotation_deg']}; {angle} wanted")
        if (part["side"], part["package"], part["value"]) != (side, package, value):
            faults.append(f"{ref}: {part['side']} {part['package']} {part['value']}; {side} {package} {value} wanted")
    return faults


def main(cli, folder):
    print(f"1..{len(SAMPLES)}")
    status = 0
    for i, (name, sample) in enumerate(SAMPLES.items(), 1):
        faults = faults_of(cli, folder, name, sample)
        for fault in faults[:20]:
            print("#", fault)
        print(f"{'not ok' if faults else 'ok'} {i} {name}")
        status |= bool(faults)
    return int(status)


sys.exit(main(*sys.argv[1:]))
