#!/usr/bin/env python3
"""The running program as a screen reader meets it, over the accessibility bus: in every window, dialog, page and form, whatever takes
the keyboard has a role and a name that a person gave it, and a value where it has one; and every picture has a list that holds the
same things. The roles are those of AT-SPI 2; that each control is to have a name, a role and a value is WCAG 2.1, 4.1.2.

Windows are opened by their keys, those without a key by the actions that their menu items call (org.gtk.Actions)."""
import json
import os
import pathlib
import re
import signal
import subprocess
import sys
import tempfile
import time

sys.dont_write_bytecode = True
from accessible import Atspi, Bus, Gio, GLib, Node, grow, look  # noqa: E402

# What may take the keyboard only to scroll or to hold what is named: a row of a table is heard by its cells, and GTK does not let a
# program name it.
HOLDERS = {"window", "frame", "dialog", "panel", "filler", "scroll pane", "viewport", "tool tip", "application", "table row"}
VALUED = {"spin button", "slider", "progress bar", "level bar"}
WORDED = {"entry", "text", "password text"}
EQUAL_LISTS = ["Parts", "Stages", "Thermocouples", "Shields", "Corners", "Layers", "Packages", "Findings, worst first"]
State = Atspi.StateType


def has_value(node):
    """Whether what has a value tells it."""
    if node.role in VALUED:
        value = node.value()
        return value is not None and value[0] <= value[1] <= value[2]
    if node.role in WORDED:
        return node.has_text()
    return True


def is_marked(node):
    """Whether a name has its mnemonic's mark in it, or the same words twice: GTK 4.8 by itself says "_Keep Keep". A recent
    file's name may have such marks of its own; it ends with a dot and letters."""
    if re.search(r"\.[A-Za-z0-9]+$", node.name):
        return False
    half = len(node.name) // 2
    twice = node.name[half:half + 1] == " " and node.name[:half].replace("_", "") == node.name[half + 1:]
    return node.role in ("push button", "toggle button", "check box", "radio button") and (twice or "_" in node.name)


def faults_of(nodes):
    out = []
    for node in nodes:
        if node.inside or not node.has(State.VISIBLE):
            continue
        if is_marked(node):
            out.append(f"named with its mnemonic: {node}")
        elif node.role in ("dialog", "push button", "toggle button") and not node.given():
            out.append(f"no name: {node}")
        elif node.role in ("invalid", "unknown"):
            out.append(f"no role: {node}")
        elif node.has(State.FOCUSABLE) and node.role not in HOLDERS and not node.given() and node.name != "GtkColumnListView":
            out.append(f"no name: {node}")
        elif not has_value(node):
            out.append(f"no value: {node}")
    return out


# ---- the program ----

# So many times as long, under a sanitizer that makes everything slow.
PATIENCE = float(os.environ.get("LW_PATIENCE") or 1)


def until(what, seconds=60):
    end = time.monotonic() + seconds * PATIENCE
    while time.monotonic() < end:
        found = what()
        if found:
            return found
        time.sleep(0.15)
    raise TimeoutError(what.__doc__ or "waited in vain")


def application(bus):
    def there():
        """the program is not on the bus"""
        roots = look(bus, [Node(bus, each) for each in bus.programs()])
        return next((root for root in roots if root.name == "leeward" and root.count > 0), None)
    return until(there)


def windows(app):
    return look(app.bus, grow(app.bus, look(app.bus, [app])))


def key(*strokes):
    subprocess.run([os.environ.get("LW_XDOTOOL") or "xdotool", "key", "--clearmodifiers", *strokes], check=True)


def write(text):
    subprocess.run([os.environ.get("LW_XDOTOOL") or "xdotool", "type", "--delay", "4", text], check=True)


def pointer_away():
    """A list that comes up under the pointer takes what lies there."""
    subprocess.run([os.environ.get("LW_XDOTOOL") or "xdotool", "mousemove", "1279", "799"], check=True)


def activate(name, *arguments, window=1):
    """An action as a menu item calls it."""
    path = "/org/leeward/Leeward" + (f"/window/{window}" if window else "")
    Gio.bus_get_sync(Gio.BusType.SESSION).call_sync(
        "org.leeward.Leeward", path, "org.gtk.Actions", "Activate", GLib.Variant("(sava{sv})", (name, list(arguments), {})),
        None, Gio.DBusCallFlags.NONE, -1, None)


