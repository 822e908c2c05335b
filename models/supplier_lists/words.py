"""The words of supplier lists: what a column holds, what a new list does to a row, where a reading stands."""

from __future__ import annotations

from enum import StrEnum


class Field(StrEnum):
    """What a column of a list holds. A list needs NUMBER; everything else may be missing."""

    NUMBER = "number"
    NAME = "name"
    PRICE = "price"
    PRICE_FROM = "price from"
    PRICE_PER = "price per"
    CURRENCY = "currency"
    PACK = "pack"
    UNIT = "unit"
    MIN_PACKS = "min packs"
    LEAD_DAYS = "lead days"
    GTIN = "gtin"
    IGNORE = "ignore"


class Does(StrEnum):
    """What a new list does to one row."""

    ADDED = "added"
    CHANGED = "changed"
    WITHDRAWN = "withdrawn"
    REFUSED = "refused"


class ReadingState(StrEnum):
    """Where the reading of a row's free text stands: nothing read, read by the program, said by a person."""

    NONE = "none"
    READ = "read"
    CONFIRMED = "confirmed"
    REFUSED = "refused"
