#!/usr/bin/env python3
"""An independent solution of tests/reference/reference-case.c, compared with that of heat/.

usage: five-parts.py REFERENCE-CASE

Nothing of heat/ is used but the printed scene. The differences on purpose: a uniform grid laid out here instead of a
graded one, each joint of a small part a node of its own, all conductances in one sparse matrix,
SciPy's direct factorisation (SuperLU) instead of an iterative solver, the second-order backward formula at a fixed
step instead of the marcher's, and melting solved by Newton's method on the joints' own temperatures (a Schur
complement of the factored matrix) instead of an enthalpy correction.

Fails when any joint of any part differs at any stored time by more than LIMIT on a uniform mesh of the same cell
size, or by more than GRADED_LIMIT on the mesh that heat/ chooses by itself.
"""
import json
import subprocess
import sys

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import splu

LIMIT = 0.5  # K
GRADED_LIMIT = 1.0  # K
CELL = 1e-3  # m
STEP = 0.25  # s
FINE_STEP, FINE_SPAN = 1 / 64, 15  # s: after a switch with joints liquid; they end freezing with a jump
BODY_SLAB = 0.6e-3  # m, no sub-layer of a body is thicker


class Network:
    """Nodes with capacities, conductances between them and to sources of given temperature."""

    def __init__(self):
        self.n = 0
        self.rows, self.cols, self.vals = [], [], []
        self.capacity = []
        self.sources = []  # (name, nodes, conductances)

    def add(self, capacity):
        capacity = np.asarray(capacity, float).ravel()
        nodes = np.arange(self.n, self.n + capacity.size)
        self.n += capacity.size
        self.capacity.append(capacity)
        return nodes

    def join(self, a, b, g):
        a, b, g = np.broadcast_arrays(a, b, g)
        a, b, g = a.ravel(), b.ravel(), g.ravel()
        self.rows += [a, b, a, b]
        self.cols += [a, b, b, a]
        self.vals += [g, g, -g, -g]

    def expose(self, name, nodes, g):
        nodes, g = np.broadcast_arrays(nodes, g)
        self.sources.append((name, nodes.ravel(), g.ravel()))

    def conduction(self):
        entries = np.concatenate(self.vals), (np.concatenate(self.rows), np.concatenate(self.cols))
        return sp.csc_matrix(entries, shape=(self.n, self.n))


class Slab:
    """A block of cells on the common grid: lowest or joint-side layer first; layers as [t, k_in, k_thr, rho_c]."""

    def __init__(self, net, x0, y0, nx, ny, layers, thickest=np.inf):
        self.x0, self.y0, self.nx, self.ny = x0, y0, nx, ny
        fine = []
        for t, k, kt, rc in layers:
            slabs = max(1, int(np.ceil(t / thickest - 1e-6)))
            fine += [(t / slabs, k, kt, rc)] * slabs
        self.nodes = [net.add(np.full(nx * ny, t * rc * CELL * CELL)).reshape(ny, nx) for t, _, _, rc in fine]
        for plane, (t, k, _, _) in zip(self.nodes, fine):
            net.join(plane[:, :-1], plane[:, 1:], k * t)
            net.join(plane[:-1, :], plane[1:, :], k * t)
        for i in range(len(fine) - 1):
            (t, _, kt, _), (t2, _, kt2, _) = fine[i], fine[i + 1]
            net.join(self.nodes[i], self.nodes[i + 1], CELL * CELL / (t / 2 / kt + t2 / 2 / kt2))
        self.half = [fine[0][0] / 2 / fine[0][2], fine[-1][0] / 2 / fine[-1][2]]  # m2K/W: first, last
        self.sheet = [fine[0][0] * fine[0][1], fine[-1][0] * fine[-1][1]]  # W/K along them

    def centers(self):
        x = self.x0 + (np.arange(self.nx) + 0.5) * CELL
        y = self.y0 + (np.arange(self.ny) + 0.5) * CELL
        return np.meshgrid(x, y)