def newest_window():
    """The number of the window that was made last, as the program's actions are called by it."""
    text, = Gio.bus_get_sync(Gio.BusType.SESSION).call_sync(
        "org.leeward.Leeward", "/org/leeward/Leeward/window", "org.freedesktop.DBus.Introspectable", "Introspect", None, None,
        Gio.DBusCallFlags.NONE, -1, None).unpack()
    return max(int(number) for number in re.findall(r'node name="(\d+)"', text))


class Opened:
    """A window that an act brings up; closed again afterwards."""

    def __init__(self, app, act):
        self.app, self.act = app, act

    def __enter__(self):
        before = {window.reference for window in windows(self.app)}

        def more():
            """no window came up"""
            return next((window for window in windows(self.app) if window.reference not in before), None)
        self.act()
        self.before, window = len(before), until(more, 30)
        time.sleep(0.3)
        return window

    def __exit__(self, *_):
        def gone():
            """a window does not close by Escape"""
            if len(windows(self.app)) > self.before:
                key("Escape")
                time.sleep(0.3)
            return len(windows(self.app)) <= self.before
        until(gone, 20)


def named(window, name, role=None):
    return next((node for node in window.tree() if node.name == name and role in (None, node.role)), None)


def press_ready(window, name, roles=("push button",)):
    """The button of that name, as soon as it can be pressed."""
    def ready():
        found = (node for node in window.tree() if node.name == name and node.role in roles)
        return next((node for node in found if node.has(State.SENSITIVE) and node.has(State.FOCUSABLE)), None)
    ready.__doc__ = f"“{name}” never could be pressed"
    return until(ready, 90)


def press(window, name):
    press_ready(window, name).press()


# ---- what is looked at ----

def judged(window, title, least=5):
    def whole():
        """a window stays empty"""
        nodes = window.tree()
        return nodes if len(nodes) > least else None
    nodes = until(whole, 20)
    faults = faults_of(nodes)
    for _ in range(3):  # a window that still fills itself is asked again
        if faults:
            time.sleep(PATIENCE)
            nodes = window.tree()
            faults = faults_of(nodes)
    return not faults, f"{title}, {len(nodes)} accessibles: role, name and value of whatever takes the keyboard", faults


def missing_from(nodes, names, roles):
    there = {node.name for node in nodes if node.role in roles}
    return [name for name in names if name not in there]


def recovery(app):
    """What the first window says of the copy that was left behind."""
    def offered():
        """the copy was not offered"""
        return any("was not saved when the program ended" in node.name for node in windows(app)[0].tree())
    yield until(offered), "a copy to recover is offered in words", []
    activate("discard-recovery")


def main_window(app):
    main = until(lambda: windows(app))[0]

    def filled():
        """the window never filled itself"""
        nodes = main.tree()
        return nodes if any(node.role == "list item" for node in nodes) else None
    nodes = until(filled)
    yield judged(main, "Main window")
    missing = missing_from(nodes, EQUAL_LISTS, ("list", "tree table", "table", "list box"))
    yield not missing, "each thing that is drawn stands in a list too", missing
    missing = missing_from(nodes, ("Board from the top", "Profile"), ("image", "drawing area", "canvas"))
    yield not missing, "board and profile are named pictures", missing
    yield from pages(nodes)
    yield from inspected(nodes)
    yield from forms(nodes)


# By their order.
PAGES = {"profile": "Profile", "doubt": "What to measure", "runs": "Runs", "history": "History", "parts": "Parts", "stages": "Stages",
         "thermocouples": "Thermocouples", "shields": "Shields", "outline": "Outline", "stack-up": "Stack-Up", "packages": "Packages"}


def pages(nodes):
    """Pages get their rows when they are looked at first. Those of the parts are rows of a table with cells that are named."""
    pane = next(node for node in nodes if node.name == "LwLowerPane")
    stack = next(node for node in pane.tree() if len(node.children) == len(PAGES))
    for page, panel in zip(PAGES, stack.children):
        activate("page", GLib.Variant("s", page))
        time.sleep(0.3)
        yield judged(panel, f"Page “{PAGES[page]}”", least=0)
    rows = [node for node in pane.tree() if node.role == "table row" and "GtkColumnView" not in node.name]
    yield len(rows) >= 20, "the tables' rows are there once they were looked at", [f"{len(rows)} rows"]
    activate("page", GLib.Variant("s", "profile"))


INSPECTED = ("Board", "Target part", "Nozzle", "Preheat area", "First stage", "Station", "Readiness", "Operations")


