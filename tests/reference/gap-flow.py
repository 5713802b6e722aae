#!/usr/bin/env python3
"""The film of gas turning in a gap (heat_gap_nusselt) against the similarity equations it stands for.

usage: gap-flow.py GAP-FLOW    a program that reads "Re Pr" lines and prints the Nusselt number of each

f'''' + R f f''' = 0, f(0) = f'(0) = f'(1) = 0, f(1) = 1; theta'' + R Pr f theta' = 0, theta from 0 to 1.
"""
import subprocess
import sys

import numpy as np
from scipy.integrate import solve_bvp

LIMIT = 0.04


def exact(reynolds, prandtl):
    x = np.linspace(0, 1, 400) ** 1.5
    y = np.stack([3 * x**2 - 2 * x**3, 6 * x - 6 * x**2, 6 - 12 * x, np.full(x.size, -12.0), x, np.ones(x.size)])

    def ends(a, b):
        return np.array([a[0], a[1], b[0] - 1, b[1], a[4], b[4] - 1])

    for r in np.geomspace(min(reynolds, 1), reynolds, 12):  # continuation from creeping flow
        def slopes(_, v, r=r):
            return np.stack([v[1], v[2], v[3], -r * v[0] * v[3], v[5], -r * prandtl * v[0] * v[5]])
        solution = solve_bvp(slopes, ends, x, y, tol=1e-6, max_nodes=50000)
        assert solution.status == 0, solution.message
        x, y = solution.x, solution.y
    return solution.y[5][0]


def main():
    cases = [(r, p) for p in (0.68, 0.72) for r in (0.01, 0.3, 1, 2, 3, 5, 10, 30, 300, 3000)]
    lines = "".join(f"{r} {p}\n" for r, p in cases)
    run = subprocess.run(sys.argv[1:], input=lines, check=True, capture_output=True, text=True)
    given = np.array(run.stdout.split(), float)
    worst = np.abs(given / np.array([exact(r, p) for r, p in cases]) - 1).max()
    good = given.size == len(cases) and worst <= LIMIT
    print(f"{'ok' if good else 'not ok'} 1 - largest relative difference {worst:.4f}, limit {LIMIT}")
    print("1..1")
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
