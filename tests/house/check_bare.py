#!/usr/bin/env python3
"""Who builds to use the program has none of the packages that only tests need (.ci/packages): a build folder can be set up
without their programs. A proof that they are really out of sight goes with it."""
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

KEPT = {"python3"}  # meson itself runs on it


def test_packages(root):
    lines = pathlib.Path(root, ".ci", "packages").read_text("utf-8").splitlines()
    return [line.split()[1] for line in lines if line.startswith("test ") and line.split()[1] not in KEPT]


def programs_of(packages):
    told = subprocess.run(["dpkg", "-L", *packages], capture_output=True, text=True, check=False).stdout.split("\n")
    return {os.path.basename(line) for line in told if os.path.dirname(line) in ("/usr/bin", "/bin")}


def others(folder, hidden):
    """All programs of the system but the hidden ones, as links in FOLDER."""
    for name in os.listdir("/usr/bin"):
        if name not in hidden:
            os.symlink(os.path.join("/usr/bin", name), os.path.join(folder, name))


def main(root):
    if not shutil.which("dpkg") or not shutil.which("meson"):
        print("1..0 # SKIP no packages, or no meson, to ask")
        return 0
    hidden = programs_of(test_packages(root))
    print("1..2")
    with tempfile.TemporaryDirectory() as folder:
        links = os.path.join(folder, "bin")
        os.mkdir(links)
        others(links, hidden)
        environment = os.environ | {"PATH": links}
        seen = shutil.which("xdotool", path=links) or shutil.which("xvfb-run", path=links)
        print("ok 1 out of sight" if hidden and not seen else f"not ok 1 out of sight: {seen}")
        done = subprocess.run([shutil.which("meson"), "setup", os.path.join(folder, "build"), root], env=environment,
                              capture_output=True, text=True, check=False)
        for line in done.stdout.splitlines()[-5:] if done.returncode else []:
            print("#", line)
        print(f"{'not ok' if done.returncode else 'ok'} 2 a build folder without what only tests need")
    return int(bool(done.returncode or seen or not hidden))


sys.exit(main(sys.argv[1]))
