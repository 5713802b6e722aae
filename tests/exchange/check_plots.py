#!/usr/bin/env python3
"""Compares `leeward-cli inspect --json` with a reader of its own, on every set of plots and drills.

usage: check_plots.py LEEWARD_CLI DATA_FOLDER

The reader below shares nothing with the program: it takes parts, profile and holes out of the text by regular
expressions, and measures copper by asking for points on a fine grid which of the drawn shapes cover them. Counts and
sizes in SETS are those of the samples' README files, which were taken from the native designs by a third reader.
"""
import json
import math
import os
import re
import subprocess
import sys

# folder: (width, height, thickness, parts top, bottom, copper layers, holes)
SETS = {
    "coldfire_kit": (157.480, 91.440, 1.6, 146, 14, 4),
    "ecc83_v2": (48.260, 41.910, 1.6, 11, 0, 2),
    "interf_u": (115.570, 108.204, 1.6002, 24, 0, 2),
    "tinytapeout_demo": (104.5, 81.0, 1.56252, 135, 1, 4),
}
# Layers measured here: the others are mostly regions of the same kind.
MEASURED = {("ecc83_v2", "Dessus"), ("ecc83_v2", "Dessous"), ("interf_u", "top_copper")}


def read(path):
    with open(path, encoding="utf-8") as stream:
        return stream.read()


def files(folder, suffix):
    for base, _, names in sorted(os.walk(folder)):
        for name in sorted(names):
            if name.endswith(suffix):
                yield os.path.join(base, name)


def function_of(text):
    found = re.search(r"%TF\.FileFunction,([^*]*)\*%", text)
    return found.group(1) if found else ""


def parts_of(text, side):
    """ref -> (x, y, rotation as a job counts it, side, footprint)."""
    out, attributes, function, aperture = {}, {}, "", None
    functions = {}
    for command in re.findall(r"%([^%]*)\*%|([^*%\n]+)\*", text):
        extended, plain = command
        if extended.startswith("TA.AperFunction,"):
            function = extended.split(",", 1)[1]
        elif extended.startswith("TO."):
            name, _, value = extended[3:].partition(",")
            attributes[name] = value
        elif extended == "TD":
            function, attributes = "", {}
        elif extended.startswith("ADD"):
            functions[re.match(r"ADD(\d+)", extended).group(1)] = function
        elif re.fullmatch(r"D\d\d+", plain):
            aperture = plain[1:]
        flash = re.fullmatch(r"X(-?\d+)Y(-?\d+)D03", plain)
        if flash and functions.get(aperture) == "ComponentMain":
            turn = float(attributes.get("CRot", 0))
            out[attributes["C"]] = (int(flash[1]) / 1e6, int(flash[2]) / 1e6,
                                    (turn if side == "top" else -turn) % 360, side, attributes.get("CFtp", ""))
    return out


def profile_box(text):
    points = [(int(x) / 1e6, int(y) / 1e6) for x, y in re.findall(r"X(-?\d+)Y(-?\d+)(?:I-?\d+J-?\d+)?D0[12]", text)]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def shapes_of(text):
    """Apertures of the kinds C, R, O and the rounded-rectangle macro; strokes, flashes and regions, all dark."""
    apertures, shapes, at, aperture, region, contour = {}, [], (0, 0), None, False, []
    for extended, plain in re.findall(r"%([^%]*)\*%|([^*%\n]+)\*", text):
        found = re.match(r"ADD(\d+)([A-Za-z]+),(.*)", extended)
        if found:
            apertures[found[1]] = (found[2], [float(v) for v in found[3].split("X")])
        elif extended == "LPC":
            raise SystemExit("the reader knows no clear polarity")
        if plain == "G36":
            region, contour = True, []
        elif plain == "G37":
            if contour:
                shapes.append(("region", contour))
            region, contour = False, []
        elif re.fullmatch(r"D\d\d+", plain):
            aperture = plain[1:]
        found = re.fullmatch(r"(?:G01)?(?:X(-?\d+))?(?:Y(-?\d+))?D0([123])", plain)
        if not found:
            continue
        to = (int(found[1]) / 1e6 if found[1] else at[0], int(found[2]) / 1e6 if found[2] else at[1])
        if region and found[3] == "2":
            if len(contour) > 2:
                shapes.append(("region", contour))
            contour = [to]
        elif region:
            contour.append(to)
        elif found[3] == "1":
            shapes.append(("stroke", at, to, apertures[aperture][1][0] / 2))
        elif found[3] == "3":
            shapes.append(("flash", to, *apertures[aperture]))
        at = to
    return shapes


