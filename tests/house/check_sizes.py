#!/usr/bin/env python3
"""Prints how large files and functions are and fails on the ceilings of DEVELOPERS.md."""
import pathlib
import shutil
import statistics
import subprocess
import sys

FILE_CEILING, HEADER_CEILING, UI_CEILING = 1000, 420, 500
LONG, LONG_SHARE, FUNCTION_CEILING = 60, 0.03, 120


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


def report(number, faults, what):
    for line in faults:
        print("#", line)
    print(f"{'not ok' if faults else 'ok'} {number} {what}")
    return bool(faults)


def main(root):
    print("1..3")
    ceilings = {"*.c": FILE_CEILING, "*.h": HEADER_CEILING, "*.ui": UI_CEILING}
    big = [f"{p.relative_to(root)}: {lines(p)} lines" for pattern, top in ceilings.items()
           for folder in ("src", "tests", "ui") for p in pathlib.Path(root, folder).rglob(pattern) if lines(p) > top]
    status = report(1, big, "no file above its ceiling")
    if not shutil.which("ctags"):
        print("Bail out! ctags is missing")
        return 1
    sizes = sorted(functions(root), reverse=True)
    over = [name for size, name in sizes if size > LONG]
    median = statistics.median(size for size, _ in sizes)
    print(f"# {len(sizes)} functions, median {median} lines, {len(over)} over {LONG}")
    for size, name in sizes[:10]:
        print(f"#   {size} {name}")
    status |= report(2, [f"{name}: {size}" for size, name in sizes if size > FUNCTION_CEILING],
                     f"no function above {FUNCTION_CEILING} lines")
    status |= report(3, over if len(over) > LONG_SHARE * len(sizes) else [],
                     f"at most {LONG_SHARE:.0%} of functions above {LONG} lines")
    return int(status)


sys.exit(main(sys.argv[1]))
