"""Ring sizes as one page for a browser, to put on a phone: no server, nothing asked from anywhere, search within.

The page itself is `size_page.html`. Figures are written here as they are shown everywhere: mm to two decimals, inches
to three; the page only finds and sorts them. What a shop typed stands in JSON and is shown as text, never as markup.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from catalog.orings.sizes import MM_PER_INCH, title

if TYPE_CHECKING:
    from catalog.orings.sizes import RingSize

PAGE: Final = Path(__file__).with_suffix(".html")


def as_html(sizes: Iterable[RingSize], made_on: date) -> str:
    """The page with these sizes, in their order."""
    shown = list(sizes)
    series = list(dict.fromkeys(title(size.series) for size in shown))
    sources = list(dict.fromkeys(size.source for size in shown))

    def of(size: RingSize) -> tuple[Any, ...]:
        """What neighbours of a table have in common."""
        wide = size.cross_section_mm
        return (
            series.index(title(size.series)), sources.index(size.source), size.standing.word,
            f"{wide:.2f}", f"{size.cross_section_tol_mm:.2f}", f"{wide / MM_PER_INCH:.3f}",
        )  # fmt: skip

    groups = [[*common, "\n".join(map(_line, rows))] for common, rows in groupby(shown, of)]
    said = {"series": series, "sources": sources, "groups": groups}
    # No text ends the script element it stands in (HTML, "restrictions for contents of script elements").
    data = json.dumps(said, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")
    made = f"{len(shown)} sizes, as of {made_on.isoformat()}."
    return PAGE.read_text(encoding="utf-8").replace("{{made}}", made).replace("{{sizes}}", data)


def _line(size: RingSize) -> str:
    name = " ".join(size.label.split())
    return f"{name}\t{size.id_mm:.2f}\t{size.id_tol_mm:.2f}\t{size.id_mm / MM_PER_INCH:.3f}"
