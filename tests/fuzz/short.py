#!/usr/bin/env python3
"""short.py TOP PROGRAM NAME SECONDS: one fuzz target on its first inputs, its kept ones, and damaged ones for a while."""
import glob
import os
import sys

from targets import TARGETS


def main(top, program, name, seconds):
    here = os.path.join(top, "tests", "fuzz")
    patterns, longest = TARGETS[name]
    seeds = sorted(path for pattern in patterns for path in glob.glob(os.path.join(top, pattern)))
    words = os.path.join(here, "dict", name + ".dict")
    kept = os.path.join(here, "corpus", name)
    options = ["--seconds", seconds, "--max", str(longest)] + (["--words", words] if os.path.exists(words) else [])
    sys.stdout.flush()
    os.execv(program, [program, *options, *seeds, *([kept] if os.path.isdir(kept) else [])])


main(*sys.argv[1:])
