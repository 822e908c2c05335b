"""What the judging commands share: readings and words from options."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING

from tui.commands.parsing import UsageError, shown, unknown

if TYPE_CHECKING:
    from catalog.orings.span import Range
    from catalog.quantity import Kind, Typed

LONGEST_WORD = 60
SMALLEST_MM = 0.001
_NUMBER = re.compile(r"[+-]?(?:[0-9]{1,9}(?:[.,][0-9]{0,9})?|[.,][0-9]{1,9})")


@contextmanager
def naming(option: str) -> Iterator[None]:
    """What the catalog refuses becomes one sentence that starts with the option it was typed for."""
    try:
        yield
    except ValueError as problem:
        raise UsageError(f"{option}: {plain(str(problem))}") from problem


def plain(text: str) -> str:
    """A sentence for any terminal: control characters become a sign, lines become one."""
    one_line = " ".join(text.split())
    return "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in one_line)


def word(option: str, text: str, longest: int = LONGEST_WORD) -> str:
    """A short printable text, such as a class or a size; anything else is refused."""
    clean = " ".join(text.split())
    if not clean or len(clean) > longest or not clean.isprintable():
        raise UsageError(f"{option}: {shown(text)} is no name; type 1 to {longest} letters, numbers and signs")
    return clean


def one_of(option: str, text: str, known: Sequence[str]) -> str:
    """One word of a closed list."""
    clean = text.strip().lower()
    if clean not in known:
        raise UsageError(f"{option}: {unknown(text.strip(), known)}")
    return clean


def number(option: str, text: str, example: str = "10") -> float:
    """A plain number; the comma is a decimal comma."""
    clean = text.strip()
    if not _NUMBER.fullmatch(clean):
        raise UsageError(f"{option}: {shown(text)} is not a number; type for example {example}")
    return float(clean.replace(",", "."))


def share(option: str, text: str) -> float:
    """A share, as `40%` or `0.4`."""
    percent = text.strip().endswith("%")
    value = number(option, text.strip().removesuffix("%"), "40% or 0.4") / (100 if percent else 1)
    if not 0 <= value <= 1:
        raise UsageError(f"{option}: {shown(text)} is no share; type for example 40% or 0.4")
    return value


def typed(option: str, text: str, kind: Kind, length_unit: str = "mm") -> Typed:
    """A quantity as typed, exact; a bare length is in `length_unit`, any other bare number in the bench's kept unit."""
    from tui.fields import quantities
    from tui.fields.field import Asked
    from tui.fields.units import kept

    with naming(option):
        return quantities.typed(text, kind, Asked(kept(length_unit)))


def quantity(option: str, text: str, kind: Kind, unit: str) -> float:
    """A quantity in `unit`; a bare number is in the bench's kept unit, whatever `unit` is."""
    return float(typed(option, text, kind).to(unit))


def length(option: str, text: str, unit: str) -> tuple[float, float | None]:
    """A length in mm, and its ± where one was typed. Nothing on a bench is thinner than a thousandth of a mm."""
    from catalog.quantity import length_mm

    with naming(option):
        value, plus_minus = length_mm(text, unit)
    if value < SMALLEST_MM:
        raise UsageError(f"{option}: {shown(text)} must be at least {SMALLEST_MM} mm")
    return value, plus_minus


def dimension(option: str, text: str, unit: str) -> Range:
    """A length with its limits, mm. Without a ± the limits are the reading itself."""
    from catalog.orings.span import span

    value, plus_minus = length(option, text, unit)
    with naming(option):
        return span(value, plus_minus or 0.0)
