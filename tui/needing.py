"""A need told by fields or by a judgement: read, with a sentence for each field that is wrong, and put on a kit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Final, NamedTuple, TypeVar

from tui.commands.parsing import UsageError

if TYPE_CHECKING:
    from sqlmodel import Session

    from catalog.filters.housing import Housing
    from models.kitting.kit_view import NeedView
    from tui.workshop import Workshop

Value = TypeVar("Value")

KINDS: Final = ("fluid", "filter", "sealant", "fastener", "consumable")
"""What a need can be told by here. A ring is measured, or picked in the Catalog."""

FIELDS: Final[Mapping[str, tuple[str, ...]]] = {
    "fluid": ("class", "grade", "low", "full", "asks", "title"),
    "filter": ("class", "grade", "count", "spares", "title"),
    "sealant": ("class", "grade", "asks", "cure", "count", "spares", "title"),
    "fastener": ("class", "grade", "count", "spares", "title"),
    "consumable": ("class", "grade", "count", "spares", "title"),
}
"""The fields of each kind, in their order."""

LABELS: Final = {
    "class": "Class", "grade": "Grade", "low": "Low mark", "full": "Full mark", "asks": "Also asked",
    "cure": "Cure at most", "count": "Pieces", "spares": "Spares", "title": "Called",
}  # fmt: skip
MOST: Final = 9999
MOST_ASKS: Final = 12


class Needed(NamedTuple):
    """What a job takes, as `models.kitting.needs.NeedSpec` has it; made without loading the database."""

    kind: str
    pieces: int = 1
    spares: int = 0
    title: str = ""
    spec_class: str = ""
    spec_grade: str = ""
    low_ul: int | None = None
    full_ul: int | None = None
    cure_minutes_at_most: int | None = None
    position_id: int | None = None
    why: str = ""
    asks: tuple[str, ...] = ()
    housing: Housing | None = None


class Known(NamedTuple):
    """What a form can offer: positions of the job's machine (kind, number, name), classes on the shelf by kind."""

    positions: tuple[tuple[str, int, str], ...]
    classes: Mapping[str, tuple[str, ...]]


def read(kind: str, values: Mapping[str, str]) -> tuple[Needed, dict[str, str]]:
    """The need that the fields tell, and by field the sentence that says what is wrong; right where there is none."""
    from tui.commands.amounts import number

    wrong: dict[str, str] = {}

    def one(key: str, reader: Callable[[str, str], Value], usual: Value) -> Value:
        text = " ".join(values.get(key, "").split())
        if key not in FIELDS[kind] or not text:
            return usual
        try:
            return reader(LABELS[key], text)
        except UsageError as problem:
            wrong[key] = f"{str(problem).rstrip('.')}."
            return usual

    called = one("class", _text, "")
    if not called:
        told = "by its class or grade" if kind == "fluid" else "by its class as on the shelf"
        wrong["class"] = f"Class: say which {kind}, {told}."
    low, full = one("low", _mark, None), one("full", _mark, None)
    if kind == "fluid" and not wrong.keys() & {"low", "full"}:
        wrong |= _marks(low, full)
    found = Needed(
        kind,
        one("count", lambda label, text: number(label, text, most=MOST), 1),
        one("spares", lambda label, text: number(label, text, least=0, most=MOST), 0),
        one("title", _text, ""),
        called,
        one("grade", _text, ""),
        low if low is not None else full,
        full if full is not None else low,
        one("cure", _minutes, None),
        asks=one("asks", _several, ()),
    )
    return found, {key: wrong[key] for key in FIELDS[kind] if key in wrong}


def _text(_label: str, text: str) -> str:
    return text


def _mark(label: str, text: str) -> int | None:
    from tui.commands.amounts import MOST_MICROLITRES, microlitres

    found = microlitres(label, text)
    if not 0 < found <= MOST_MICROLITRES:
        raise UsageError(f"{label}: it must be above zero; type for example 11 qt or 10.4 L")
    return found


def _marks(low: int | None, full: int | None) -> dict[str, str]:
    if low is None and full is None:
        return {"low": "Low mark: say what the system holds, as 11 qt at the low and 12 qt at the full mark."}
    if low is not None and full is not None and low > full:
        return {"low": "Low mark: it is more than the full mark; type the smaller volume here."}
    return {}


def _minutes(label: str, text: str) -> int | None:
    from tui.commands.job_needs import minutes

    return minutes(label, text)


def _several(label: str, text: str) -> tuple[str, ...]:
    parts = tuple(part.strip() for part in text.replace(";", ",").split(",") if part.strip())
    if len(parts) > MOST_ASKS:
        raise UsageError(f"{label}: that is {len(parts)} words parted by commas; type {MOST_ASKS} at most")
    return parts


def known(workshop: Workshop, machine_id: int | None) -> Known:
    """What a form can offer for a job on that machine; called in a thread."""
    from models import machines
    from models.stores import items
    from tui.workshop import MOST_ROWS

    def look(session: Session) -> Known:
        at = () if machine_id is None else machines.positions(session, machine_id)
        classes: dict[str, dict[str, None]] = {}
        for row in items.page(session, limit=MOST_ROWS).rows:
            if row.spec_class:
                classes.setdefault(row.kind.value, {})[row.spec_class] = None
        return Known(
            tuple((row.takes.value, row.position_id, row.name) for row in at),
            {kind: tuple(found) for kind, found in classes.items()},
        )

    return workshop.read(look)


def put(workshop: Workshop, job_id: int, needed: Needed) -> NeedView:
    """The need on the job's kit, looked for on the shelf, in one change; called in a thread."""
    from models import kits
    from models.kitting.needs import NeedSpec
    from models.words import Kind

    spec = NeedSpec(**{**needed._asdict(), "kind": Kind(needed.kind)})
    return workshop.change(lambda session, act: kits.accept_need(session, act, job_id, spec))
