"""The one table of keys: what each key means, the same on every screen.

A screen binds a meaning and says what it is there (`tui/bound.py`); no key stands anywhere else. Help pages, hints and
README's table are made of this. A meaning that has its place on a key only under some circumstance (a need is struck,
a promise is released: both *drop* what is highlighted) is one meaning: the screen says by the row which of them holds.

Many terminals and browsers keep some keys for themselves (`kept`), so what is done by one of those has a second, plain
key, or a row in the menu, which a plain key opens.
"""

from __future__ import annotations

from typing import Final, NamedTuple


class Meaning(NamedTuple):
    """What a key is for: its name here, its keys as Textual calls them, and the words of the tables."""

    name: str
    keys: tuple[str, ...]
    says: str

    @property
    def shown(self) -> str:
        """Its first key as a person reads it."""
        return written(self.keys[0]) if self.keys else MENU_KEY

    @property
    def plain(self) -> str:
        """Its plain key, which works where no field is, a letter before others; the first of all where it has none."""
        plain = [key for key in self.keys if not kept(key) and "+" not in key]
        return next(map(written, sorted(plain, key=lambda key: len(key) > 1)), self.shown)

    @property
    def all_shown(self) -> str:
        """All its keys: "F8 or C"."""
        return " or ".join(map(written, self.keys))


def _keys(name: str, keys: str, says: str) -> Meaning:
    return Meaning(name, tuple(keys.split()), says)


MENU_KEY: Final = "0"
MENU: Final = "in-menu"
"""The meaning of what has no key of its own: a row of the menu."""

KEYS: Final = (
    _keys("take", "enter", "go on with what is highlighted or typed; the line above the keys says how"),
    _keys("leave", "escape", "from the field to the list and back; close what lies on top, change nothing"),
    _keys("menu", "0 ctrl+p", "all that can be done here, by name"),
    _keys("help", "f1", "what this screen does and its keys"),
    _keys("search", "slash", "type in the search"),
    _keys("why", "question_mark w", "why: every reason with its source"),
    _keys("up", "up k", "a row up"),
    _keys("down", "down j", "a row down"),
    _keys("page-up", "pageup", "a page up"),
    _keys("page-down", "pagedown", "a page down; from a field beside pictures, the next picture"),
    _keys("first", "home g", "the first row"),
    _keys("last", "end G", "the last row"),
    _keys("before", "left", "the word before"),
    _keys("after", "right", "the next word"),
    _keys("mark", "space", "mark the row, or take the mark off; the next word"),
    _keys("next-field", "tab", "the next field"),
    _keys("field-before", "shift+tab", "the field before"),
    _keys("unit", "f6 u", "mm or inch for a bare number"),
    _keys("undo", "f9 z", "take the last change back"),
    _keys("quit", "f10 q", "leave; everything is saved already"),
    _keys("kit", "f7 i", "put it into a kit"),
    _keys("clear", "f8 c", "empty what is typed"),
    _keys("turn", "f12 t", "turn to the next list, table or thing to judge"),
    _keys("fill", "insert f", "fill in what is empty: from the shelf, the standard, a picture, an example"),
    _keys("list", "ctrl+l l", "a whole list: load it, or work through it"),
    _keys("record", "ctrl+r r", "put on record what came, fitted, was poured or sealed"),
    _keys("wanted", "ctrl+s o", "what there is to get: on the shelf, then from suppliers"),
    _keys("machine", "ctrl+o h", "what is on record for the machine, there and back"),
    _keys("groove", "ctrl+g", "the groove, there and back"),
    _keys("tool", "ctrl+t", "what the reading was taken with"),
    _keys("looks", "ctrl+n", "how the ring looks"),
    _keys("sits", "ctrl+b", "where the ring sits"),
    _keys("all", "a", "all of them, or only some"),
    _keys("back", "b", "put it back"),
    _keys("drop", "delete d", "drop what is highlighted"),
    _keys("change", "e", "change what is highlighted"),
    _keys("move", "m", "move it to another place"),
    _keys("new", "n", "a new one"),
    _keys("pick", "p", "take it off the shelf"),
    _keys("scrap", "s", "throw it away"),
    _keys("paper", "v", "the paper or the picture that goes with it: to see, as a file"),
    _keys("cost", "dollar_sign", "what it costs"),
    _keys("end", "x", "end it: close, cancel"),
    _keys("again", "y", "read the workshop again"),
    _keys("more", "plus equals_sign", "more"),
    _keys("less", "minus", "fewer"),
    _keys("measure", "f2 1", "Measure"),
    _keys("catalog", "f3 2", "Catalog"),
    _keys("kits", "f4 3", "Kits"),
    _keys("shelf", "f5 4", "Shelf"),
    _keys("judge", "f11 5", "Judge"),
    _keys("buy", "ctrl+y 6", "Buy"),
    _keys("find", "ctrl+f 7", "Find"),
    # From inside a field of Judge, where a letter alone is typed. Terminals send Alt+F and Alt+B as a move by a word.
    _keys("element", "alt+e", "Judge: element"),
    _keys("fluid", "alt+f alt+l", "Judge: fluid"),
    _keys("rubber", "alt+c", "Judge: rubber"),
    _keys("viscosity", "alt+v", "Judge: viscosity"),
    _keys("level", "alt+s", "Judge: fill"),
    _keys("thread", "alt+r", "Judge: thread"),
    _keys("port", "alt+y", "Judge: port"),
    _keys("torque", "alt+t", "Judge: torque"),
    _keys("seal", "alt+m", "Judge: seal"),
    _keys("tables", "alt+b alt+d", "Judge: tables"),
)
"""Every meaning, in the order of the tables."""
AREAS: Final = ("measure", "catalog", "kits", "shelf", "judge", "buy", "find")
BY_NAME: Final = {one.name: one for one in KEYS}
BY_KEY: Final = {key: one for one in KEYS for key in one.keys}

