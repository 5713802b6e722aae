#!/usr/bin/python3
"""The format in its three forms must agree: the program's tables (dump-fields), the JSON Schema, and the
written description. Documents, good and bad, are judged by the schema and by the program.

Usage: check_format.py SOURCE DUMP_FIELDS RELOAD
"""
import copy
import json
import os
import re
import subprocess
import sys
import tempfile

import jsonschema

SOURCE, DUMP, RELOAD = sys.argv[1:4]
faults = []
tested = 0


def check(good, text):
    global tested
    tested += 1
    if not good:
        faults.append(text)


def read(*path):
    with open(os.path.join(SOURCE, *path), encoding="utf-8") as f:
        return f.read()


FIELDS = json.loads(subprocess.run([DUMP], capture_output=True, text=True, check=True).stdout)
SCHEMA = json.loads(read("data", "leeward.schema.json"))
TEXT = read("docs", "format.md")


def number(x):
    return int(x) if x == int(x) else x


# ---- tables against schema ----

def resolve(schema):
    """Through allOf, oneOf-or-null and $ref to the schema that says something."""
    while True:
        if "allOf" in schema:
            schema = schema["allOf"][0]
        elif "oneOf" in schema:
            schema = schema["oneOf"][0]
        elif "$ref" in schema:
            schema = SCHEMA["$defs"][schema["$ref"].rsplit("/", 1)[1]]
        else:
            return schema


def allows_null(schema):
    return "oneOf" in schema and {"type": "null"} in schema["oneOf"] or "null" in schema.get("type", [])


def compare_number(field, schema, where):
    low = "exclusiveMinimum" if field["above"] else "minimum"
    check(schema.get(low) == field["min"], f"{where}: {low}")
    check(schema.get("maximum") == field["max"], f"{where}: maximum")
    base = "integer" if field["kind"] == "count" else "number"
    check(schema["type"] == ([base, "null"] if field["nullable"] else base), f"{where}: type")
    check(schema.get("default", "none") == field["default"], f"{where}: default")


def compare_field(field, schema, where):
    kind = field["kind"]
    if kind in ("number", "count"):
        compare_number(field, schema, where)
    elif kind == "flag":
        check(schema["type"] == "boolean", f"{where}: type")
    elif kind == "text":
        check(schema["type"] == "string", f"{where}: type")
        check(("minLength" in schema) == field["required"], f"{where}: minLength")
    elif kind == "word":
        check(schema["enum"] == field["words"], f"{where}: words")
    elif kind == "series":
        check(schema["type"] == "array" and schema.get("maxItems") == field["most"], f"{where}: series")
        compare_number(dict(field, kind="number", default="none"), schema["items"], where + "[]")
    elif kind in ("many", "plain"):
        check("array" in schema["type"] and allows_null(schema) == field["nullable"], f"{where}: type")
        check(schema.get("maxItems") == field["max"], f"{where}: maxItems")
        compare_object(field["members"], resolve(schema["items"]), where + "[]")
    else:
        check(allows_null(schema) == field["nullable"], f"{where}: null")
        compare_object(field["members"], resolve(schema), where)


def compare_object(members, schema, where):
    keys = [m["key"] for m in members]
    there = [k for k in schema["properties"] if k != "leeward_format"]
    check(keys == there, f"{where}: members {keys} but schema has {there}")
    required = {m["key"] for m in members if m["required"]}
    check(required == set(schema.get("required", [])) - {"leeward_format"}, f"{where}: required")
    check(schema.get("additionalProperties", True) is True, f"{where}: unknown members must be allowed")
    for m in members:
        if m["key"] in schema["properties"]:
            compare_field(m, schema["properties"][m["key"]], f"{where}.{m['key']}")


# ---- tables against the description ----

def range_text(f):
    kind = f["kind"]
    if kind in ("number", "count"):
        text = ("> " if f["above"] else "") + f"{number(f['min'])} … {number(f['max'])}"
        return ("whole, " if kind == "count" else "") + text + (", null" if f["nullable"] else "")
    if kind == "word":
        return ", ".join(f"`{w}`" for w in f["words"])
    if kind == "text":
        return "text, not empty" if f["required"] else "text"
    if kind == "series":
        null = ", null" if f["nullable"] else ""
        return f"up to {int(f['most']):,} numbers, {number(f['min'])} … {number(f['max'])}{null}"
    if kind in ("many", "plain"):
        return f"up to {int(f['max']):,} "
    return {"flag": "true, false"}.get(kind)


def default_text(f):
    if f["required"]:
        return "**required**"
    if f["kind"] in ("number", "count"):
        return "null" if f["default"] is None else str(number(f["default"]))
    if f["kind"] == "text":
        return f"“{f['default']}”" if f["default"] else "empty"
    if f["kind"] == "word":
        return f"`{f['default']}`"
    return None


def described_tables():
    """The description's tables: lists of (key, range, default)."""
    tables, current = [], None
    for line in TEXT.splitlines():
        row = re.match(r"\| `(\w+)` \| (.*?) \| (.*?) \| ", line)
        if row:
            current.append(row.groups())
        elif line.startswith("|---"):
            current = []
            tables.append(current)
    return tables