def overlap(low, high, origin, n):
    edges = origin + np.arange(n + 1) * CELL
    return np.clip(np.minimum(high, edges[1:]) - np.maximum(low, edges[:-1]), 0, None)


def cover(x0, x1, y0, y1, slab):
    """Area of a rectangle in each cell of a slab's grid, m2."""
    return np.outer(overlap(y0, y1, slab.y0, slab.ny), overlap(x0, x1, slab.x0, slab.nx))


def outline(part):
    x, y, dx, dy = part["x"], part["y"], part["length"] / 2, part["width"] / 2
    return x - dx, x + dx, y - dy, y + dy


def joint_shares(part, slab, side):
    """Joints per cell: each spread over a square of that side, cut at the outline of the slab."""
    total = np.zeros((slab.ny, slab.nx))
    for x, y in part["xy"]:
        square = cover(x - side / 2, x + side / 2, y - side / 2, y + side / 2, slab)
        total += square / square.sum()
    return total


def between_middles(middle, side, origin, n):
    """Shares of a stretch of that side among the middles of the cells, each point of it shared between the two beside it."""
    points = middle + side * ((np.arange(4000) + 0.5) / 4000 - 0.5)
    u = np.clip((points - origin) / CELL - 0.5, 0, n - 1)
    i = np.minimum(u.astype(int), n - 2)
    return (np.bincount(i, 1 - u + i, n) + np.bincount(i + 1, u - i, n)) / points.size


def lone_shares(at, slab, side):
    """A joint that stands alone: the centre of what the cells get is its own."""
    return np.outer(between_middles(at[1], side, slab.y0, slab.ny), between_middles(at[0], side, slab.x0, slab.nx))


def strait(sheet, side):
    """What the heat of a joint that stands alone meets along the outer layer and square cells of this size leave out, K/W. By the same
    formula as in heat/, so that it is not checked here; tests/heat/test-strait.c does, against the exact field."""
    return np.log(1 + 1.2 * CELL**2 / side**2) / (4 * np.pi * sheet)


def pitch(part):
    xy = part["xy"]
    return min(np.hypot(*(p - q)) for i, p in enumerate(xy) for q in xy[:i])


def series(*resistances):
    with np.errstate(divide="ignore"):
        return 1 / sum(resistances)


def ratio(a, b):
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(b > 0, a / np.where(b > 0, b, 1), np.inf)


def bilinear(slab, plane, xy):
    """Interpolation matrix rows (nodes, weights) from the centres of cells, clamped at the rim."""
    u = np.clip((xy[:, 0] - slab.x0) / CELL - 0.5, 0, slab.nx - 1)
    v = np.clip((xy[:, 1] - slab.y0) / CELL - 0.5, 0, slab.ny - 1)
    i, j = np.minimum(u.astype(int), slab.nx - 2), np.minimum(v.astype(int), slab.ny - 2)
    s, t = u - i, v - j
    nodes = np.stack([plane[j, i], plane[j, i + 1], plane[j + 1, i], plane[j + 1, i + 1]], 1)
    weights = np.stack([(1 - s) * (1 - t), s * (1 - t), (1 - s) * t, s * t], 1)
    return nodes, weights


