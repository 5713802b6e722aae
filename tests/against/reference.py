#!/usr/bin/env python3
"""A converged solution of the job, for the benchmark to measure every solver's error against.

usage: reference.py CASE OUT ORDER STEP

Shares no discretisation with any solver it judges: one quarter of the board (job and supports are symmetric) in spectral
finite elements of high order on a few graded elements, assembled as Kronecker products; in time the five-stage,
fourth-order, stiffly accurate method of Hairer & Wanner, Solving Ordinary Differential Equations II, table
IV.6.5 (from memory; its order conditions are checked below), with eight times finer steps after each switch.
Run twice with different orders and steps, the difference says how far it has converged.
"""
import sys

import numpy as np
import scipy.sparse as sp
from numpy.polynomial import legendre
from scipy.sparse.linalg import splu

import case as common

TABLE = np.array([[1 / 4, 0, 0, 0, 0],
                  [1 / 2, 1 / 4, 0, 0, 0],
                  [17 / 50, -1 / 25, 1 / 4, 0, 0],
                  [371 / 1360, -137 / 2720, 15 / 544, 1 / 4, 0],
                  [25 / 24, -49 / 48, 125 / 16, -85 / 12, 1 / 4]])


def check_table():
    b, c = TABLE[-1], TABLE.sum(1)
    found = [b.sum(), b @ c, b @ c**2, b @ TABLE @ c, b @ c**3, b @ (c * (TABLE @ c)), b @ TABLE @ c**2,
             b @ TABLE @ TABLE @ c]
    wanted = [1, 1 / 2, 1 / 3, 1 / 6, 1 / 4, 1 / 8, 1 / 12, 1 / 24]
    assert np.allclose(found, wanted, atol=1e-12), "the integrator is not of fourth order"


def lobatto(p):
    """Gauss-Lobatto points of order p and the values that make Lagrange polynomials from Legendre ones."""
    inner = legendre.Legendre.basis(p).deriv().roots()
    points = np.concatenate([[-1], np.sort(inner.real), [1]])
    return points, np.linalg.inv(legendre.legvander(points, p))


class Axis:
    """One-dimensional elements: mass and stiffness per element, for weights that jump at element edges."""

    def __init__(self, edges, p):
        self.edges, self.p = np.asarray(edges), p
        self.points, self.inverse = lobatto(p)
        self.n = p * (len(edges) - 1) + 1
        x, w = legendre.leggauss(p + 2)
        value = legendre.legvander(x, p) @ self.inverse
        slope = np.column_stack([legendre.legval(x, legendre.legder(self.inverse[:, j])) for j in range(p + 1)])
        self.unit_mass, self.unit_stiff = value.T @ (w[:, None] * value), slope.T @ (w[:, None] * slope)

    def matrix(self, unit, scale):
        out = sp.lil_matrix((self.n, self.n))
        for e, s in enumerate(scale):
            at = slice(e * self.p, (e + 1) * self.p + 1)
            out[at, at] += s * unit
        return out.tocsr()

    def mass(self, weight=1.0):
        return self.matrix(self.unit_mass, np.diff(self.edges) / 2 * weight)

    def stiff(self, weight=1.0):
        return self.matrix(self.unit_stiff, 2 / np.diff(self.edges) * weight)

    def below(self, x):
        """1 on elements that end at or before x."""
        return (self.edges[1:] < x + 1e-9).astype(float)

    def values(self, x):
        """Row of basis values at a point."""
        e = min(np.searchsorted(self.edges, x, "right") - 1, len(self.edges) - 2)
        local = 2 * (x - self.edges[e]) / (self.edges[e + 1] - self.edges[e]) - 1
        row = np.zeros(self.n)
        row[e * self.p:(e + 1) * self.p + 1] = legendre.legvander([local], self.p)[0] @ self.inverse
        return row


def kron(z, y, x):
    return sp.kron(z, sp.kron(y, x)).tocsr()


def pick(n, i):
    return sp.csr_matrix(([1.0], ([i], [i])), shape=(n, n))


def plane_edges(body, nozzle, end):
    """Elements from the body's centre outwards, small where something begins or ends."""
    inside = body * np.array([0, 0.5, 0.8, 0.94])
    outside = nozzle + np.array([0, 1e-3, 4e-3, 12e-3])
    return np.concatenate([inside, [body], outside, [outside[-1] + (end - outside[-1]) * 0.4, end]])


def box(columns, layers_z, layers):
    """Capacity and conduction of one box of layers."""
    (mx, kx), (my, ky) = columns
    k_in, k_through, capacity = (np.array([layer[i] for layer in layers]) for i in (1, 2, 3))
    z = layers_z
    heat = kron(z.mass(capacity), my, mx)
    flow = kron(z.mass(k_in), my, kx) + kron(z.mass(k_in), ky, mx) + kron(z.stiff(k_through), my, mx)
    return heat, flow


