"""Setting a sheet's blocks on pages: everything wraps, nothing runs off, a long row goes on overleaf."""

from __future__ import annotations

from typing import Final

from tui.sheets.blocks import Block, Caution, Cell, Facts, Heading, Para, Pictures, Room, Sheet, Step, Table
from tui.sheets.fonts import MM_PER_POINT, Font, font
from tui.sheets.letters import LOST_NOTE
from tui.sheets.marks import Box, Face, Line, Mark, Page, Photo, Words
from tui.sheets.paper import MARGIN
from tui.sheets.wrap import cut, wrap

BODY: Final = 9.5
SMALL: Final = 7.5
HEAD: Final = 12.5
TITLE: Final = 18.0
LEADING: Final = 1.3
TICK: Final = 8.0
"""Side of a box to tick, in mm."""
FOOT: Final = 14.0
"""mm at the foot of the page that the body never enters."""
PAD: Final = 1.2
PICTURE: Final = 32.0
"""Height of a picture at most, in mm."""
IN_A_ROW: Final = 4
GAP: Final = 4.0
TICK_COLUMN: Final = TICK + 3


def pages(sheet: Sheet) -> tuple[Page, ...]:
    """The sheet's pages, at least one. Raises `PrintUnavailableError` where the font can't be had."""
    setter = _Setter(sheet)
    for block in sheet.blocks:
        setter.put(block)
    return setter.finished()