class Case:
    def __init__(self, scene):
        self.scene = scene
        self.net = net = Network()
        nx, ny = round(scene["length"] / CELL), round(scene["width"] / CELL)
        self.board = Slab(net, 0, 0, nx, ny, scene["layers"])
        self.covered = [np.zeros((ny, nx)), np.zeros((ny, nx))]  # from below, from above
        self.melting = []  # (nodes, latent J, solidus, liquidus)
        self.readers = []  # joints of each part
        for part in scene["bodies"]:
            part["xy"] = np.array(part["joints"]).reshape(-1, 2)
            (self.add_block if part["meshed"] else self.add_lump)(part)
        self.expose_board()

    def surface(self, part):
        return (self.board.nodes[0], self.board.half[0]) if part["below"] else (self.board.nodes[-1], self.board.half[1])

    def add_block(self, part):
        net, board = self.net, self.board
        x0, x1, y0, y1 = outline(part)
        i0, i1 = int(np.floor(x0 / CELL + 1e-9)), int(np.ceil(x1 / CELL - 1e-9))
        j0, j1 = int(np.floor(y0 / CELL + 1e-9)), int(np.ceil(y1 / CELL - 1e-9))
        assert np.allclose([x0, x1, y0, y1], np.array([i0, i1, j0, j1]) * CELL), "meshed parts lie on whole cells"
        slab = Slab(net, i0 * CELL, j0 * CELL, i1 - i0, j1 - j0, part["layers"], BODY_SLAB)
        plane, half = self.surface(part)
        under = plane[j0:j1, i0:i1]
        area = CELL * CELL
        side = pitch(part)
        count = joint_shares(part, slab, side)
        joint = net.add(count * part["joint_c"]).reshape(count.shape)
        squares = np.minimum(count * side**2, area)  # joints and the air between them reach the layers beside them
        rest = area - squares                        # through the joints' squares, the rest of the gap through its own
        solder = 2 * (part["joint_g"] * count + part["gap_h"] * squares)
        for neighbour, behind in ((under, half), (slab.nodes[0], slab.half[0])):
            for open_, g, through in ((count > 0, solder, squares), (rest > 1e-12, 2 * part["gap_h"] * rest, rest)):
                net.join(joint[open_], neighbour[open_], series(1 / g[open_], behind / through[open_]))
        if part["latent"]:
            self.melting.append((joint.ravel(), (count * part["latent"]).ravel(), part["solidus"], part["liquidus"]))
        self.covered[0 if part["below"] else 1][j0:j1, i0:i1] += area
        self.expose(part["below"], slab.nodes[-1], np.full(count.shape, area), slab, slab.half[1])
        self.readers.append(bilinear(slab, joint, part["xy"]))

    def add_lump(self, part):
        net, board = self.net, self.board
        foot = part["length"] * part["width"]
        body = net.add([sum(t * rc for t, _, _, rc in part["layers"]) * foot])
        area = cover(*outline(part), board)
        n = len(part["xy"])
        plane, half = self.surface(part)
        side = min(max(pitch(part), 0.2e-3), 3e-3)
        where = area > 0
        net.join(body, plane[where], series(1 / (part["gap_h"] * area[where]), half / area[where]))
        joints = net.add(np.full(n, part["joint_c"]))  # each joint a node of its own
        net.join(body, joints, 2 * part["joint_g"])
        for joint, at in zip(joints, part["xy"]):
            count = lone_shares(at, board, side)
            where = count > 0
            metal = (1 / (2 * part["joint_g"]) + strait(board.sheet[0 if part["below"] else 1], side)) / count[where]
            g = series(metal, half / (count[where] * foot / n))
            net.join(joint, plane[where], g)
        self.covered[0 if part["below"] else 1] += area
        share = cover(*outline(part), board)
        self.expose(part["below"], np.full(share.shape, body[0]), share, board, 0)
        self.readers.append((joints[:, None], np.ones((n, 1))))

    def expose_board(self):
        area = CELL * CELL
        for below in (True, False):
            plane, half = (self.board.nodes[0], self.board.half[0]) if below else (self.board.nodes[-1], self.board.half[1])
            self.expose(below, plane, area - self.covered[0 if below else 1], self.board, half)

    def expose(self, below, nodes, area, slab, half):
        """Outward area of each cell to the source above or below it and to the room for the rest."""
        name = "preheat" if below else "gas"
        x, y, length, width, h = self.scene["preheat_area" if below else "nozzle_area"]
        room = self.scene["room"][2 if below else 1]
        inside = cover(x - length / 2, x + length / 2, y - width / 2, y + width / 2, slab) / CELL**2
        assert np.all((inside < 1e-6) | (inside > 1 - 1e-6)), "sources lie on whole cells"
        inside = inside > 0.5
        for chosen, source, film in ((inside, name, h), (~inside, "room", room)):
            keep = chosen & (area > 1e-12)
            self.net.expose(source, nodes[keep], area[keep] / (1 / film + half))
        if not below:  # without gas the covered cells face the room
            keep = inside & (area > 1e-12)
            self.net.expose("room-under-nozzle", nodes[keep], area[keep] / (1 / room + half))


