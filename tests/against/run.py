#!/usr/bin/env python3
"""Solves one job with every solver of this folder, each in a process of its own, and prints one table.

usage: run.py --programs BUILD_FOLDER [--write DOC.md] [--only WORD]

Every row gives unknowns, processor seconds, wall seconds, peak memory and the largest difference of any of the 289 joints
at any full second from the converged reference (reference.py), over both pairs of set points. What is not
installed is named with the command that installs it; the other rows still run. --write replaces the part of
DOC.md between its two markers.
"""
import argparse
import datetime
import os
import pathlib
import platform
import resource
import shutil
import subprocess
import sys
import tempfile
import time

import numpy as np

import case as common
import freefem_input

HERE = pathlib.Path(__file__).resolve().parent
BEGIN, END = "<!-- measured: begin -->", "<!-- measured: end -->"
ACCURACY = 0.5  # K, what counts as an equal answer
LONGEST = 300  # s of processor time, then a solver is stopped
ONE_CORE = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "FF_LOADPATH": "/usr/lib/freefem++",
            "FF_INCLUDEPATH": "/usr/lib/freefem++"}
OURS = "Leeward"

# Solver, what is told of it, program, arguments (mm, slices of the board; "N:R": each R times as thick as the one below).
ROWS = [
    ("Leeward, reduced model", "default mesh, 4 slices", "against-reduced", ["4"]),
    ("Leeward, reduced model", "default mesh, 8 slices", "against-reduced", ["8"]),
    ("Leeward, compact model", "2 to 20 mm, 9 slices", "against-compact", ["9", "2", "20"]),
    ("Leeward, reduced model", "2 to 20 mm, 9 slices", "against-reduced", ["9", "2", "20"]),
    ("Leeward, reduced model", "2 to 20 mm, 8 slices, each 0.85 of the one below", "against-reduced", ["8:0.85", "2", "20"]),
    ("Leeward, full solution", "default mesh, 4 slices", "against-full", ["4"]),
    ("Leeward, full solution", "default mesh, 8 slices", "against-full", ["8"]),
    ("DOLFINx, iterative", "1.5 to 6 mm, 6 slices", "dolfinx", ["1.5", "6", "6", "iterative"]),
    ("DOLFINx, iterative", "2 to 20 mm, 5 slices", "dolfinx", ["2", "20", "5", "iterative"]),
    ("DOLFINx, iterative", "2 to 20 mm, 4 slices, each 0.8 of the one below", "dolfinx", ["2", "20", "4:0.8", "iterative"]),
    ("SciPy, sparse direct", "1 to 5 mm, 3 slices", "scipy", ["1", "5", "3"]),
    ("SciPy, sparse direct", "1.5 to 6 mm, 9 slices", "scipy", ["1.5", "6", "9"]),
    ("SciPy, sparse direct", "2 to 20 mm, 8 slices, each 0.85 of the one below", "scipy", ["2", "20", "8:0.85"]),
    ("FreeFEM, direct", "1.5 to 6 mm, 4 slices", "freefem", ["1.5", "6", "4"]),
]
PACKAGES = {"scipy": "python3-scipy", "dolfinx": "python3-dolfinx", "freefem": "freefem++ libfreefem++"}


class Bench:
    def __init__(self, programs, folder):
        self.programs, self.folder = pathlib.Path(programs).resolve(), pathlib.Path(folder)
        self.case_path = self.folder / "case.json"
        self.case_path.write_bytes(subprocess.run([self.programs / "against-case"], check=True, capture_output=True).stdout)
        self.case, self.out = common.load(self.case_path), self.folder / "joints.txt"

    def command(self, program, arguments):
        if program == "freefem":
            numbers = self.folder / "freefem.in"
            freefem_input.write(numbers, self.case, float(arguments[0]) * 1e-3, float(arguments[1]) * 1e-3, int(arguments[2]))
            return ["FreeFem++-nw", "-v", "0", "-nw", HERE / "freefem.edp", numbers, self.out]
        script = {"scipy": "scipy_direct.py", "dolfinx": "dolfinx_hex.py", "reference": "reference.py"}.get(program)
        if script:
            return [sys.executable, HERE / script, self.case_path, self.out, *arguments]
        return [self.programs / program, self.out, *arguments]

    def missing(self, program):
        if program == "freefem":
            return not shutil.which("FreeFem++-nw")
        module = {"scipy": "scipy", "dolfinx": "dolfinx"}.get(program)
        return bool(module) and subprocess.run([sys.executable, "-c", f"import {module}"], capture_output=True).returncode != 0

    def run(self, program, arguments):
        """Figures of one process: its own words, processor and wall seconds, peak memory, joints."""
        self.out.unlink(missing_ok=True)
        words, start = self.folder / "words.txt", time.monotonic()
        with open(words, "w", encoding="utf-8") as spoken:
            child = subprocess.Popen(self.command(program, arguments), stdout=spoken, env=os.environ | ONE_CORE, cwd=self.folder,
                                     stderr=subprocess.STDOUT, preexec_fn=limit)
        _, status, use = os.wait4(child.pid, 0)
        child.returncode = status
        text = words.read_text(encoding="utf-8")
        if status or not self.out.exists():
            raise ChildProcessError(f"{program} {' '.join(arguments)} ended with status {status}:\n{text[-2000:]}")
        figures = dict(line.split(" ", 1) for line in text.splitlines() if " " in line and line.split(" ")[0] in KEYS)
        return figures | {"wall_s": time.monotonic() - start, "cpu_s": use.ru_utime + use.ru_stime,
                          "mb": use.ru_maxrss / 1024, "joints": np.loadtxt(self.out)}


