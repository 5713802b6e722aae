#!/usr/bin/env python3
"""Compares `leeward-cli inspect --json` and `convert` with Python's ElementTree, on every IPC-2581 sample.

usage: check_ipc2581.py LEEWARD_CLI DATA_FOLDER

Counts and sizes in SAMPLES are those of the samples' README files, taken from the native design or by a third
reader; everything else is taken out of the file again here, by whole-tree queries. The lands of the board's copper
(LayerFeature/Set/Pad with a PinRef) say where each joint has to lie.
"""
import gzip
import json
import math
import pathlib
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as tree

# file: (outline width, height, thickness mm, parts on top, on the bottom, heights known, copper layers)
SAMPLES = {
    "ecc83_v2/ecc83v2-revB-in.xml": (48.260, 41.910, 1.6, 15, 0, 0, 2),
    "ecc83_v2/ecc83v2-revC-mm-heights.xml": (48.260, 41.910, 1.6, 15, 0, 10, 2),
    "dm0002_ipc2581/dm0002-revC-mm.xml.gz": (15.0, 38.6, 1.6062, 56, 3, 0, 4),
}
UNITS = {"MILLIMETER": 1.0, "MICRON": 0.001, "INCH": 25.4}
NS = "{http://webstds.ipc.org/2581}"


def number(element, name, default=0.0):
    return float(element.get(name, default)) if element is not None else default


class Board:
    def __init__(self, path):
        self.root = tree.parse(path).getroot()
        self.unit = UNITS[self.root.find(f".//{NS}CadHeader").get("units")]
        self.step = self.root.find(f".//{NS}Step")
        sides = {layer.get("name"): layer.get("side") for layer in self.root.iter(NS + "Layer")}
        self.bottom_layers = {name for name, side in sides.items() if side == "BOTTOM"}
        self.values = {}
        for item in self.root.iter(NS + "BomItem"):
            for text in item.iter(NS + "Textual"):
                if text.get("textualCharacteristicName") == "Value":
                    self.values[item.get("OEMDesignNumberRef")] = text.get("textualCharacteristicValue")

    def box(self):
        points = [p for p in self.step.find(NS + "Profile").iter() if p.get("x") is not None]
        xs, ys = ([number(p, k) * self.unit for p in points] for k in "xy")
        return min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)

    def heights(self):
        return {p.get("name"): number(p, "height") * self.unit for p in self.step.findall(NS + "Package")}

    def parts(self):
        heights = self.heights()
        for c in self.step.findall(NS + "Component"):
            at, turn = c.find(NS + "Location"), c.find(NS + "Xform")
            height = number(c, "height") * self.unit or heights.get(c.get("packageRef"), 0)
            yield c.get("refDes"), {"x": number(at, "x") * self.unit, "y": number(at, "y") * self.unit,
                                    "turn": number(turn, "rotation"),
                                    "side": "bottom" if c.get("layerRef") in self.bottom_layers else "top",
                                    "package": c.get("packageRef"), "height": height or None,
                                    "value": self.values.get(c.get("part"), c.get("part"))}

    def lands(self):
        """Places of each part's lands on its own side."""
        out = {}
        for feature in self.step.findall(NS + "LayerFeature"):
            for pad in feature.iter(NS + "Pad"):
                pin, at = pad.find(NS + "PinRef"), pad.find(NS + "Location")
                if pin is not None:
                    out.setdefault(pin.get("componentRef"), set()).add(
                        (round(number(at, "x") * self.unit, 3), round(number(at, "y") * self.unit, 3)))
        return out


def check_board(board, have, sample):
    width, height, thickness, top, bottom, known, _ = sample
    x, y, w, h = board.box()
    edge = have["outline"]
    for what, is_, wanted in (("width", edge["width_mm"], width), ("height", edge["height_mm"], height),
                              ("width", edge["width_mm"], w), ("height", edge["height_mm"], h),
                              ("x", edge["min_x_mm"], x), ("y", edge["min_y_mm"], y)):
        if abs(is_ - wanted) > 0.01:
            yield f"outline's {what} is {is_}, {wanted} wanted"
    if abs(have["thickness_mm"] - thickness) > 0.001:
        yield f"thickness is {have['thickness_mm']}"
    if edge["assumed"]:
        yield "the outline is an assumed one"
    counts = [sum(p["side"] == side and p["placed"] for p in have["parts"]) for side in ("top", "bottom")]
    if counts != [top, bottom]:
        yield f"{counts} parts on top and bottom"
    if sum(p["height_mm"] is not None for p in have["parts"]) != known:
        yield "another number of heights"


