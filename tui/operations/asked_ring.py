"""One measured ring asked about: from the fields' values to the evidence, and from that to the answer."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from catalog import orings
from models import glance
from tui import answers, fields
from tui.answers.ring import RingAnswer, ring_answer
from tui.fields.field import FieldError
from tui.fields.rings import MEASURED

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from catalog.orings.decide import Decision
    from catalog.orings.evidence import Evidence, Reading
    from catalog.orings.match import Ranking
    from catalog.orings.on_shelf import ShelfRing
    from catalog.orings.prior import Prior
    from catalog.orings.size_book import SizeBook
    from catalog.quantity import Typed
    from tui.answers.ring import BatchRow
    from tui.answers.to_fit import Met
    from tui.operations.at_machine import AtMachine
    from tui.operations.operation import Bench, Values

    Shelf = Callable[[Ranking], tuple[ShelfRing, ...] | None]

THICKEST_MM = 25.0
"""Above this a width is a slip: no table has a thicker ring than 10 mm, and cord ends at about 20."""
ROOM_C = 20.0
WEIGHED = 50
"""How many sizes are weighed, however few are listed: what is shown never changes what is decided."""
USUAL = {"around": "tape", "cut_length": "rule"}
"""What a reading is taken with when nobody says so, where that is not a caliper."""


def reading_of(name: str, typed: Typed, tool: str = "") -> Reading:
    """A reading of a ring, by its field's name; `tool` is a word of the field, "" for the usual one.

    Raises `FieldError`.
    """
    value, plus_minus = fields.quantities.in_mm(typed)
    if name == orings.evidence.Dimension.WIDTH and value > THICKEST_MM:
        meant = (
            f"; did you mean {float(typed.value):g} mm? Type it as {float(typed.value):g}mm"
            if typed.unit == "in"
            else ""
        )
        raise FieldError(f"no ring is {value:.1f} mm thick{meant}", option_of(name))
    try:
        return orings.instruments.reading(
            orings.evidence.Dimension(name), value, orings.evidence.Tool(tool or USUAL.get(name, "caliper")), plus_minus
        )
    except ValueError as problem:
        raise FieldError(str(problem), option_of(name)) from problem


def evidence_of(values: Values) -> Evidence | None:
    """What was measured on a ring, from the fields of it; None where nothing was. Raises `FieldError`."""
    tools = values["tool"]
    readings = tuple(reading_of(one.name, typed, tools.of(one.name)) for one in MEASURED for typed in values[one.name])
    if not readings:
        return None
    clash = orings.contradiction.contradiction(readings)
    if clash is not None:
        wrong, other = (option_of(one.dimension.value) for one in (clash.wrong, clash.other))
        raise FieldError(f"{wrong} does not go with {other}: {clash.why}; look whether each is in its place", "-")
    return orings.evidence.Evidence(
        readings, orings.evidence.Condition(values["condition"] or orings.evidence.Condition.NOT_SAID)
    )


def option_of(name: str) -> str:
    """A field's option, by its name."""
    return f"--{name.replace('_', '-')}"


def asked_once(
    values: Values,
    bench: Bench,
    seen: Shelf,
    *,
    unit: str = "",
    row: BatchRow | None = None,
    prior: Prior | None = None,
    at: AtMachine | None = None,
    own: SizeBook | None = None,
) -> RingAnswer:
    """One ring's answer. `seen`: reads the shelf; `own`: the sizes with the shop's own; `unit`: of the answer, where it
    isn't the bench's; `row`: of a batch.

    `at`: the machine it is from.

    Raises `FieldError`.
    """
    met = met_by(values) or met_at(at)
    decision = decided(values, seen, prior=prior, at=at, own=own, suits=None if met is None else met.suits)
    told = None
    if (
        at is not None
        and at.on_machine
        and orings.of_machine.changed(decision, orings.decide.decide(ranked(values, at.alone, own), decision.wanted))
    ):
        told = f"{orings.of_machine.words(at.on_machine)}."
    following = orings.next_step.next_step(decision)
    return ring_answer(
        decision, following, unit or bench.units.length, limit=values["limit"], row=row, of_machine=told, met=met
    )


def decided(
    values: Values,
    seen: Shelf,
    *,
    prior: Prior | None = None,
    at: AtMachine | None = None,
    own: SizeBook | None = None,
    suits: Callable[[str], bool] | None = None,
) -> Decision:
    """Which ring goes in, by the fields' values; see `asked_once`. `suits`: whether a rubber may go in.

    Raises `FieldError`.
    """
    return decided_of(ranked(values, prior if at is None else at.prior, own), values, seen, at=at, suits=suits)


def decided_of(
    ranking: Ranking,
    values: Values,
    seen: Shelf,
    *,
    at: AtMachine | None = None,
    suits: Callable[[str], bool] | None = None,
) -> Decision:
    """Which ring goes in, by a ranking and what the fields say of the place; see `asked_once`."""
    wanted = orings.decide.Wanted(
        orings.joint_kind.JointKind(values["joint"]) if values["joint"] else None,
        shelf=seen(ranking),
        suits=suits,
        critical=values["critical"] or (at is not None and at.critical),
        here=() if at is None else at.here,
    )
    return orings.decide.decide(ranking, wanted)


def met_by(values: Values) -> Met | None:
    """What the ring meets at work, from the fields; None where nobody said. Raises `FieldError`."""
    if values["fluid"] is None:
        if values["hottest"] is not None:
            raise FieldError("goes with --fluid: which fluid gets so hot?", "--to")
        return None
    return answers.to_fit.Met(
        values["fluid"], ROOM_C if values["hottest"] is None else float(values["hottest"].to("°C"))
    )


def met_at(at: AtMachine | None) -> Met | None:
    """What a ring meets at the position it is from; None where nobody said."""
    if at is None or not at.meets:
        return None
    return answers.to_fit.Met(at.meets, ROOM_C if at.hottest_c is None else float(at.hottest_c))


def ranked(values: Values, prior: Prior | None = None, own: SizeBook | None = None) -> Ranking:
    """The sizes that a ring can be, the shop's own among them where they are given. Raises `FieldError`."""
    evidence = evidence_of(values)
    if evidence is None:
        raise FieldError("no reading given; type at least one, such as --id 24.9mm --width 3.5mm", "-")
    return orings.match.rank(evidence, series=values["series"] or None, prior=prior, limit=weighed(values), own=own)


def weighed(values: Values) -> int:
    """How many sizes are weighed."""
    limit: int = values["limit"]
    return max(limit, WEIGHED)


def shelf_at(bench: Bench) -> Shelf:
    """Looks for the rings that could go in, of all on the shelf; None where it can't be seen."""

    def seen(ranking: Ranking) -> tuple[ShelfRing, ...] | None:
        return good_rings(bench, orings.decide.near_keys(ranking))

    return seen


def good_rings(bench: Bench, sizes: Collection[str] | None) -> tuple[ShelfRing, ...] | None:
    """The rings on the shelf that have not expired, of these sizes or of all; None where it can't be seen."""
    if bench.place is None:
        return None
    found = glance.shelf_rings.rings_on_shelf(bench.place(), sizes)
    today = date.today()
    return None if found is None else tuple(one for one in found if not one.has_expired(today))