class _Setter:
    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.left = MARGIN
        self.wide = sheet.paper.width - 2 * MARGIN
        self.bottom = sheet.paper.height - MARGIN - FOOT
        self.fonts: dict[Face, Font] = {face: font(face) for face in Face}
        self.lossy = False
        self.done: list[list[Mark]] = []
        self.y = MARGIN
        self.turn_page()
        self._title()

    def finished(self) -> tuple[Page, ...]:
        count = len(self.done)
        return tuple((*page, *self._foot(number, count)) for number, page in enumerate(self.done, start=1))

    def turn_page(self) -> None:
        self.done.append([])
        self.y = MARGIN

    def put(self, block: Block) -> None:
        match block:
            case Heading():
                self._heading(block)
            case Para():
                self._para(block)
            case Facts():
                self._facts(block)
            case Table():
                self._table(block)
            case Step():
                self._step(block)
            case Caution():
                self._caution(block)
            case Pictures():
                self._pictures(block)
            case Room(height):
                self.need(min(height, self.bottom - MARGIN))

    # Text in lines.

    def lines(self, text: str, room: float, size: float, face: Face = Face.PLAIN) -> tuple[str, ...]:
        letters = self._letters(text, face)
        return wrap(letters, room, self.fonts[face].at(size))

    def one_line(self, text: str, room: float, size: float, face: Face = Face.PLAIN) -> str:
        return cut(self._letters(text, face), room, self.fonts[face].at(size))

    def _letters(self, text: str, face: Face) -> str:
        drawn = self.fonts[face].drawable(text)
        self.lossy = self.lossy or drawn.lossy
        return drawn.text

    def mark(self, mark: Mark) -> None:
        self.done[-1].append(mark)

    def need(self, height: float) -> None:
        """A new page if less than this is left of the present one."""
        if self.y + height > self.bottom:
            self.turn_page()

    def flow(self, text: str, x: float, room: float, size: float, face: Face = Face.PLAIN) -> None:
        """Lines one under another, over as many pages as they take."""
        step = _step(size)
        for line in self.lines(text, room, size, face):
            self.need(step)
            self.mark(Words(x, _baseline(self.y, size), line, size, face))
            self.y += step

    # The parts of a sheet.

    def _title(self) -> None:
        self.flow(self.sheet.title, self.left, self.wide, TITLE, Face.BOLD)
        if self.sheet.subtitle:
            self.flow(self.sheet.subtitle, self.left, self.wide, HEAD)
        self.y += 1.0
        self.mark(Line(self.left, self.y, self.left + self.wide, self.y, 0.5))
        self.y += 3.0

    def _heading(self, block: Heading) -> None:
        self.y += 3.0
        self.need(_step(HEAD) + 16.0)
        self.flow(block.text, self.left, self.wide, HEAD, Face.BOLD)
        self.y += 1.2

    def _para(self, block: Para) -> None:
        face = Face.BOLD if block.strong else Face.PLAIN
        if not block.boxed:
            # A strong paragraph leads in to what follows: never the last line of a page.
            self.need(_step(BODY) * (3 if block.strong else 1))
            self.flow(block.text, self.left, self.wide, BODY, face)
            self.y += 1.5
            return
        room = self.wide - 6.0
        height = len(self.lines(block.text, room, BODY, face)) * _step(BODY) + 4.0
        if height > self.bottom - MARGIN:
            self.put(block._replace(boxed=False))
            return
        self.need(height)
        self.mark(Box(self.left, self.y, self.wide, height, 0.4))
        self.y += 2.0
        self.flow(block.text, self.left + 3.0, room, BODY, face)
        self.y += 4.0

    def _facts(self, block: Facts) -> None:
        label_room = self.wide * 0.22
        x, room = self.left + label_room, self.wide - label_room
        for label, value in block.pairs:
            self.need(8.5 if value is None else _step(BODY))
            name = self.one_line(label, label_room - 2.0, BODY, Face.BOLD)
            if value is None:
                self.y += 3.0
                self.mark(Words(self.left, _baseline(self.y, BODY), name, BODY, Face.BOLD))
                self.y += _step(BODY)
                self.mark(Line(x, self.y, self.left + self.wide, self.y, 0.2))
                self.y += 1.5
                continue
            self.mark(Words(self.left, _baseline(self.y, BODY), name, BODY, Face.BOLD))
            self.flow(value, x, room, BODY)
            self.y += 0.6
        self.y += 2.0

    def _step(self, block: Step) -> None:
        self.need(TICK + 2.0)
        top = self.y
        page = len(self.done)
        self.mark(Box(self.left, top, TICK, TICK, 0.4))
        self.y += 1.8
        self.flow(block.text, self.left + TICK_COLUMN, self.wide - TICK_COLUMN, BODY + 0.5, Face.BOLD)
        if page == len(self.done):
            self.y = max(self.y, top + TICK)
        self.y += 1.2

    def _caution(self, block: Caution) -> None:
        size, indent = BODY - 0.5, TICK_COLUMN
        face = Face.BOLD if block.deadly else Face.PLAIN
        lines = self.lines(block.text, self.wide - indent - 5.0, size, face)
        self.need(min(len(lines), 3) * _step(size))
        self.mark(Words(self.left + indent, _baseline(self.y, size), "!" if block.deadly else "–", size, Face.BOLD))
        self.flow(block.text, self.left + indent + 5.0, self.wide - indent - 5.0, size, face)
        self.y += 0.8

    def _pictures(self, block: Pictures) -> None:
        wide = (self.wide - (IN_A_ROW - 1) * GAP) / IN_A_ROW
        for at in range(0, len(block.shown), IN_A_ROW):
            row = block.shown[at : at + IN_A_ROW]
            names = [self.lines(one.name, wide, SMALL) for one in row]
            height = PICTURE + 1.0 + max(map(len, names)) * _step(SMALL)
            self.need(height)
            for index, (one, lines) in enumerate(zip(row, names, strict=True)):
                x, scale = self.left + index * (wide + GAP), min(wide / one.width, PICTURE / one.height)
                high = one.height * scale
                self.mark(Photo(x, self.y + PICTURE - high, one.width * scale, high, one.jpeg))
                for down, line in enumerate(lines):
                    top = self.y + PICTURE + 1.0 + down * _step(SMALL)
                    self.mark(Words(x, _baseline(top, SMALL), line, SMALL))
            self.y += height + 2.0

    def _table(self, table: Table) -> None:
        start = self.left + (TICK_COLUMN if table.tick else 0.0)
        room = self.wide - (TICK_COLUMN if table.tick else 0.0)
        whole = sum(column.share for column in table.columns)
        widths = [room * column.share / whole for column in table.columns]
        edges = [start + sum(widths[:index]) for index in range(len(widths))]
        faces = [Face.BOLD if column.strong else Face.PLAIN for column in table.columns]
        least = TICK + 2.0 if table.tick else 6.5
        self._titles(table, edges, widths, least)
        for row in table.rows:
            self._row(table, row, edges, widths, faces, least)
        self.y += 3.0

    def _titles(self, table: Table, edges: list[float], widths: list[float], least: float) -> None:
        """The titles of the columns, kept with at least one row."""
        height = _step(SMALL) + 2.0
        self.need(height + least)
        self.mark(Box(self.left, self.y, self.wide, height, 0.0, 0.9))
        for column, x, wide in zip(table.columns, edges, widths, strict=True):
            title = self.one_line(column.title, wide - 2 * PAD, SMALL, Face.BOLD)
            indent = wide - PAD - self.fonts[Face.BOLD].width(title, SMALL) if column.right else PAD
            self.mark(Words(x + indent, _baseline(self.y + 1.0, SMALL), title, SMALL, Face.BOLD))
        self.y += height

    def _row(
        self,
        table: Table,
        row: tuple[Cell, ...],
        edges: list[float],
        widths: list[float],
        faces: list[Face],
        least: float,
    ) -> None:
        step = _step(BODY)
        cells = [
            () if cell is None else self.lines(cell, wide - 2 * PAD, BODY, face)
            for cell, wide, face in zip(row, widths, faces, strict=True)
        ]
        left_over = max((len(cell) for cell in cells), default=0)
        first, done = True, 0
        while first or done < left_over:
            # A row that a whole page can't hold goes on overleaf; one that can is never split.
            height = max(least, (left_over - done) * step + 2 * PAD)
            full_page = self.bottom - MARGIN - _step(SMALL) - 2.0
            if self.y + min(height, full_page) > self.bottom:
                self.turn_page()
                self._titles(table, edges, widths, least)
            fit = max(1, int((self.bottom - self.y - 2 * PAD) / step))
            shown = min(left_over - done, fit)
            height = max(least, shown * step + 2 * PAD)
            top = self.y
            if table.tick and first:
                self.mark(Box(self.left, top + 1.0, TICK, TICK, 0.4))
            rights = [column.right for column in table.columns]
            for cell, lines, x, wide, face, right in zip(row, cells, edges, widths, faces, rights, strict=True):
                if cell is None and first:
                    self.mark(Line(x + PAD, top + height - 1.4, x + wide - PAD, top + height - 1.4, 0.2))
                # A short cell stands level with the box to tick; a long one starts at the top.
                down = top + max(PAD, (least - len(lines) * step) / 2)
                for index, line in enumerate(lines[done : done + shown]):
                    indent = wide - PAD - self.fonts[face].width(line, BODY) if right else PAD
                    self.mark(Words(x + indent, _baseline(down + index * step, BODY), line, BODY, face))
            self.y = top + height
            self.mark(Line(self.left, self.y, self.left + self.wide, self.y, 0.1, 0.55))
            done += shown
            first = False

    def _foot(self, number: int, count: int) -> Page:
        y = self.sheet.paper.height - MARGIN - FOOT + 3.0
        marks: list[Mark] = [Line(self.left, y, self.left + self.wide, y, 0.2)]
        numbered = self.sheet.say(
            "{title} · page {number} of {count}",
            title=self.one_line(self.sheet.title, self.wide * 0.3, SMALL), number=number, count=count,
        )  # fmt: skip
        numbered_width = self.fonts[Face.PLAIN].width(numbered, SMALL)
        room = self.wide - numbered_width - 4.0
        note = self.sheet.say(LOST_NOTE) if self.lossy else ""
        for line in [*self.lines(self.sheet.foot, room, SMALL)[:2], *filter(None, [note])]:
            y += _step(SMALL)
            marks.append(Words(self.left, y, line, SMALL))
        end = self.left + self.wide - numbered_width
        marks.append(Words(end, self.sheet.paper.height - MARGIN - FOOT + 3.0 + _step(SMALL), numbered, SMALL))
        return tuple(marks)


def _step(size: float) -> float:
    return size * LEADING * MM_PER_POINT


def _baseline(top: float, size: float) -> float:
    """Where the baseline of a line stands whose top is at `top`: the font's ascent is 0.93 of its size."""
    return top + 0.95 * size * MM_PER_POINT
