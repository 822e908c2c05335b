"""The pictures of the Measure screen, as widgets that take data and draw."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from textual.content import Content
from textual.widget import Widget

from tui.widgets.cells import fit
from tui.widgets.pictures import Band, Ring, Span, Spot, band_line, plane_lines, ring_lines

if TYPE_CHECKING:
    from tui.host import Host


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
    """The highlighted size, or else what the readings imply, drawn to scale."""

    TITLE = "The ring, to scale"
    _ring: Ring | None = None

    def show(self, ring: Ring | None) -> None:
        """Draw another ring."""
        self._ring = ring
        self.refresh()

    def lines(self, columns: int, rows: int) -> list[str]:
        """The ring from above and its cut."""
        return ring_lines(self._ring, columns, rows, self.unit, plain=self.plain)


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
