"""The standard groove for a ring: filled into the fields, and one's own readings brought back."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from catalog import orings
from catalog.orings.groove import GrooveKind, Motion
from tui.keys import key
from tui.screens.groove.draft import KIND_WORDS, KINDS, MOVING, Draft
from tui.screens.groove.reading import standard_texts

if TYPE_CHECKING:
    from catalog.orings.groove_book import GrooveBook
    from catalog.orings.sizes import RingSize


class Filled(NamedTuple):
    """What goes into the fields (nothing where `trouble`), and what is said of it."""

    texts: dict[str, str]
    said: str = ""
    trouble: bool = False


def fill(draft: Draft, ring: RingSize | None, unit: str, book: GrooveBook | None = None) -> Filled:
    """The standard groove for the ring, or, where that stands there already, one's own readings again.

    `unit`: what a bare number means, "mm" or "in"; `book`: the grooves there are, those of our tables where None. The
    draft keeps what it needs to go back.
    """
    if draft.is_standard and draft.own is not None:
        own, draft.own, draft.standard = draft.own, None, None
        return Filled(own)
    if ring is None:
        return Filled({}, "Highlight a ring, or type its name in the field “Ring”: the groove is made for it.")
    if draft.kind is GrooveKind.PORT:
        return Filled({}, "A port is its own groove: measure neck, mouth and chamfer.", trouble=True)
    found = orings.standard_grooves.groove_for(
        ring,
        draft.kind,
        draft.motion if draft.kind in MOVING else Motion.STATIC,
        among=None if book is None else book.rows,
    )
    if found is None:
        kind = KIND_WORDS[KINDS.index(draft.kind)]
        return Filled({}, f"No table has a {kind} groove for {ring.label}.", trouble=True)
    said = ""
    blank = {slot.key: "" for slot in draft.slots() if slot.size}
    if any(draft.sizes().values()) and not draft.is_standard:
        draft.own = draft.sizes()
        said = f"Standard groove filled in. {key('fill')} again brings your readings back."
    draft.standard, draft.filled = found, standard_texts(found, unit)
    if draft.own is None:
        draft.own = blank
    return Filled({**blank, **draft.filled}, said)