def check_parts(board, have):
    want = dict(board.parts())
    if sorted(want) != sorted(p["ref"] for p in have["parts"]):
        yield "other parts"
    for part in have["parts"]:
        w = want[part["ref"]]
        if math.hypot(part["x_mm"] - w["x"], part["y_mm"] - w["y"]) > 0.01:
            yield f"{part['ref']} at {part['x_mm']}, {part['y_mm']}"
        if (part["side"], part["package"], part["value"]) != (w["side"], w["package"], w["value"]):
            yield f"{part['ref']}: {part['side']} {part['package']} {part['value']}"
        if abs((part["rotation_deg"] - w["turn"] + 180) % 360 - 180) > 0.001:
            yield f"{part['ref']} turned {part['rotation_deg']}, {w['turn']} wanted"
        if (part["height_mm"] is None) != (w["height"] is None) or abs((w["height"] or 0) - (part["height_mm"] or 0)) > 1e-3:
            yield f"{part['ref']} is {part['height_mm']} high, {w['height']} wanted"


def place(part, u, v):
    a = math.radians(part.get("rotation_deg", 0))
    if part.get("side") == "bottom":
        u, a = -u, -a
    return part["x_mm"] + math.cos(a) * u - math.sin(a) * v, part["y_mm"] + math.sin(a) * u + math.cos(a) * v


def check_joints(board, document):
    """Listed joints lie on lands of the board."""
    packages, lands = {p["name"]: p for p in document["packages"]}, board.lands()
    n = 0
    for part in document["parts"]:
        joints = packages.get(part["package"], {}).get("joints", {})
        for joint in joints.get("positions") or []:
            x, y = place(part, joint["x_mm"], joint["y_mm"])
            n += 1
            if not any(math.hypot(x - p, y - q) <= 0.02 for p, q in lands.get(part["ref"], ())):
                yield f"{part['ref']} has a joint at {x:.3f}, {y:.3f} and no land"
    if n < 20:
        yield f"only {n} joints are listed"


def check_stack(board, document, n_copper):
    layers = document["board"].get("stack_up", [])
    want = [(s.get("layerOrGroupRef"), number(s, "thickness") * board.unit) for s in board.root.iter(NS + "StackupLayer")
            if number(s, "thickness") > 0]
    have = [(layer["name"], layer["thickness_mm"]) for layer in layers]
    if [n for n, _ in want] != [n for n, _ in have] or any(abs(a[1] - b[1]) > 1e-6 for a, b in zip(want, have)):
        yield f"stack-up {have}, {want} wanted"
    if sum(layer["kind"] == "copper" for layer in layers) != n_copper:
        yield "another number of copper layers"


def faults_of(cli, path, sample, scratch):
    out = subprocess.run([cli, "inspect", "--json", path], capture_output=True, text=True)
    if out.returncode != 0:
        return [out.stderr]
    have = json.loads(out.stdout)
    target = str(pathlib.Path(scratch, "out.leeward"))
    run = subprocess.run([cli, "convert", "--force", path, target], capture_output=True, text=True)
    if run.returncode != 0:
        return [run.stderr]
    document = json.loads(pathlib.Path(target).read_text("utf-8"))
    board = Board(path)
    return [*check_board(board, have, sample), *check_parts(board, have), *check_joints(board, document),
            *check_stack(board, document, sample[6])]


def main(cli, folder):
    print(f"1..{len(SAMPLES)}")
    status = 0
    with tempfile.TemporaryDirectory() as scratch:
        for i, (name, sample) in enumerate(SAMPLES.items(), 1):
            path = pathlib.Path(folder, name)
            if path.suffix == ".gz":
                unpacked = pathlib.Path(scratch, path.stem)
                unpacked.write_bytes(gzip.decompress(path.read_bytes()))
                path = unpacked
            faults = faults_of(cli, str(path), sample, scratch)
            for fault in faults[:20]:
                print("#", fault)
            print(f"{'not ok' if faults else 'ok'} {i} {name}")
            status |= bool(faults)
    return int(status)


sys.exit(main(*sys.argv[1:]))