def inspected(nodes):
    """Part, station and all else that is edited beside the board."""
    inspector = next(node for node in nodes if node.name == "LwInspector")
    for what in INSPECTED:
        press_ready(inspector, "Inspect").press()
        press_ready(inspector, what, ("menu item", "radio menu item", "check menu item")).press()
        time.sleep(0.3)
        yield judged(inspector, f"Inspector of “{what}”")


FORMS = ("form.place", "form.move", "form.repeat", "form.renumber", "form.shape", "form.grid")


def forms(nodes):
    """Popovers over the board."""
    board = next(node for node in nodes if node.name == "Board from the top" and node.role == "image")
    activate("board", GLib.Variant("s", "group.select-all"))
    for form in FORMS:
        activate("board", GLib.Variant("s", form))
        time.sleep(0.4)
        yield judged(board, f"Form “{form}”", least=10)
        key("Escape")
        time.sleep(0.2)


def rows_of(window, name):
    """What the rows of a list in sight say."""
    found = named(window, name, "list")
    return [] if found is None else [node.name for node in found.tree() if node.role == "list item"]


def doubt_list(window):
    """The bars of what moves a finding, once they are computed: a row for each, with both ends and its share."""
    key("alt+2")

    def told():
        """the bars never stood in a list"""
        rows = rows_of(window, "What the finding depends on")
        return rows if len(rows) > 1 else None
    faults = [row for row in until(told, 120)[:-1] if ": at its 5 % " not in row or "at its 95 % " not in row or "Share " not in row]
    yield not faults, "what moves a finding is heard row by row", faults
    key("alt+1")


def keyed_windows(app):
    for stroke, title in (("ctrl+comma", "Preferences"), ("ctrl+question", "Keyboard shortcuts"), ("F1", "Manual"), ("F11", "Presenting")):
        with Opened(app, lambda stroke=stroke: key(stroke)) as window:
            yield judged(window, title)


def menu_windows(app):
    for action, number, title in (("make-package", 1, "Package maker"), ("about", 0, "About")):
        with Opened(app, lambda action=action, number=number: activate(action, window=number)) as window:
            yield judged(window, title)


# One part, a plan, a thermocouple on it: small enough for a search and a fit while one waits.
SMALL = {
    "leeward_format": 1,
    "board": {"thickness_mm": 1.6, "outline": [{"corners": [{"x_mm": x, "y_mm": y} for x, y in ((0, 0), (40, 0), (40, 30), (0, 30))]}]},
    "packages": [{"name": "A", "kind": "area-array", "length_mm": 15, "width_mm": 15, "height_mm": 1.5,
                  "joints": {"pattern": "grid", "columns": 10, "rows": 10, "pitch_mm": 1.27}}],
    "parts": [{"ref": "U1", "package": "A", "x_mm": 20, "y_mm": 15}],
    "station": {"nozzles": [{"name": "N18", "length_mm": 18, "width_mm": 18}]},
    "plans": [{"ref": "U1", "nozzle": "N18", "preheat_area": {"x_mm": 20, "y_mm": 15, "length_mm": 40, "width_mm": 30},
               "stages": [{"name": "Soak", "duration_s": 120, "preheat_c": 200},
                          {"name": "Melt", "duration_s": 60, "gas_c": 330, "flow_l_per_min": 30, "preheat_c": 200}],
               "thermocouples": [{"name": "U1 top", "ref": "U1", "x_mm": 20, "y_mm": 15, "side": "top"}]}]}


def small_files(folder):
    """The job, and the log of a run over it: a straight rise, which is enough to be fitted to."""
    job, log = pathlib.Path(folder, "small.leeward"), pathlib.Path(folder, "Bench.csv")
    job.write_text(json.dumps(SMALL), encoding="utf-8")
    lines = [f"{t},{23 + 0.9 * t:.1f}" for t in range(0, 170, 2)]
    log.write_text("Time (s),U1 top (°C)\n" + "\n".join(lines) + "\n", encoding="utf-8")
    return job.as_uri(), log.as_uri()


def uri(path):
    return GLib.Variant("s", path)


def shows_title(window, title):
    """By its name, or, while that is what was said last, by the words of its title bar."""
    return window.name.startswith(title) or any(node.role == "label" and node.name == title for node in window.tree(10))


