#!/usr/bin/env python3
"""leeward-cli speaks the languages of po/ (TAP): words are translated, none is left in English, tables line up where a Chinese
sign takes two columns of a terminal, and no number of a table or of JSON is another.
usage: check_languages.py CLI COMMA.SH FOLDER MODULE CATALOGUES"""
import os
import re
import subprocess
import sys
import tempfile
import unicodedata

import locale_bench

CLI, *COMMA, CATALOGUES = map(os.path.abspath, sys.argv[1:6])
VERBS = ["inspect", "convert", "predict", "judge", "seek", "fit", "picture", "show", "sheet", "compare", "history"]
# Left as they are: names in the job, of files and endings, of standards, makers and magazines, units, words of options.
NAMES = {"corner", "lid", "run", "past", "job", "out", "leeward", "cli", "csv", "emn", "emp", "png", "svg", "pdf", "webp", "min", "back",
         "Soak", "Melt", "Cool", "STD", "JEDEC", "IPC", "IDF", "JSON", "CSV", "TDK", "FAQ", "KEMET", "Lattice", "Scientific", "Reports",
         "Ismail", "SMT", "Magazine", "kjelec", "chip", "remove", "clean", "print", "dispense", "place", "reflow", "top", "bottom",
         "letter", "PERCENT", "Leeward", "restored", "kept", "sought", "fitted", "board", "profile", "sheet", "stages", "field", "curves",
         "As", "Gerber", "Excellon"}
WORD = re.compile(r"(?<![-\w])[A-Za-z]{3,}(?![\w])", re.A)


def run(folder, language, words):
    env = dict(os.environ, LC_ALL="C.UTF-8", LW_CATALOGUES=CATALOGUES, LW_LANGUAGE=language)
    return subprocess.run([*COMMA, CLI, *words], cwd=folder, env=env, capture_output=True, text=True)


def cells(text):
    """The columns of a terminal that a text takes, one character each; the second half of a wide sign is empty."""
    out = []
    for c in text:
        if unicodedata.combining(c):
            continue
        out.append(c)
        if unicodedata.east_asian_width(c) in "WF":
            out.append("")
    return out


def gutters(lines):
    """How many runs of columns are blank in every line, between columns that are not."""
    rows = [cells(line) for line in lines]
    width = max(map(len, rows))
    blank = "".join(" " if all(k >= len(row) or row[k] == " " for row in rows) else "x" for k in range(width))
    return len(re.findall(r" +(?=x)", blank.lstrip()))


def starts(lines):
    """The columns in which every line begins a word."""
    rows = [[" "] + cells(line) for line in lines]
    return [k for k in range(1, min(map(len, rows))) if all(row[k - 1] == " " and row[k] not in ("", " ") for row in rows)]


def table(text, rows):
    """The heading and the rows that start with these references."""
    lines = text.splitlines()
    first = next(k for k, line in enumerate(lines) if line.startswith(rows[0] + " "))
    return lines[first - 1:first + len(rows)]


def labels(text):
    """Lines of the form "label, value" whose value does not begin in the twelfth column."""
    bad = []
    for line in text.split("\n\n")[0].splitlines():
        row = cells(line)
        if len(row) > 11 and (row[10] != " " or row[11] == " "):
            bad.append(line)
    return "\n".join(bad)


def same_numbers(ours, english):
    a, b = (re.findall(r"\d+(?:,\d+)?", "\n".join(lines)) for lines in (ours, english))
    return "" if a == b else f"{a}\n{b}"


def usage(folder, language):
    ours, english = (run(folder, one, ["--help"]).stdout.splitlines() for one in (language, "C"))
    rows = [line for line in ours if re.match(r"  [a-z]+ ", line)]
    yield "every verb has its line", "" if [row.split()[0] for row in rows] == VERBS else "\n".join(ours)
    yield "its words are not English", "\n".join(set(ours) & set(english) - {""})
    yield "its columns stand under each other", "" if len(starts(rows)) >= 3 else "\n".join(rows)


def figures(folder, language):
    for words, columns in (["inspect", "job.leeward", "--parts"], 7), (["predict", "job.leeward"], 6):
        ours, english = (run(folder, one, words).stdout for one in (language, "C"))
        parts = [part[0] for part in locale_bench.PARTS]
        rows = table(ours, parts)
        yield f"{words[0]}: a column under each heading", "" if gutters(rows) == columns - 1 else "\n".join(rows)
        yield f"{words[0]}: the headings are not English", "" if rows[0] != table(english, parts)[0] else rows[0]
        yield f"{words[0]}: the numbers are the same", same_numbers(rows[1:], table(english, parts)[1:])
        yield f"{words[0]}: labels and values stand under each other", labels(ours)
    kept = run(folder, language, ["history", "past.leeward"]).stdout.splitlines()
    yield "history: its columns stand under each other", "" if len(kept) == 2 and len(starts(kept)) >= 2 else "\n".join(kept)
    changes = run(folder, language, ["history", "past.leeward", "--changes", "1"]).stdout.splitlines()
    arrows = {cells(line).index("→") for line in changes}
    yield "history: changes stand under each other", "" if len(changes) == 4 and len(arrows) == 1 else "\n".join(changes)
    yield "history: changes have the locale's numbers", "" if "2,75 → 3,125" in "\n".join(changes) else "\n".join(changes)


def english_left(folder, language):
    """Where no word is written with Latin letters, whatever is so is a name or was forgotten."""
    for words in [[verb, "--help"] for verb in VERBS] + [words for words, _ in locale_bench.verbs()]:
        made = run(folder, language, words)
        left = {word for word in WORD.findall(made.stdout + made.stderr)} - NAMES - set(VERBS)
        lines = [line for line in (made.stdout + made.stderr).splitlines() if left & set(WORD.findall(line))]
        yield " ".join(words), "\n".join(lines) if made.returncode < 2 else made.stderr


def main():
    with tempfile.TemporaryDirectory() as folder:
        locale_bench.write_all(CLI, folder)
        found = [(f"{language}: {name}", why) for language in ("de", "es", "zh_CN") for ask in (usage, figures)
                 for name, why in ask(folder, language)]
        found += [(f"zh_CN: no English in {name}", why) for name, why in english_left(folder, "zh_CN")]
        return locale_bench.report(found)


sys.exit(main())
