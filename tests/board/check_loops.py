#!/usr/bin/python3
"""Loops drawn by hand against Shapely (GEOS), a general geometry library: area, perimeter, distance of a point, and
whether they cross themselves. Arcs are cut here, by a formula of this file's own, into chords that stay within
1e-5 mm.

Usage: check_loops.py PRINT_LOOPS
"""
import json
import math
import subprocess
import sys

from shapely.geometry import LinearRing, Point, Polygon

STEP_DEG = 0.05


def cut(corners):
    points = []
    for i, (bx, by, arc) in enumerate(corners):
        ax, ay, _ = corners[i - 1]
        if arc:
            # Centre from chord and included angle; positive = counter-clockwise.
            half = math.radians(arc) / 2
            mx, my = (ax + bx) / 2, (ay + by) / 2
            cx = mx - (by - ay) / 2 / math.tan(half)
            cy = my + (bx - ax) / 2 / math.tan(half)
            n = max(2, math.ceil(abs(arc) / STEP_DEG))
            for k in range(1, n):
                t = math.radians(arc) * k / n
                dx, dy = ax - cx, ay - cy
                points.append((cx + dx * math.cos(t) - dy * math.sin(t), cy + dx * math.sin(t) + dy * math.cos(t)))
        points.append((bx, by))
    return points


loops = json.loads(subprocess.run([sys.argv[1]], capture_output=True, text=True, check=True).stdout)
faults, simple, crossing = [], 0, 0
for n, loop in enumerate(loops):
    ring = LinearRing(cut(loop["corners"]))
    if abs(ring.length - loop["perimeter"]) > 1e-5 * ring.length:
        faults.append(f"loop {n}: perimeter {loop['perimeter']}, Shapely {ring.length}")
    if abs(ring.distance(Point(31, 17)) - loop["distance"]) > 1e-3:
        faults.append(f"loop {n}: distance {loop['distance']}, Shapely {ring.distance(Point(31, 17))}")
    if ring.is_simple == loop["crosses"]:
        faults.append(f"loop {n}: crosses {loop['crosses']}, Shapely simple {ring.is_simple}")
    if not ring.is_simple:
        crossing += 1
        continue
    simple += 1
    area = Polygon(ring).area
    if abs(area - abs(loop["area"])) > 1e-5 * area:
        faults.append(f"loop {n}: area {loop['area']}, Shapely {area}")

print("1..2")
for fault in faults[:20]:
    print("#", fault)
print(f"{'not ok' if faults else 'ok'} 1 {len(loops)} loops agree with Shapely: {simple} simple, {crossing} crossing")
both = simple > 50 and crossing > 5
print(f"{'ok' if both else 'not ok'} 2 both sorts are among them")
sys.exit(bool(faults) or not both)
