#!/usr/bin/env python3
"""What the manual promises is there (TAP): labels in bold stand in the program, links and pictures lead somewhere,
every kind of finding has its heading, every chapter and picture is used, and pictures are small."""
import re
import sys
from pathlib import Path

ROOT = Path(sys.argv[1])
DOCS = ROOT / "docs"
MANUAL = DOCS / "manual"
LARGEST_PICTURE = 150 * 1024
STRING = re.compile(r'(?<![A-Za-z0-9_])(?:N?_|ngettext)\s*\(\s*"((?:[^"\\]|\\.)*)"|'
                    r'(?<![A-Za-z0-9_])N?C_\s*\(\s*"[^"]*",\s*"((?:[^"\\]|\\.)*)"')
LINK = re.compile(r"(!?)\[([^\]]*)\]\(([^)\s]+)\)")
KIND = re.compile(r'"((?:body|joint|ramp|target|nozzle|gas|flow|preheat|holder|lee|laminate|height|package|outline|'
                  r'thickness|film|readiness|attach)-[a-z-]+)"')
NO_KIND = {"nozzle-film", "preheat-film"}  # inputs that are in doubt (src/plan/unsure.c), no findings


def plain(label):
    return label.replace("_", "").rstrip("…").strip()


def labels():
    """All text of the program, as it stands on the screen."""
    found = set()
    for path in (ROOT / "ui").glob("*.ui"):
        found.update(re.findall(r'translatable="yes"[^>]*>([^<]+)<', path.read_text("utf-8")))
    for path in (ROOT / "src").rglob("*.[ch]"):
        found.update(one or other for one, other in STRING.findall(path.read_text("utf-8")))
    return {plain(text) for text in found}


def anchor(heading):
    words = re.sub(r"[`*]", "", heading)
    return "".join("-" if c == " " else c.lower() for c in words if c.isalnum() or c in " -_")


def codes(path):
    """Words of code in headings."""
    return {word for heading in re.findall(r"^#+ (.*)$", path.read_text("utf-8"), re.M)
            for word in re.findall(r"`([^`]+)`", heading)}


def anchors(path):
    return codes(path) | {anchor(heading) for heading in re.findall(r"^#+ (.*)$", path.read_text("utf-8"), re.M)}


def faulty_links(path):
    for _, _, target in LINK.findall(path.read_text("utf-8")):
        way, _, place = target.partition("#")
        file = (path.parent / way).resolve() if way else path
        if "://" in target:
            continue
        if not file.is_file():
            yield f"{path.name}: {target}: no such file"
        elif place and place not in anchors(file):
            yield f"{path.name}: {target}: no such heading"


def kinds():
    found = set()
    for path in (ROOT / "src/plan").glob("judge-*.c"):
        found.update(KIND.findall(path.read_text("utf-8")))
    found.update(k for k in KIND.findall((ROOT / "src/plan/find-parts.c").read_text("utf-8")))
    return found - NO_KIND


def topics():
    """Places in the manual that the program itself leads to."""
    text = (ROOT / "src/app/help-topics.c").read_text("utf-8") + (ROOT / "ui/menus.ui").read_text("utf-8")
    found = set(re.findall(r'return "([a-z-]+(?:#[a-z-]+)?)"', text)) | set(re.findall(r'\? "([a-z-]+(?:#[a-z-]+)?)"', text))
    found |= set(re.findall(r', "([a-z-]+(?:#[a-z-]+)?)" }', text))
    return found | set(re.findall(r'app.manual</attribute>\s*<attribute name="target">([^<]+)<', text))


def faulty_topics():
    for topic in sorted(topics()):
        chapter, _, place = topic.partition("#")
        path = MANUAL / f"{chapter}.md"
        if not path.is_file() or place and place not in anchors(path):
            yield topic


def checks():
    chapters = sorted(p for p in MANUAL.glob("*.md") if p.name != "README.md")
    known = labels()
    yield "there are chapters, labels, kinds and topics to check", [] if len(chapters) > 10 and len(known) > 500 \
        and len(kinds()) > 50 and len(topics()) > 20 else [f"{len(chapters)} {len(known)} {len(kinds())} {len(topics())}"]
    for path in chapters:
        text = re.sub(r"\s+", " ", path.read_text("utf-8"))
        bold = {plain(label) for label in re.findall(r"\*\*([^*]+)\*\*", text)}
        yield f"{path.name}: what is in bold stands on the screen", sorted(bold - known)
    for path in [*MANUAL.glob("*.md"), *DOCS.glob("*.md")]:
        yield f"{path.name}: links and pictures lead somewhere", list(faulty_links(path))
    listed = (MANUAL / "README.md").read_text("utf-8")
    yield "README.md lists every chapter", [p.name for p in chapters if f"]({p.name})" not in listed]
    yield "every kind of finding has a heading", sorted(kinds() - anchors(MANUAL / "findings.md"))
    named = set(re.findall(r'{ "([a-z-]+)", N_\(', (ROOT / "src/plan/kind-label.c").read_text("utf-8")))
    yield "every kind of finding has a name in the window, and no other", sorted(kinds() ^ named)
    yield "no heading explains a finding that is never made", sorted(
        codes(MANUAL / "findings.md") - kinds())
    yield "the program's own ways into the manual lead somewhere", list(faulty_topics())
    pictures = sorted((MANUAL / "pictures").glob("*"))
    used = {t for p in chapters for mark, _, t in LINK.findall(p.read_text("utf-8")) if mark}
    yield "every picture is used", [p.name for p in pictures if f"pictures/{p.name}" not in used]
    yield "pictures are small", [p.name for p in pictures if p.stat().st_size > LARGEST_PICTURE]


def main():
    number = failed = 0
    for name, faults in checks():
        number += 1
        failed += bool(faults)
        print(f"{'not ok' if faults else 'ok'} {number} - {name}")
        for fault in faults:
            print("#", fault)
    print(f"1..{number}")
    return failed > 0


sys.exit(main())
