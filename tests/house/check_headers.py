#!/usr/bin/env python3
"""Every header of src/ compiles when it is the only thing a file includes, without a warning."""
import concurrent.futures
import os
import pathlib
import shlex
import subprocess
import sys

PACKAGES = {"heat": [], "cli": ["gio-2.0", "json-glib-1.0", "cairo", "pangocairo"]}
PACKAGES.update({r: ["gio-2.0", "json-glib-1.0"] for r in ("board", "exchange", "plan")})
PACKAGES["draw"] = PACKAGES["cli"]
PACKAGES["widgets"] = PACKAGES["app"] = ["gtk4", "json-glib-1.0"]


def flags(room):
    if not PACKAGES[room]:
        return ["-std=c11"]
    out = subprocess.run(["pkg-config", "--cflags", *PACKAGES[room]], check=True, capture_output=True, text=True)
    return ["-std=gnu11", *shlex.split(out.stdout)]


def compile_alone(root, header, options):
    src = pathlib.Path(root, "src")
    text = f'#include "{header.relative_to(src)}"\n'
    cc = shlex.split(os.environ.get("CC", "cc"))
    run = subprocess.run([*cc, "-fsyntax-only", "-Wall", "-Wextra", "-Wno-unused-parameter", "-Werror",
                          "-DGETTEXT_PACKAGE=\"leeward\"", "-I", str(src), *options, "-xc", "-"],
                         input=text, capture_output=True, text=True)
    return run.returncode, run.stderr


def main(root):
    headers = sorted(pathlib.Path(root, "src").rglob("*.h"))
    options = {room: flags(room) for room in PACKAGES}
    print(f"1..{len(headers)}")
    status = 0
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        runs = [pool.submit(compile_alone, root, h, options[h.relative_to(root).parts[1]]) for h in headers]
        for number, (header, run) in enumerate(zip(headers, runs), 1):
            code, text = run.result()
            for line in text.splitlines():
                print("#", line)
            print(f"{'not ok' if code else 'ok'} {number} {header.relative_to(root)}")
            status |= bool(code)
    return status


sys.exit(main(sys.argv[1]))