KEYS = ("unknowns", "set_up_s", "first_s", "again_s", "march_s", "version", "steps", "iterations", "basis")


def limit():
    resource.setrlimit(resource.RLIMIT_CPU, (LONGEST, LONGEST + 5))


def difference(found, reference):
    """Largest over both runs at the reference's times; straight between stored states where a solver chose its own."""
    worst = 0
    for run in (0, 1):
        a, b = (rows[rows[:, 0] == run] for rows in (found, reference))
        for joint in range(2, b.shape[1]):
            worst = max(worst, np.abs(np.interp(b[:, 1], a[:, 1], a[:, joint]) - b[:, joint]).max())
    return worst


def seconds(value):
    return f"{value:.2f}" if value >= 0.1 else f"{value * 1e3:.1f} ms" if value >= 1e-3 else f"{value * 1e3:.2f} ms"


def measured(bench, reference, only, missing):
    """Row after row; what is not installed goes into MISSING."""
    warmed = set()
    for name, mesh, program, arguments in ROWS:
        if only and only not in name:
            continue
        if program in PACKAGES and bench.missing(program):
            missing[program] = PACKAGES[program]
            continue
        if program == "dolfinx" and program not in warmed:  # compiles its forms once and keeps them
            bench.run(program, ["12", "20", "2", "iterative"])
            warmed.add(program)
        row = bench.run(program, arguments)
        row |= {"name": name, "mesh": mesh, "program": program, "apart": difference(row.pop("joints"), reference)}
        row["first"], row["again"] = float(row["first_s"]), float(row["again_s"])
        yield row


def line(row):
    return (f"| {row['name']} | {row['mesh']} | {int(row['unknowns']):,} | {seconds(row['first'])} | {seconds(row['again'])} |"
            f" {seconds(row['cpu_s'])} | {seconds(row['wall_s'])} | {row['mb']:.0f} | {row['apart']:.2f} |")


HEAD = """| solver | mesh | unknowns | first answer, CPU s | one more what-if, CPU s | process, CPU s | process, wall s | peak MB | largest difference, K |
|---|---|---|---|---|---|---|---|---|"""


def cheapest(rows, key, ours):
    chosen = [r for r in rows if r["apart"] <= ACCURACY and r["name"].startswith(OURS) == ours]
    return min(chosen, key=lambda r: r[key], default=None)


def ratios(rows):
    for key, words, goal in (("first", "first answer", 20), ("again", "one more what-if", 1000)):
        ours, other = cheapest(rows, key, True), cheapest(rows, key, False)
        if ours and other:
            yield (f"* {words}: {seconds(ours[key])} ({ours['name']}, {ours['mesh']}) against {seconds(other[key])} by the cheapest of"
                   f" the others within {ACCURACY} K ({other['name']}, {other['mesh']}): **{other[key] / ours[key]:.0f} times** cheaper"
                   f" (goal {goal}).")


def versions(rows):
    found = {row["version"] for row in rows if "version" in row}
    try:
        asked = subprocess.run(["dpkg-query", "-W", "-f", "${Version}", "freefem++"], capture_output=True, text=True)
        found |= {f"FreeFEM {asked.stdout} (Debian package)"} if asked.returncode == 0 else set()
    except OSError:
        pass
    return sorted(found)


def blas():
    path = pathlib.Path("/usr/lib") / f"{platform.machine()}-linux-gnu" / "libblas.so.3"
    return os.path.realpath(path) if path.exists() else "unknown"


def summary(rows, missing, own_error, load):
    yield from (HEAD, *(line(row) for row in rows), "")
    yield from (f"* not run, not installed: `apt-get install {packages}`" for packages in missing.values())
    yield from ratios(rows)
    for row in rows:
        if "march_s" in row:
            yield (f"* {row['name']}, {row['mesh']}: {row['basis']} vectors; of the what-if's {seconds(row['again'])} the march takes"
                   f" {seconds(float(row['march_s']))}, the rest is the traces of every joint and body.")
    yield f"* the reference: orders 3 and 2 differ by {own_error:.3f} K at most."
    yield f"* measured {datetime.date.today()}; load average before and after {load[0]:.1f} and {load[1]:.1f}, two cores; BLAS {blas()}."
    yield f"* {'; '.join(versions(rows))}."


def write(path, text):
    before, rest = path.read_text(encoding="utf-8").split(BEGIN)
    path.write_text(before + BEGIN + "\n\n" + text + "\n\n" + END + rest.split(END)[1], encoding="utf-8")


def options():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--programs", required=True)
    parser.add_argument("--write", type=pathlib.Path)
    parser.add_argument("--only", help="rows whose name contains this word")
    return parser.parse_args()


def main():
    asked, load, text = options(), os.getloadavg()[0], ""
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(asked.programs, folder)
        reference, check = (bench.run("reference", how)["joints"] for how in (["3", "1"], ["2", "1"]))
        own_error = difference(check, reference)
        if own_error > ACCURACY / 5:
            sys.exit(f"the reference has not converged: {own_error:.3f} K")
        print(HEAD, flush=True)
        rows, missing = [], {}
        for row in measured(bench, reference, asked.only, missing):
            rows.append(row)
            print(line(row), flush=True)
            text = "\n".join(summary(rows, missing, own_error, [load, os.getloadavg()[0]]))
            if asked.write:  # as it stands: a later row may take long
                write(asked.write, text)
    print("\n" + text.split("\n\n", 1)[-1])


if __name__ == "__main__":
    main()
