"""An element in its housing, drawn to scale on its side: seats, spring, which way the oil leaves, which end leaks."""

from __future__ import annotations

from typing import NamedTuple

from textual.content import Content
from textual.widget import Widget

import catalog
from tui.widgets.canvas import Canvas
from tui.widgets.cells import fit
from tui.widgets.judge.marks import Mark


class EndShape(NamedTuple):
    """An end of the element: "open", "closed", "screened", "sprung" or "?"; its opening in mm; whether it seals."""

    form: str = "?"
    id_mm: float | None = None
    seal: Mark | None = None


class SeatShape(NamedTuple):
    """A seat of the housing: "spigot", "flat", "none" or "?"; its diameter, and a flat land's outside, mm."""

    form: str = "?"
    diameter_mm: float | None = None
    land_mm: float | None = None


class InHousing(NamedTuple):
    """Everything that is drawn, mm; None where nobody measured. `head` and `cover` are the ends as it goes in.

    `spring_mm`: what its springs fill when free (0: none). `outlet`: "head", "cover" or "". `screwed`: a can on a head.
    `length_mark`: how the length comes out. `sizes`: the sizes in words. `ends`: what the two ends are called.
    """

    od_mm: float
    length_mm: float
    head: EndShape = EndShape()
    cover: EndShape = EndShape()
    head_seat: SeatShape = SeatShape()
    cover_seat: SeatShape = SeatShape()
    depth_mm: float | None = None
    bore_mm: float | None = None
    spring_mm: float | None = None
    outlet: str = ""
    screwed: bool = False
    thread_mm: float | None = None
    gasket_mm: tuple[float, float, float] | None = None
    land_mm: tuple[float, float] | None = None
    length_mark: Mark | None = None
    sizes: str = ""
    ends: tuple[str, str] = ("head", "cover")


MARGIN = 5
LEAST_DIFFERENCE_MM = 0.05
STUB = 0.12  # of the length: how far a seat's stub is drawn into the housing; nobody measures it


