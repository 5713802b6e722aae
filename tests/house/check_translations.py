#!/usr/bin/env python3
"""Every language of po/LINGUAS is sound (msgfmt) and complete against the sources as they are now: nothing untranslated,
nothing guessed; and says each term of the trade with one word (po/terms)."""
import pathlib
import re
import subprocess
import sys
import tempfile


def template(root, folder):
    """The messages of the sources, as the preset of the build takes them out."""
    made = pathlib.Path(folder, "messages.pot")
    subprocess.run(["xgettext", "--from-code=UTF-8", "--package-name=leeward", f"--directory={root}",
                    f"--files-from={root}/po/POTFILES.in", "--keyword=_", "--keyword=N_", "--keyword=C_:1c,2",
                    "--keyword=NC_:1c,2", "--keyword=g_dngettext:2,3", "--keyword=ngettext:1,2", f"--output={made}"],
                   check=True, stderr=subprocess.DEVNULL)
    return made


def messages(text):
    """The messages of a catalogue but its head, each in one line; one of several lines starts with an empty string."""
    found = re.findall(r'^msgid ("[^\n]*"(?:\n"[^\n]*")*)', text, re.M)
    return [joined for joined in ("".join(part[1:-1] for part in each.split("\n")) for each in found) if joined]


def faults(po, pot, folder):
    checked = subprocess.run(["msgfmt", "-c", "-o", "/dev/null", str(po)], capture_output=True, text=True)
    if checked.returncode:
        return [line for line in checked.stderr.splitlines() if "warning" not in line]
    merged = pathlib.Path(folder, po.name)
    subprocess.run(["msgmerge", "-q", "--no-fuzzy-matching", "-o", str(merged), str(po), str(pot)], check=True)
    out = []
    for what, option in ("not translated", "--untranslated"), ("only guessed", "--only-fuzzy"):
        left = subprocess.run(["msgattrib", option, "--no-obsolete", "--no-wrap", str(merged)], check=True,
                              capture_output=True, text=True).stdout
        out += [f"{what}: {text}" for text in messages(left)]
    return out


def terms(root, language):
    """Pairs of a term and what stands for it."""
    rows = [line.split("\t") for line in pathlib.Path(root, "po", "terms").read_text("utf-8").splitlines()]
    column = next(row for row in rows if row[0] == "# English").index(language)
    return [(re.compile(rf"\b({row[0]})\b", re.I), row[column].split("|")) for row in rows if not row[0].startswith("#")]


def pairs(po):
    """Every message of a catalogue with its translation; of several forms the last."""
    plain = subprocess.run(["msgcat", "--no-wrap", str(po)], check=True, capture_output=True, text=True).stdout
    for block in plain.split("\n\n"):
        said = dict(re.findall(r'^(msgid|msgstr(?:\[\d\])?) "(.*)"$', re.sub(r'"\n"', "", block), re.M))
        if said.get("msgid"):
            yield said["msgid"], list(said.values())[-1]


def other_words(root, language):
    known = terms(root, language)
    for english, ours in pairs(pathlib.Path(root, "po", language + ".po")):
        for term, stems in known:
            if term.search(english) and not any(stem in ours.lower().replace("_", "") for stem in stems):
                yield f"“{english}” has {term.pattern}, but “{ours}” none of {stems}"


def main(root):
    lines = pathlib.Path(root, "po", "LINGUAS").read_text("utf-8").splitlines()
    languages = [line for line in lines if line and not line.startswith("#")]
    print(f"1..{len(languages)}")
    bad = False
    with tempfile.TemporaryDirectory() as folder:
        pot = template(root, folder)
        for language in languages:
            found = faults(pathlib.Path(root, "po", language + ".po"), pot, folder) + list(other_words(root, language))
            for fault in found:
                print("#", fault)
            print("not ok" if found else "ok", language)
            bad = bad or bool(found)
    return int(bad)


sys.exit(main(sys.argv[1]))
