"""What the solvers written in Python share: the job, mesh lines, and how an answer is handed over."""
import json
import sys
import time

import numpy as np


def load(path):
    with open(path, encoding="ascii") as text:
        return json.load(text)


def cut(start, end, first, most, growth):
    """Lines from start to end, cells growing from the first size, both ends in the list."""
    length, sizes, size = abs(end - start), [], first
    while sum(sizes) < length - 1e-12:
        sizes.append(size)
        size = min(size * growth, most)
    sizes = np.array(sizes) * (length / sum(sizes))
    return start + np.sign(end - start) * np.concatenate([[0], np.cumsum(sizes)])


def even(start, end, size):
    return np.linspace(start, end, max(1, round((end - start) / size)) + 1)


def lines(case, axis, fine, coarse, growth=1.25):
    """Mesh lines along an axis: even over body and nozzle, growing outside; every edge is on a line."""
    center, body = case["body"]["center"][axis], case["body"]["size"][axis] / 2
    nozzle, end = case["nozzle"]["size"][axis] / 2, case["board"]["size"][axis]
    inner = [even(center - nozzle, center - body, fine), even(center - body, center + body, fine),
             even(center + body, center + nozzle, fine)]
    low = cut(center - nozzle, 0, fine, coarse, growth)[::-1]
    high = cut(center + nozzle, end, fine, coarse, growth)
    return np.unique(np.round(np.concatenate([low, *inner, high]), 9))


def slabs(layers, parts):
    """Layers [t, k in plane, k through, J/m3K] cut into equal parts."""
    return [[t / n, k, kt, rc] for (t, k, kt, rc), n in zip(layers, parts) for _ in range(n)]


def cut_board(text, layer):
    """The board's layer [t, k in plane, k through, J/m3K] in slices: "N", or "N:R", each R times as thick as the one below."""
    number, _, ratio = text.partition(":")
    shares = float(ratio or 1) ** np.arange(int(number))
    return [[layer[0] * share, *layer[1:]] for share in shares / shares.sum()]


class Report:
    """Times of the stages as process CPU seconds, and the joints' temperatures."""

    def __init__(self, path):
        self.path, self.rows = path, []

    def note(self, key, value):
        print(key, value, flush=True)

    def stage(self, key, since=0.0):
        now = time.process_time()
        self.note(key, f"{now - since:.6f}")
        return now

    def store(self, run, times, joints):
        self.rows += [np.column_stack([np.full(len(times), run), times, joints])]

    def write(self):
        np.savetxt(self.path, np.vstack(self.rows), fmt="%.6f")


def arguments():
    """CASE OUT FINE_MM COARSE_MM [more], lengths in m."""
    case, report = load(sys.argv[1]), Report(sys.argv[2])
    return case, report, float(sys.argv[3]) * 1e-3, float(sys.argv[4]) * 1e-3, sys.argv[5:]


def backward(t, solve):
    """States after each step of (1.5 t1 - 2 t0 + 0.5 t-1) / step = rate, where solve(p) gives the t1 of
    1.5 t1 - p = step * rate. The first is the mean of two backward Euler steps of two thirds of a step,
    at 2/3 and 4/3 of it: they need the same matrix."""
    early = solve(1.5 * t)
    before, t = t, (early + solve(1.5 * early)) / 2
    yield t
    while True:
        before, t = t, solve(2 * t - 0.5 * before)
        yield t


def set_points(case, run):
    return case["gas_c"][run], case["preheat_c"][run]
