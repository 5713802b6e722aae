#!/usr/bin/env python3
"""What programs read is the same in every locale (TAP): each verb of leeward-cli runs where numbers have a point and where they
have a comma (comma.sh), and documents, tables, boards and JSON are compared byte by byte. Pictures and sheets are for
people, so the numbers on them are the locale's: their words are compared with the decimal signs made equal, and what is
drawn beside the words byte by byte.
usage: check_same_bytes.py CLI COMMA.SH FOLDER MODULE"""
import os
import re
import shutil
import subprocess
import sys
import tempfile

import locale_bench

CLI, *COMMA = map(os.path.abspath, sys.argv[1:5])
# Read by people, or of another kind than text.
FOR_PEOPLE = {".svg", ".pdf"}
NO_JSON = {"picture", "sheet", "show"}


def run(folder, comma, words):
    env = dict(os.environ, LC_ALL="C.UTF-8")
    return subprocess.run([*(COMMA if comma else []), CLI, *words], cwd=folder, env=env, capture_output=True)


def plain(data):
    """Without what is another in every run: the moment, and how long a computation took."""
    data = re.sub(rb'("date": ?)"[^"]*"', rb'\1""', data)
    data = re.sub(rb'(_FILE 3\.0 "Leeward") \S+', rb"\1", data)
    return re.sub(rb'("seconds\w*": ?)[-+.e0-9]+', rb"\1 0", data)


def drawn(svg):
    """A picture less its letters."""
    svg = re.sub(rb'<symbol [^>]*id="glyph.*?</symbol>|<g id="glyph.*?</g>|<use [^>]*glyph[^>]*/>', b"", svg, flags=re.S)
    return re.sub(rb"<g[^>]*>\s*</g>|\n\s*(?=\n)", b"", svg)


def words_of(pdf):
    text = subprocess.run(["pdftotext", "-layout", pdf, "-"], check=True, capture_output=True, text=True).stdout
    return " ".join(re.sub(r"(?<=\d),(?=\d)", ".", text).split())


def difference(a, b):
    """The first one, or nothing."""
    for k, (x, y) in enumerate(zip(a.splitlines(), b.splitlines())):
        if x != y:
            return f"line {k + 1}: {x[:300]!r} is {y[:300]!r}"
    return "" if a == b else f"{len(a)} and {len(b)} long"


def compare_file(name, folders):
    a, b = (os.path.join(folder, name) for folder in folders)
    if not (os.path.exists(a) and os.path.exists(b)):
        return f"{name} was not written"
    ending = os.path.splitext(name)[1]
    if ending == ".pdf":
        return difference(words_of(a), words_of(b))
    with open(a, "rb") as left, open(b, "rb") as right:
        read = drawn if ending == ".svg" else plain
        return difference(read(left.read()), read(right.read()))


def checks(folders):
    for words, files in locale_bench.verbs():
        command = words if words[0] in NO_JSON else [*words, "--json"]
        a, b = run(folders[0], False, command), run(folders[1], True, command)
        why = "" if a.returncode == b.returncode < 2 else f"{a.returncode}, {b.returncode}: {a.stderr} {b.stderr}"
        if not why and command != words:
            why = difference(plain(a.stdout), plain(b.stdout))
        yield " ".join(command), why
        for name in files:
            yield name, compare_file(name, folders)


def heard(folder):
    """The locale with a comma is really in force."""
    text = run(folder, True, ["inspect", "job.leeward"]).stdout.decode()
    return "" if "60,500 x 40,250" in text else text


def main():
    with tempfile.TemporaryDirectory() as top:
        folders = [os.path.join(top, name) for name in ("point", "comma")]
        os.mkdir(folders[0])
        locale_bench.write_all(CLI, folders[0])
        shutil.copytree(folders[0], folders[1])
        return locale_bench.report([("the comma is heard", heard(folders[1])), *checks(folders)])


sys.exit(main())
