"""From what was typed to what is shown: runs in a worker's thread, touches no widget.

The catalog is imported inside: reading 1,800 sizes and the matching code waits until the first frame is painted.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool

if TYPE_CHECKING:
    from catalog.orings.implied import Implied
    from catalog.orings.match import Ranking
    from catalog.orings.prior import Prior
    from catalog.orings.sizes import RingSize


class Slot(NamedTuple):
    """One field of the screen: its name, what it measures, and the tool it starts with."""

    name: str
    dimension: Dimension
    tool: Tool
    hint: str


SLOTS = (
    Slot("ID", Dimension.ID, Tool.CALIPER, "inside diameter"),
    Slot("OD", Dimension.OD, Tool.CALIPER, "outside diameter"),
    Slot("Width", Dimension.WIDTH, Tool.CALIPER, "thickness of the cord"),
    Slot("Width 2", Dimension.WIDTH, Tool.CALIPER, "the other way, if flat"),
    Slot("Around", Dimension.AROUND, Tool.TAPE, "inside edge, by tape"),
    Slot("Cut len", Dimension.CUT_LENGTH, Tool.RULE, "cut once, laid straight"),
)
TOOLS = tuple(tool for tool in Tool if tool is not Tool.STATED)
CONDITIONS = tuple(Condition)


class Entry(NamedTuple):
    """What stands in one field and the tool chosen for it."""

    slot: Slot
    text: str
    tool: Tool


class Note(NamedTuple):
    """What is said under a field: what was understood, or one sentence about what is wrong."""

    echo: str = ""
    error: str = ""
    limit: str = ""
    stated: bool = False


class Desk(NamedTuple):
    """Everything the screen shows. `names` and `ranking`'s residuals run in step."""

    notes: tuple[Note, ...]
    names: tuple[str, ...]
    ranking: Ranking | None
    span: Implied | None


EMPTY = Desk((Note(),) * len(SLOTS), (), None, None)


def both(value_mm: float, unit: str) -> str:
    """A length in both units, the session's first."""
    mm, inch = f"{value_mm:.2f} mm", f"{value_mm / 25.4:.3f} in"
    return f"{inch} = {mm}" if unit == "in" else f"{mm} = {inch}"


def size_both(size: RingSize, unit: str) -> str:
    """A size's ID × width in both units, the session's first."""
    mm = f"{size.id_mm:.2f} × {size.cross_section_mm:.2f} mm"
    inch = f"{size.id_mm / 25.4:.3f} × {size.cross_section_mm / 25.4:.3f} in"
    return f"{inch} = {mm}" if unit == "in" else f"{mm} = {inch}"


def warm() -> None:
    """Read the tables before the first key is pressed."""
    import catalog.orings.match
    import catalog.quantity  # noqa: F401
    from catalog.orings.sizes import all_sizes

    all_sizes()


def evaluate(entries: Sequence[Entry], condition: Condition, unit: str, prior: Prior | None = None) -> Desk:
    """Read every field, rank the sizes. A field that cannot be read gets its sentence; the others still count.

    `prior`: what is known of the machine before anything is measured.
    """
    from catalog.orings.contradiction import contradiction
    from catalog.orings.implied import implied
    from catalog.orings.match import rank

    read = [_read(entry, unit) for entry in entries]
    while clash := contradiction([reading for _, reading in read if reading is not None]):
        at = next(i for i, (_, reading) in enumerate(read) if reading is clash.wrong)
        read[at] = (Note(error=f"No ring has this with that {clash.other.dimension.words}. Wrong field?"), None)
    notes = tuple(note for note, _ in read)
    names = tuple(entry.slot.name for entry, (_, reading) in zip(entries, read, strict=True) if reading is not None)
    readings = tuple(reading for _, reading in read if reading is not None)
    if not readings:
        return Desk(notes, (), None, None)
    evidence = Evidence(readings, condition)
    return Desk(notes, names, rank(evidence, prior=prior), implied(evidence))


def _read(entry: Entry, unit: str) -> tuple[Note, Reading | None]:
    from catalog.orings.instruments import reading
    from catalog.quantity import Kind, QuantityError, parse

    if not entry.text.strip():
        return Note(), None
    try:
        typed = parse(entry.text, kind=Kind.LENGTH, bare_unit=unit)
        stated = typed.plus_minus_in("mm")
        stated_mm = float(stated) if stated is not None else None
        read = reading(entry.slot.dimension, float(typed.to("mm")), entry.tool, stated_mm)
    except (QuantityError, ValueError) as problem:
        return Note(error=str(problem)), None
    limit = read.plus_minus_mm
    shown = f"±{limit / 25.4:.3f}in" if unit == "in" else f"±{limit:.2f}mm"
    return Note(echo=typed.echo(), limit=shown, stated=stated_mm is not None), read