class Quarter:
    def __init__(self, case, p):
        body, nozzle, board = (np.array(case[name]["size"]) / 2 for name in ("body", "nozzle", "board"))
        self.case = case
        self.axes = [Axis(plane_edges(body[i], nozzle[i], board[i]), p) for i in (0, 1)]
        self.inside = [Axis(axis.edges[axis.edges < size + 1e-9], p) for axis, size in zip(self.axes, body)]
        thick = sum(layer[0] for layer in case["board"]["layers"])
        assert len({tuple(layer[1:]) for layer in case["board"]["layers"]}) == 1, "layers of one material"
        share = np.array([0, 0.7, 1])
        self.board_z = Axis(share * thick, p)
        low, high = case["body"]["layers"]
        self.body_z = Axis(np.concatenate([[0], np.cumsum([low[0], high[0] * 0.7, high[0] * 0.3])]), p)
        self.assemble(case["board"]["layers"][:1] * 2, [low, high, high])

    def assemble(self, board_layers, body_layers):
        case, (x, y), (bx, by), bz, tz = self.case, self.axes, self.inside, self.board_z, self.body_z
        mx, my, ix, iy = x.mass(), y.mass(), bx.mass(), by.mass()
        heat_b, flow_b = box(((mx, x.stiff()), (my, y.stiff())), bz, board_layers)
        heat_t, flow_t = box(((ix, bx.stiff()), (iy, by.stiff())), tz, body_layers)
        self.capacity = sp.block_diag([heat_b, heat_t]).tocsr()
        flow = sp.block_diag([flow_b, flow_t]).tolil()
        under = np.arange(bz.n)[-1] * x.n * y.n + (np.arange(by.n)[:, None] * x.n + np.arange(bx.n)).ravel()
        over = bz.n * x.n * y.n + np.arange(bx.n * by.n)
        joint = case["body"]["joint_h"] * sp.kron(iy, ix)
        couple = sp.coo_matrix(sp.bmat([[joint, -joint], [-joint, joint]]))
        at = np.concatenate([under, over])
        self.flow = (flow.tocsr() + sp.coo_matrix((couple.data, (at[couple.row], at[couple.col])), shape=flow.shape)).tocsr()
        self.films(x, y, ix, iy)
        self.readers(under, over)

    def films(self, x, y, ix, iy):
        """Unit exchange matrices: bottom, top inside the nozzle, top outside, each over free faces."""
        def where(size):
            return sp.kron(y.mass(y.below(size[1])), x.mass(x.below(size[0])))
        whole = sp.kron(y.mass(), x.mass())
        nozzle, body = (where(np.array(self.case[name]["size"]) / 2) for name in ("nozzle", "body"))
        bottom, top = pick(self.board_z.n, 0), pick(self.board_z.n, self.board_z.n - 1)
        far = sp.kron(pick(self.body_z.n, self.body_z.n - 1), sp.kron(iy, ix))
        none = sp.csr_matrix(far.shape)
        self.below = sp.block_diag([sp.kron(bottom, whole), none]).tocsr()
        self.blown = sp.block_diag([sp.kron(top, nozzle - body), far]).tocsr()
        self.still = sp.block_diag([sp.kron(top, whole - nozzle), none]).tocsr()

    def readers(self, under, over):
        rows, center = [], self.case["body"]["center"]
        for joint in self.case["body"]["joints"]:
            x, y = np.abs(np.array(joint) - center)
            rows.append(np.kron(self.inside[1].values(y), self.inside[0].values(x)) / 2)
        rows = np.array(rows)
        self.read = lambda t: rows @ (t[under] + t[over])

    def system(self, gas_on):
        """Matrix, and load per degree of preheater, gas and room."""
        case, one = self.case, np.ones(self.flow.shape[0])
        pre, room = case["preheat"]["h"] * self.below, case["room"]["h"] * (self.still if gas_on else self.still + self.blown)
        gas = case["nozzle"]["h"] * self.blown if gas_on else 0 * self.blown
        return self.flow + pre + room + gas, [m @ one for m in (pre, gas, room)]


class March:
    def __init__(self, quarter, size):
        self.q, self.size, self.factored = quarter, size, {}

    def step(self, key, t, load, matrix, step):
        if key not in self.factored:
            self.factored[key] = splu((self.q.capacity / (step * TABLE[0, 0]) + matrix).tocsc(), permc_spec="MMD_AT_PLUS_A",
                                      diag_pivot_thresh=0, options={"SymmetricMode": True})
        rates = []
        for row in TABLE:
            now = t + step * sum((a * k for a, k in zip(row, rates)), np.zeros_like(t))
            stage = self.factored[key].solve(self.q.capacity @ now / (step * row[len(rates)]) + load)
            rates.append((stage - now) / (step * row[len(rates)]))
        return stage

    def run(self, gas_c, preheat_c):
        case = self.q.case
        t = np.full(self.q.flow.shape[0], float(case["start"]))
        times, joints = [0.0], [self.q.read(t)]
        for gas_on, start, end in ((False, 0, case["gas_on"]), (True, case["gas_on"], case["end"])):
            matrix, loads = self.q.system(gas_on)
            load = sum(a * b for a, b in zip(loads, (preheat_c, gas_c, case["room"]["air"])))
            for i in range(round(end - start)):
                parts = round((8 if i < 2 else 1) / self.size)
                for _ in range(parts):
                    t = self.step((gas_on, parts), t, load, matrix, 1 / parts)
                times.append(start + i + 1.0)
                joints.append(self.q.read(t))
        return np.array(times), np.array(joints)


def main():
    check_table()
    case, report = common.load(sys.argv[1]), common.Report(sys.argv[2])
    quarter = Quarter(case, int(sys.argv[3]))
    march = March(quarter, float(sys.argv[4]))
    report.note("unknowns", quarter.flow.shape[0])
    for run in (0, 1):
        report.store(run, *march.run(*common.set_points(case, run)))
    report.write()


if __name__ == "__main__":
    main()
