"""Bin labels: the code in large letters, what lies there, and a QR code for the scanner; on a grid or a roll."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final, NamedTuple

from catalog.languages.tongue import ENGLISH, Tongue
from tui.sheets import pdf, plain
from tui.sheets.bin_code import bin_code
from tui.sheets.blocks import Column, Para, Sheet, Table
from tui.sheets.fonts import MM_PER_POINT, font
from tui.sheets.label_grids import GRIDS, LONGEST, Grid, as_long
from tui.sheets.letters import LOZENGE, clean
from tui.sheets.marks import Face, Line, Mark, Page, Words
from tui.sheets.qr import Code, boxes, code_for
from tui.sheets.records import BinLabel
from tui.sheets.wrap import cut, wrap

INSET: Final = 2.0
"""mm kept white inside a label, for a cut that strays."""
CUT: Final = 2.5
"""Length of a cut mark's arms, in mm."""
CODE_SIZES: Final = (34.0, 28.0, 24.0, 20.0, 17.0, 14.0, 12.0, 10.0, 8.0)
NOTE_SIZE: Final = 8.0
GAP: Final = 0.8
"""mm between the code and what lies there."""
TOO_FINE: Final = "no QR: the code is too long for this label"
LOST: Final = f"{LOZENGE}: a letter not shown"
SCALE: Final = "Print at 100 %, not “fit to page”, or the labels miss their grid."


def as_pdf(labels: Sequence[BinLabel], grid: Grid = GRIDS[0], *, skip: int = 0, say: Tongue = ENGLISH) -> bytes:
    """The labels as a PDF. `skip` leaves out the first labels of the first sheet, used up before.

    Raises ValueError for a bin without a code or a `skip` that leaves no label on the sheet, `PrintUnavailableError`
    without the printing libraries.
    """
    grid = _cut_from(grid, labels, say) if grid.endless else grid
    return pdf.written(pages(labels, grid, skip=skip, say=say), grid.paper, title=say("Bin labels"), actual_size=True)


def as_text(labels: Sequence[BinLabel], say: Tongue = ENGLISH) -> str:
    """The labels as plain text: each bin with what its QR code says."""
    rows = tuple((one.code, bin_code(clean(one.code)), one.note) for one in labels)
    table = Table((Column(say("Bin"), 3), Column(say("QR code says"), 3), Column(say("What lies there"), 4)), rows)
    return plain.text_of(Sheet(say("Bin labels"), "", say(SCALE), (table if rows else Para(say("No bins.")),)))


