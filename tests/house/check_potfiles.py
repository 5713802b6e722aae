#!/usr/bin/env python3
"""po/POTFILES.in names every file that holds text to translate, sorted, and no other.
With --write it is made anew."""
import pathlib
import re
import sys

MARKED = re.compile(r'(?<![A-Za-z0-9_])(_|N_|C_|ngettext|g_dngettext)\s*\(\s*"')


def has_text(path):
    text = path.read_text("utf-8")
    return 'translatable="yes"' in text if path.suffix == ".ui" else bool(MARKED.search(text))


def wanted(root):
    files = [*pathlib.Path(root, "src").rglob("*.[ch]"), *pathlib.Path(root, "ui").rglob("*.ui"),
             *pathlib.Path(root, "data").glob("*.desktop.in*"), *pathlib.Path(root, "data").glob("*.metainfo.xml.in*")]
    return sorted(str(p.relative_to(root)) for p in files if p.suffix == ".in" or has_text(p))


def main(args):
    root = args[0]
    listing = pathlib.Path(root, "po", "POTFILES.in")
    names = wanted(root)
    if "--write" in args:
        listing.write_text("# Made by tests/house/check_potfiles.py --write\n" + "".join(n + "\n" for n in names))
        return 0
    print("1..1")
    have = [line for line in listing.read_text("utf-8").splitlines() if line and not line.startswith("#")]
    for name in sorted(set(names) ^ set(have)):
        print("#", name, "is missing" if name in names else "has no text or is gone")
    print("ok 1 POTFILES.in" if have == names else "not ok 1 POTFILES.in")
    return int(have != names)


sys.exit(main(sys.argv[1:]))
