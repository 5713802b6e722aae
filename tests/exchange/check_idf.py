#!/usr/bin/env python3
"""Compares `leeward-cli inspect --json` with a reader of its own, on every IDF sample.

usage: check_idf.py LEEWARD_CLI DATA_FOLDER

The reader below shares nothing with the program: it takes outline, parts and library out of the text with the standard
library alone. Counts and sizes in SAMPLES are those of the samples' README files, which were taken from the native
designs or by a third reader.
"""
import json
import math
import subprocess
import sys

MM = {"MM": 1.0, "THOU": 0.0254, "TNM": 0.00001}

# file: (outline width, height, thickness mm, parts on top, on the bottom, heights known, broken)
SAMPLES = {
    "coldfire_kit/coldfire": (157.480, 91.440, 1.6, 146, 14, 149, False),
    "ecc83_v2/ecc83v2": (48.260, 41.910, 1.6, 15, 0, 10, False),
    "ecc83_v2/ecc83v2-idf20": (48.260, 41.910, 1.6, 15, 0, 10, False),
    "interf_u/interf_u": (115.570, 108.204, 1.6002, 23, 0, 21, False),
    "idf_samples/idf_example": (134.62, 149.86, 1.5748, 8, 3, 11, False),
    "idf_samples/test_donut": (200.0, 200.0, 1.6, 0, 0, 0, False),
    "idf_samples/mcu_board_outline_only": (101.60, 53.34, 1.6, 0, 0, 0, False),
    "idf_samples/test_idf2": (172.0, 84.0, 1.6, 16, 0, 16, False),
    # The outline is in pieces; the board itself is 104.5 x 81.0 mm.
    "tinytapeout_demo/tinytapeout": (104.5, 81.0, 1.56252, 133, 1, 126, True),
    # The outline is a strip beside the board; parts reach over about 86.6 x 51.4 and 85.0 x 51.4 mm.
    "parallella_gen0/parallella_gen0": (None, None, 1.237, 177, 374, 551, True),
    "parallella_gen1/parallella_gen1": (None, None, 1.237, 186, 395, 581, True),
}

# Rotation of bottom parts in the native design of the coldfire board (its placement export): the IDF number is 180
# minus that.
COLDFIRE_NATIVE_DEG = {
    "C112": 180, "C117": 90, "C118": -90, "C301": 90, "C302": 180, "C303": 90,
    "C304": -90, "C305": -90, "C306": -90, "C307": -90, "C308": 90, "C309": -90,
    "C310": -90, "C311": 180,
}


def fields(line):
    """Blank-separated fields; double quotes keep blanks."""
    out, i = [], 0
    while i < len(line):
        if line[i].isspace():
            i += 1
        elif line[i] == '"':
            end = line.index('"', i + 1)
            out.append(line[i + 1:end])
            i = end + 1
        else:
            end = i
            while end < len(line) and not line[end].isspace():
                end += 1
            out.append(line[i:end])
            i = end
    return out


def sections(path):
    """Yields (name, [(line number, fields)])."""
    name, rows = None, []
    with open(path, encoding="latin-1") as stream:
        for number, line in enumerate(stream.read().splitlines(), 1):
            if line.startswith("#") or not line.strip():
                continue
            row = fields(line)
            if row[0].upper().startswith(".END"):
                yield name, rows
                name = None
            elif name is None:
                name, rows = row[0].upper(), []
                start = number
                rows.append((start, row))
            else:
                rows.append((number, row))


def arc_points(p, q, angle):
    """Points of the arc from p to q with an included angle in degrees, about one per degree."""
    if angle == 0:
        return [q]
    if abs(angle) == 360:
        r = math.dist(p, q)
        return [(p[0] + r * math.cos(t * math.pi / 720), p[1] + r * math.sin(t * math.pi / 720)) for t in range(1440)]
    # The chord is seen from the centre under the angle; turn p about that centre.
    a = math.radians(angle)
    mid = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
    k = 0.5 / math.tan(a / 2)
    c = (mid[0] - k * (q[1] - p[1]), mid[1] + k * (q[0] - p[0]))
    n = max(8, int(abs(angle)) * 4)
    out = []
    for i in range(1, n + 1):
        t = a * i / n
        x, y = p[0] - c[0], p[1] - c[1]
        out.append((c[0] + x * math.cos(t) - y * math.sin(t), c[1] + x * math.sin(t) + y * math.cos(t)))
    return out


def loops(rows, unit):
    out, previous = [], None
    for _, (label, x, y, angle) in rows:
        at, angle = (float(x) * unit, float(y) * unit), float(angle)
        if previous is None or previous[0] != label or (len(out[-1]) > 2 and math.dist(out[-1][0], out[-1][-1]) < 1e-9):
            out.append([at])
        elif abs(angle) == 360:
            out[-1] = arc_points(out[-1][-1], at, angle)
        else:
            out[-1] += arc_points(out[-1][-1], at, angle)
        previous = (label,)
    return out


def area(points):
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1]))) / 2