_NAMES: Final = {
    "enter": "Enter", "escape": "Esc", "space": "Space", "delete": "Del", "insert": "Ins", "pageup": "PgUp",
    "pagedown": "PgDn", "home": "Home", "end": "End", "up": "↑", "down": "↓", "left": "←", "right": "→",
    "tab": "Tab", "shift+tab": "Shift+Tab", "slash": "/", "question_mark": "?", "plus": "+", "equals_sign": "=",
    "minus": "-", "dollar_sign": "$", "G": "Shift+G",
}  # fmt: skip


def written(key: str) -> str:
    """A key as a person reads it: ^L, Alt+E, F7, Enter, C."""
    if key in _NAMES:
        return _NAMES[key]
    lead, _, last = key.rpartition("+")
    return {"": "", "ctrl": "^", "alt": "Alt+"}[lead] + last.upper()


def kept(key: str) -> bool:
    """Whether terminals or browsers keep this key for themselves: F1 to F12, Ctrl+B N P R T W, Alt with a letter."""
    return (key[0] == "f" and key[1:].isdigit()) or key.startswith("alt+") or key in _KEPT


_KEPT: Final = frozenset(f"ctrl+{letter}" for letter in "bnprtw")


def meaning(name: str) -> Meaning:
    """A meaning by its name. Raises `KeyError` where the table has none."""
    return BY_NAME[name]


def key(name: str) -> str:
    """The key to name in a sentence: the first of the meaning's."""
    return meaning(name).shown


def plain(name: str) -> str:
    """The key to name in a sentence where no field is: the plain one."""
    return meaning(name).plain


def filled(text: str) -> str:
    """A text with `{clear}` as the first key of that meaning, `{plain:clear}` as its plain one."""
    for one in KEYS:
        text = text.replace(f"{{{one.name}}}", one.shown).replace(f"{{plain:{one.name}}}", one.plain)
    return text


def readme_table() -> str:
    """The table for people, as it stands in README: a key, or the plain and the other, and what it means."""
    rows = [f"| {one.all_shown} | {one.says} |" for one in KEYS]
    return "\n".join(("| key | does, on every screen |", "| --- | --- |", *rows))
