#!/usr/bin/env python3
"""The job by trilinear hexahedra in DOLFINx, solved by PETSc.

usage: dolfinx_hex.py CASE OUT FINE_MM COARSE_MM SLICES DIRECT|ITERATIVE

The joints are a layer of elements of equal conductance, without conductivity in plane and heat capacity.
"""
import sys

import numpy as np
import scipy.sparse as sp
import dolfinx
import ufl
from dolfinx import fem, mesh
from dolfinx.fem import petsc as assemble
from mpi4py import MPI
from petsc4py import PETSc

import case as common


def heights(case, slices):
    """Lines along z and the material [k in plane, k through, J/m3K] of each slab, board, joints, body."""
    board = sum(layer[0] for layer in case["board"]["layers"])
    joint = case["body"]["standoff"]
    layers = common.cut_board(slices, [board, *case["board"]["layers"][0][1:]])
    layers += [[joint, 0, case["body"]["joint_h"] * joint, 0]] + common.slabs(case["body"]["layers"], [1, 2])
    return np.concatenate([[0], np.cumsum([layer[0] for layer in layers])]), [layer[1:] for layer in layers]


class Solid:
    def __init__(self, case, fine, coarse, slices):
        self.case, self.slabs = case, int(slices.partition(":")[0])
        self.x, self.y = common.lines(case, 0, fine, coarse), common.lines(case, 1, fine, coarse)
        self.z, materials = heights(case, slices)
        self.low, self.high = (np.array(case["body"]["center"]) + s * np.array(case["body"]["size"]) / 2 for s in (-1, 1))
        cells, points, values = self.hexahedra(np.array(materials))
        element = ufl.Mesh(ufl.VectorElement("Lagrange", "hexahedron", 1))
        self.mesh = mesh.create_mesh(MPI.COMM_SELF, cells, points, element)
        self.space = fem.FunctionSpace(self.mesh, ("Lagrange", 1))
        order = self.mesh.topology.original_cell_index
        flat = fem.FunctionSpace(self.mesh, ("DG", 0))
        self.material = [fem.Function(flat) for _ in range(3)]
        for function, column in zip(self.material, values.T):
            function.x.array[:] = column[order]

    def hexahedra(self, materials):
        nx, ny, nz = len(self.x), len(self.y), len(self.z)
        node = np.arange(nx * ny * nz).reshape(nz, ny, nx)
        keep = np.ones((nz - 1, ny - 1, nx - 1), bool)
        center = [(e[1:] + e[:-1]) / 2 for e in (self.x, self.y)]
        over = np.logical_and.outer(*(abs(c - m) < s / 2 for c, m, s in zip(
            center[::-1], self.case["body"]["center"][::-1], self.case["body"]["size"][::-1])))
        keep[self.slabs:] = over
        corners = [node[k:nz - 1 + k, j:ny - 1 + j, i:nx - 1 + i][keep] for k in (0, 1) for j in (0, 1) for i in (0, 1)]
        cells = np.stack(corners, 1)
        used, cells = np.unique(cells, return_inverse=True)
        grid = np.stack(np.meshgrid(self.z, self.y, self.x, indexing="ij")[::-1], -1).reshape(-1, 3)
        layer = np.broadcast_to(np.arange(nz - 1)[:, None, None], keep.shape)[keep]
        return cells.reshape(-1, 8).astype(np.int64), grid[used], materials[layer]

    def faces(self):
        """Facets of the bottom, of what the nozzle blows on, and of the rest of the top."""
        top, far, bx = self.z[self.slabs], self.z[-1], self.case["nozzle"]["size"]
        center = self.case["body"]["center"]
        def upper(x):
            return np.isclose(x[2], top, atol=1e-8) | np.isclose(x[2], far, atol=1e-8)
        dim = 2
        bottom = mesh.locate_entities_boundary(self.mesh, dim, lambda x: np.isclose(x[2], 0, atol=1e-8))
        whole = mesh.locate_entities_boundary(self.mesh, dim, upper)
        blown = mesh.locate_entities_boundary(self.mesh, dim, lambda x: upper(x) & (
            abs(x[0] - center[0]) < bx[0] / 2 + 1e-8) & (abs(x[1] - center[1]) < bx[1] / 2 + 1e-8))
        return [bottom, blown, np.setdiff1d(whole, blown)]

    def measure(self):
        parts = self.faces()
        facets, tags = np.concatenate(parts), np.repeat([1, 2, 3], [len(p) for p in parts]).astype(np.int32)
        order = np.argsort(facets)
        return ufl.Measure("ds", self.mesh, subdomain_data=mesh.meshtags(self.mesh, 2, facets[order], tags[order]))

    def reader(self):
        """Rows that give the mean of board's and body's surface at each joint."""
        at = {tuple(np.round(p * 1e9).astype(int)): i for i, p in enumerate(self.space.tabulate_dof_coordinates())}
        rows, cols, vals = [], [], []
        for row, (px, py) in enumerate(self.case["body"]["joints"]):
            i, j = np.searchsorted(self.x, px + 1e-12) - 1, np.searchsorted(self.y, py + 1e-12) - 1
            s, t = (px - self.x[i]) / (self.x[i + 1] - self.x[i]), (py - self.y[j]) / (self.y[j + 1] - self.y[j])
            for dj, di, w in ((0, 0, (1 - s) * (1 - t)), (0, 1, s * (1 - t)), (1, 0, (1 - s) * t), (1, 1, s * t)):
                for plane in (self.slabs, self.slabs + 1):
                    point = np.array([self.x[i + di], self.y[j + dj], self.z[plane]])
                    rows, cols, vals = rows + [row], cols + [at[tuple(np.round(point * 1e9).astype(int))]], vals + [w / 2]
        return sp.csr_matrix((vals, (rows, cols)), shape=(len(self.case["body"]["joints"]), len(at)))