class March:
    """Fixed steps of the second-order backward formula, begun again with first-order steps after each switch."""

    def __init__(self, case):
        self.case, net = case, case.net
        self.capacity = np.concatenate(net.capacity)
        self.conduction = net.conduction()
        self.factored, self.responses = {}, {}
        self.melt = case.melting[0]

    def table(self, name, t, after):
        """Value at t; at a jump the one after or before it."""
        times, values = np.array(self.case.scene[name]["t"]), np.array(self.case.scene[name]["v"])
        i = np.searchsorted(times, t + (1e-9 if after else -1e-9))
        if i == 0 or i == len(times):
            return values[min(i, len(times) - 1)]
        return values[i - 1] + (values[i] - values[i - 1]) * (t - times[i - 1]) / (times[i] - times[i - 1])

    def loads(self, t, gas_on):
        diagonal, right = np.zeros(self.case.net.n), np.zeros(self.case.net.n)
        temperature = {"room": self.case.scene["room"][0], "preheat": self.table("preheat", t, False),
                       "room-under-nozzle": self.case.scene["room"][0], "gas": self.table("gas", t, False)}
        unused = "room-under-nozzle" if gas_on else "gas"
        for name, nodes, g in self.case.net.sources:
            if name != unused:
                np.add.at(diagonal, nodes, g)
                np.add.at(right, nodes, g * temperature[name])
        return diagonal, right

    def factor(self, weight, gas_on, diagonal):
        key = (weight, gas_on)
        if key not in self.factored:
            matrix = (sp.diags(weight * self.capacity + diagonal) + self.conduction).tocsc()
            self.factored[key] = splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0,
                                      options={"SymmetricMode": True})
        return self.factored[key]

    def among(self, weight, gas_on, lu):
        """What a watt into each melting joint does to the temperature of the others, K/W."""
        key = (weight, gas_on)
        if key not in self.responses:
            joints = self.melt[0]
            unit = np.zeros((self.case.net.n, joints.size))
            unit[joints, np.arange(joints.size)] = 1
            self.responses[key] = np.hstack([lu.solve(part)[joints] for part in np.array_split(unit, 16, axis=1)])
        return self.responses[key]

    def liquid(self, t):
        _, _, solidus, liquidus = self.melt
        return np.clip((t - solidus) / (liquidus - solidus), 0, 1)

    def taken(self, free, past_liquid, weight, among):
        """Watts that melting takes at each joint: T + S L (w f(T) - past) = free, T and f functions of a
        common parameter u that also moves through the melting range, which keeps Newton's method from
        jumping to and fro across it (the left side is monotone, the solution unique)."""
        _, latent, solidus, liquidus = self.melt
        stretch = latent * weight * np.diag(among)
        width = liquidus - solidus + stretch

        def state(u):
            share = np.clip((u - solidus) / width, 0, 1)
            return np.where(u < solidus, u, np.where(u > solidus + width, u - stretch, solidus + share * (liquidus - solidus))), share

        u = free.copy()
        for _ in range(60):
            t, share = state(u)
            heat = latent * (weight * share - past_liquid)
            error = t + among @ heat - free
            if np.abs(error).max() < 1e-8:
                return heat
            inside = (u >= solidus) & (u <= solidus + width)
            slope_t = np.where(inside, (liquidus - solidus) / width, 1)
            slope_h = np.where(inside, latent * weight / width, 0)
            u = u - np.linalg.solve(np.diag(slope_t) + among * slope_h, error)
        raise ArithmeticError("melting did not converge")

    def step(self, t, gas_on, weight, past, past_liquid):
        """past: weight-summed history of the temperatures; past_liquid: that of the liquid share."""
        joints, _, solidus, _ = self.melt
        diagonal, right = self.loads(t, gas_on)
        lu = self.factor(weight, gas_on, diagonal)
        right += self.capacity * past
        free = lu.solve(right)
        if free[joints].max() < solidus and not past_liquid.any():
            return free
        right[joints] -= self.taken(free[joints], past_liquid, weight, self.among(weight, gas_on, lu))
        return lu.solve(right)

    def switches(self):
        times = {0.0, self.case.scene["end"]}
        for name in ("gas", "flow", "preheat"):
            times |= set(self.case.scene[name]["t"])
        return sorted(times)

    def run(self):
        """Times and temperatures, every step."""
        t, now = 0.0, np.full(self.case.net.n, self.case.scene["start"])
        times, fields = [t], [now]
        for start, end in zip(self.switches()[:-1], self.switches()[1:]):
            middle = min(start + FINE_SPAN, end) if self.liquid(now[self.melt[0]]).any() else start
            for t0, t1, step in ((start, middle, FINE_STEP), (middle, end, STEP)):
                now = self.span(t0, t1, step, self.table("flow", start, True) > 0, now, times, fields)
        return np.array(times), np.array(fields)

    def span(self, start, end, step, gas_on, now, times, fields):
        joints, before = self.melt[0], None
        steps = round((end - start) / step)
        assert abs(steps * step - (end - start)) < 1e-9
        for i in range(steps):
            t = start + (i + 1) * step
            if i == 0:
                before, now = now, self.first(t, step, gas_on, now)
            else:
                past = (2 * now - 0.5 * before) / step
                liquid = (2 * self.liquid(now[joints]) - 0.5 * self.liquid(before[joints])) / step
                before, now = now, self.step(t, gas_on, 1.5 / step, past, liquid)
            times.append(t)
            fields.append(now)
        return now

    def first(self, t, step, gas_on, now):
        """One step as four backward Euler steps."""
        joints, parts = self.melt[0], 4
        for i in range(parts):
            at, w = t - step + (i + 1) * step / parts, parts / step
            now = self.step(at, gas_on, w, w * now, w * self.liquid(now[joints]))
        return now


