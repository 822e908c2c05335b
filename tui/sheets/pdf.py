"""Pages of marks written out as a PDF: the same marks and day give the same bytes."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any, Final

from tui.sheets.fonts import PrintUnavailableError, font
from tui.sheets.marks import Box, Circle, Face, Line, Mark, Page, Photo, Words
from tui.sheets.paper import Paper

POINTS_PER_MM: Final = 72 / 25.4


def written(pages: Sequence[Page], paper: Paper, *, title: str, actual_size: bool = False) -> bytes:
    """The pages as a PDF. `actual_size` asks the print dialog not to scale; not every dialog listens.

    Reproducible: no clock, no random id. Raises `PrintUnavailableError`.
    """
    try:
        from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]
    except ImportError:
        raise PrintUnavailableError from None
    out = BytesIO()
    canvas = Canvas(
        out,
        pagesize=(paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM),
        invariant=1,
        pageCompression=1,
        initialFontName=font(Face.PLAIN).name,
    )
    canvas.setTitle(title)
    canvas.setCreator("Kitwright")
    canvas.setProducer("Kitwright")
    if actual_size:
        canvas.setViewerPreference("PrintScaling", "None")
    for page in pages:
        canvas.setLineCap(0)
        for mark in page:
            _draw(canvas, mark, paper.height)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _draw(canvas: Any, mark: Mark, height: float) -> None:
    match mark:
        case Words(x, y, text, size, face):
            canvas.setFillGray(0)
            canvas.setFont(font(face).name, size)
            canvas.drawString(_pt(x), _pt(height - y), text)
        case Line(x1, y1, x2, y2, thick, grey):
            canvas.setStrokeGray(grey)
            canvas.setLineWidth(_pt(thick))
            canvas.line(_pt(x1), _pt(height - y1), _pt(x2), _pt(height - y2))
        case Box(x, y, wide, high, thick, fill):
            _outline(canvas, thick, fill)
            canvas.rect(_pt(x), _pt(height - y - high), _pt(wide), _pt(high), stroke=thick > 0, fill=fill is not None)
        case Photo(x, y, wide, high, jpeg):
            from reportlab.lib.utils import ImageReader  # type: ignore[import-untyped]

            canvas.drawImage(ImageReader(BytesIO(jpeg)), _pt(x), _pt(height - y - high), _pt(wide), _pt(high))
        case Circle(x, y, diameter, thick, fill):
            _outline(canvas, thick, fill)
            canvas.drawPath(
                _round(canvas, _pt(x), _pt(height - y), _pt(diameter / 2)), stroke=thick > 0, fill=fill is not None
            )


def _round(canvas: Any, x: float, y: float, radius: float) -> Any:
    """A circle in eight curves: with the usual four, one of 150 mm bulges by 0.04 mm, with eight by 0.001 mm."""
    path = canvas.beginPath()
    corners = (x - radius, y - radius, x + radius, y + radius)
    path.arc(*corners, startAng=0, extent=45)
    for turned in range(45, 360, 45):
        path.arcTo(*corners, startAng=turned, extent=45)
    path.close()
    return path


def _outline(canvas: Any, thick: float, fill: float | None) -> None:
    canvas.setStrokeGray(0)
    canvas.setLineWidth(_pt(thick))
    if fill is not None:
        canvas.setFillGray(fill)


def _pt(mm: float) -> float:
    return mm * POINTS_PER_MM