class March:
    def __init__(self, solid, direct):
        self.solid, self.case, self.direct = solid, solid.case, direct
        self.ds, self.reader = solid.measure(), solid.reader()
        u, v = ufl.TrialFunction(solid.space), ufl.TestFunction(solid.space)
        k_in, k_through, capacity = solid.material
        self.u, self.v = u, v
        self.heat = self.matrix(capacity / self.case["step"] * u * v * ufl.dx)
        self.flow = (k_in * (u.dx(0) * v.dx(0) + u.dx(1) * v.dx(1)) + k_through * u.dx(2) * v.dx(2)) * ufl.dx
        self.phases = [self.phase(gas_on) for gas_on in (False, True)]

    def matrix(self, form):
        matrix = assemble.assemble_matrix(fem.form(form))
        matrix.assemble()
        return matrix

    def phase(self, gas_on):
        room = self.case["room"]["h"]
        films = [self.case["preheat"]["h"], self.case["nozzle"]["h"] if gas_on else room, room]
        exchange = sum(fem.Constant(self.solid.mesh, float(h)) * self.u * self.v * self.ds(i + 1) for i, h in enumerate(films))
        matrix = self.matrix(self.flow + exchange)
        matrix.axpy(1.5, self.heat)
        loads = [assemble.assemble_vector(fem.form(fem.Constant(self.solid.mesh, float(h)) * self.v * self.ds(i + 1)))
                 for i, h in enumerate(films)]
        solver = PETSc.KSP().create(MPI.COMM_SELF)
        solver.setOperators(matrix)
        self.prepare(solver)
        return solver, loads

    def prepare(self, solver):
        if self.direct:
            solver.setType("preonly")
            solver.getPC().setType("cholesky")
            solver.getPC().setFactorSolverType("mumps")
        else:
            solver.setType("cg")
            solver.getPC().setType("icc")
            solver.setTolerances(rtol=1e-6)
            solver.setInitialGuessNonzero(True)
        solver.setUp()

    def run(self, gas_c, preheat_c):
        case, now = self.case, self.heat.createVecRight()
        now.set(case["start"])
        right, self.iterations = now.duplicate(), 0
        times, joints = [0.0], [self.reader @ now.array]
        for gas_on, start, end in ((0, 0, case["gas_on"]), (1, case["gas_on"], case["end"])):
            solver, loads = self.phases[gas_on]
            load = preheat_c * loads[0] + (gas_c if gas_on else case["room"]["air"]) * loads[1] + case["room"]["air"] * loads[2]

            def solve(past):
                self.heat.mult(past, right)
                right.axpy(1, load)
                answer = past / 1.5 if not self.direct else past.duplicate()
                solver.solve(right, answer)
                self.iterations += solver.getIterationNumber()
                assert solver.getConvergedReason() > 0
                return answer
            marching = common.backward(now, solve)
            for i in range(round((end - start) / case["step"])):
                now = next(marching)
                times.append(start + (i + 1) * case["step"])
                joints.append(self.reader @ now.array)
        return np.array(times), np.array(joints)


def main():
    case, report, fine, coarse, more = common.arguments()
    direct = more[1] == "direct"
    report.note("version", f"DOLFINx {dolfinx.__version__}, PETSc {'.'.join(map(str, PETSc.Sys.getVersion()))}")
    solid = Solid(case, fine, coarse, more[0])
    report.note("unknowns", solid.space.dofmap.index_map.size_global)
    march = March(solid, direct)
    report.stage("set_up_s")
    answer = march.run(*common.set_points(case, 0))
    done = report.stage("first_s")
    other = march.run(*common.set_points(case, 1))
    report.stage("again_s", done)
    report.note("iterations", march.iterations)
    report.store(0, *answer)
    report.store(1, *other)
    report.write()


if __name__ == "__main__":
    sys.exit(main())
