#!/usr/bin/env python3
"""Every call that a header of src/ offers is explained where it stands.

A call counts as explained by a comment
  - behind it, on one of the lines of its declaration, or
  - above it in the same paragraph (no empty line between): one comment may speak for a group, but for GROUP calls at
    the most, since nobody reads a sentence as speaking of the tenth line below it; or
  - anywhere in the header that writes its name, as the few lines of an example at the head do.
"""
import pathlib
import re
import sys

from points import report

GROUP = 6
# The end of a struct, and macros that declare a type: their calls are GObject's own.
NOT_CALLS = re.compile(r"\s*(G_(BEGIN|END)_DECLS|[A-Z][A-Z0-9_]+ \(|typedef\b|\})")
NAME = re.compile(r"\b((?:lw|heat|Heat|Lw)_?\w*)\s*\(")
COMMENT = re.compile(r"/\*.*?\*/|//[^\n]*", re.S)
DIRECTIVE = re.compile(r"^[ \t]*#(?:[^\n]*\\\n)*[^\n]*", re.M)


def blank(piece):
    return re.sub(r"[^\n]", " ", piece.group())


def flat(code):
    """CODE with everything inside braces blanked out: members of a struct and bodies are no declarations."""
    depth, out = 0, []
    for c in code:
        depth -= c == "}"
        out.append(c if depth == 0 or c == "\n" else " ")
        depth += c == "{"
    return "".join(out)


def depth_at(code, number):
    """How many braces are open where line NUMBER begins."""
    before = "".join(code.splitlines(True)[:number])
    return before.count("{") - before.count("}")


def declarations(code):
    """(first line, last line of what is declared, last line of it all, name) of each call that CODE, already flat, declares; lines count from 0."""
    start, text = None, ""
    for number, line in enumerate(code.replace('extern "C"', "").splitlines()):
        if start is None and (not line.strip() or NOT_CALLS.match(line)):
            continue
        start = number if start is None else start
        text += line + "\n"
        if not re.search(r"[;}]\s*$", line):
            continue
        name = NAME.search(text)
        if name and "(*" not in text[:name.start()].replace(" ", ""):
            yield start, start + text.split("{")[0].count("\n"), number, name.group(1)
        start, text = None, ""


def unexplained(text):
    """How many calls the header TEXT has, and (line, name) of each that no comment explains."""
    lines = text.splitlines()
    comments = list(COMMENT.finditer(text))
    spoken = " ".join(c.group() for c in comments)
    beside, above = set(), set()  # lines a comment touches; those of them that hold nothing else
    for c in comments:
        block = range(text.count("\n", 0, c.start()), text.count("\n", 0, c.end()) + 1)
        beside.update(block)
        if lines[block[0]].lstrip().startswith("/"):
            above.update(block)
    code = DIRECTIVE.sub(blank, COMMENT.sub(blank, text))
    above = {n for n in above if depth_at(code, n) == 0}
    found, bare = 0, []
    since, at = GROUP, -1  # calls since the last comment above; where the last one ends
    for first, told, last, name in declarations(flat(code)):
        if name.endswith("_error_quark"):  # what the macro of its domain calls, and nobody else
            at = last
            continue
        found += 1
        gap = range(at + 1, first)
        empty = max((n for n in gap if not lines[n].strip()), default=None)
        if any(n in above for n in gap if empty is None or n > empty):
            since = 0
        elif empty is not None:
            since = GROUP
        if since >= GROUP and not beside.intersection(range(first, told + 1)) and not re.search(rf"\b{name}\b", spoken):
            bare.append((first + 1, name))
        since, at = since + 1, last
    return found, bare


# What the check itself must find: a header, and the calls in it that it must name.
BARE = "int lw_a (int n);\n"
SELF = {
    "a call without a comment": (BARE, ["lw_a"]),
    "a comment above": ("/* Counts. */\n" + BARE, []),
    "a comment behind": ("int lw_a (int n); /* counts */\n", []),
    "a comment behind the second line": ("int lw_a (int n,\n          int m); /* counts */\n", []),
    "a comment that an empty line parts from it": ("/* Counts. */\n\n" + BARE, ["lw_a"]),
    "its name in an example": ("/* n = lw_a (3); */\n\n" + BARE, []),
    "another's name in an example": ("/* n = lw_ab (3); */\n\n" + BARE, ["lw_a"]),
    "comments on members of a struct are not the call's": (
        "typedef struct {\n  int n; /* many */\n  /* few */\n  int m;\n} LwA;\n" + BARE, ["lw_a"]),
    "a group as large as it may be": ("/* All. */\n" + BARE * GROUP, []),
    "a group that is too large": ("/* All. */\n" + BARE * (GROUP + 1), ["lw_a"]),
    "a body in the header": ("static inline int\nheat_b (int n)\n{\n  return f (n); /* of n */\n}\n", ["heat_b"]),
    "macros and types are no calls": ("#define LW_X(n) \\\n  lw_a (n)\nG_DECLARE_FINAL_TYPE (LwX, lw_x, LW, X, GObject)\n"
                                      "typedef int (*LwDo) (int n);\n", []),
}


def main(root):
    print("1..2")
    wrong = [f"{what}: {[n for _, n in unexplained(text)[1]]}" for what, (text, names) in SELF.items()
             if [n for _, n in unexplained(text)[1]] != names]
    status = report(1, wrong, "the check finds what it should, and no more")
    src = pathlib.Path(root, "src")
    answers = {h.relative_to(src): unexplained(h.read_text("utf-8")) for h in sorted(src.rglob("*.h"))}
    faults = [f"{header}:{line}: {name}" for header, (_, bare) in answers.items() for line, name in bare]
    calls = sum(found for found, _ in answers.values())
    if calls < 100:
        faults.append(f"only {calls} calls were found at all")
    status |= report(2, faults, f"each of {calls} calls that headers offer is explained")
    return int(status)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