def largest_difference(case, result, times, fields):
    ours = np.array(result["t"])
    worst, rows = 0, []
    for index, (nodes, weights) in enumerate(case.readers):
        joints = (fields[:, nodes] * weights).sum(2)  # [time, joint]
        at = np.stack([np.interp(ours, times, joints[:, j]) for j in range(joints.shape[1])], 1)
        trace = result["bodies"][index]
        pairs = [(at.min(1), trace["joint_min"]), (at.mean(1), trace["joint_mean"]), (at.max(1), trace["joint_max"])]
        if index == 0:
            pairs.append((at, np.array(result["joints"]).reshape(at.shape)))
        difference = max(np.abs(a - np.array(b)).max() for a, b in pairs)
        rows.append((index, at.max(), difference))
        worst = max(worst, difference)
    return worst, rows


def solved(*arguments):
    return json.loads(subprocess.run(arguments, check=True, capture_output=True, text=True).stdout)


def report(number, name, limit, case, result, times, fields):
    worst, rows = largest_difference(case, result, times, fields)
    print(f"# {name}: {case.net.n} nodes here, {result['nodes']} there in {result['steps']} steps,"
          f" energy imbalance there {result['imbalance']:.1e}")
    for index, peak, difference in rows:
        print(f"# part {index}: hottest joint {peak:.2f} C, largest difference {difference:.3f} K")
    melted = rows[0][1] > case.scene["bodies"][0]["liquidus"] + 5
    good = worst <= limit and melted and all(peak > 60 for _, peak, _ in rows)
    print(f"{'ok' if good else 'not ok'} {number} - {name}: largest difference at any joint and time {worst:.3f} K,"
          f" limit {limit} K", flush=True)
    return good


def main():
    uniform, graded = solved(sys.argv[1], "uniform"), solved(sys.argv[1])
    case = Case(uniform["scene"])
    times, fields = March(case).run()
    good = report(1, "uniform mesh", LIMIT, case, uniform, times, fields)
    good &= report(2, "default mesh", GRADED_LIMIT, case, graded, times, fields)
    print("1..2")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
