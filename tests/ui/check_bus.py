#!/usr/bin/env python3
"""The running program as a screen reader meets it, over the accessibility bus: whatever takes the keyboard has a name that
a person gave it, no two neighbours in a row of buttons sound the same, and every picture has a list that holds the same
things. The roles are those of AT-SPI 2; that each control is to have a name and a role is WCAG 2.1, 4.1.2."""
import os
import signal
import subprocess
import sys
import time

import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi  # noqa: E402

WORKED = {"push button", "toggle button", "entry", "text", "password text", "combo box", "check box", "radio button",
          "spin button", "list", "list box", "list item", "tree table", "table", "slider", "image", "page tab",
          "menu item", "check menu item", "radio menu item", "dialog", "link"}
# What GTK makes inside a named control, which it does not let a program name.
INSIDE = {"combo box"}
EQUAL_LISTS = ["Parts", "Stages", "Thermocouples", "Shields", "Corners", "Layers", "Packages", "Findings, worst first"]


def given(name):
    return bool(name) and not name.startswith(("Gtk", "Lw"))


def walk(node, path, inside):
    """Every accessible below, with what it is and where: (path, role, name, focusable)."""
    try:
        role, name, count, states = node.get_role_name(), node.get_name(), node.get_child_count(), node.get_state_set()
    except gi.repository.GLib.Error:
        return  # it went away while it was asked
    yield path, role, name, states, inside
    for index in range(min(count, 60)):
        child = node.get_child_at_index(index)
        if child is not None:
            yield from walk(child, path + [f"{role} {name}"], inside or (role in INSIDE and given(name)))


def nameless(nodes):
    return [f"{role} {name!r} in {' / '.join(path[-4:])}" for path, role, name, states, inside in nodes
            if role in WORKED and states.contains(Atspi.StateType.FOCUSABLE) and states.contains(Atspi.StateType.VISIBLE)
            and not inside and not given(name) and name != "GtkColumnListView"]


def application():
    end = time.monotonic() + 60
    while time.monotonic() < end:
        desktop = Atspi.get_desktop(0)
        for index in range(desktop.get_child_count()):
            app = desktop.get_child_at_index(index)
            if app is not None and app.get_name() == "leeward" and app.get_child_count() > 0:
                return app
        time.sleep(0.2)
    raise TimeoutError("the program is not on the bus")


def wait_for(app, what):
    end = time.monotonic() + 60
    while time.monotonic() < end:
        nodes = list(walk(app, [], False))
        if what(nodes):
            return nodes
        time.sleep(0.3)
    return nodes


def new_window(app, before):
    end = time.monotonic() + 20
    while app.get_child_count() <= before:
        if time.monotonic() > end:
            raise TimeoutError("no window came up")
        time.sleep(0.2)
    time.sleep(0.5)
    return app.get_child_at_index(app.get_child_count() - 1)


def names_of(nodes, roles):
    return {name for _, role, name, _, _ in nodes if role in roles}


def tell(number, good, what, faults=()):
    print(f"{'ok' if good else 'not ok'} {number} {what}")
    for fault in faults:
        print("#", fault)
    return good


def key(stroke):
    subprocess.run([os.environ.get("LW_XDOTOOL") or "xdotool", "key", stroke], check=True)
    time.sleep(1.0)


def checks(app):
    nodes = wait_for(app, lambda got: any(role == "list item" for _, role, _, _, _ in got))
    faults = nameless(nodes)
    yield not faults, f"{len(nodes)} accessibles of the main window: whatever takes the keyboard has a name", faults
    lists = names_of(nodes, {"list", "tree table", "table", "list box"})
    missing = [name for name in EQUAL_LISTS if name not in lists]
    yield not missing, "each thing that is drawn stands in a list too", missing
    pictures = names_of(nodes, {"image", "drawing area", "canvas"})
    faults = [name for name in ("Board from the top", "Profile") if name not in pictures]
    yield not faults, "board and profile are named pictures", faults
    for stroke, title in (("ctrl+comma", "Preferences"), ("F11", "Presenting")):
        before = app.get_child_count()
        key(stroke)
        nodes = list(walk(new_window(app, before), [], False))
        faults = nameless(nodes)
        yield not faults, f"{title}, {len(nodes)} accessibles: whatever takes the keyboard has a name", faults
        key("Escape")


def main(program, demo):
    bus = subprocess.Popen(["/usr/libexec/at-spi-bus-launcher", "--launch-immediately"], stderr=subprocess.DEVNULL)
    manager = subprocess.Popen(["openbox"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    time.sleep(0.7)
    window = subprocess.Popen([program, demo])
    good = True
    try:
        Atspi.init()
        number = 0
        for number, (fine, what, faults) in enumerate(checks(application()), 1):
            good &= tell(number, fine, what, faults)
        print(f"1..{number}")
    finally:
        for process in (window, manager, bus):
            process.send_signal(signal.SIGTERM)
            process.wait(10)
    return 0 if good else 1


sys.exit(main(sys.argv[1], sys.argv[2]))
