#!/usr/bin/env python3
"""heat/ builds as C11 without any package's flags and links with libm only: no symbol is left over, and
it keeps no writable global data, never prints, and takes memory by calloc(), or large pieces by mmap(), alone."""
import os
import pathlib
import re
import shlex
import subprocess
import sys
import tempfile

FORBIDDEN = re.compile(r"^(printf|fprintf|puts|putchar|perror|fopen|open|setlocale|exit|abort|getenv|malloc|realloc|\w*_?alloc[af]|aligned_alloc|strn?dup|g_\w+)$")


def build(root, folder):
    cc = shlex.split(os.environ.get("CC", "cc"))
    sources = sorted(str(p) for p in pathlib.Path(root, "src", "heat").glob("*.c"))
    objects = []
    for source in sources:
        target = os.path.join(folder, pathlib.Path(source).stem + ".o")
        subprocess.run([*cc, "-std=c11", "-O1", "-c", "-I", os.path.join(root, "src"), source, "-o", target],
                       check=True)
        objects.append(target)
    main = os.path.join(folder, "main.c")
    pathlib.Path(main).write_text("int main (void) { return 0; }\n")
    subprocess.run([*cc, main, *objects, "-o", os.path.join(folder, "alone"), "-lm"], check=True)
    return objects


def symbols(objects):
    out = subprocess.run(["nm", *objects], check=True, capture_output=True, text=True).stdout
    pairs = [line.split()[-2:] for line in out.splitlines() if len(line.split()) >= 2 and ":" not in line]
    used = {name.split("@")[0] for kind, name in pairs if kind == "U"}
    writable = {name for kind, name in pairs if kind in "BbDdC" and "." not in name}
    return used, writable


def main(root):
    print("1..3")
    with tempfile.TemporaryDirectory() as folder:
        try:
            used, writable = symbols(build(root, folder))
        except subprocess.CalledProcessError as error:
            print("#", error)
            print("not ok 1 builds and links with libm only")
            return 1
    print("ok 1 builds and links with libm only")
    calls = sorted(name for name in used if FORBIDDEN.match(name))
    print("#", "calls:", ", ".join(calls) or "none")
    print(f"{'not ok' if calls else 'ok'} 2 prints nothing, opens nothing, ends nothing")
    print("#", "writable globals:", ", ".join(sorted(writable)) or "none")
    print(f"{'not ok' if writable else 'ok'} 3 has no writable globals")
    return int(bool(calls or writable))


sys.exit(main(sys.argv[1]))
