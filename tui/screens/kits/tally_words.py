"""A fluid tally: the pours as typed, where the level stands, and what to say of it."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from tui.widgets.judge.sight_glass import Glass

if TYPE_CHECKING:
    from catalog.fluids.fill import Level, Marks

PER_LITRE = 1_000_000


class Poured(NamedTuple):
    """One pour: its volume in microlitres and how it was understood."""

    volume: Fraction
    echo: str


class Stand(NamedTuple):
    """Where the level stands: the sentence, whether it is trouble, and the glass."""

    says: str
    over: bool
    glass: Glass


def read_pour(text: str, unit: str) -> tuple[Poured | None, str]:
    """A pour, or the sentence that says what is wrong. A bare number is in litres, or in US quarts for `unit` "in"."""
    from catalog.quantity import Kind, QuantityError, parse

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


def stand(low_ul: int, full_ul: int, pours: list[Poured], unit: str) -> Stand:
    """Add the pours up against the marks."""
    from catalog.fluids.fill import State, marks, tally

    at = marks(low_ul, full_ul)
    level = tally(at, [pour.volume for pour in pours])
    glass = Glass(
        level.share(at), float(at.low / at.full), 0.0, said(level.held, unit, short=True),
        said(at.low, unit, short=True), said(at.full, unit, short=True), level.state is State.OVER, at.low == at.full,
    )  # fmt: skip
    return Stand(_says(level, at, unit), level.state is State.OVER, glass)


def said(volume: Fraction, unit: str, *, short: bool = False) -> str:
    """A volume with the unit first that bare numbers are in; `short` leaves the others out."""
    from catalog.quantity.display import format_volume

    words = format_volume(volume / PER_LITRE, first=bare_unit(unit))
    return words.partition("(")[0].partition(",")[0].strip() if short else words


def _says(level: Level, at: Marks, unit: str) -> str:
    state = level.state.value
    if level.over:
        return f"OVER-FILLED by {said(level.over, unit)}. Drain it back to the full mark before the machine runs."
    if level.to_low:
        to_full = "" if at.low == at.full else f", {said(level.to_full, unit, short=True)} to the full one"
        return f"{state.capitalize()}. Pour {said(level.to_low, unit)} more to the low mark{to_full}."
    if level.to_full:
        return f"{state.capitalize()}. Up to {said(level.to_full, unit)} more may go in."
    return f"{state.capitalize()}. Nothing more goes in."