def covered(np, shape, x, y):
    """Which of the points x, y the shape covers."""
    if shape[0] == "stroke":
        (ax, ay), (bx, by), r = shape[1:]
        dx, dy = bx - ax, by - ay
        t = np.clip(((x - ax) * dx + (y - ay) * dy) / max(dx * dx + dy * dy, 1e-12), 0, 1)
        return (x - ax - t * dx) ** 2 + (y - ay - t * dy) ** 2 <= r * r
    if shape[0] == "flash":
        (cx, cy), kind, v = shape[1:]
        u, w = np.abs(x - cx), np.abs(y - cy)
        if kind == "C":
            return u * u + w * w <= v[0] * v[0] / 4
        if kind == "R":
            return (u <= v[0] / 2) & (w <= v[1] / 2)
        if kind == "O":
            r = min(v[0], v[1]) / 2
            return np.maximum(u - v[0] / 2 + r, 0) ** 2 + np.maximum(w - v[1] / 2 + r, 0) ** 2 <= r * r
        if kind == "HorizOval":  # width, then the two ends of a thick line
            return covered(np, ("stroke", (cx + v[1], cy + v[2]), (cx + v[3], cy + v[4]), v[0] / 2), x, y)
        corners = [(cx + v[i], cy + v[i + 1]) for i in (1, 3, 5, 7)]  # RoundRect: radius, four corners
        inside = polygon(np, corners, x, y)
        for i in range(4):
            inside |= covered(np, ("stroke", corners[i], corners[(i + 1) % 4], v[0]), x, y)
        return inside
    return polygon(np, shape[1], x, y)


def polygon(np, corners, x, y):
    inside = np.zeros(x.shape, bool)
    for (ax, ay), (bx, by) in zip(corners, corners[1:] + corners[:1]):
        if ay != by:
            inside ^= ((ay > y) != (by > y)) & (x < ax + (bx - ax) * (y - ay) / (by - ay))
    return inside


def drilled(text):
    """Holes and slots of a drill file as strokes, in mm."""
    inch = re.search(r"^INCH", text, re.M) is not None
    sizes = {m[1]: float(m[2]) for m in re.finditer(r"^T(\d+)C([\d.]+)", text, re.M)}
    place, out, size = r"X(-?[\d.]+)Y(-?[\d.]+)", [], 0

    def number(word):
        if "." in word or not inch:
            return float(word) * (25.4 if inch else 1)
        sign, digits = (-1 if word[0] == "-" else 1), word.lstrip("-")
        return sign * float((digits + "000000")[:6]) / 1e4 * 25.4  # INCH,LZ: two digits before the point

    for line in text.split("%", 1)[1].splitlines():
        tool, hole = re.fullmatch(r"T(\d+)", line), re.fullmatch(place + r"(?:G85" + place + r")?", line)
        if tool:
            size = sizes.get(tool[1], 0)
        elif hole:
            a = (number(hole[1]), number(hole[2]))
            b = (number(hole[3]), number(hole[4])) if hole[3] else a
            out.append(("stroke", a, b, size * (25.4 if inch else 1) / 2))
    return out


def measure(np, text, drills, box, step=0.1):
    """Share of the box that is copper, by points."""
    xs, ys = np.arange(box[0] + step / 2, box[2], step), np.arange(box[1] + step / 2, box[3], step)
    gx, gy = np.meshgrid(xs, ys)
    copper = np.zeros(gx.shape, bool)
    for shape in shapes_of(text):
        places = [p for p in shape[1]] if shape[0] == "region" else [p for p in shape[1:3] if isinstance(p, tuple)]
        reach = shape[3] if shape[0] == "stroke" else 0 if shape[0] == "region" else 2 * max(map(abs, shape[3])) + 1
        i0, i1 = np.searchsorted(xs, [min(p[0] for p in places) - reach, max(p[0] for p in places) + reach])
        j0, j1 = np.searchsorted(ys, [min(p[1] for p in places) - reach, max(p[1] for p in places) + reach])
        if i0 < i1 and j0 < j1:
            copper[j0:j1, i0:i1] |= covered(np, shape, gx[j0:j1, i0:i1], gy[j0:j1, i0:i1])
    for hole in drills:
        (ax, ay), (bx, by), reach = hole[1:]
        i0, i1 = np.searchsorted(xs, [min(ax, bx) - reach, max(ax, bx) + reach])
        j0, j1 = np.searchsorted(ys, [min(ay, by) - reach, max(ay, by) + reach])
        if i0 < i1 and j0 < j1:
            copper[j0:j1, i0:i1] &= ~covered(np, hole, gx[j0:j1, i0:i1], gy[j0:j1, i0:i1])
    return copper.mean()


