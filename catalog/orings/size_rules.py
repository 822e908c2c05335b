"""What every table of ring sizes must obey, ours and a shop's own, so that a mistyped row cannot hide.

The rules are the standards' own: one width with one tolerance for a run of rows, IDs that rise within it, tolerances
that never fall as they do, no size twice. The bounds of what is plausible are this project's own, no source: wide of
every row of our tables (the tests hold all of them to the same rules).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import isfinite
from typing import Final, NamedTuple, Protocol, TypeVar

LEAST_ID_MM: Final = 0.5
MOST_ID_MM: Final = 5000.0
LEAST_WIDTH_MM: Final = 0.3
MOST_WIDTH_MM: Final = 30.0
WIDTHS_TO_ID: Final = 2.5
"""No ring is more than this many times as thick as its hole is wide (AS568-102, the thickest: 2.10)."""
ID_TOLERANCE_SHARE: Final = 0.20
ID_TOLERANCE_MM: Final = 0.2
ID_TOLERANCE_GROWTH: Final = 0.025
"""A tolerance on the ID is at most a fifth of it, and at most 0.2 mm + 2.5 % of it (ours: 14 %; 1.9 % above 10 mm)."""
WIDTH_TOLERANCE_SHARE: Final = 0.20
WIDTH_TOLERANCE_MM: Final = 0.8
SAME_MM: Final = 1e-6

Row = TypeVar("Row")


class Made(Protocol):
    """A row of a table: what it is called, and its dimensions with their tolerances in mm."""

    @property
    def designation(self) -> str:
        """What the table calls it."""

    @property
    def id_mm(self) -> float:
        """Inside diameter."""

    @property
    def id_tol_mm(self) -> float:
        """Its ±."""

    @property
    def cross_section_mm(self) -> float:
        """Width of the section."""

    @property
    def cross_section_tol_mm(self) -> float:
        """Its ±."""


class Fault(NamedTuple):
    """A row that can't be right: its index, and why, in one sentence that starts with a small letter."""

    at: int
    why: str


def faults(rows: Sequence[Made]) -> tuple[Fault, ...]:
    """The rows that break a rule, in order, each with the first rule it breaks."""
    return first_faults(rows, RULES)


def first_faults(rows: Sequence[Row], rules: Sequence[Callable[[Sequence[Row]], Iterable[Fault]]]) -> tuple[Fault, ...]:
    """The rows that break a rule, each with the first it breaks. The first rule looks at each row by itself."""
    found: dict[int, str] = {}
    for nth, rule in enumerate(rules):
        for at, why in rule(rows):
            found.setdefault(at, why)
        # What a row is compared with must itself be sound, or one slip would be told of twice.
        if found and nth == 0:
            break
    return tuple(Fault(at, found[at]) for at in sorted(found))


def implausible(rows: Sequence[Made]) -> list[Fault]:
    """Rows with a figure that no ring has, most often one in the other unit or in the other's column."""
    return [Fault(at, why) for at, row in enumerate(rows) if (why := _implausible(row))]


def _implausible(row: Made) -> str:
    inner, width = row.id_mm, row.cross_section_mm
    figures = (inner, row.id_tol_mm, width, row.cross_section_tol_mm)
    if not all(isfinite(figure) and figure > 0.0 for figure in figures):
        return "every dimension and tolerance must be more than 0."
    if not LEAST_WIDTH_MM <= width <= MOST_WIDTH_MM:
        return _odd("width", width, LEAST_WIDTH_MM, MOST_WIDTH_MM)
    if not LEAST_ID_MM <= inner <= MOST_ID_MM:
        return _odd("ID", inner, LEAST_ID_MM, MOST_ID_MM)
    if width > WIDTHS_TO_ID * inner:
        return f"width {width:.4g} mm with ID {inner:.4g} mm: are the two in each other's column?"
    if row.id_tol_mm > min(ID_TOLERANCE_SHARE * inner, ID_TOLERANCE_MM + ID_TOLERANCE_GROWTH * inner):
        return f"ID {inner:.4g} ± {row.id_tol_mm:.4g} mm: no ring is made so loosely."
    if row.cross_section_tol_mm > min(WIDTH_TOLERANCE_SHARE * width, WIDTH_TOLERANCE_MM):
        return f"width {width:.4g} ± {row.cross_section_tol_mm:.4g} mm: no ring is made so loosely."
    return ""