def titled(app, title):
    """A window that comes up by itself."""
    def whole():
        """a window never came up"""
        return next((each for each in windows(app) if shows_title(each, title) and len(each.tree(10)) > 5), None)
    whole.__doc__ += f": {title}"
    until(whole)
    time.sleep(0.3)
    return until(whole)


def log_windows(app, log):
    """What is no board is asked about; then how its columns read."""
    with Opened(app, lambda: activate("open-uri", uri(log), window=2)) as window:
        yield judged(window, "Question about a log")
        press(window, "Read as a Recorded Run")
        yield judged(titled(app, "Import Run"), "Log of temperatures")
        press(titled(app, "Import Run"), "Take In")


def outcome_windows(app):
    for action, begin, done, title in (("seek", "Begin", "Begin Again", "Search"), ("fit-runs", "Fit", "Discard", "Fit")):
        with Opened(app, lambda action=action: activate(action, window=2)) as window:
            yield judged(window, f"{title}, before it")
            press(window, begin)
            press_ready(window, done)
            yield judged(window, f"{title}, its outcome")


# ---- what is offered, and what is drawn by figures ----

BAR = "Another program has changed this file."


def outside_change(window, path):
    """Another program writes the file: the bar that comes up is said, and what its first button says holds: the next save asks no more."""
    path.write_text(json.dumps({**SMALL, "title": "Once more"}), encoding="utf-8")

    def said():
        """nobody said that the file was changed"""
        return window.now().name == BAR
    until(said, 20)
    yield judged(window, "Bar of a file that was changed")
    press(window, "Keep Mine")
    time.sleep(0.3)
    activate("save", window=2)

    def ours():
        return "Once more" not in path.read_text(encoding="utf-8")
    ours.__doc__ = "the save after “Keep Mine” did not come to the file"
    yield until(ours, 20), "“Keep Mine” is pressed over the bus, and the next save asks no more", []


def told(root, words):
    """Whether a label of those words can be seen."""
    return any(node.role == "label" and words in node.name for node in root.tree())


def until_told(root, words):
    def seen():
        return told(root, words)
    seen.__doc__ = f"“{words}” is not to be seen"
    return until(seen, 15)


def own_names():
    """What the packages in one's own library are called."""
    path = pathlib.Path(os.environ["XDG_DATA_HOME"], "leeward", "libraries", "own-packages.json")
    return [each["name"] for each in json.loads(path.read_text(encoding="utf-8"))["packages"]] if path.exists() else []


def own_package(app):
    """A package for one's own library, made where no job is open."""
    with Opened(app, lambda: activate("new-window", window=0)):
        number = newest_window()
        with Opened(app, lambda: activate("make-package", window=number)) as maker:
            library = named(maker, "my library", "check box")
            yield library.has(State.CHECKED), "without a job a package is kept in one's own library", [str(library)]
            yield told(maker, " joint"), "what it would be is said", []
            key("Return")
            until(lambda: maker.now() is None, 20)
        kept = until(lambda: own_names(), 10)
        yield len(kept) == 1, "Enter makes it, and one's own library has it", kept
        with Opened(app, lambda: activate("make-package", window=number)) as maker:
            replaces = "Takes the place of the package of this name in your library."
            yield told(maker, replaces), "the next of that name would take its place, and that is said", []
        activate("close", window=number)
        time.sleep(0.3)


def cut_corner(window):
    """Drawing by hand, by keys: the outline, one of its corners, its cut."""
    activate("focus-board", window=2)
    for stroke in ("o", "n", "c"):
        key(stroke)
        time.sleep(0.3)
    board = next(node for node in window.tree() if node.name == "Board from the top" and node.role == "image")
    until_told(board, "Cut the corner")
    yield judged(board, "Form “Cut the corner”", least=10)
    write("x")
    key("Return")
    time.sleep(0.5)
    refused = "Size: “x” is no number"
    yield told(board, refused) and window.now().name == refused, "what is refused is said", [window.now().name]
    key("Escape")
    time.sleep(0.3)


def new_board(app, window):
    """Over a window with a job; the program is still there afterwards."""
    activate("new-board", window=2)
    until_told(window, "New board")
    yield judged(window, "Form “New board”")
    missing = missing_from(window.tree(), ("Length", "Width", "Corner radius", "Thickness"), WORDED)
    yield not missing, "each of its fields is called by its name", missing
    key("Escape")
    time.sleep(0.3)


def asked(app, title, act):
    """A window that an act leads to; put away by Escape."""
    with Opened(app, act) as window:
        yield judged(window, title)