def read(stem):
    board = {"parts": {}, "loops": [], "outline_line": 0}
    version = unit = None
    for name, rows in sections(stem + ".emn"):
        if name == ".HEADER":
            version, unit = float(rows[1][1][1]), MM[rows[2][1][-1].upper()]
        elif name == ".BOARD_OUTLINE":
            board["outline_line"] = rows[0][0]
            board["thickness"] = float(rows[1][1][0]) * unit
            board["loops"] = loops(rows[2:], unit)
        elif name == ".PLACEMENT":
            for (_, (geometry, number, ref)), (_, where) in zip(rows[1::2], rows[2::2]):
                turn, side = (where[3], where[4]) if version == 3 else (where[2], where[3])
                board["parts"][ref] = (float(where[0]) * unit, float(where[1]) * unit, float(turn) % 360, side.lower(),
                                       geometry, number)
    library = {}
    for name, rows in sections(stem + ".emp"):
        if name in (".ELECTRICAL", ".MECHANICAL"):
            geometry, number, word, height = rows[1][1]
            library[geometry, number] = float(height) * MM[word.upper()]
    return board, library


class Checker:
    def __init__(self):
        self.failed = self.count = 0

    def check(self, good, text):
        self.count += 1
        if not good:
            self.failed += 1
            print("# " + text)


def near(a, b, step=0.01):
    return abs(a - b) <= step


def check_outline(checker, name, got, board, want):
    width, height, thickness, *_, broken = want
    outline = got["outline"]
    checker.check(near(got["thickness_mm"], thickness, 0.0005), f"{name}: thickness {got['thickness_mm']}")
    checker.check(outline["assumed"] == broken, f"{name}: outline assumed: {outline['assumed']}")
    if width is not None:
        checker.check(near(outline["width_mm"], width), f"{name}: width {outline['width_mm']}")
        checker.check(near(outline["height_mm"], height), f"{name}: height {outline['height_mm']}")
    if broken:
        lines = [w["line"] for w in got["warnings"] if "outline is broken" in w["text"] or "in pieces" in w["text"]]
        checker.check(lines == [board["outline_line"]], f"{name}: no warning at the outline's line: {lines}")
        return
    edge = max(board["loops"], key=area)
    left, low = min(p[0] for p in edge), min(p[1] for p in edge)
    checker.check(near(outline["min_x_mm"], left) and near(outline["min_y_mm"], low), f"{name}: corner")
    rest = area(edge) - sum(area(loop) for loop in board["loops"] if loop is not edge)
    checker.check(abs(outline["area_mm2"] - rest) <= 1e-4 * rest, f"{name}: area {outline['area_mm2']}, not {rest}")
    checker.check(outline["cut_outs"] == len(board["loops"]) - 1, f"{name}: cut-outs {outline['cut_outs']}")


def check_parts(checker, name, got, board, library, want):
    *_, top, bottom, known, _ = want
    parts = {part["ref"]: part for part in got["parts"]}
    sides = [part["side"] for part in got["parts"]]
    checker.check((sides.count("top"), sides.count("bottom")) == (top, bottom), f"{name}: sides")
    checker.check(sum(p["height_mm"] is not None for p in got["parts"]) == known, f"{name}: heights known")
    checker.check(set(parts) == set(board["parts"]), f"{name}: designators")
    for ref, (x, y, turn, side, geometry, number) in board["parts"].items():
        part = parts.get(ref)
        if part is None:
            continue
        checker.check(near(part["x_mm"], x, 1e-5) and near(part["y_mm"], y, 1e-5), f"{name}: {ref} position")
        checker.check(near((part["rotation_deg"] - turn + 180) % 360 - 180, 0, 1e-6), f"{name}: {ref} rotation")
        checker.check(part["side"] == side and part["placed"], f"{name}: {ref} side")
        checker.check(part["package"].split(" / ")[0] == geometry and part["value"] == number, f"{name}: {ref} names")
        height = library.get((geometry, number)) or None
        same = part["height_mm"] is None if height is None else near(part["height_mm"] or -1, height, 1e-5)
        checker.check(same, f"{name}: {ref} height {part['height_mm']}, not {height}")


def main(cli, data):
    checker = Checker()
    for number, (name, want) in enumerate(SAMPLES.items(), 1):
        before = checker.failed
        board, library = read(f"{data}/{name}")
        run = subprocess.run([cli, "inspect", "--json", f"{data}/{name}.emn"], capture_output=True, timeout=60)
        checker.check(run.returncode == 0, f"{name}: exit {run.returncode}: {run.stderr.decode()}")
        if run.returncode == 0:
            got = json.loads(run.stdout)
            check_outline(checker, name, got, board, want)
            check_parts(checker, name, got, board, library, want)
            if name.startswith("coldfire"):
                turns = {p["ref"]: p["rotation_deg"] for p in got["parts"] if p["side"] == "bottom"}
                wanted = {ref: (180 - deg) % 360 for ref, deg in COLDFIRE_NATIVE_DEG.items()}
                checker.check(turns == wanted, f"{name}: bottom rotations {turns}")
        print(f"{'ok' if checker.failed == before else 'not ok'} {number} - {name}")
    print(f"1..{len(SAMPLES)}")
    print(f"# {checker.count} comparisons")
    return checker.failed > 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