def compare_description(members, tables, where):
    keys = [m["key"] for m in members]
    rows = [t for t in tables if [r[0] for r in t] == keys]
    check(len(rows) > 0, f"docs/format.md has no table of {where}: {keys}")
    for m, row in zip(members, rows[0] if rows else []):
        texts = [[r[i] for r in t if r[0] == m["key"]][0] for t in rows for i in (1, 2)]
        if range_text(m):
            check(any(t.startswith(range_text(m)) for t in texts[0::2]), f"docs/format.md {where}.{m['key']}: {texts[0::2]}, is {range_text(m)}")
        if default_text(m):
            check(default_text(m) in texts[1::2], f"docs/format.md {where}.{m['key']}: {texts[1::2]}, is {default_text(m)}")
    for m in members:
        if "members" in m:
            compare_description(m["members"], tables, f"{where}.{m['key']}")


# ---- documents ----

VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)


def reload(documents):
    """What the program makes of each: its text, or None when refused."""
    with tempfile.TemporaryDirectory() as folder:
        paths = []
        for i, document in enumerate(documents):
            paths.append(os.path.join(folder, f"{i}.leeward"))
            with open(paths[-1], "w", encoding="utf-8") as f:
                f.write(document if isinstance(document, str) else json.dumps(document))
        out = subprocess.run([RELOAD, *paths], capture_output=True, text=True, check=True).stdout.split("\0")[:-1]
    return [(None, o) if o.startswith("refused: ") else (o, "") for o in out]


def check_good(name, text):
    errors = [f"{'/'.join(map(str, e.absolute_path))}: {e.message}" for e in VALIDATOR.iter_errors(json.loads(text))]
    check(not errors, f"{name}: the schema refuses it: {errors[:3]}")
    (written, reason), = reload([text])
    check(written is not None, f"{name}: the program refuses it: {reason}")
    if written is None:
        return
    check(not list(VALIDATOR.iter_errors(json.loads(written))), f"{name}: the schema refuses what the program writes")
    (again, _), = reload([written])
    check(again == written, f"{name}: a second save differs")


def bad_values(f):
    """Values that this member may not have."""
    kind = f["kind"]
    if kind in ("number", "count"):
        yield f["min"] if f["above"] else f["min"] - 1
        yield f["max"] + 1
        yield "1"
        yield True
        if not f["nullable"]:
            yield None
        if kind == "count":
            yield 1.5
    elif kind == "flag":
        yield from (0, "true", None)
    elif kind == "text":
        yield from (1, None, {})
        if f["required"]:
            yield ""
    elif kind == "word":
        yield from ("no such word", 0, None)
    elif kind in ("many", "plain"):
        yield from ({}, 3, [3])
    elif kind == "series":
        yield from ({}, 3, ["1"], [f["max"] + 1], [f["min"] - 1])
        if not f["nullable"]:
            yield [None, 1]
    else:
        yield from ([], 3, "")


def spoil(document, members, place, where):
    """Copies of DOCUMENT with one member spoilt or taken away; PLACE finds the object in a copy."""
    there = place(document)
    for m in members:
        key = m["key"]
        if m["required"] and key in there:
            bad = copy.deepcopy(document)
            del place(bad)[key]
            yield f"{where}.{key} missing", bad
        for value in bad_values(m):
            bad = copy.deepcopy(document)
            place(bad)[key] = value
            yield f"{where}.{key} = {value!r}", bad
        child = there.get(key)
        if isinstance(child, dict) and "members" in m:
            yield from spoil(document, m["members"], lambda d, p=place, k=key: p(d)[k], f"{where}.{key}")
        elif isinstance(child, list) and child and "members" in m:
            last = len(child) - 1
            yield from spoil(document, m["members"], lambda d, p=place, k=key, i=last: p(d)[k][i], f"{where}.{key}[{last}]")


def check_bad(document):
    names, bad = zip(*spoil(document, FIELDS, lambda d: d, ""))
    for name, judged, (written, _) in zip(names, (VALIDATOR.is_valid(b) for b in bad), reload(bad)):
        check(not judged, f"the schema lets pass: {name}")
        check(written is None, f"the program lets pass: {name}")
    print(f"# {len(bad)} spoilt documents")


def main():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    compare_object(FIELDS, SCHEMA, "")
    compare_description(FIELDS, described_tables(), "")
    fixture = subprocess.run([RELOAD], capture_output=True, text=True, check=True).stdout
    check_good("the fixture", fixture)
    examples = re.findall(r"^```json\n(.*?)^```", TEXT, flags=re.M | re.S)
    check(len(examples) == 2, "docs/format.md: two whole documents were expected")
    for i, example in enumerate(examples):
        check_good(f"docs/format.md example {i + 1}", example)
    check_good("data/demo.leeward", read("data", "demo.leeward"))
    check_bad(json.loads(fixture))
    print("1..1")
    for fault in faults:
        print("# " + fault)
    print(f"{'not ok' if faults else 'ok'} 1 - format, {tested} checks, {len(faults)} faults")


main()
