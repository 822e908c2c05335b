"""What is cut on a screen: a sentence at its part's edge, a cell in a list's column, a hint in a field.

Looked at in the pictures' own runs, so that it costs no run more: every picture that is taken of a window of 80 columns
and more notes what is cut in it, and the test that took it fails. `ON_PURPOSE` holds what is cut by design.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Final

from rich.cells import cell_len
from textual.app import App
from textual.content import Content
from textual.visual import visualize
from textual.widget import Widget
from textual.widgets import Input

from tui.widgets.rows import Rows

NARROWEST: Final = 80
FOUND: list[str] = []
"""What was cut in the pictures since it was last looked at."""
SPELT_OUT: Final = ("Why", "Figures", "What it is")
"""Columns of sentences: the highlighted row's stands whole beneath its list."""
KIT_LINE: Final = ("lines", "What")
"""An item's name in a kit stands whole beneath it too; bin, amount and state are never cut."""
WHOLE_ELSEWHERE: Final = ("ReadingField",)
"""Their sentences stand whole in the answer; theirs is one line, so that nothing moves while somebody types."""
_MARKED: Final = re.compile(r"\S…|\w…")
_export = App.export_screenshot


def cuts(app: App[Any]) -> list[str]:
    """Every text of the page on top that is cut, with its part."""
    if app.size.width < NARROWEST:
        return []
    compositor = app.screen._compositor
    found = []
    for part, (region, clip) in compositor.visible_widgets.items():
        if region.overlaps(clip) and part.display:
            found += [f"{type(part).__name__}#{part.id or ''}: {text}" for text in _in_part(part)]
    return found


def _in_part(part: Widget) -> Iterator[str]:
    if type(part).__name__ in WHOLE_ELSEWHERE:
        return
    if isinstance(part, Rows):
        yield from _in_list(part)
    elif isinstance(part, Input):
        if not part.value and cell_len(part.placeholder) > part.content_size.width:
            yield part.placeholder
    elif (not part.children and part.content_size) or (part.children and type(part).render is not Widget.render):
        yield from _in_words(part)


def _in_list(rows: Rows) -> Iterator[str]:
    for _, column, cells in rows._shown:
        if cell_len(column.title) > cells:
            yield column.title
    first = rows.scroll_offset.y
    for index in range(first, min(rows.count, first + rows.scrollable_content_region.height - 1)):
        row = rows._row(index)
        for at, column, cells in rows._shown:
            text = row.cells[at] if at < len(row.cells) else ""
            # The reason behind a name, in brackets or after a colon, stands whole beneath the list, too.
            name = re.split(r" \(|: ", text)[0]
            if (
                column.title not in SPELT_OUT
                and (rows.id, column.title) != KIT_LINE
                and (cell_len(name) > cells or _MARKED.search(text))
            ):
                yield f"{column.title or at}: {text}"


def _in_words(part: Widget) -> Iterator[str]:
    visual = visualize(part, part.render(), markup=getattr(part, "_render_markup", True))
    if not isinstance(visual, Content):
        return
    width, height = part.content_size
    if part.styles.text_wrap == "nowrap":
        lines = visual.split("\n")
        yield from (line.plain for line in lines if cell_len(line.plain.rstrip()) > width)
    else:
        lines = visual.wrap(width) if width else []
        if len(lines) > height and not part.show_vertical_scrollbar:
            yield visual.plain
    yield from (line.plain for line in lines if _MARKED.search(line.plain))


def _noting(self: App[Any], **how: Any) -> str:
    FOUND.extend(cuts(self))
    return _export(self, **how)


def share() -> None:
    """From here on every picture notes what is cut."""
    App.export_screenshot = _noting  # type: ignore[method-assign]
