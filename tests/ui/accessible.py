"""Accessibles of a program over the accessibility bus, asked a generation at a time: whoever waits for each answer before the next
question needs ten times as long for a window of a thousand of them. Paths, interfaces and members are those of AT-SPI 2, as its
introspection files of the package at-spi2-core describe them."""
import gi

gi.require_version("Atspi", "2.0")
from gi.repository import Atspi, Gio, GLib  # noqa: E402

A11Y = "org.a11y.atspi."
ROOT = "/org/a11y/atspi/accessible/root"
NULL = "/org/a11y/atspi/null"
PATIENT_MS = 30000  # a program that builds a table of a hundred rows does not answer meanwhile

# Of a table the first rows stand for all: they are made by the same few lines.
ROWS_MOST, CHILDREN_MOST = 6, 60


class Bus:
    """The accessibility bus, which the session's bus knows the address of."""

    def __init__(self):
        session = Gio.bus_get_sync(Gio.BusType.SESSION)
        address, = session.call_sync("org.a11y.Bus", "/org/a11y/bus", "org.a11y.Bus", "GetAddress", None, None,
                                     Gio.DBusCallFlags.NONE, -1, None).unpack()
        self.connection = Gio.DBusConnection.new_for_address_sync(
            address, Gio.DBusConnectionFlags.AUTHENTICATION_CLIENT | Gio.DBusConnectionFlags.MESSAGE_BUS_CONNECTION, None, None)

    def ask(self, questions):
        """Each question: (owner, path), interface, member, arguments. As many answers; None where there was none, since what was
        asked may go away at any moment."""
        answers, open_questions = [None] * len(questions), [len(questions)]

        def answered(connection, result, index):
            open_questions[0] -= 1
            try:
                answers[index] = connection.call_finish(result).unpack()
            except GLib.Error:
                pass

        for index, ((owner, path), interface, member, arguments) in enumerate(questions):
            self.connection.call(owner, path, interface, member, arguments, None, Gio.DBusCallFlags.NONE, PATIENT_MS, None,
                                 answered, index)
        while open_questions[0] > 0:
            GLib.MainContext.default().iteration(True)
        return answers

    def programs(self):
        """The programs' roots."""
        children, = self.ask([(("org.a11y.atspi.Registry", ROOT), A11Y + "Accessible", "GetChildren", None)])
        return children[0] if children else []


class Node:
    """An accessible and what it said of itself."""

    def __init__(self, bus, reference, path=(), inside=False):
        self.bus, self.reference, self.path, self.inside = bus, reference, path, inside
        self.role = self.name = ""
        self.count, self.states, self.children, self.there = 0, 0, [], False

    def take(self, properties, role, states):
        """Whether it was still there."""
        self.there = None not in (properties, role, states)
        if not self.there:
            return False
        self.name, self.count = properties[0].get("Name", ""), properties[0].get("ChildCount", 0)
        self.role = Atspi.role_get_name(Atspi.Role(role[0]))
        self.states = states[0][0] | states[0][1] << 32
        return True

    def given(self):
        return bool(self.name) and not self.name.startswith(("Gtk", "Lw"))

    def has(self, state):
        return bool(self.states >> int(state) & 1)

    def most(self):
        return ROWS_MOST if self.name == "GtkColumnListView" else CHILDREN_MOST

    def tree(self, generations=60):
        """It and all below it as they are now; empty when it has gone."""
        return walk(self.bus, self.reference, generations)

    def now(self):
        """It alone, as it is now; None when it has gone."""
        return next(iter(self.tree(0)), None)

    def value(self):
        """Lowest, now, highest; None when it has no value."""
        got, = self.bus.ask([(self.reference, "org.freedesktop.DBus.Properties", "GetAll", GLib.Variant("(s)", (A11Y + "Value",)))])
        return got and tuple(got[0][each] for each in ("MinimumValue", "CurrentValue", "MaximumValue"))

    def has_text(self):
        got, = self.bus.ask([(self.reference, A11Y + "Accessible", "GetInterfaces", None)])
        return got is not None and A11Y + "Text" in got[0]

    def press(self):
        self.bus.ask([(self.reference, A11Y + "Action", "DoAction", GLib.Variant("(i)", (0,)))])

    def __str__(self):
        return f"{self.role} {self.name!r} in {' / '.join(self.path[-4:])}"


# What GTK makes inside a named control, which it does not let a program name.
INSIDE = {"combo box", "spin button"}


def look(bus, nodes):
    """What the nodes say of themselves; those that are gone are left out."""
    questions = []
    for node in nodes:
        questions += [(node.reference, "org.freedesktop.DBus.Properties", "GetAll", GLib.Variant("(s)", (A11Y + "Accessible",))),
                      (node.reference, A11Y + "Accessible", "GetRole", None), (node.reference, A11Y + "Accessible", "GetState", None)]
    answers = bus.ask(questions)
    return [node for index, node in enumerate(nodes) if node.take(*answers[3 * index:3 * index + 3])]


def grow(bus, parents):
    """The next generation."""
    parents = [node for node in parents if node.count > 0]
    answers = bus.ask([(node.reference, A11Y + "Accessible", "GetChildren", None) for node in parents])
    for parent, answer in zip(parents, answers):
        inside = parent.inside or (parent.role in INSIDE and parent.given())
        path = [*parent.path, f"{parent.role} {parent.name}"]
        references = [each for each in (answer[0] if answer else []) if each[1] != NULL]
        parent.children = [Node(bus, each, path, inside) for each in references[:parent.most()]]
    return [child for parent in parents for child in parent.children]


def flat(node):
    """From the top down, without those that are gone."""
    if node.there:
        yield node
        for child in node.children:
            yield from flat(child)


def walk(bus, reference, generations=60):
    """The accessible and all below it; empty when it has gone."""
    root = Node(bus, reference)
    level = look(bus, [root])
    while level and generations > 0:
        generations -= 1
        level = look(bus, grow(bus, level))
    return list(flat(root))
