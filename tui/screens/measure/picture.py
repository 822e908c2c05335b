"""The drawing of the Measure screen: the ring as read; in its place, on request, the bands or the plane of sizes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widget import Widget

from tui.widgets.cells import fit
from tui.widgets.pictures import Band, Span, Spot, band_line, plane_lines
from tui.widgets.ring_drawing import ring_lines

if TYPE_CHECKING:
    from catalog.orings.read_limits import ReadLimits
    from tui.host import Host
    from tui.screens.measure.answer import Candidate
    from tui.screens.measure.result import MeasureResult

MOST_SPOTS = 6


class Picture(Widget):
    """A picture with a title line. Subclasses draw `lines(columns, rows)`."""

    TITLE = ""
    DEFAULT_CSS = "Picture { text-wrap: nowrap; }"

    @property
    def plain(self) -> bool:
        """Whether only plain characters may be used."""
        return cast("Host", self.app).plain_glyphs

    @property
    def unit(self) -> str:
        """The session's unit."""
        return cast("Host", self.app).unit

    def lines(self, columns: int, rows: int) -> list[str]:
        """The picture."""
        raise NotImplementedError

    def render(self) -> Content:
        """Title, then the picture."""
        width, height = self.size
        title = Content.styled(fit(self.TITLE, width), "bold $text-accent")
        body = self.lines(width, height - 1) if height > 1 else []
        return Content("\n").join([title, *(Content(line) for line in body[: height - 1])])


class RingPicture(Picture):
    """The ring as it was read, to scale, with the least and the most that the readings allow."""

    TITLE = "As measured, to scale; thin: limits"
    _read: ReadLimits | None = None

    def show(self, read: ReadLimits | None) -> None:
        """Draw other readings."""
        self._read = read
        self.refresh()

    def lines(self, columns: int, rows: int) -> list[str]:
        """The ring from above and its cut."""
        return ring_lines(self._read, columns, rows, self.unit, plain=self.plain)


class BandPicture(Picture):
    """Each reading on the tolerance band of the highlighted size."""

    TITLE = "Readings; [ ] is the tolerance"
    _bands: Sequence[Band] = ()

    def show(self, bands: Sequence[Band]) -> None:
        """Draw other readings."""
        self._bands = bands
        self.refresh()

    def lines(self, columns: int, rows: int) -> list[str]:
        """A line a reading."""
        if not self._bands:
            return ["Highlight a size to compare with it."]
        return [band_line(band, columns, plain=self.plain) for band in self._bands]


class PlanePicture(Picture):
    """The plane of ID and width with the candidates in it and a box for what the readings allow."""

    TITLE = "ID across, width up; dots: readings"
    _spots: Sequence[Spot] = ()
    _span = Span(None, 0.0, None, 0.0)

    def show(self, spots: Sequence[Spot], span: Span) -> None:
        """Draw other candidates."""
        self._spots, self._span = spots, span
        self.refresh()

    def lines(self, columns: int, rows: int) -> list[str]:
        """The plane."""
        return plane_lines(self._spots, self._span, columns, rows, self.unit, plain=self.plain)


class Drawing(Vertical):
    """One of three pictures at a time, all of the same readings."""

    DEFAULT_CSS = "Drawing Picture { height: 1fr; }"

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        self._pictures = (RingPicture(), BandPicture(), PlanePicture())
        self._at = 0

    def compose(self) -> ComposeResult:
        """All of them; the first is in sight."""
        for picture in self._pictures:
            picture.set_class(picture is not self._pictures[0], "spare")
            yield picture

    def turn(self) -> None:
        """Show the next picture."""
        self._at = (self._at + 1) % len(self._pictures)
        for at, picture in enumerate(self._pictures):
            picture.set_class(at != self._at, "spare")

    def show(self, result: MeasureResult, chosen: Candidate | None, candidates: Sequence[Candidate]) -> None:
        """Draw these readings; the highlighted size is what the bands compare them with."""
        ring, bands, plane = self._pictures
        ring.show(result.read)
        residuals = chosen.residuals if chosen is not None else ()
        bands.show([Band(name, value) for name, value in zip(result.names, residuals, strict=False)])
        sizes = [one.size for one in candidates if one.size is not None][:MOST_SPOTS]
        spots = [
            Spot(str(at), size.id_mm, size.id_tol_mm, size.cross_section_mm, size.cross_section_tol_mm)
            for at, size in enumerate(sizes, 1)
        ]
        plane.show(spots, Span(None, 0.0, None, 0.0) if result.span is None else Span(*result.span))