def questions(app, job):
    """The run that was taken in is not saved yet."""
    yield from asked(app, "Unsaved changes", lambda: activate("close", window=2))
    path = pathlib.Path(Gio.File.new_for_uri(job).get_path())
    away = path.parent.with_name(path.parent.name + ".away")
    path.parent.rename(away)
    yield from asked(app, "Job that was not saved", lambda: activate("save", window=2))
    away.rename(path.parent)
    path.write_text(json.dumps({**SMALL, "title": "Another's"}), encoding="utf-8")
    yield from asked(app, "File changed by another program", lambda: activate("save", window=2))


# GTK's own dialogs: what is ours in them are their title and the word on the button that does it.
CHOOSERS = (("open", "Open a job, or the files of a board", "Open"), ("save-as", "Save the job", "Save"),
            ("import-run", "Import a recorded run", "Open"), ("export-board", "Picture of the board", "Save"),
            ("export-idf", "Board as IDF, with its library beside it", "Save"), ("print", "Print", "Print"))


def choosers(app):
    for action, title, accept in CHOOSERS:
        with Opened(app, lambda action=action: activate(action, window=2)) as window:
            does = any(node.name == accept for node in window.tree() if node.role == "push button")
            yield window.name == title and does, f"“{title}” is a dialog of that name, and “{accept}” does it", [str(window)]


def popovers(window):
    """Menus of the window, and those of the keyboard: the chooser of the part to be reworked, and the menu of the part at hand."""
    nodes = window.tree()
    for name in ("Main menu (F10)", "Recent files", "Parts", "Draw", "Show"):
        around, inside = [node for node in nodes if node.name == name and node.role == "push button"][:2]
        inside.press()
        time.sleep(0.3)
        yield judged(around, f"Menu “{name}”", least=4)
        key("Escape")
        time.sleep(0.2)
    activate("board", GLib.Variant("s", "group.select-all"), window=2)
    for stroke, name, title in (("ctrl+t", "LwTargetChooser", "Chooser of the target"),
                                ("shift+F10", "Board from the top", "Menu of the part")):
        activate("focus-board", window=2)
        key(stroke)
        time.sleep(0.3)
        yield judged(next(node for node in nodes if node.name == name), title, least=12)
        key("Escape")
        time.sleep(0.2)
    key("ctrl+shift+f")
    time.sleep(0.3)
    yield judged(window, "Find bar")
    key("Escape")


