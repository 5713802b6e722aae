#!/usr/bin/env python3
"""The job by finite volumes in SciPy: one node a cell, one sparse matrix, factored by SuperLU once for each phase.

usage: scipy_direct.py CASE OUT FINE_MM COARSE_MM [SLICES]
"""
import platform

import numpy as np
import scipy
import scipy.sparse as sp
from scipy.sparse.linalg import splu

import case as common


class Network:
    def __init__(self, case, fine, coarse, slices):
        self.case = case
        self.x, self.y = common.lines(case, 0, fine, coarse), common.lines(case, 1, fine, coarse)
        thick = sum(layer[0] for layer in case["board"]["layers"])
        self.board = common.cut_board(slices, [thick, *case["board"]["layers"][0][1:]])
        self.body = common.slabs(case["body"]["layers"], [1, 2])
        self.entries, self.capacity, self.n = [], [], 0
        low, high = (np.array(case["body"]["center"]) + s * np.array(case["body"]["size"]) / 2 for s in (-1, 1))
        self.box = [slice(*(np.searchsorted(e, (a - 1e-9, b - 1e-9)))) for e, a, b in zip((self.x, self.y), low, high)]
        dx, dy = np.diff(self.x), np.diff(self.y)
        self.lower = self.block(dx, dy, self.board)
        self.upper = self.block(dx[self.box[0]], dy[self.box[1]], self.body)
        self.area = np.outer(dy, dx)
        self.half = [layer[0] / 2 / layer[2] for layer in (self.board[0], self.board[-1], self.body[0], self.body[-1])]
        self.under = self.lower[-1][self.box[1], self.box[0]]
        foot = self.area[self.box[1], self.box[0]]
        self.middle = self.half[1] + 0.5 / case["body"]["joint_h"], self.half[2] + 0.5 / case["body"]["joint_h"]
        self.join(self.under, self.upper[0], foot / sum(self.middle))

    def join(self, a, b, g):
        self.entries.append((a.ravel(), b.ravel(), g.ravel()))

    def block(self, dx, dy, layers):
        shape = len(layers), len(dy), len(dx)
        nodes = self.n + np.arange(np.prod(shape)).reshape(shape)
        self.n += nodes.size
        gap_x, gap_y = (dx[1:] + dx[:-1]) / 2, (dy[1:] + dy[:-1]) / 2
        for plane, (t, k, _, rc) in zip(nodes, layers):
            self.capacity.append((np.outer(dy, dx) * t * rc).ravel())
            self.join(plane[:, :-1], plane[:, 1:], k * t * np.outer(dy, 1 / gap_x))
            self.join(plane[:-1], plane[1:], k * t * np.outer(1 / gap_y, dx))
        for i, (low, high) in enumerate(zip(layers, layers[1:])):
            resistance = low[0] / 2 / low[2] + high[0] / 2 / high[2]
            self.join(nodes[i], nodes[i + 1], np.outer(dy, dx) / resistance)
        return nodes

    def conduction(self):
        a, b, g = (np.concatenate([entry[i] for entry in self.entries]) for i in range(3))
        matrix = sp.coo_matrix((np.concatenate([g, g, -g, -g]), (np.concatenate([a, b, a, b]), np.concatenate([a, b, b, a]))),
                               shape=(self.n, self.n))
        return matrix.tocsc()

    def films(self, gas_on):
        """Conductances of the nodes to preheater, gas and room."""
        case, out = self.case, np.zeros((3, self.n))
        free = np.ones(self.area.shape, bool)
        free[self.box[1], self.box[0]] = False
        centers = [(e[1:] + e[:-1]) / 2 - c for e, c in zip((self.x, self.y), case["body"]["center"])]
        inside = np.logical_and.outer(*(np.abs(c) < s / 2 for c, s in zip(centers[::-1], case["nozzle"]["size"][::-1])))
        hot = 1 if gas_on else 2
        h = case["nozzle"]["h"] if gas_on else case["room"]["h"]
        out[0][self.lower[0]] = self.area / (1 / case["preheat"]["h"] + self.half[0])
        top = self.lower[-1]
        out[2][top[free & ~inside]] = self.area[free & ~inside] / (1 / case["room"]["h"] + self.half[1])
        out[hot][top[free & inside]] = self.area[free & inside] / (1 / h + self.half[1])
        out[hot][self.upper[-1]] += self.area[self.box[1], self.box[0]] / (1 / h + self.half[3])
        return out

    def reader(self):
        """Rows that read the middle of each joint, bilinear between the columns' centres."""
        xc, yc = ((e[1:] + e[:-1]) / 2 for e in (self.x[self.box[0].start:self.box[0].stop + 1],
                                                self.y[self.box[1].start:self.box[1].stop + 1]))
        weight = self.middle[1] / sum(self.middle)  # of the board's node: the nearer, the more
        rows, cols, vals = [], [], []
        for row, (px, py) in enumerate(self.case["body"]["joints"]):
            i = np.clip(np.searchsorted(xc, px) - 1, 0, len(xc) - 2)
            j = np.clip(np.searchsorted(yc, py) - 1, 0, len(yc) - 2)
            s, t = (px - xc[i]) / (xc[i + 1] - xc[i]), (py - yc[j]) / (yc[j + 1] - yc[j])
            for dj, di, w in ((0, 0, (1 - s) * (1 - t)), (0, 1, s * (1 - t)), (1, 0, (1 - s) * t), (1, 1, s * t)):
                rows += [row, row]
                cols += [self.under[j + dj, i + di], self.upper[0][j + dj, i + di]]
                vals += [w * weight, w * (1 - weight)]
        return sp.csr_matrix((vals, (rows, cols)), shape=(len(self.case["body"]["joints"]), self.n))


class March:
    """The second-order backward formula at the given step."""

    def __init__(self, net):
        self.net, self.reader = net, net.reader()
        self.heat = np.concatenate(net.capacity) / net.case["step"]
        conduction = net.conduction()
        self.phases = []
        for gas_on in (False, True):
            films = net.films(gas_on)
            matrix = (conduction + sp.diags(1.5 * self.heat + films.sum(0))).tocsc()
            self.phases.append((films, splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0,
                                            options={"SymmetricMode": True})))

    def run(self, gas_c, preheat_c):
        case = self.net.case
        t = np.full(self.net.n, float(case["start"]))
        times, joints = [0.0], [self.reader @ t]
        for (films, factors), start, end in zip(self.phases, (0, case["gas_on"]), (case["gas_on"], case["end"])):
            load = preheat_c * films[0] + gas_c * films[1] + case["room"]["air"] * films[2]
            marching = common.backward(t, lambda past: factors.solve(self.heat * past + load))
            for i in range(round((end - start) / case["step"])):
                t = next(marching)
                times.append(start + (i + 1) * case["step"])
                joints.append(self.reader @ t)
        return np.array(times), np.array(joints)


def main():
    case, report, fine, coarse, more = common.arguments()
    report.note("version", f"SciPy {scipy.__version__}, NumPy {np.__version__}, Python {platform.python_version()}")
    net = Network(case, fine, coarse, more[0] if more else "3")
    report.note("unknowns", net.n)
    report.stage("set_up_s")
    march = March(net)
    answer = march.run(*common.set_points(case, 0))
    done = report.stage("first_s")
    other = march.run(*common.set_points(case, 1))
    report.stage("again_s", done)
    report.store(0, *answer)
    report.store(1, *other)
    report.write()


if __name__ == "__main__":
    main()
