"""The words the tables use for kinds and states. No database needed to import them."""

from __future__ import annotations

from enum import StrEnum


class Kind(StrEnum):
    """What sort of thing an item is, a position takes or a need asks for."""

    RING = "ring"
    FILTER = "filter"
    FLUID = "fluid"
    SEALANT = "sealant"
    FASTENER = "fastener"
    CONSUMABLE = "consumable"


class Others(StrEnum):
    """Whether another ring may go in where a need asks for one: those that would do as well, or none ever."""

    WOULD_DO = "would-do"
    NEVER = "never"


class Unit(StrEnum):
    """What an item is counted in: pieces, or microlitres."""

    EACH = "each"
    MICROLITRE = "ul"


def unit_for(kind: Kind) -> Unit:
    """What needs of a kind are counted in."""
    return Unit.MICROLITRE if kind is Kind.FLUID else Unit.EACH


class Moved(StrEnum):
    """Why stock moved. An undo keeps the word and turns the signs."""

    RECEIVED = "received"
    COUNTED = "counted"
    PROMISED = "promised"
    RELEASED = "released"
    USED = "used"
    SCRAPPED = "scrapped"


class LineState(StrEnum):
    """Where a kit line stands. `FREE` and `SHORT` are never stored: what lies free for a need, and what it lacks."""

    HAVE = "have"
    PICKED = "picked"
    RELEASED = "released"
    FREE = "free"
    SHORT = "short"


class KitState(StrEnum):
    """Where a kit stands: not looked for yet, something missing, all promised, all picked, job closed."""

    DRAFT = "draft"
    SHORT = "short"
    READY = "ready"
    PICKED = "picked"
    DONE = "done"