def _odd(what: str, value_mm: float, least: float, most: float) -> str:
    return f"{what} {value_mm:.4g} mm: rings have {least:g} to {most:g} mm; is the unit right?"


def doubles(rows: Sequence[Made]) -> list[Fault]:
    """Rows with a name, or with an ID and width, that an earlier row has."""
    names: dict[str, str] = {}
    sizes: dict[tuple[float, float], str] = {}
    found = []
    for at, row in enumerate(rows):
        name, size = folded(row.designation), (round(row.id_mm, 4), round(row.cross_section_mm, 4))
        if name in names:
            found.append(Fault(at, "the name stands there twice."))
        elif size in sizes:
            found.append(Fault(at, f"the same ID and width as {sizes[size]}."))
        names.setdefault(name, row.designation)
        sizes.setdefault(size, row.designation)
    return found


def folded(designation: str) -> str:
    """A name as it is compared: without case and spaces."""
    return "".join(designation.split()).casefold()


def lone_widths(rows: Sequence[Made]) -> list[Fault]:
    """Rows whose width is another than that of both their neighbours, who have one."""
    found = []
    for at in range(1, len(rows) - 1):
        before, own, after = (rows[place].cross_section_mm for place in (at - 1, at, at + 1))
        if abs(before - after) <= SAME_MM < abs(own - before):
            found.append(Fault(at, f"width {own:.4g} mm stands alone in a run of {before:.4g} mm."))
    return found


def uneven_widths(rows: Sequence[Made]) -> list[Fault]:
    """Rows whose width has another tolerance than the first row with this width."""
    first: dict[float, Made] = {}
    found = []
    for at, row in enumerate(rows):
        one = first.setdefault(round(row.cross_section_mm, 4), row)
        if abs(row.cross_section_tol_mm - one.cross_section_tol_mm) > SAME_MM:
            found.append(
                Fault(
                    at,
                    f"width {row.cross_section_mm:.4g} ± {row.cross_section_tol_mm:.4g} mm, "
                    f"but {one.designation} has ± {one.cross_section_tol_mm:.4g}.",
                )
            )
    return found


def unsteady_runs(rows: Sequence[Made]) -> list[Fault]:
    """Rows whose ID does not rise, or whose tolerance on it falls, within a run of one width and one kind of name."""
    found = []
    for at in range(1, len(rows)):
        before, row = rows[at - 1], rows[at]
        if abs(before.cross_section_mm - row.cross_section_mm) > SAME_MM or _kind(before) != _kind(row):
            continue
        if row.id_mm <= before.id_mm:
            found.append(
                Fault(
                    at,
                    f"ID {row.id_mm:.4g} mm comes after {before.id_mm:.4g} mm ({before.designation}): "
                    "IDs of one width must rise.",
                )
            )
        elif row.id_tol_mm < before.id_tol_mm - SAME_MM:
            found.append(
                Fault(
                    at,
                    f"tolerance {row.id_tol_mm:.4g} mm of a larger ID is less than {before.id_tol_mm:.4g} mm "
                    f"({before.designation}).",
                )
            )
    return found


def _kind(row: Made) -> str:
    """The letters a name begins with (P22 and G25 are of two lists); for a dash number its hundred."""
    name = folded(row.designation)
    if len(name) == 3 and name.isdigit():
        return name[0]
    letters = next((at for at, sign in enumerate(name) if not sign.isalpha()), 0)
    return name[:letters]


RULES: Final[tuple[Callable[[Sequence[Made]], list[Fault]], ...]] = (
    implausible,
    doubles,
    lone_widths,
    uneven_widths,
    unsteady_runs,
)
"""Every rule, the plainest first."""
