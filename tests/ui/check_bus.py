#!/usr/bin/env python3
"""The running program as a screen reader meets it, over the accessibility bus: in every window, whatever takes the keyboard has a
role and a name that a person gave it, and a value where it has one; and every picture has a list that holds the same things. The
roles are those of AT-SPI 2; that each control is to have a name, a role and a value is WCAG 2.1, 4.1.2.

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

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, Gio, GLib  # noqa: E402

# What GTK makes inside a named control, which it does not let a program name.
INSIDE = {"combo box", "spin button"}
# What may take the keyboard only to scroll or to hold what is named: a row of a table is heard by its cells, and GTK does not let a
# program name it.
HOLDERS = {"window", "frame", "dialog", "panel", "filler", "scroll pane", "viewport", "tool tip", "application", "table row"}
VALUED = {"spin button", "slider", "progress bar", "level bar"}
WORDED = {"entry", "text", "password text"}
EQUAL_LISTS = ["Parts", "Stages", "Thermocouples", "Shields", "Corners", "Layers", "Packages", "Findings, worst first"]
State = Atspi.StateType


class Node:
    """An accessible and what it says of itself."""

    def __init__(self, accessible, path, inside):
        self.accessible, self.path, self.inside = accessible, path, inside
        self.role, self.name = accessible.get_role_name(), accessible.get_name()
        self.states, self.count = accessible.get_state_set(), accessible.get_child_count()

    def given(self):
        return bool(self.name) and not self.name.startswith(("Gtk", "Lw"))

    def has(self, state):
        return self.states.contains(state)

    def __str__(self):
        return f"{self.role} {self.name!r} in {' / '.join(self.path[-4:])}"


def walk(accessible, path=(), inside=False):
    try:
        node = Node(accessible, list(path), inside)
    except GLib.Error:
        return  # it went away while it was asked
    yield node
    for index in range(min(node.count, 60)):
        child = accessible.get_child_at_index(index)
        if child is not None:
            yield from walk(child, [*path, f"{node.role} {node.name}"], inside or (node.role in INSIDE and node.given()))


def has_value(node):
    """Whether what has a value tells it."""
    if node.role in VALUED:
        value = node.accessible.get_value_iface()
        return value is not None and value.get_minimum_value() <= value.get_current_value() <= value.get_maximum_value()
    if node.role in WORDED:
        return node.accessible.get_text_iface() is not None
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


def application():
    def there():
        """the program is not on the bus"""
        desktop = Atspi.get_desktop(0)
        apps = [desktop.get_child_at_index(index) for index in range(desktop.get_child_count())]
        return next((app for app in apps if app is not None and app.get_name() == "leeward" and app.get_child_count() > 0), None)
    return until(there)


def windows(app):
    return [child for child in (app.get_child_at_index(index) for index in range(app.get_child_count())) if child is not None]


def key(stroke):
    subprocess.run([os.environ.get("LW_XDOTOOL") or "xdotool", "key", "--clearmodifiers", stroke], check=True)


def activate(name, *arguments, window=1):
    """An action as a menu item calls it."""
    path = "/org/leeward/Leeward" + (f"/window/{window}" if window else "")
    Gio.bus_get_sync(Gio.BusType.SESSION).call_sync(
        "org.leeward.Leeward", path, "org.gtk.Actions", "Activate", GLib.Variant("(sava{sv})", (name, list(arguments), {})),
        None, Gio.DBusCallFlags.NONE, -1, None)


class Opened:
    """A window that an act brings up; closed again afterwards."""

    def __init__(self, app, act):
        self.app, self.act = app, act

    def __enter__(self):
        before = windows(self.app)

        def more():
            """no window came up"""
            return next((window for window in windows(self.app) if window not in before), None)
        self.act()
        self.before, window = len(before), until(more, 30)
        time.sleep(0.4)
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
    return next((node for node in walk(window) if node.name == name and role in (None, node.role)), None)


def press_ready(window, name):
    """The button of that name, as soon as it can be pressed."""
    def ready():
        node = named(window, name, "push button")
        return node if node is not None and node.has(State.SENSITIVE) and node.has(State.VISIBLE) else None
    ready.__doc__ = f"“{name}” never could be pressed"
    return until(ready, 90)


def press(window, name):
    press_ready(window, name).accessible.get_action_iface().do_action(0)


# ---- what is looked at ----

def judged(window, title):
    def whole():
        """a window stays empty"""
        nodes = list(walk(window))
        return nodes if len(nodes) > 5 else None
    nodes = until(whole, 20)
    faults = faults_of(nodes)
    for _ in range(3):  # a window that still fills itself is asked again
        if faults:
            time.sleep(PATIENCE)
            nodes = list(walk(window))
            faults = faults_of(nodes)
    return not faults, f"{title}, {len(nodes)} accessibles: role, name and value of whatever takes the keyboard", faults


def missing_from(app, names, roles):
    """Those of the names that nothing of such a role bears, when each had the time to come up."""
    def missing():
        there = {node.name for node in walk(app) if node.role in roles}
        return [name for name in names if name not in there]
    try:
        until(lambda: not missing(), 10)
    except TimeoutError:
        pass
    return missing()


def main_window(app):
    until(lambda: any(node.role == "list item" for node in walk(app)))
    yield judged(app, "main window")
    missing = missing_from(app, EQUAL_LISTS, ("list", "tree table", "table", "list box"))
    yield not missing, "each thing that is drawn stands in a list too", missing
    missing = missing_from(app, ("Board from the top", "Profile"), ("image", "drawing area", "canvas"))
    yield not missing, "board and profile are named pictures", missing


def rows_of(app, name):
    """What the rows of a list in sight say."""
    found = next((node for node in walk(app) if node.name == name and node.role == "list"), None)
    return [] if found is None else [node.name for node in walk(found.accessible) if node.role == "list item"]


def doubt_list(app):
    """The bars of what moves a finding, once they are computed: a row for each, with both ends and its share."""
    key("alt+2")

    def told():
        """the bars never stood in a list"""
        rows = rows_of(app, "What the finding depends on")
        return rows if len(rows) > 1 else None
    faults = [row for row in until(told, 120)[:-1] if ": at its 5 % " not in row or "at its 95 % " not in row or "Share " not in row]
    yield not faults, "what moves a finding is heard row by row", faults
    key("alt+1")


def keyed_windows(app):
    for stroke, title in (("ctrl+comma", "Preferences"), ("ctrl+question", "Keyboard shortcuts"), ("F1", "Manual"), ("F11", "Presenting")):
        with Opened(app, lambda stroke=stroke: key(stroke)) as window:
            yield judged(window, title)


def menu_windows(app):
    with Opened(app, lambda: activate("make-package")) as window:
        yield judged(window, "Package maker")


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
    try:
        return window.get_name().startswith(title) or any(node.role == "label" and node.name == title for node in walk(window))
    except GLib.Error:
        return False  # it went away while it was asked


def titled(app, title):
    """A window that comes up by itself."""
    def whole():
        """a window never came up"""
        return next((each for each in windows(app) if shows_title(each, title) and len(list(walk(each))) > 5), None)
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


def first_page(app):
    """A new window is empty: the first page, with the files that were opened before."""
    with Opened(app, lambda: key("ctrl+n")) as window:
        recent = until(lambda: named(window, "small.leeward"), 20)
        yield judged(window, "First page")
        yield recent.has(State.FOCUSABLE), "recent files take the keyboard", []
        key("ctrl+w")
        time.sleep(0.5)


def table_window(app, data):
    activate("open-uri", uri(pathlib.Path(data, "centroid_variants", "a_mid_xy_suffix_mm.csv").resolve().as_uri()), window=2)
    yield judged(titled(app, "How the Table Reads"), "Table of parts")


def checks(app, folder, data):
    job, log = small_files(folder)
    yield from main_window(app)
    yield from keyed_windows(app)
    yield from menu_windows(app)
    activate("open-uri", uri(job))
    titled(app, "small.leeward")
    yield from doubt_list(app)
    yield from log_windows(app, log)
    yield from outcome_windows(app)
    yield from first_page(app)
    yield from table_window(app, data)


def leave(app, program):
    """Quits, saving nothing. The end is part of it: there a sanitizer tells of what leaked."""
    def over():
        """the program does not quit"""
        try:
            asking = [named(window, "Discard", "push button") for window in windows(app)] if program.poll() is None else []
            for button in filter(None, asking):
                button.accessible.get_action_iface().do_action(0)
        except GLib.Error:
            pass  # it went away while it was asked
        return program.poll() is not None
    activate("quit", window=0)
    until(over, 30)
    return program.returncode == 0, "quits with nothing amiss", [f"exit status {program.returncode}"]


def tell(number, good, what, faults=()):
    print(f"{'ok' if good else 'not ok'} {number} {what}", flush=True)
    for fault in () if good else faults:
        print("#", fault)
    return good


def main(program, demo, data):
    bus = subprocess.Popen(["/usr/libexec/at-spi-bus-launcher", "--launch-immediately"], stderr=subprocess.DEVNULL)
    manager = subprocess.Popen(["openbox"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    time.sleep(0.7)
    window = subprocess.Popen([program, demo])
    good = True
    try:
        Atspi.init()
        number = 0
        with tempfile.TemporaryDirectory() as folder:
            app = application()
            for number, (fine, what, faults) in enumerate(checks(app, folder, data), 1):
                good &= tell(number, fine, what, faults)
            good &= tell(number + 1, *leave(app, window))
        print(f"1..{number + 1}")
    finally:
        for process in (window, manager, bus):
            process.send_signal(signal.SIGTERM)
            process.wait(10)
    return 0 if good else 1


sys.exit(main(*sys.argv[1:4]))
