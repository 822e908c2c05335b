"""What of a row of the Catalog lies on the shelf: found by what the row is, said in a cell and in a line."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
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


class ShelfIndex:
    """What lies on the shelf, by what it is. `looked`: whether it could be seen at all."""

    def __init__(self, things: Sequence[OnHand] | None = None) -> None:
        self.looked = things is not None
        self._lying: defaultdict[RowKey, list[OnHand]] = defaultdict(list)
        for thing in things or ():
            for key in dict.fromkeys(_keys(thing)):
                self._lying[key].append(thing)

    def lying(self, key: RowKey) -> Sequence[OnHand]:
        """All of it, by bin."""
        return self._lying.get(key, ())


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


def free_cell(lying: Sequence[OnHand], volume_unit: str) -> str:
    """How much is free, for a column: pieces, or a volume; empty where nothing lies there."""
    if not lying:
        return ""
    return _amount(sum(one.free for one in lying), lying[0].counted_in, volume_unit)


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
        for one in lying[:MOST_BINS]
    ]
    more = f"; and {len(lying) - MOST_BINS} places more" if len(lying) > MOST_BINS else ""
    total = free_cell(lying, volume_unit)
    return Content.assemble(lead, f"{total} free: {'; '.join(places)}{more}.")


def _amount(free: int, counted_in: str, volume_unit: str) -> str:
    if counted_in == "ul":
        return answers.levels.volume(free, volume_unit, short=True)
    return str(free)
