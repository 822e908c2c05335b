"""What of a row of the Catalog lies on the shelf: found by what the row is, said in a cell and in a line."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING, Final, NamedTuple

from textual.content import Content

from catalog import fluids
from models import supplier_lists
from tui import answers
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.glance.on_hand import OnHand

MOST_BINS: Final = 4
"""So many places are named in a line."""


class RowKey(NamedTuple):
    """What a row is on the shelf: a ring's size key, a fluid's class, a thread, an element by its name."""

    what: str
    name: str


class Lying(NamedTuple):
    """What lies on the shelf of one thing: how much of it is free in all, in how many places, and the first of them."""

    free: int
    counted_in: str
    places: int
    first: tuple[OnHand, ...]

    def and_in(self, thing: OnHand) -> Lying:
        """Another place."""
        first = (*self.first, thing) if len(self.first) < MOST_BINS else self.first
        return Lying(self.free + thing.free, self.counted_in, self.places + 1, first)


class ShelfIndex:
    """What lies on the shelf, by what it is. `looked`: whether it could be seen at all.

    It stands as long as the Catalog does, so of each thing it keeps what is shown, not every row of a large shop.
    """

    def __init__(self, things: Iterable[OnHand] | None = None) -> None:
        self.looked = things is not None
        self._lying: dict[RowKey, Lying] = {}
        for thing in things or ():
            for key in dict.fromkeys(_keys(thing)):
                before = self._lying.get(key)
                self._lying[key] = before.and_in(thing) if before else Lying(thing.free, thing.counted_in, 1, (thing,))

    def lying(self, key: RowKey) -> Lying | None:
        """All of it, the first places by bin; None where nothing lies there."""
        return self._lying.get(key)


def _keys(thing: OnHand) -> Iterable[RowKey]:
    if thing.size_key is not None:
        yield RowKey("ring", thing.size_key)
        return
    if thing.kind == "fluid":
        for claim in thing.claims:
            known = fluids.classes.get(claim)
            yield fluid_key(known.code if known is not None else claim)
        return
    if thing.kind == "filter":
        yield RowKey("filter", thing.name)
    if thing.kind in ("filter", "fastener"):
        thread = supplier_lists.read_thread.read_thread(" ".join((*thing.claims, thing.name)).upper())
        if thread is not None:
            yield RowKey("thread", thread.designation)


def fluid_key(code: str) -> RowKey:
    """A class, however it is written."""
    return RowKey("fluid", fluids.classes.key(code))


def free_cell(lying: Lying | None, volume_unit: str) -> str:
    """How much is free, for a column: pieces, or a volume; empty where nothing lies there."""
    return _amount(lying.free, lying.counted_in, volume_unit) if lying else ""


def shelf_line(index: ShelfIndex, key: RowKey, volume_unit: str) -> Content:
    """What lies where, in a line; that nothing does, or that the shelf could not be seen."""
    lead = ("On shelf: ", "bold")
    if not index.looked:
        return Content.assemble(lead, "it could not be looked at.")
    lying = index.lying(key)
    if not lying:
        return Content.assemble(lead, "none.")
    places = [
        f"{_amount(one.free, one.counted_in, volume_unit)} in {clean(one.bin_code)}"
        f"{'' if key.what == 'filter' else f' ({clean(one.name)})'}"
        for one in lying.first
    ]
    more = f"; and {lying.places - MOST_BINS} places more" if lying.places > MOST_BINS else ""
    return Content.assemble(lead, f"{free_cell(lying, volume_unit)} free: {'; '.join(places)}{more}.")


def _amount(free: int, counted_in: str, volume_unit: str) -> str:
    if counted_in == "ul":
        return answers.levels.volume(free, volume_unit, short=True)
    return str(free)
