"""From what was typed to what is shown: runs in a worker's thread, touches no widget.

The catalog is reached through its door: 1,800 sizes and the matching code wait until the first frame is painted.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from importlib import import_module
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from catalog import orings
from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from tui import operations
from tui.fields import rings
from tui.fields.field import Asked, FieldError
from tui.fields.units import Units
from tui.fields.words import in_a_form
from tui.screens.measure.meets import NOT_ASKED, Meets

if TYPE_CHECKING:
    from catalog.orings.decide import Decision
    from catalog.orings.figures import Service
    from catalog.orings.groove import Groove
    from catalog.orings.implied import Implied
    from catalog.orings.match import Ranking
    from catalog.orings.next_step import NextStep
    from catalog.orings.on_shelf import ShelfRing
    from catalog.orings.prior import Prior
    from catalog.orings.ran import Ran
    from catalog.orings.read_limits import ReadLimits
    from catalog.orings.size_book import SizeBook
    from catalog.orings.sizes import RingSize, Series
    from tui.answers.to_fit import Met
    from tui.fields.rings import Readings


class Slot(NamedTuple):
    """One field of the screen: how it is read, and the tool it starts with."""

    field: Readings
    tool: Tool

    @property
    def name(self) -> str:
        """What stands before it."""
        return self.field.label

    @property
    def dimension(self) -> Dimension:
        """What it measures."""
        return Dimension(self.field.name)


SLOTS = (
    Slot(rings.ID, Tool.CALIPER),
    Slot(rings.OD, Tool.CALIPER),
    Slot(rings.WIDTH, Tool.CALIPER),
    Slot(replace(rings.WIDTH, label="Width 2", what="the other way, if flat"), Tool.CALIPER),
    Slot(rings.AROUND, Tool.TAPE),
    Slot(rings.CUT_LENGTH, Tool.RULE),
)
TOOLS = tuple(tool for tool in Tool if tool is not Tool.STATED)
CONDITIONS = (Condition.NOT_SAID, *(one for one in Condition if one is not Condition.NOT_SAID))
JOINTS = ("", *rings.JOINTS)
"""Where the ring sits, as a field has it; "" where nobody said."""


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


class Bench(NamedTuple):
    """What is known beside the readings: where the ring sits, its groove, the machine, the shelf (None: not seen), and
    the sizes with the shop's own among them (None: the standard ones).

    `critical`: the place is. `here`: how rings went there, newest first. `on_machine`: of how many rings
    on record elsewhere on the machine each series is, which `prior` counts and `alone` does not. `picture`: what is to
    be known of readings that a picture gave.
    """

    joint: str = ""
    groove: Groove | None = None
    prior: Prior | None = None
    shelf: tuple[ShelfRing, ...] | None = None
    critical: bool = False
    here: tuple[Ran, ...] = ()
    on_machine: Mapping[Series, int] = MappingProxyType({})
    alone: Prior | None = None
    sizes: SizeBook | None = None
    service: Service | None = None
    meets: Meets = NOT_ASKED
    picture: str = ""


class MeasureResult(NamedTuple):
    """Everything the screen shows. `names` and `ranking`'s residuals run in step.

    `read`: the least and the most that the readings allow. `service`: what the ring meets, as it was understood.
    `of_machine`: what the machine's other rings are, where that changed the answer. `picture`: what is to be known of
    readings that a picture gave.
    """

    notes: tuple[Note, ...]
    names: tuple[str, ...]
    ranking: Ranking | None
    span: Implied | None
    decision: Decision | None = None
    following: NextStep | None = None
    of_machine: str = ""
    read: ReadLimits | None = None
    service: Meets = NOT_ASKED
    picture: str = ""

    @property
    def met(self) -> Met | None:
        """What the ring meets at work; None where nobody said."""
        return self.service.met


EMPTY = MeasureResult((Note(),) * len(SLOTS), (), None, None)


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
    for module in ("catalog.orings.match", "catalog.orings.next_step", "catalog.quantity"):
        import_module(module)

    orings.sizes.all_sizes()


def evaluate(entries: Sequence[Entry], condition: Condition, unit: str, bench: Bench | None = None) -> MeasureResult:
    """Read every field, say which ring goes in. A field that can't be read gets its sentence; the others count."""
    bench = bench or Bench()
    return _evaluated(entries, condition, unit, bench)._replace(picture=bench.picture)


def _evaluated(entries: Sequence[Entry], condition: Condition, unit: str, bench: Bench) -> MeasureResult:
    read = [_read(entry, unit) for entry in entries]
    while clash := orings.contradiction.contradiction([reading for _, reading in read if reading is not None]):
        at = next(i for i, (_, reading) in enumerate(read) if reading is clash.wrong)
        read[at] = (Note(error=f"No ring has this and that {clash.other.dimension.words}. Wrong field?"), None)
    notes = [note for note, _ in read]
    names = tuple(entry.slot.name for entry, (_, reading) in zip(entries, read, strict=True) if reading is not None)
    readings = tuple(reading for _, reading in read if reading is not None)
    meets = bench.meets
    if not readings:
        return MeasureResult(tuple(notes), (), None, None, service=meets)
    limits = orings.read_limits.read_limits(readings)
    evidence = Evidence(readings, condition)
    ranking = orings.match.rank(evidence, prior=bench.prior, own=bench.sizes)
    if ranking.conflict is not None:
        typed = [at for at, (_, reading) in enumerate(read) if reading is not None]
        wrong = typed[ranking.conflict.at]
        notes[wrong] = notes[wrong]._replace(error="The other readings disagree. Measure it again.")
        return MeasureResult(tuple(notes), names, ranking, None, read=limits, service=meets)
    joint = orings.joint_kind.JointKind(bench.joint) if bench.joint else None
    suits = None if meets.met is None else meets.met.suits
    wanted = orings.decide.Wanted(
        joint, bench.groove, bench.service, bench.shelf, suits, bench.critical, here=bench.here
    )
    decision = orings.decide.decide(ranking, wanted)
    told = ""
    if bench.on_machine and orings.of_machine.changed(
        decision, orings.decide.decide(orings.match.rank(evidence, prior=bench.alone, own=bench.sizes), wanted)
    ):
        told = f"{orings.of_machine.words(bench.on_machine)}."
    following = orings.next_step.next_step(decision)
    return MeasureResult(
        tuple(notes),
        names,
        ranking,
        orings.implied.implied(evidence),
        decision,
        following,
        told,
        read=limits,
        service=meets,
    )


def _read(entry: Entry, unit: str) -> tuple[Note, Reading | None]:
    if not entry.text.strip():
        return Note(), None
    field, asked = entry.slot.field, Asked(Units(length=unit))
    try:
        value = field.from_text(entry.text, asked)
        read = operations.asked_ring.reading_of(field.name, value[0], entry.tool.value)
    except FieldError as problem:
        return Note(error=in_a_form(str(problem))), None
    limit = read.plus_minus_mm
    shown = f"±{limit / 25.4:.3f}" if unit == "in" else f"±{limit:.2f}"
    return Note(echo=field.echo(value, asked), limit=shown, stated=read.tool is Tool.STATED), read
