"""What Find says of the highlighted row: what it is, where it lies and how much of it is free; and its drawing."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from textual.content import Content

from catalog import orings
from tui.answers import found
from tui.answers.money import quantity_words
from tui.screens.catalog import picture
from tui.screens.catalog.entries import size_entry
from tui.screens.measure.result import size_both
from tui.screens.shelf.lines import mark_of, places_of, words
from tui.widgets import stock_bars
from tui.widgets.answer_band import Tone, chip
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from catalog.orings.sizes import RingSize
    from models.search.found import Hit
    from models.stock_rows import StockRow
    from tui.screens.catalog.picture import Frame
    from tui.widgets.stock_bars import Mark
    from tui.workshop import Workshop

MOST_BINS: Final = 4
"""So many places are named in a line."""


class Lying(NamedTuple):
    """Where the thing lies, or rings of its size; `mark`: its reorder point; `size`: the ring's."""

    places: tuple[StockRow, ...]
    mark: Mark | None = None
    size: RingSize | None = None


def lying(workshop: Workshop, hit: Hit) -> Lying:
    """What the shelf has of a row found. Runs in a thread."""
    size = orings.sizes.by_key(hit.size_key) if hit.size_key else None
    if str(hit.where) == "item":
        return workshop.read(lambda session: Lying(places_of(session, hit.row_id), mark_of(session, hit.row_id), size))
    rings = workshop.stock_of_sizes([hit.size_key]) if hit.size_key else ()
    return Lying(tuple(one for one in rings if one.on_hand), size=size)


def where(places: tuple[StockRow, ...]) -> str:
    """How much is free in which bin."""
    told = [f"{words(one.free, one.counted_in)} free in {one.bin_code}" for one in places[:MOST_BINS]]
    more = len(places) - len(told)
    return ", ".join([*told, *([f"and in {more} bins more"] if more > 0 else [])])


def answer(hit: Hit | None, there: Lying | None, unit: str) -> list[Content]:
    """What it is; where it lies and how much is free; its size in both units, its price, why it was found."""
    if hit is None:
        return []
    one = found.row_of(hit)
    ours = one.where == "item"
    name = one.name if ours or not one.number else f"{one.number}  {one.name}"
    lines = [Content.assemble(_state(there, ours=ours), f" {clean(name)}")]
    if there is not None:
        lies = where(there.places) or (
            "nothing of it" if ours or hit.size_key else "not looked up: not a ring size in our tables"
        )
        ring = (
            "" if ours or not there.places else f" ({', '.join(dict.fromkeys(row.item_name for row in there.places))})"
        )
        lines.append(Content.assemble(("Shelf: ", "bold"), clean(f"{lies}{ring}.")))
    else:
        lines.append(Content.assemble(("Shelf: ", "bold"), "…"))
    pack = [] if ours else [
        one.supplier or "", f"pack of {quantity_words(one.pack_quantity, one.counted_in)}",
        one.price_words or "no price given",
    ]  # fmt: skip
    size = size_both(there.size, unit) if there is not None and there.size is not None else ""
    check = "; check it before you buy" if one.reading_state == "read" else ""
    reading = f"{one.reading}{check}" if one.reading else ""
    why = f"found: {one.why}" if one.why else ""
    lines.append(Content(clean(" · ".join(part for part in (*pack, reading, size, why) if part))))
    return lines


def _state(there: Lying | None, *, ours: bool) -> Content:
    if there is None:
        return chip("…")
    if any(one.free for one in there.places):
        return chip("ON SHELF", Tone.GOOD)
    return chip("ALL PROMISED" if there.places else "NONE LEFT", Tone.DOUBT) if ours else chip("TO BUY")


def drawing(there: Lying | None, frame: Frame) -> list[str]:
    """The ring to scale; of any other thing its bins as bars."""
    if there is None:
        return []
    if there.size is not None:
        return picture.ring(size_entry(there.size), frame)
    if not there.places:
        return []
    unit = there.places[0].counted_in
    heaps = stock_bars.heaps_of((one.bin_code, one.free, one.promised) for one in there.places)
    return stock_bars.stock_lines(
        heaps, there.mark, frame.columns, frame.rows, lambda amount: words(amount, unit), plain=frame.plain
    )
