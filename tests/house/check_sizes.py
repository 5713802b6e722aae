#!/usr/bin/env python3
"""Prints how large files and functions are and fails on the ceilings of DEVELOPERS.md."""
import math
import pathlib
import re
import shutil
import statistics
import subprocess
import sys

from points import report

FILE_CEILING, HEADER_CEILING, UI_CEILING = 1000, 420, 500
LONG, LONG_SHARE, FUNCTION_CEILING = 60, 0.03, 100
USUAL, USUAL_SHARE = 500, 0.9
DRIFT = 0.05  # by how much the row of DEVELOPERS.md may be off


def functions(root):
    out = subprocess.run(["ctags", "--languages=C", "--kinds-C=f", "--fields=+ne", "-f", "-", "-R",
                          str(pathlib.Path(root, "src"))], check=True, capture_output=True, text=True).stdout
    for row in out.splitlines():
        if row.startswith("!"):
            continue
        parts = row.split("\t")
        fields = dict(p.split(":", 1) for p in parts[3:] if ":" in p)
        if "line" in fields and "end" in fields:
            name = str(pathlib.Path(parts[1]).relative_to(root))
            yield int(fields["end"]) - int(fields["line"]) + 1, f"{name}:{parts[0]}"


def lines(path):
    return len(path.read_text("utf-8").splitlines())


def share(values, part):
    """The smallest of VALUES that PART of them do not exceed."""
    ordered = sorted(values)
    return ordered[max(0, math.ceil(part * len(ordered)) - 1)]


def figures(root, sizes):
    """What DEVELOPERS.md prints beside its models: src/ alone, the tests are left out."""
    files = [lines(p) for p in pathlib.Path(root, "src").rglob("*.c")]
    heads = [lines(p) for p in pathlib.Path(root, "src").rglob("*.h")]
    print(f"# files: {len(files)} .c, {sum(files)} lines, median {statistics.median(files):.0f}, 90 % {share(files, 0.9)}, "
          f"most {max(files)}, under 500: {sum(n < 500 for n in files) / len(files):.1%}; headers: median {statistics.median(heads):.0f}")
    print(f"# functions: {len(sizes)}, median {statistics.median(sizes):.0f}, 95 % {share(sizes, 0.95)}, most {max(sizes)}, "
          f"over {LONG}: {sum(n > LONG for n in sizes) / len(sizes):.1%}")


def drifted(root, sizes):
    """Figures of our row in DEVELOPERS.md that no longer hold: files, thousands of lines, file median and 90 %, function median and 95 %."""
    files = [lines(p) for p in pathlib.Path(root, "src").rglob("*.c")]
    row = re.search(r"^\| \*\*Leeward\*\* \|(.*)", pathlib.Path(root, "DEVELOPERS.md").read_text("utf-8"), re.M)
    told = [float(n) for n in re.findall(r"[\d.]+", row.group(1))] if row else []
    true = [len(files), sum(files) / 1000, statistics.median(files), share(files, 0.9), statistics.median(sizes), share(sizes, 0.95)]
    if len(told) < len(true):
        return ["DEVELOPERS.md has no such row"]
    return [f"{a:g} in DEVELOPERS.md, {b:g} measured" for a, b in zip(told, true) if abs(a - b) > max(1, DRIFT * b)]


def main(root):
    print("1..5")
    ceilings = {"*.c": FILE_CEILING, "*.h": HEADER_CEILING, "*.ui": UI_CEILING}
    big = [f"{p.relative_to(root)}: {lines(p)} lines" for pattern, top in ceilings.items()
           for folder in ("src", "tests", "ui") for p in pathlib.Path(root, folder).rglob(pattern) if lines(p) > top]
    status = report(1, big, "no file above its ceiling")
    if not shutil.which("ctags"):
        print("Bail out! ctags is missing")
        return 1
    sizes = sorted(functions(root), reverse=True)
    over = [name for size, name in sizes if size > LONG]
    figures(root, [size for size, _ in sizes])
    for size, name in sizes[:10]:
        print(f"#   {size} {name}")
    status |= report(2, [f"{name}: {size}" for size, name in sizes if size > FUNCTION_CEILING],
                     f"no function above {FUNCTION_CEILING} lines")
    status |= report(3, over if len(over) > LONG_SHARE * len(sizes) else [],
                     f"at most {LONG_SHARE:.0%} of functions above {LONG} lines")
    files = [lines(p) for p in pathlib.Path(root, "src").rglob("*.c")]
    within = sum(n < USUAL for n in files) / len(files)
    status |= report(4, [f"{within:.1%}"] if within < USUAL_SHARE else [], f"{USUAL_SHARE:.0%} of files under {USUAL} lines")
    status |= report(5, drifted(root, [size for size, _ in sizes]), "DEVELOPERS.md says what is measured")
    return int(status)


sys.exit(main(sys.argv[1]))