class _Sheet:
    """The canvas with its scale: x along the axis from the head, y out from the middle, both in mm."""

    def __init__(self, picture: InHousing, columns: int, rows: int, *, plain: bool, beside: InHousing | None) -> None:
        """`beside`: the other of two that are drawn to one scale."""
        self.canvas = Canvas(columns, rows, plain=plain)
        self.plain = plain
        across = (columns - 2 * MARGIN) * 2
        tall = (rows - 2) * 4 - 1
        both = [_reach(one) for one in (picture, beside) if one is not None]
        self.scale = min(across / max(x for x, _ in both), (tall - 2) / max(y for _, y in both))
        reach, _ = _reach(picture)
        self.x0 = (columns - reach * self.scale / 2) / 2 * 2
        self.y0 = 4 + tall / 2

    def line(self, x0: float, y0: float, x1: float, y1: float, *, gap: int = 1) -> None:
        """A line in mm."""
        k = self.scale
        self.canvas.line(self.x0 + x0 * k, self.y0 + y0 * k, self.x0 + x1 * k, self.y0 + y1 * k, gap=gap)

    def both(self, x0: float, y0: float, x1: float, y1: float, *, gap: int = 1) -> None:
        """The same line above and below the middle."""
        self.line(x0, y0, x1, y1, gap=gap)
        self.line(x0, -y0, x1, -y1, gap=gap)

    def cell(self, x: float, y: float) -> tuple[int, int]:
        """The cell at a place in mm."""
        return int((self.x0 + x * self.scale) // 2), int((self.y0 + y * self.scale) // 4)

    def write(self, x: float, y: float, text: str, *, shift: int = 0) -> None:
        """Letters at a place in mm."""
        column, row = self.cell(x, y)
        self.canvas.write(column + shift, row, text)


def _reach(picture: InHousing) -> tuple[float, float]:
    """How far it reaches along and across, mm."""
    along = max(picture.length_mm, picture.depth_mm or 0.0) * 1.03
    return along, max(picture.od_mm, picture.bore_mm or 0.0, *(picture.land_mm or (0.0,)))


def pair_lines(old: InHousing, new: InHousing, columns: int, rows: int, unit: str, *, plain: bool) -> list[str]:
    """Two elements side by side to one scale, each against its seats; the last line says how they differ."""
    half = (columns - 3) // 2
    bar = " | " if plain else " │ "
    left, right = (
        [fit(title, half), *housing_lines(_short(one), half, rows - 2, plain=plain, beside=other)]
        for title, one, other in (("The one you have", old, new), ("This one", new, old))
    )
    lines = [fit(f"{a}{bar}{b}", columns) for a, b in zip(left, right, strict=True)]
    return [*lines, fit(difference(old, new, unit), columns)]


def _short(picture: InHousing) -> InHousing:
    return picture._replace(sizes=picture.sizes.removeprefix("element "))


def difference(old: InHousing, new: InHousing, unit: str) -> str:
    """How the second differs from the first, in words."""
    said = [
        f"{catalog.quantity.both_units(abs(by), first=unit)} {more if by > 0 else less}"
        for by, more, less in (
            (new.length_mm - old.length_mm, "longer", "shorter"),
            (new.od_mm - old.od_mm, "wider", "narrower"),
        )
        if abs(by) >= LEAST_DIFFERENCE_MM
    ]
    return f"This one is {' and '.join(said)}." if said else "Both are as long and as wide."


def housing_lines(
    picture: InHousing | None, columns: int, rows: int, *, plain: bool, beside: InHousing | None = None
) -> list[str]:
    """A line of words about both ends, the section, a line of sizes. `beside`: what it is drawn to one scale with."""
    if picture is None or columns < 24 or rows < 5:
        return [fit("Type outside diameter and length to see it.", columns)]
    sheet = _Sheet(picture, columns, rows, plain=plain, beside=beside)
    if picture.screwed:
        _can(sheet, picture)
    else:
        _housing(sheet, picture)
        _element(sheet, picture)
    _words(sheet, picture)
    return sheet.canvas.lines()


def _housing(sheet: _Sheet, picture: InHousing) -> None:
    depth, bore = picture.depth_mm, picture.bore_mm
    if depth is None:
        return
    wall = (bore if bore is not None else picture.od_mm * 1.25) / 2
    gap = 1 if bore is not None else 3
    sheet.both(0, wall, depth, wall, gap=gap)
    for x, seat, name, inward in ((0.0, picture.head_seat, "head", 1), (depth, picture.cover_seat, "cover", -1)):
        through = picture.outlet == name
        opening = (seat.diameter_mm or picture.od_mm * 0.3) / 2 if through else 0.0
        sheet.both(x, opening, x, wall)
        if seat.form == "spigot" and seat.diameter_mm:
            stub = inward * STUB * depth
            sheet.both(x, seat.diameter_mm / 2, x + stub, seat.diameter_mm / 2)
        elif seat.form == "flat" and seat.diameter_mm and seat.land_mm:
            sheet.both(x + inward * 1.2, seat.diameter_mm / 2, x + inward * 1.2, seat.land_mm / 2)
        if through:
            arrow = {("head", False): "◂ out", ("cover", False): "out ▸", ("head", True): "<-out"}.get(
                (name, sheet.plain), "out->"
            )
            sheet.write(x, 0, arrow, shift=-len(arrow) if name == "head" else 1)


def place(picture: InHousing) -> tuple[float, float, float]:
    """Where the element stands: its start, and the start and end of the spring beside it, mm from the head seat.

    It lies against the seat at the outlet while its spring reaches; else it lies at the other end, off that seat.
    """
    if picture.depth_mm is None:
        return 0.0, 0.0, 0.0
    gap = picture.depth_mm - picture.length_mm
    spring = picture.spring_mm or 0.0
    fills = max(0.0, min(spring, gap))
    # A gap that no spring fills opens at the outlet seat: there the oil passes unfiltered.
    loose = max(0.0, gap - spring) if picture.length_mark is Mark.BAD else 0.0
    if picture.outlet == "cover":
        start = picture.depth_mm - picture.length_mm - loose
        return start, max(0.0, start - fills), start
    start = loose
    end = start + picture.length_mm
    return start, end, end + fills


def _element(sheet: _Sheet, picture: InHousing) -> None:
    start, spring_from, spring_to = place(picture)
    end, outer = start + picture.length_mm, picture.od_mm / 2
    bores = [shape.id_mm for shape in (picture.head, picture.cover) if shape.id_mm]
    core = min(max(bores) / 2 if bores else outer * 0.4, outer * 0.9)
    sheet.both(start, outer, end, outer)
    sheet.both(start, core, end, core, gap=3)
    step = max(picture.length_mm / 40, 6 / sheet.scale)
    x = start + step
    while x < end - step / 2:
        sheet.both(x, core, x, outer, gap=2)
        x += step
    for at, shape in ((start, picture.head), (end, picture.cover)):
        inner = (shape.id_mm / 2 if shape.id_mm else core) if shape.form in ("open", "screened", "?") else 0.0
        sheet.both(at, min(inner, outer), at, outer)
        if shape.form == "screened":
            sheet.both(at, 0, at, inner, gap=3)
        if shape.form == "?":
            sheet.write(at, 0, "?", shift=0 if at == start else -1)
    if spring_to - spring_from > 0.5:
        _coil(sheet, spring_from, spring_to, outer * 0.45)


def _coil(sheet: _Sheet, start: float, end: float, radius: float) -> None:
    turns = max(1, min(8, round((end - start) * sheet.scale / 6)))
    for i in range(turns):
        a, b = (start + (end - start) * (i + part) / turns for part in (0.0, 1.0))
        sheet.line(a, -radius, (a + b) / 2, radius)
        sheet.line((a + b) / 2, radius, b, -radius)


def _can(sheet: _Sheet, picture: InHousing) -> None:
    outer = picture.od_mm / 2
    thick = picture.gasket_mm[2] if picture.gasket_mm else 0.0
    plate = max(outer, picture.land_mm[1] / 2 if picture.land_mm else 0.0)
    sheet.both(0, 0, 0, plate)
    if picture.land_mm:
        for inset in (-1.2, -2.4):
            sheet.both(inset, picture.land_mm[0] / 2, inset, picture.land_mm[1] / 2)
    if picture.gasket_mm:
        inner, outside, _ = picture.gasket_mm
        for part in range(5):
            x = thick * part / 4
            sheet.both(x, inner / 2, x, outside / 2)
    end = thick + picture.length_mm
    sheet.both(thick, outer, end, outer)
    sheet.both(end, 0, end, outer)
    sheet.both(thick, (picture.thread_mm or 0.0) / 2, thick, outer)
    if picture.thread_mm:
        stub = min(18.0, picture.length_mm * 0.25)
        sheet.both(0, picture.thread_mm / 2, stub, picture.thread_mm / 2)
        x = 0.0
        while x < stub:
            sheet.line(x, -picture.thread_mm / 2, x, picture.thread_mm / 2, gap=2)
            x += max(2.0, 4 / sheet.scale)
    if picture.depth_mm is not None:
        sheet.both(picture.depth_mm, 0, picture.depth_mm, outer, gap=4)
    if picture.bore_mm is not None:
        sheet.both(0, picture.bore_mm / 2, max(end, picture.depth_mm or 0.0), picture.bore_mm / 2, gap=4)


SEALS = {Mark.GOOD: "seals", Mark.CARE: "with care", Mark.MEASURE: "measure", Mark.BAD: "LEAKS"}


def _words(sheet: _Sheet, picture: InHousing) -> None:
    canvas, plain = sheet.canvas, sheet.plain
    head = "gasket" if picture.screwed else picture.ends[0]
    left = _end_words(head, picture.head, plain=plain)
    canvas.write(0, 0, left)
    if not picture.screwed:
        right = _end_words(picture.ends[1], picture.cover, plain=plain)
        canvas.write(max(len(left) + 2, canvas.columns - len(right)), 0, right)
    if not picture.screwed and picture.depth_mm is not None:
        start = place(picture)[0]
        for at, shape, shift in ((start, picture.head, 0), (start + picture.length_mm, picture.cover, -1)):
            if shape.seal is Mark.BAD:
                sheet.write(at, -(shape.id_mm or 0.0) / 2, Mark.BAD.glyph(plain=plain), shift=shift)
                sheet.write(at, (shape.id_mm or 0.0) / 2, Mark.BAD.glyph(plain=plain), shift=shift)
    text = picture.sizes
    if picture.length_mark is Mark.BAD:
        text += f"  {Mark.BAD.glyph(plain=plain)} length"
    text = text.replace("×", "x") if plain else text
    canvas.write(max(0, (canvas.columns - len(text)) // 2), canvas.rows - 1, text)


def _end_words(name: str, shape: EndShape, *, plain: bool) -> str:
    if shape.seal is None:
        return f"{name}: {shape.form}" if name != "gasket" else name
    return f"{name} {shape.seal.glyph(plain=plain)} {SEALS.get(shape.seal, '')}"


class ElementInHousing(Widget):
    """The drawing. Takes an `InHousing` by `show`."""

    DEFAULT_CSS = "ElementInHousing { text-wrap: nowrap; }"
    _picture: InHousing | None = None

    def __init__(self, *, classes: str | None = None, plain: bool = False) -> None:
        super().__init__(classes=classes)
        self._plain = plain

    def show(self, picture: object) -> None:
        """Draw another element."""
        self._picture = picture if isinstance(picture, InHousing) else None
        self.refresh()

    def render(self) -> Content:
        """Title, then the drawing."""
        width, height = self.size
        title = Content.styled(fit("Element in its housing, to scale", width), "bold $text-accent")
        lines = housing_lines(self._picture, width, height - 1, plain=self._plain) if height > 1 else []
        return Content("\n").join([title, *(Content(line) for line in lines)])
