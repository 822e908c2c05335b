"""A fluid tally in words: a volume as typed, where the level stands, and what to say of it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from tui.widgets.judge.sight_glass import Glass

if TYPE_CHECKING:
    from catalog.fluids.fill import Level
    from models.tables import Filled

PER_LITRE = 1_000_000
CALLED = {"held": "held before", "drained": "drained", "poured": "poured", "reused": "poured back, clean"}


class Poured(NamedTuple):
    """One volume: in microlitres, and how it was understood."""

    volume: Fraction
    echo: str


class Stand(NamedTuple):
    """Where the level stands: the sentence, what it rests on, whether it is trouble, and the glass."""

    says: str
    rests_on: str
    over: bool
    glass: Glass


def read_pour(text: str, unit: str, *, least: int = 1) -> tuple[Poured | None, str]:
    """A volume, or the sentence that says what is wrong. A bare number is in litres, or in US quarts for `unit` "in".

    `least` 0 lets an empty system be typed as 0.
    """
    from catalog.quantity import Kind, QuantityError, parse

    if least == 0 and text.strip() == "0":
        return Poured(Fraction(0), "0 L, empty"), ""
    try:
        typed = parse(text, kind=Kind.VOLUME, bare_unit=bare_unit(unit))
        volume = typed.to("µL")
    except (QuantityError, ValueError) as problem:
        return None, str(problem)
    if volume <= 0:
        return None, "A pour is more than nothing; type it as 2 qt or 1.5 L."
    return Poured(Fraction(volume), typed.echo()), ""


def bare_unit(unit: str) -> str:
    """The unit of a volume typed without one."""
    return "US qt" if unit == "in" else "L"


def stand(low_ul: int, full_ul: int, entries: Sequence[tuple[Filled, Fraction]], unit: str) -> Stand:
    """Add the entries up against the marks."""
    from catalog.fluids.fill import State
    from models.kitting.fluid_tally import level as add_up

    level = add_up(low_ul, full_ul, entries)
    low, full = Fraction(low_ul), Fraction(full_ul)
    glass = Glass(
        float(level.held / full), float(low / full), float(level.left_in / full), said(level.held, unit, short=True),
        said(low, unit, short=True), said(full, unit, short=True), level.state is State.OVER, low == full,
    )  # fmt: skip
    return Stand(
        _says(level, unit, single=low == full), _rests_on(level, entries, unit), level.state is State.OVER, glass
    )


def said(volume: Fraction, unit: str, *, short: bool = False) -> str:
    """A volume with the unit first that bare numbers are in; `short` leaves the others out."""
    from catalog.quantity.display import format_volume

    words = format_volume(volume / PER_LITRE, first=bare_unit(unit))
    return words.partition("(")[0].partition(",")[0].strip() if short else words


def both(volume: Fraction, unit: str) -> str:
    """A volume in litres and US quarts, the session's first; no gallons, for one line holds two of these."""
    litres, quarts = said(volume, "mm", short=True), said(volume, "in", short=True)
    first, second = (quarts, litres) if unit == "in" else (litres, quarts)
    return f"{first} ({second})"


def _says(level: Level, unit: str, *, single: bool) -> str:
    state = level.state.value
    if level.over:
        return f"OVER-FILLED by {said(level.over, unit)}. Drain it back to the full mark before the machine runs."
    if level.to_low:
        to_full = "" if single else f", {said(level.to_full, unit, short=True)} to the full one"
        return f"{state.capitalize()}. Pour {said(level.to_low, unit)} more to the low mark{to_full}."
    if level.to_full:
        return f"{state.capitalize()}. Up to {said(level.to_full, unit)} more may go in."
    return f"{state.capitalize()}. Nothing more goes in."


def _rests_on(level: Level, entries: Sequence[tuple[Filled, Fraction]], unit: str) -> str:
    """What stayed in or is taken for empty, and what goes to disposal."""
    known = any(str(what) == "held" for what, _ in entries)
    first = (
        f"{said(level.left_in, unit, short=True)} stayed in." if known else "Taken as drained empty: check at the mark."
    )
    lost = f" {said(level.lost, unit, short=True)} drained goes to disposal." if level.lost else ""
    return f"{first}{lost} The manual has the last word."
