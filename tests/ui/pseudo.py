#!/usr/bin/env python3
"""pseudo.py CATALOGUE.po OUT.po: the messages of a catalogue "translated" into themselves, with accents, about 40 % longer, and
between brackets. What a printf format, a mnemonic or markup means stays what it is, so the program runs with it as with any
language; what the screen has no room for shows."""
import ast
import re
import sys

ACCENTS = str.maketrans('aceinouyACEINOUY', 'äçéîñöüÿÄÇÉÎÑÖÜŸ')
# A printf conversion, a tag, an entity, an escaped line end: never touched.
KEPT = re.compile(r'(%(?:\d+\$)?[-+ 0#\']*(?:\d+|\*)?(?:\.(?:\d+|\*))?(?:hh|h|ll|l|z)?[a-zA-Z%]|<[^<>]*>|&#?\w+;|\n)')


def unquote(lines):
    return ''.join(ast.literal_eval(line) for line in lines)


def quote(text):
    for plain, escaped in (('\\', '\\\\'), ('"', '\\"'), ('\n', '\\n'), ('\t', '\\t'), ('\r', '\\r')):
        text = text.replace(plain, escaped)
    return f'"{text}"'


def entries(text):
    """Every message as {keyword: text}, the head among them."""
    for block in re.split(r'\n\s*\n', text):
        entry, key = {}, None
        for line in block.splitlines():
            if line.startswith('#'):
                continue
            match = re.match(r'(msg\w+(?:\[\d\])?)\s+(".*")$', line)
            if match:
                key = match[1]
                entry[key] = [match[2]]
            elif key is not None:
                entry[key].append(line.strip())
        if entry:
            yield {key: unquote(lines) for key, lines in entry.items()}


def longer(message):
    """40 % more letters, put in as a word of their own so that wrapping has its chance."""
    pieces = KEPT.split(message)
    letters = sum(len(piece) for piece in pieces[::2])
    changed = ''.join(p if k % 2 else p.translate(ACCENTS) for k, p in enumerate(pieces))
    more = max(1, round(0.4 * letters) - 2)
    ends = re.match(r'(?s)(\n*)(.*?)(\n*)$', changed)  # msgfmt wants the line ends where they were
    pad = ' '.join('öñîä'[: min(4, more - k)] for k in range(0, more, 5))
    return f'{ends[1]}[{ends[2]} {pad}]{ends[3]}'


def main():
    with open(sys.argv[1], encoding='utf-8') as file:
        found = list(entries(file.read()))
    if len(found) < 2:
        sys.exit(f'{sys.argv[1]}: no messages')
    with open(sys.argv[2], 'w', encoding='utf-8') as out:
        out.write('msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n'
                  '"Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n')
        for entry in found:
            if entry['msgid'] == '':
                continue
            out.write('\n')
            for key in ('msgctxt', 'msgid', 'msgid_plural'):
                if key in entry:
                    out.write(f'{key} {quote(entry[key])}\n')
            if 'msgid_plural' in entry:
                out.write(f'msgstr[0] {quote(longer(entry["msgid"]))}\nmsgstr[1] {quote(longer(entry["msgid_plural"]))}\n')
            else:
                out.write(f'msgstr {quote(longer(entry["msgid"]))}\n')


if __name__ == '__main__':
    main()
