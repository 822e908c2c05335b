"""How long a rubber ring may lie on the shelf, by ISO 2230 or SAE ARP5316. Dates in, dates out: no clock here."""

from __future__ import annotations

from datetime import date
from enum import StrEnum
from functools import cache
from typing import NamedTuple

from catalog.because import Because
from catalog.orings.rubber_tables import Family, rows_of, told
from catalog.orings.rubber_tables import family as family_of
from catalog.standing import Standing


class ShelfRule(StrEnum):
    """Which rule the shelf follows. ISO 2230 is the stricter; always show which one was used."""

    ISO_2230 = "ISO 2230"
    ARP5316 = "SAE ARP5316"


class ShelfLife(NamedTuple):
    """A family's shelf life in years from cure; `years` None: unlimited.

    `extension_years`: how much longer it may be kept when inspected and found good (ISO 2230), else None.
    """

    family: Family
    rule: ShelfRule
    group: str
    years: int | None
    extension_years: int | None
    source: str
    standing: Standing
    note: str

    @property
    def because(self) -> tuple[Because, ...]:
        """The rule behind the years."""
        years = "without limit" if self.years is None else f"for {self.years} years from cure"
        more = f", {self.extension_years} more after an inspection" if self.extension_years else ""
        return (Because(f"{self.rule} lets {self.family} lie {years}{more}", self.source, self.standing),)


@cache
def _lives() -> dict[tuple[ShelfRule, Family], ShelfLife]:
    lives = (
        ShelfLife(
            Family(row["family"]),
            ShelfRule(row["rule"]),
            row["group"],
            int(row["years"]) if row["years"] else None,
            int(row["extension_years"]) if row["extension_years"] else None,
            told(row["source"]),
            Standing(row["standing"]),
            row["note"],
        )
        for row in rows_of("shelf_age")
    )
    return {(life.rule, life.family): life for life in lives}


def shelf_life(family: Family | str, rule: ShelfRule = ShelfRule.ISO_2230) -> ShelfLife:
    """The shelf life of a family under a rule. Raises ValueError for an unknown family."""
    which = family if isinstance(family, Family) else family_of(family)
    return _lives()[rule, which]


def expires_on(
    cure_date: date, family: Family | str, rule: ShelfRule = ShelfRule.ISO_2230, *, extended: bool = False
) -> date | None:
    """The last day a ring cured on `cure_date` may be used, or None where its life is unlimited.

    `extended`: add the extension that an inspection grants. A 29 February becomes the 28th. Only a quarter printed on
    the bag (2Q24)? Give its last day, `quarter_end(2024, 2)`.
    """
    life = shelf_life(family, rule)
    if life.years is None:
        return None
    year = cure_date.year + life.years + (life.extension_years or 0 if extended else 0)
    try:
        return cure_date.replace(year=year)
    except ValueError:
        return cure_date.replace(year=year, day=28)


def quarter_end(year: int, quarter: int) -> date:
    """The last day of a calendar quarter: the cure date of a bag marked with one (practice under SAE ARP5316)."""
    if quarter not in (1, 2, 3, 4):
        raise ValueError(f"{quarter} is not a quarter; type 1, 2, 3 or 4.")
    return date(year, *((3, 31), (6, 30), (9, 30), (12, 31))[quarter - 1])
