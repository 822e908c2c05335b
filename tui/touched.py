"""What a finger means: a field by its name or by what is said beneath it, a key by its name in a line of keys."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from textual.geometry import Region
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input, Static

from tui.keys import BY_KEY, written

if TYPE_CHECKING:
    from textual import events

CLICKED: Final = "@click"
"""What Textual's words that do something have in their style."""
KEY_LINES: Final = frozenset({"sheet-keys", "line-keys", "shelf-keys"})
"""Class or id of the lines that say keys and what they do, as "Enter does it · Esc cancels"."""
PARTED: Final = " · "
KEY_OF: Final = {written(key): key for key in BY_KEY if key != "minus"}
"""A key by what it is called there; "-" is typed into a field, and is none."""
NEAR: Final = 2
"""Lines that a touch may lie from the field."""


def field_beside(event: events.Click) -> Input | None:
    """The field that belongs to what was touched, where that takes no touch itself.

    It lies in what was touched, or beside it in the same part of the page; never only somewhere on the page.
    """
    part = event.widget
    if part is None or part.focusable or part.parent is None or CLICKED in event.style.meta:
        return None
    inside = [one for one in part.children if isinstance(one, Input)]
    around = part.parent.children if isinstance(part.parent, Widget) and not isinstance(part.parent, Screen) else ()
    fields = [one for one in (inside or around) if isinstance(one, Input) and one.display and one.focusable]

    def off(field: Input) -> tuple[int, int]:
        region: Region = field.region
        down = max(region.y - event.screen_y, event.screen_y - (region.bottom - 1), 0)
        across = max(region.x - event.screen_x, event.screen_x - (region.right - 1), 0)
        return down, across

    found = min(fields, key=off, default=None)
    return found if found is not None and off(found)[0] <= NEAR else None


def key_named(line: str, at: int) -> str | None:
    """The key that is meant by a touch `at` so many cells into a line of keys; None where its words name none."""
    begins = line.rfind(PARTED, 0, at + 1)
    begins = 0 if begins < 0 else begins + len(PARTED)
    part = line[begins:].partition(PARTED)[0]
    named: list[tuple[int, str]] = []
    for word in re.finditer(r"\S+", part):
        key = KEY_OF.get(word[0].rstrip(":"))
        if key is None:
            break
        named.append((begins + word.start(), key))
    # Of two keys, as in "PgUp PgDn bin", the one that was touched; else the first.
    return next((key for start, key in reversed(named) if start <= at), named[0][1] if named else None)


def key_touched(event: events.Click) -> str | None:
    """The key whose words were touched, in a line that says keys."""
    part = event.widget
    if not isinstance(part, Static) or not KEY_LINES & {*part.classes, part.id or ""}:
        return None
    (line,) = part.render_lines(Region(0, event.y, part.outer_size.width, 1))
    return key_named(line.text, event.x)
