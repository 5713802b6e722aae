"""Installs what is built into a folder of its own, runs it from there, and takes it away again (TAP)."""
import os
import subprocess
import sys
import tempfile
from pathlib import Path

BUILD, PREFIX = Path(sys.argv[1]), sys.argv[2].lstrip("/")
ID = "org.leeward.Leeward"
MANUAL = Path(__file__).resolve().parents[2] / "docs" / "manual"
WANTED = [
    "bin/leeward", "bin/leeward-cli",
    f"share/applications/{ID}.desktop", f"share/metainfo/{ID}.metainfo.xml",
    f"share/icons/hicolor/scalable/apps/{ID}.svg", f"share/icons/hicolor/symbolic/apps/{ID}-symbolic.svg",
    f"share/glib-2.0/schemas/{ID}.gschema.xml", f"share/mime/packages/{ID}.xml",
    "share/bash-completion/completions/leeward-cli", "share/man/man1/leeward.1", "share/man/man1/leeward-cli.1",
    "share/leeward/docs/physics.md",
    *(f"share/leeward/docs/manual/{p.relative_to(MANUAL)}" for p in sorted(MANUAL.rglob("*")) if p.is_file()),
]
# Made by the desktop's own tools after an installation, for all programs at once.
CACHES = {"icon-theme.cache", "mimeinfo.cache", "mime.cache", "globs", "globs2", "magic", "aliases", "subclasses",
          "XMLnamespaces", "generic-icons", "icons", "treemagic", "types", "version"}


def run(*words, **more):
    return subprocess.run([str(w) for w in words], capture_output=True, text=True, **more)


def completions(place, line):
    """What bash would offer for LINE, with the installed program and the installed completion."""
    words = line.split(" ")
    script = (f'. "{place}/share/bash-completion/completions/leeward-cli"\n'
              f'COMP_WORDS=({" ".join(repr(w) for w in words)}); COMP_CWORD={len(words) - 1}; _leeward_cli\n'
              'printf "%s\\n" "${COMPREPLY[@]}"')
    env = dict(os.environ, PATH=f"{place}/bin:{os.environ['PATH']}")
    return run("bash", "-c", script, env=env).stdout.split()


def checks(destination):
    place = Path(destination) / PREFIX
    # What is built is installed as it stands: a test must not start a build.
    done = run("meson", "install", "-C", BUILD, "--no-rebuild", "--destdir", destination)
    yield "installs", done.returncode == 0, done.stdout[-2000:] + done.stderr[-2000:]
    for name in WANTED:
        yield f"has {name}", (place / name).is_file(), ""
    version = run(place / "bin/leeward-cli", "--version")
    yield "leeward-cli runs from there", version.stdout.startswith("leeward-cli "), version.stderr
    run("glib-compile-schemas", place / "share/glib-2.0/schemas")
    env = dict(os.environ, XDG_DATA_DIRS=f"{place}/share:/usr/share", GSETTINGS_BACKEND="memory")
    version = run(place / "bin/leeward", "--version", env=env)
    yield "leeward runs from there", "0." in version.stdout, version.stderr
    verbs = completions(place, "leeward-cli pre")
    yield "bash completes a verb", verbs == ["predict"], str(verbs)
    options = completions(place, "leeward-cli inspect --js")
    yield "bash completes an option", options == ["--json"], str(options)
    gone = run("ninja", "-C", BUILD, "uninstall", env=dict(os.environ, DESTDIR=destination))
    (place / "share/glib-2.0/schemas/gschemas.compiled").unlink(missing_ok=True)
    left = [str(p) for p in Path(destination).rglob("*") if p.is_file() and p.name not in CACHES]
    yield "uninstalls", gone.returncode == 0 and not left, gone.stdout[-500:] + str(left)


def main():
    number = failed = 0
    with tempfile.TemporaryDirectory() as destination:
        for name, good, why in checks(destination):
            number += 1
            failed += not good
            print(f"{'ok' if good else 'not ok'} {number} - {name}")
            if not good:
                print("\n".join("# " + line for line in why.splitlines()))
    print(f"1..{number}")
    return failed > 0


sys.exit(main())
