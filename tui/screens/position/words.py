"""A position's fit record in words, the answer first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from catalog import orings
from tui.keys import key, plain
from tui.screens.measure.result import both, size_both
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from catalog.orings.evidence import Condition
    from catalog.orings.groove import Groove
    from catalog.orings.size_book import SizeBook
    from models.fits.fit_records import FitRow
    from models.fits.readings import ReadingRow
    from models.machines import MachineRow
    from tui.screens.position.records import Place

BUILT = {"anywhere": "not given", "japan": "Japan", "north-america": "North America", "europe": "Europe"}

VERBS = {"dry": "stayed dry", "wept": "wept", "leaked": "leaked"}


def told(
    place: Place | None,
    shelf: str,
    question: str,
    now: str,
    unit: str,
    machine: MachineRow | None = None,
    *,
    pictured: bool = False,
) -> Content:
    """What fitted, when, measured how; what differs now; what fitted before. `machine`: its own line is highlighted.

    `pictured`: there is a picture of what is highlighted.
    """
    shows = f"{key('paper')} shows its picture." if pictured else f"{key('paper')} adds a picture or a note."
    if place is None and machine is not None:
        return Content.assemble(
            (clean(machine.name), "bold $text-accent"), f"\n{clean(machine.note)}" if machine.note else "",
            f"\nBuilt in: {BUILT[machine.built.value]} (weighs inch or metric sizes; {plain('change')} changes it)",
            f"\nHighlight one of its positions to see what fitted there. {plain('new')} names another.\n{shows}",
        )  # fmt: skip
    if place is None:
        return Content.styled("Highlight a position to see what fitted there.", "dim")
    lines = [
        Content.styled(clean(f"{place.machine}, {place.position}"), "bold $text-accent"),
    ]
    if place.critical:
        lines.append(Content.styled("! Critical place: the surest ring first, and one question before a kit.", "bold"))
    if place.note:
        lines.append(Content(clean(place.note)))
    record = place.record
    if record is None:
        lines += [Content(""), Content.styled("Nothing is on record here yet.", "bold")]
        lines.append(Content(f"Enter: measure the ring for this position. {key('record')} then notes what fitted."))
    else:
        lines += [Content(""), *_record(record, shelf, unit, place.sizes)]
    if question:
        lines += [Content(""), Content.styled(f"? {clean(question)}", "bold $text-warning")]
    elif now:
        agrees = "Your readings agree with the record." if record is not None else now
        lines += [Content(""), Content(clean(agrees))]
    if place.earlier:
        lines += [Content(""), Content.styled("Before that", "bold $text-accent")]
        lines += [Content(clean(_short(one))) for one in place.earlier]
    lines += [
        Content(""),
        Content.styled(shows, "" if pictured else "dim"),
        Content.styled(
            f"Built in: {BUILT[place.built.value]} (weighs inch or metric sizes; {plain('change')} changes it)", "dim"
        ),
    ]
    return Content("\n").join(lines)


def on_record(record: FitRow) -> str:
    """What a ring on record rests on, for the question before a kit takes it for a critical place."""
    return f"{_name(record.size_key)} is what {clean(record.who)} noted here on {record.at:%Y-%m-%d}."


def _name(size_key: str) -> str:
    return orings.sizes.label_of(size_key)


def _rubber(record: FitRow) -> str:
    hard = f" {record.hardness_shore_a} Shore A" if record.hardness_shore_a else ""
    return f"{record.rubber or 'rubber not noted'}{hard}"


def _record(record: FitRow, shelf: str, unit: str, sizes: SizeBook | None) -> list[Content]:
    size = (sizes or orings.size_book.built_in()).by_key(record.size_key)
    lines = [Content.assemble((f" {clean(_name(record.size_key))} ", "bold reverse"), f"  {clean(_rubber(record))}")]
    if size is not None:
        lines.append(Content(size_both(size, unit)))
    if shelf:
        lines.append(Content.assemble(("Shelf: ", "bold"), shelf))
    brought = f", imported by {record.imported_by}" if record.imported_by else ""
    lines.append(Content(clean(f"Noted by {record.who} on {record.at:%Y-%m-%d}{brought}.")))
    if record.went is not None:
        said = f"It {VERBS[record.went.outcome.value]}, said {record.went.who} on {record.went.at:%Y-%m-%d}."
        lines.append(Content.styled(clean(said), "" if record.went.outcome.value == "dry" else "bold $text-warning"))
    if record.readings:
        lines.append(Content(f"Read then ({_look(record.readings[0].condition)}):"))
        lines += [Content(f"  {_reading(one, unit)}") for one in record.readings]
    if record.groove is not None:
        lines.append(Content(f"Groove: {_groove(record.groove, unit)}"))
    if record.note:
        lines.append(Content(clean(f"“{record.note}”")))
    return lines


def _look(condition: Condition) -> str:
    return "look not given" if condition is orings.evidence.Condition.NOT_SAID else f"{condition.words} ring"


def _reading(one: ReadingRow, unit: str) -> str:
    return f"{one.what.words}: {both(one.value_mm, unit)}, ±{one.plus_minus_mm:.2f} mm, {one.tool.value}"


def _groove(groove: Groove, unit: str) -> str:
    sizes = (("inner", groove.inner), ("outer", groove.outer), ("depth", groove.depth), ("width", groove.width))
    parts = [f"{name} {both(value.nominal, unit)}" for name, value in sizes if value is not None]
    if groove.clearance:
        parts.append(f"gap {both(groove.clearance, unit)}")
    if groove.play is not None:
        parts.append(f"play {both(groove.play, unit)}")
    if groove.centred:
        parts.append("guided centred")
    return f"{groove.kind.value.replace('_', ' ')}, " + "; ".join(parts)


def _short(record: FitRow) -> str:
    said = f" “{record.note}”" if record.note else ""
    went = f", {VERBS[record.went.outcome.value]}" if record.went is not None else ""
    return f"{record.at:%Y-%m-%d} {_name(record.size_key)} {record.rubber} ({record.who}){went}{said}"