def pages(labels: Sequence[BinLabel], grid: Grid, *, skip: int = 0, say: Tongue = ENGLISH) -> tuple[Page, ...]:
    """The labels as marks, at least one page."""
    if grid.roll and skip:
        raise ValueError("A roll has no labels used before; leave out how many to skip.")
    if not 0 <= skip < grid.per_page:
        raise ValueError(f"A sheet has {grid.per_page} labels; type 0 to {grid.per_page - 1} to leave out.")
    count = max(1, -(-(len(labels) + skip) // grid.per_page))
    made: list[list[Mark]] = [[] if grid.roll else _cut_marks(grid) for _ in range(count)]
    for number, label in enumerate(labels, start=skip):
        page, index = divmod(number, grid.per_page)
        made[page] += _label(label, grid, say, *grid.corner(index))
    return tuple(map(tuple, made))


class _Laid(NamedTuple):
    """How a label's parts fit: the code as a square of `side` mm, its words, and whether all of them are there."""

    code: Code | None
    side: float
    size: float
    lines: tuple[str, ...]
    notes: tuple[str, ...]
    whole: bool


def _cut_from(roll: Grid, labels: Sequence[BinLabel], say: Tongue) -> Grid:
    """The roll cut as long as the longest of these labels needs, to a millimetre, or as long as a label may be."""
    long = roll.height
    for label in labels:
        if _laid(label, as_long(roll, long), say).whole:
            continue
        if not _laid(label, as_long(roll, LONGEST), say).whole:
            return as_long(roll, LONGEST)
        short, long = long, LONGEST
        while long - short > 1.0:
            middle = (short + long) / 2
            short, long = (short, middle) if _laid(label, as_long(roll, middle), say).whole else (middle, long)
    return as_long(roll, long)


def _laid(label: BinLabel, grid: Grid, say: Tongue) -> _Laid:
    side = min(grid.height - 2 * INSET, grid.width * 0.42)
    code = code_for(bin_code(clean(label.code)), side)
    room = grid.width - 2 * INSET - (0.0 if code is None else side + 1.0)
    said, lossy = font(Face.BOLD).drawable(label.code)
    size, lines = _largest(said, room, (grid.height - 2 * INSET) * 0.66)
    warnings = [say(TOO_FINE)] if code is None else []
    note, also_lossy = font(Face.PLAIN).drawable("\n".join([*warnings, label.note]))
    if lossy or also_lossy:
        note = f"{say(LOST)}\n{note}"
    notes = _note(note, room, grid.height - 2 * INSET - len(lines) * _step(size, 1.02) - GAP)
    whole = "".join(note.split()) == "".join("".join(notes).split())
    return _Laid(code, side, size, lines, notes, whole)


def _label(label: BinLabel, grid: Grid, say: Tongue, left: float, top: float) -> list[Mark]:
    laid = _laid(label, grid, say)
    marks: list[Mark] = []
    x = left + INSET
    if laid.code is not None:
        marks += boxes(laid.code, left + INSET, top + (grid.height - laid.side) / 2, laid.side)
        x += laid.side + 1.0
    noted = GAP + len(laid.notes) * _step(NOTE_SIZE, 1.25) if laid.notes else 0.0
    y = top + (grid.height - len(laid.lines) * _step(laid.size, 1.02) - noted) / 2
    for line in laid.lines:
        y += _step(laid.size, 1.02)
        marks.append(Words(x, y - 0.2 * _step(laid.size, 1.0), line, laid.size, Face.BOLD))
    y += GAP
    for line in laid.notes:
        y += _step(NOTE_SIZE, 1.25)
        marks.append(Words(x, y - 0.25 * _step(NOTE_SIZE, 1.0), line, NOTE_SIZE))
    return marks


def _note(text: str, room: float, height: float) -> tuple[str, ...]:
    """What lies there, in as many lines as there is height for, the last cut off if there is more."""
    width = font(Face.PLAIN).at(NOTE_SIZE)
    lines = wrap(text, room, width) if text.strip() else ()
    fit = max(0, int(height / _step(NOTE_SIZE, 1.25)))
    if len(lines) <= fit or not fit:
        return lines[:fit]
    return (*lines[: fit - 1], cut(" ".join(lines[fit - 1 : fit + 1]), room, width))


def _largest(text: str, room: float, height: float) -> tuple[float, tuple[str, ...]]:
    """The code as large as it fits: on one line, on two, on more, with words broken, then cut off."""
    bold = font(Face.BOLD)
    for most, least, whole in ((1, 17.0, True), (2, 12.0, True), (99, 8.0, True), (99, 8.0, False)):
        for size in (size for size in CODE_SIZES if size >= least):
            lines = wrap(text, room, bold.at(size))
            broken = len(" ".join(lines).split()) != len(text.split())
            if len(lines) <= most and len(lines) * _step(size, 1.02) <= height and not (whole and broken):
                return size, lines
    size = CODE_SIZES[-1]
    fit = max(1, int(height / _step(size, 1.02)))
    lines = wrap(text, room, bold.at(size))
    return size, (*lines[: fit - 1], cut("".join(lines[fit - 1 : fit + 1]), room, bold.at(size)))


def _step(size: float, leading: float) -> float:
    return size * leading * MM_PER_POINT


def _cut_marks(grid: Grid) -> list[Mark]:
    """A small cross at each corner of each label, in hairline, clear of the edge of the paper."""
    corners = sorted(
        {
            (round(x + across, 4), round(y + down, 4))
            for x, y in map(grid.corner, range(grid.per_page))
            for across in (0.0, grid.width)
            for down in (0.0, grid.height)
        }
    )
    marks: list[Mark] = []
    for x, y in corners:
        marks.append(Line(x - min(CUT, x), y, x + min(CUT, grid.paper.width - x), y, 0.05, 0.4))
        marks.append(Line(x, y - min(CUT, y), x, y + min(CUT, grid.paper.height - y), 0.05, 0.4))
    return marks