def damaged_board(app, folder, data):
    """What stands whole in a board that ends too early is offered."""
    whole = pathlib.Path(data, "idf_samples", "idf_example.emn").read_bytes()
    part = pathlib.Path(folder, "cut.emn")
    part.write_bytes(whole[:len(whole) * 3 // 4])
    with Opened(app, lambda: activate("open-uri", uri(part.as_uri()), window=2)) as window:
        yield judged(window, "Damaged board")
        yield named(window, "Open What Could Be Read") is not None, "what could be read is offered", []


def first_page(app):
    """A new window is empty: the first page, with the files that were opened before."""
    with Opened(app, lambda: activate("new-window", window=0)) as window:
        recent = until(lambda: named(window, "small.leeward"), 20)
        yield judged(window, "First page")
        yield recent.has(State.FOCUSABLE), "recent files take the keyboard", []
        activate("close", window=newest_window())
        time.sleep(0.3)


def table_window(app, data):
    activate("open-uri", uri(pathlib.Path(data, "centroid_variants", "a_mid_xy_suffix_mm.csv").resolve().as_uri()), window=2)
    window = titled(app, "How the Table Reads")
    yield judged(window, "Table of parts")
    key("Escape")
    yield from asked(app, "What was read", lambda: activate("remarks", window=newest_window()))


def checks(app, folder, data):
    job, log = small_files(folder)
    yield from recovery(app)
    yield from main_window(app)
    yield from keyed_windows(app)
    yield from menu_windows(app)
    activate("open-uri", uri(job))
    small = titled(app, "small.leeward")
    yield from doubt_list(small)
    yield from log_windows(app, log)
    yield judged(small, "Window with a run in its history")
    yield from outcome_windows(app)
    yield from cut_corner(small)
    yield from new_board(app, small)
    yield from own_package(app)
    yield from popovers(small)
    yield from choosers(app)
    yield from questions(app, job)
    yield from outside_change(small, pathlib.Path(folder, "small.leeward"))
    yield from damaged_board(app, folder, data)
    yield from first_page(app)
    yield from table_window(app, data)
    yield from change_preferences(app)


# ---- preferences, and the next start ----

def chosen(preferences):
    """What the preferences show: seconds, unit of temperatures, whether jobs are opened again."""
    nodes = preferences.tree()
    spin = next(node for node in nodes if node.role == "spin button" and node.name == "Recovery copy after")
    unit = next(node for node in nodes if node.role == "combo box" and node.name == "Temperatures")
    again = next(node for node in nodes if node.role == "check box" and node.name == "Open the last jobs at start")
    shown = next(node.name for node in unit.tree() if node.role == "label" and node.name != "(None)")  # GTK's, for nothing
    return spin, unit, again, (round(spin.value()[1]), shown, again.has(State.CHECKED))


WANTED = (17, "°F", False)


def tab_to(node):
    for _ in range(20):
        if any(each.has(State.FOCUSED) for each in node.tree()):
            return
        key("Tab")
        time.sleep(0.1)
    raise TimeoutError(f"Tab does not lead to {node}")


def change_preferences(app):
    """By the keyboard, none of them as it was."""
    with Opened(app, lambda: activate("preferences", window=0)) as window:
        spin, unit, again, before = chosen(window)
        tab_to(unit)
        key("Return")
        until(lambda: any(node.role == "list item" and node.has(State.FOCUSED) for node in window.tree()), 10)
        key("Down")
        key("Return")
        time.sleep(0.3)
        tab_to(again)
        key("space")
        tab_to(spin)
        key("ctrl+a")
        write(str(WANTED[0]))
        key("Return")
        time.sleep(0.3)
        after = chosen(window)[3]
    yield all(a != b for a, b in zip(before, WANTED)) and after == WANTED, "preferences are changed by the keyboard", [f"{before}, {after}"]


def kept_preferences(app):
    with Opened(app, lambda: activate("preferences", window=0)) as window:
        now = chosen(window)[3]
        yield now == WANTED, "preferences are there again at the next start", [str(now)]
    names = [window.name for window in windows(app)]
    yield not any("leeward –" in name for name in names), "and no job is opened, as they say", names


def leave(app, program):
    """Quits, saving nothing. The end is part of it: there a sanitizer tells of what leaked."""
    def over():
        """the program does not quit"""
        if program.poll() is None:
            for window in windows(app):
                for node in window.tree():
                    if node.name == "Discard" and node.role == "push button":
                        node.press()
        return program.poll() is not None
    activate("quit", window=0)
    until(over, 30)
    return program.returncode == 0, "quits with nothing amiss", [f"exit status {program.returncode}"]


def leave_a_copy():
    """What a program that was killed leaves behind: the copy counts, its note may be gone (src/app/recovery.c)."""
    copies = pathlib.Path(os.environ["XDG_DATA_HOME"], "leeward", "recovery")
    copies.mkdir(parents=True, exist_ok=True)
    copies.joinpath("left.leeward").write_text(json.dumps(SMALL), encoding="utf-8")


def tell(number, good, what, faults=()):
    print(f"{'ok' if good else 'not ok'} {number} {what}", flush=True)
    for fault in () if good else faults:
        print("#", fault)
    return good


def begin(bus, program, *arguments):
    process = subprocess.Popen([program, *arguments])
    return process, application(bus)


def all_checks(program, demo, folder, data, started):
    bus = Bus()
    leave_a_copy()
    process, app = begin(bus, program, demo)
    started.append(process)
    yield from checks(app, folder, data)
    yield leave(app, process)
    process, app = begin(bus, program)
    started.append(process)
    yield from kept_preferences(app)
    yield leave(app, process)


def main(program, demo, data):
    bus = subprocess.Popen(["/usr/libexec/at-spi-bus-launcher", "--launch-immediately"], stderr=subprocess.DEVNULL)
    manager = subprocess.Popen(["openbox"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    started, good, number = [manager, bus], True, 0
    time.sleep(0.7)
    pointer_away()
    try:
        with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryDirectory() as settings:
            os.environ.update(GSETTINGS_BACKEND="keyfile", XDG_CONFIG_HOME=settings)
            for number, (fine, what, faults) in enumerate(all_checks(program, demo, folder, data, started), 1):
                good &= tell(number, fine, what, faults)
        print(f"1..{number}")
    finally:
        for process in reversed(started):
            process.send_signal(signal.SIGTERM)
            process.wait(10)
    return 0 if good else 1


sys.exit(main(*sys.argv[1:4]))
