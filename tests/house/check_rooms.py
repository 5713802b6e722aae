#!/usr/bin/env python3
"""No file of src/ includes a room, or a library, that its room may not use (table in DEVELOPERS.md)."""
import pathlib
import re
import subprocess
import sys

ROOMS = {
    "heat": [],
    "board": [],
    "exchange": ["board"],
    "plan": ["board", "heat"],
    "draw": ["board", "plan"],
    "widgets": ["board", "plan", "draw"],
    "app": ["board", "exchange", "plan", "draw", "widgets"],
    "cli": ["board", "exchange", "plan", "draw"],
}
HEAT_HEADERS = {"assert.h", "errno.h", "float.h", "limits.h", "math.h", "stdalign.h",
                "stdatomic.h",  # C11: the lock of a workspace, which several threads may use
                "stdbool.h", "stddef.h",
                "stdio.h",  # snprintf into a buffer of its own; check_heat_alone.py sees that nothing is printed
                "stdint.h", "stdlib.h", "string.h",
                "sys/mman.h"}  # Linux: memory in large pages, in pages.c alone; without it all goes on, more slowly
GTK = re.compile(r"^(gtk|gdk|gsk)/")
CAIRO = re.compile(r"^(cairo|pango)")
INCLUDE = re.compile(r'^\s*#\s*include\s*[<"]([^>"]+)[>"]', re.M)


TOP = {"README.md", "DEVELOPERS.md", "LICENSE", "meson.build", "src", "data", "ui", "po", "tests", "docs"}


def strays(root):
    """What the repository keeps beside the rooms of the top level (nothing to say where git is not at hand)."""
    try:
        told = subprocess.run(["git", "-C", root, "-c", "safe.directory=*", "ls-files", "-z"], capture_output=True, check=True)
    except (OSError, subprocess.CalledProcessError):
        return []
    tops = {name.split("/")[0] for name in told.stdout.decode().split("\0") if name}
    return sorted(top for top in tops if top not in TOP and not top.startswith("."))


def fault(room, name):
    head = name.split("/")[0]
    if head in ROOMS and head != room and head not in ROOMS[room]:
        return f"may not use {head}/"
    if room == "heat" and head != "heat" and name not in HEAT_HEADERS:
        return "heat/ uses C11 and libm only"
    if GTK.match(name) and room not in ("widgets", "app"):
        return "GTK below widgets/"
    if CAIRO.match(name) and room not in ("draw", "widgets", "app", "cli"):
        return "cairo below draw/"
    return None


def main(root):
    files = sorted(pathlib.Path(root, "src").rglob("*.[ch]"))
    print(f"1..{len(ROOMS) + 1}")
    status = 0
    for number, room in enumerate(ROOMS, 1):
        mine = [f for f in files if f.relative_to(root).parts[1] == room]
        faults = [f"{f}: {name}: {why}" for f in mine for name in INCLUDE.findall(f.read_text("utf-8"))
                  if (why := fault(room, name))]
        if not mine:
            faults.append(f"src/{room} has no files")
        for line in faults:
            print("#", line)
        print(f"{'not ok' if faults else 'ok'} {number} {room}: {len(mine)} files")
        status |= bool(faults)
    beside = strays(root)
    print(f"{'not ok' if beside else 'ok'} {len(ROOMS) + 1} top level: {', '.join(beside) or 'nothing beside it'}")
    return status | bool(beside)


sys.exit(main(sys.argv[1]))
