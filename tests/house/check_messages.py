#!/usr/bin/env python3
"""No message is cut off where a format macro stands: what the compiler joins, the extractor of messages does not,
so that such a text can never be found again at run time."""
import pathlib
import re
import sys

CALL = re.compile(r'(?<![A-Za-z0-9_])(?:_|N_|C_|NC_|ngettext)\s*\(')
TOKEN = re.compile(r'\s+|"(?:[^"\\]|\\.)*"|[A-Za-z_]\w*|[^"A-Za-z_]')
BARE_END = re.compile(r'(?<!%)(?:%%)*%"$')


def pieces(text, at):
    """The tokens between the bracket before AT and its end."""
    depth, out = 1, []
    while depth > 0 and at < len(text):
        token = TOKEN.match(text, at)
        at, word = token.end(), token[0]
        depth += (word == "(") - (word == ")")
        if not word.isspace():
            out.append(word)
    return out[:-1]


def is_cut(tokens):
    """A word beside a string, or a string that ends in a lone per cent sign."""
    for i, token in enumerate(tokens):
        beside = tokens[max(i - 1, 0):i] + tokens[i + 1:i + 2]
        if re.match(r"[A-Za-z_]", token) and any(b.startswith('"') for b in beside):
            return True
        if BARE_END.search(token) and tokens[i + 1:i + 2] and tokens[i + 1] not in (",",) and token.startswith('"'):
            return True
    return False


def faults(name, text):
    for call in CALL.finditer(text):
        tokens = pieces(text, call.end())
        if tokens and tokens[0].startswith('"') and is_cut(tokens):
            yield f"{name}:{text.count(chr(10), 0, call.start()) + 1}: cut at a macro: {' '.join(tokens)[:80]}"


def main(root):
    # The check itself first: it must find what it is for, and no other.
    assert list(faults("x", '_("is %" G_GINT64_FORMAT ": new")')) and list(faults("x", 'ngettext ("%" PRIu64, "b", n)'))
    assert not list(faults("x", '_("is %s" " and %d %%") C_ ("a", "b %") N_("c")'))
    print("1..1")
    found = [f for p in sorted(pathlib.Path(root, "src").rglob("*.[ch]"))
             for f in faults(p.relative_to(root), p.read_text("utf-8"))]
    for fault in found:
        print("#", fault)
    print("not ok 1 messages" if found else "ok 1 messages")
    return int(bool(found))


sys.exit(main(sys.argv[1]))