def holes_of(text):
    return len(re.findall(r"^X[-\d.]+Y[-\d.]+(?:G85X[-\d.]+Y[-\d.]+)?$", text, re.M))


def compare(cli, data, name, wanted, faults):
    import numpy as np

    folder = os.path.join(data, name)
    paths = [os.path.join(folder, "gerber"), os.path.join(folder, "drill")]
    out = json.loads(subprocess.run([cli, "inspect", "--json", *paths], check=True, capture_output=True, text=True).stdout)
    texts = {path: read(path) for path in files(folder, ".gbr")}
    parts, box, holes = {}, None, sum(holes_of(read(path)) for path in files(folder, ".drl"))
    for text in texts.values():
        function = function_of(text)
        if function.startswith("Component"):
            parts.update(parts_of(text, "bottom" if function.endswith("Bot") else "top"))
        elif function.startswith("Profile"):
            box = profile_box(text)

    def check(good, what):
        if not good:
            faults.append(f"{name}: {what}")

    o = out["outline"]
    check(abs(o["width_mm"] - wanted[0]) < 0.01 and abs(o["height_mm"] - wanted[1]) < 0.01, f"outline {o}")
    check(abs(o["min_x_mm"] - box[0]) < 0.01 and abs(o["min_y_mm"] - box[1]) < 0.01, f"low corner {o}, reader {box}")
    check(not o["assumed"], "the outline is a substitute")
    check(abs(out["thickness_mm"] - wanted[2]) < 1e-4, f"thickness {out['thickness_mm']}")
    check(len(out["copper"]) == wanted[5], f"{len(out['copper'])} copper layers")
    top = [p for p in out["parts"] if p["side"] == "top"]
    check((len(top), len(out["parts"]) - len(top)) == (wanted[3], wanted[4]), f"{len(top)} of {len(out['parts'])} on top")
    check({p["ref"] for p in out["parts"]} == set(parts), "other names")
    for p in out["parts"]:
        x, y, turn, side, footprint = parts.get(p["ref"], (0, 0, 0, "", ""))
        apart = (p["rotation_deg"] - turn + 180) % 360 - 180
        check(math.hypot(p["x_mm"] - x, p["y_mm"] - y) < 0.01 and abs(apart) < 0.01 and p["side"] == side
              and p["package"] == footprint, f"{p['ref']}: {p}, reader {(x, y, turn, side, footprint)}")
    counted = sum(int(re.match(r"(\d+) holes", s["taken"])[1]) for s in out["sources"] if re.match(r"\d+ holes", s["taken"] or ""))
    check(counted == holes, f"{counted} holes, reader {holes}")
    drills = [hole for path in files(folder, ".drl") for hole in drilled(read(path))]
    for layer in out["copper"]:
        if (name, layer["layer"]) not in MEASURED:
            continue
        text = next(t for path, t in texts.items() if layer["layer"] in os.path.basename(path))
        # The board's box and its area differ where it is no rectangle.
        share = measure(np, text, drills, box) * wanted[0] * wanted[1] / o["area_mm2"]
        print(f"# {name} {layer['layer']}: {100 * layer['cover']:.2f} % copper, by points {100 * share:.2f} %")
        check(layer["mapped"] and abs(layer["cover"] - share) < 0.005, f"{layer['layer']}: {layer['cover']} or {share}")


def compare_plain(cli, data, faults):
    """Files that say nothing of themselves: found by name, the board's outline a stated substitute."""
    out = json.loads(subprocess.run([cli, "inspect", "--json", os.path.join(data, "numpres")], check=True,
                                    capture_output=True, text=True).stdout)
    good = (out["outline"]["assumed"] and [c["mapped"] for c in out["copper"]] == [True, True]
            and len(out["parts"]) == 22 and any("not told" in w["text"] for w in out["warnings"])
            and any(s["taken"] == "85 holes" for s in out["sources"]))
    if not good:
        faults.append(f"numpres: {[(k, v) for k, v in out.items() if k != 'parts']}")


def main(cli, data):
    print(f"1..{len(SETS) + 1}")
    bad = 0
    for number, (name, wanted) in enumerate([*SETS.items(), ("numpres", None)], 1):
        faults = []
        if wanted:
            compare(cli, data, name, wanted, faults)
        else:
            compare_plain(cli, data, faults)
        for fault in faults[:10]:
            print("#", fault)
        print(f"{'not ok' if faults else 'ok'} {number} {name}")
        bad += bool(faults)
    return bad > 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
