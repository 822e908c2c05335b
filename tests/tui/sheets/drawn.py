"""Reads a PDF back with a library that had no part in writing it, and measures what lies on the paper."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from typing import Any, NamedTuple, cast

from pypdf import PdfReader
from pypdf.generic import ContentStream, TextStringObject

MM = 25.4 / 72
"""One PDF unit is 1/72 in (ISO 32000-1, 8.3.2.3)."""


class Extent(NamedTuple):
    """A mark's outermost lines in mm from the lower left corner, without the thickness of the pen."""

    kind: str
    left: float
    bottom: float
    right: float
    top: float
    filled: bool
    thick: float
    points: tuple[tuple[float, float], ...] = ()

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.top - self.bottom


class Drawn(NamedTuple):
    """One page: its size in mm, its shapes and words with their extents, and its text."""

    width: float
    height: float
    shapes: tuple[Extent, ...]
    words: tuple[Extent, ...]
    page: Any

    @property
    def text(self) -> str:
        return str(self.page.extract_text())


def read(pdf: bytes) -> tuple[Drawn, ...]:
    reader = PdfReader(BytesIO(pdf), strict=True)
    return tuple(_page(reader, page) for page in reader.pages)


def text(pdf: bytes) -> str:
    """All text, each run of white space as one space."""
    return " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages).split())


def preferences(pdf: bytes) -> dict[str, Any]:
    return dict(cast("dict[str, Any]", PdfReader(BytesIO(pdf)).trailer["/Root"]).get("/ViewerPreferences", {}))


def fonts(pdf: bytes) -> tuple[tuple[Any, ...], ...]:
    """The fonts of each page."""
    pages = PdfReader(BytesIO(pdf)).pages
    return tuple(
        tuple(font.get_object() for font in cast("Any", page)["/Resources"]["/Font"].values()) for page in pages
    )


def _page(reader: PdfReader, page: Any) -> Drawn:
    stream = ContentStream(page.get_contents(), reader)
    fonts = {name: font.get_object() for name, font in page["/Resources"]["/Font"].items()}
    shapes: list[Extent] = []
    words: list[Extent] = []
    for extent in _extents(stream, fonts):
        (words if extent.kind == "words" else shapes).append(extent)
    box = page.mediabox
    return Drawn(float(box.width) * MM, float(box.height) * MM, tuple(shapes), tuple(words), page)


def _extents(stream: ContentStream, fonts: dict[str, Any]) -> Iterator[Extent]:
    path: list[tuple[float, float]] = []
    picture: list[tuple[float, float]] = []
    kind, thick = "", 0.0
    font, size, at = None, 0.0, (0.0, 0.0)
    for operands, raw in stream.operations:
        operator = raw.decode()
        if operator == "Tm":
            assert [float(one) for one in operands[:4]] == [1, 0, 0, 1]
            at = (float(operands[4]), float(operands[5]))
        elif operator == "Tf":
            font, size = fonts[operands[0]], float(operands[1])
        elif operator == "Tj":
            wide = sum(_widths(font, operands[0])) * size / 1000
            yield _extent("words", [(at[0], at[1] - 0.22 * size), (at[0] + wide, at[1] + 0.75 * size)], False, 0.0)
            at = (at[0] + wide, at[1])
        elif operator == "cm":
            # The page itself is set once, to scale one, and a picture to its place; anything else breaks the sizes.
            wide, turned, slanted, high, x, y = (float(one) for one in operands)
            assert (turned, slanted) == (0, 0)
            picture = [(x, y), (x + wide, y + high)] if (x, y) != (0, 0) else []
            assert picture or (wide, high) == (1.0, 1.0)
        elif operator == "Do":
            yield _extent("picture", picture, True, 0.0)
        elif operator == "w":
            thick = float(operands[0])
        elif operator in {"m", "l"}:
            path.append((float(operands[0]), float(operands[1])))
            kind = kind or "line"
        elif operator == "c":
            path += _curve(path[-1], [float(one) for one in operands])
            kind = "curve"
        elif operator == "re":
            x, y, wide, high = (float(one) for one in operands)
            path += [(x, y), (x + wide, y + high)]
            kind = "box"
        elif operator in {"S", "f", "f*", "B", "B*", "b", "b*", "n", "s"}:
            if path and operator != "n":
                yield _extent(kind, path, operator[0] in "fBb", thick if operator[0] in "SsBb" else 0.0)
            path, kind = [], ""


def _curve(start: tuple[float, float], c: list[float]) -> list[tuple[float, float]]:
    """Points along a cubic Bézier curve (ISO 32000-1, 8.5.2.2)."""
    ps = [start, (c[0], c[1]), (c[2], c[3]), (c[4], c[5])]
    found = []
    for step in range(1, 17):
        t = step / 16
        weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        found.append(
            (
                sum(w * p[0] for w, p in zip(weights, ps, strict=True)),
                sum(w * p[1] for w, p in zip(weights, ps, strict=True)),
            )
        )
    return found


def _widths(font: Any, shown: Any) -> Iterator[float]:
    codes = shown.original_bytes if isinstance(shown, TextStringObject) else bytes(shown)
    first = int(font["/FirstChar"])
    return (float(font["/Widths"][code - first]) for code in codes)


def _extent(kind: str, path: list[tuple[float, float]], filled: bool, thick: float) -> Extent:
    points = tuple((x * MM, y * MM) for x, y in path)
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Extent(kind, min(xs), min(ys), max(xs), max(ys), filled, thick * MM, points)
