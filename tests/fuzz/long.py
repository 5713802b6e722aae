#!/usr/bin/env python3
"""Fuzzes for as long as is asked, with libFuzzer under the address, undefined-behaviour and leak sanitizers.

  long.py BUILD [--minutes M] [--work FOLDER] [--keep] [NAME...]

BUILD is a build folder for it (docs/hard.md); M minutes go to each target (default 5), one after the other. WORK (default
BUILD/fuzz-work) keeps what was found from one run to the next, and inputs that failed under WORK/NAME.failed/. With --keep
the smallest set of inputs that reaches as much goes into tests/fuzz/corpus, as far as it fits the size for each target.
Limits for every input: 2 seconds (told as a slow unit; ten times that is a hang, since the machine may be busy) and
500 MB beside what the sanitizers take."""
import argparse
import glob
import os
import pathlib
import shutil
import subprocess
import sys

from targets import TARGETS

HERE = pathlib.Path(__file__).resolve().parent
TOP = HERE.parent.parent
KEPT_BYTES, KEPT_LONGEST = 20 * 1024, 2048
ENVIRONMENT = {
    "ASAN_OPTIONS": "quarantine_size_mb=16:allocator_may_return_null=1:detect_stack_use_after_return=0",
    "UBSAN_OPTIONS": "halt_on_error=1:print_stacktrace=1",
    "LSAN_OPTIONS": f"suppressions={HERE.parent / 'lsan.supp'}:print_suppressions=0",
    "GSETTINGS_BACKEND": "memory", "GIO_USE_VFS": "local", "LC_ALL": "C.UTF-8", "G_DEBUG": "fatal-warnings",
}


def prepare(name, work):
    folder = work / name
    folder.mkdir(parents=True, exist_ok=True)
    (work / f"{name}.failed").mkdir(exist_ok=True)
    patterns, longest = TARGETS[name]
    for pattern in patterns:
        for path in glob.glob(str(TOP / pattern)):
            if os.path.getsize(path) <= longest:
                shutil.copy(path, folder / ("seed-" + os.path.basename(path)))
    return folder


def command(build, name, work):
    program = build / "tests" / "fuzz" / f"fuzz-{name}"
    words = HERE / "dict" / f"{name}.dict"
    options = [f"-max_len={TARGETS[name][1]}", "-timeout=20", "-rss_limit_mb=1500", "-malloc_limit_mb=500",
               "-report_slow_units=2", "-print_final_stats=1", "-verbosity=1",
               f"-artifact_prefix={work / (name + '.failed')}/"]
    return [str(program), *options, *([f"-dict={words}"] if words.exists() else [])]


def fuzz(build, name, work, minutes):
    folder, kept = prepare(name, work), HERE / "corpus" / name
    log = work / f"{name}.log"
    with open(log, "w") as out:
        code = subprocess.run([*command(build, name, work), f"-max_total_time={int(minutes * 60)}", str(folder),
                               *([str(kept)] if kept.is_dir() else [])],
                              env={**os.environ, **ENVIRONMENT}, stdout=out, stderr=subprocess.STDOUT).returncode
    stats = [line.split() for line in log.read_text(errors="replace").splitlines() if line.startswith("stat::")]
    runs = {row[0].split("::")[1].rstrip(":"): row[1] for row in stats}
    print(f"{name}: {'clean' if code == 0 else 'FAILED, see ' + str(log)}, {runs.get('number_of_executed_units', '?')} inputs, "
          f"peak {runs.get('peak_rss_mb', '?')} MB", flush=True)
    return code == 0


def keep(build, name, work):
    """The corpus made small: what was found before stays, then the shortest of a merged set as long as there is room."""
    small, kept = work / f"{name}.small", HERE / "corpus" / name
    shutil.rmtree(small, ignore_errors=True)
    small.mkdir()
    kept.mkdir(parents=True, exist_ok=True)
    subprocess.run([*command(build, name, work), "-merge=1", str(small), str(kept), str(work / name)],
                   env={**os.environ, **ENVIRONMENT}, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True)
    for path in kept.glob("?" * 40):
        path.unlink()
    room = KEPT_BYTES
    for path in sorted(small.iterdir(), key=lambda p: p.stat().st_size):
        room -= path.stat().st_size
        if room < 0 or path.stat().st_size > KEPT_LONGEST:
            break
        shutil.copy(path, kept / path.name)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("build", type=pathlib.Path)
    parser.add_argument("--minutes", type=float, default=5)
    parser.add_argument("--work", type=pathlib.Path)
    parser.add_argument("--keep", action="store_true")
    parser.add_argument("names", nargs="*")
    args = parser.parse_intermixed_args()
    work = args.work or args.build / "fuzz-work"
    clean = True
    for name in args.names or TARGETS:
        clean &= fuzz(args.build, name, work, args.minutes)
        if args.keep:
            keep(args.build, name, work)
    return 0 if clean else 1


if __name__ == "__main__":
    sys.exit(main())
