"""What can be done with machines: list them, see one with its positions, add both, say what is known of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any, NamedTuple

import models
from catalog import orings
from models import fits
from tui.answers.jobs import hours_of
from tui.answers.machines import JobHere as JobLine
from tui.answers.machines import Machine as MachineLine
from tui.answers.machines import MachineHistory, MachineKnown, MachineList, Position, UsedHere
from tui.fields.field import Asked, FieldError
from tui.fields.filters import Measured
from tui.fields.met import HOTTEST, RubbersFluid
from tui.fields.named import NameOf
from tui.fields.plain import Choice, Flag, Text
from tui.fields.rows import AnyPosition, FilterPosition, Machine
from tui.fields.trade import KINDS, Pair, Pairs
from tui.fields.words import unknown
from tui.operations.noting import NOTE_ON_POSITION, note_on
from tui.operations.operation import Operation, Then, Values
from tui.operations.upkeep import upkeep

if TYPE_CHECKING:
    from collections.abc import Callable

    from sqlmodel import Session

    from models.acts import Act
    from models.job_history import JobHere
    from models.machines import MachineRow, PositionRow

HELP = "the machines and their positions; add, rename, retire, merge"
DESCRIPTION = """\
List the machines, see one with its positions, add machines and positions. A
position is a named place on a machine that takes an item. What fitted there is
shown by: kitwright fits

examples:
  kitwright machine list --demo
  kitwright machine show "Orchard tractor 3" --demo
  kitwright machine add "Loader 2" --built japan --position "lift valve ring=ring" --demo
"""
EPILOG = "exit codes: 0 done, 1 there is no machine yet, 2 wrong options or input.\n"
ALONE_MEANS = "list"
BUILT = ("anywhere", "japan", "north-america", "europe")


def _listed(then: Then) -> MachineList:
    return MachineList(
        tuple(
            MachineLine(
                row.name,
                row.built.value,
                row.note or None,
                len(models.machines.positions(then.session, row.machine_id)),
            )
            for row in then.result
        )
    )


def _add() -> Callable[..., Any]:

    def add(
        session: Session, act: Act, *, name: str, positions: tuple[Pair, ...], built: str, note: str = ""
    ) -> MachineRow:
        """Add it with its positions, all or nothing."""
        made = models.machines.add(session, act, name=name, note=note, built=orings.prior.Built(built))
        for at, one in enumerate(positions):
            own = act._replace(key=f"{act.key}/{at}")
            models.machines.add_position(
                session, own, machine_id=made.machine_id, name=one.name, takes=models.words.Kind(one.value)
            )
        return made

    return add


def _position() -> Callable[..., Any]:

    def add(session: Session, act: Act, *, takes: str, **said: Any) -> PositionRow:
        """Add it."""
        return models.machines.add_position(session, act, takes=models.words.Kind(takes), **said)

    return add


class _Noted(NamedTuple):
    """Of which machine something was said, and whether it was news."""

    machine_id: int
    is_new: bool


def _told_history(then: Then) -> MachineHistory:
    jobs: tuple[JobHere, ...] = then.result
    return MachineHistory(
        then.values["machine"].name,
        tuple(
            JobLine(
                one.job_id,
                one.title,
                one.opened_at,
                one.closed_at,
                hours_of(one.meter_hundredths_h),
                tuple(UsedHere(each.item_name, each.quantity, each.counted_in.value) for each in one.used),
            )
            for one in jobs
        ),
    )


def _built() -> Callable[..., Any]:

    def say(session: Session, act: Act, *, machine_id: int, built: str) -> _Noted:
        """Say it."""
        before = models.machines.get(session, machine_id)
        return _Noted(
            machine_id, models.machines.set_built(session, act, machine_id, orings.prior.Built(built)) != before
        )

    return say


def _critical() -> Callable[..., Any]:

    def say(session: Session, act: Act, *, machine_id: int, position_id: int, off: bool) -> _Noted:
        """Say it of the machine's position."""
        before = models.machines.position(session, position_id)
        return _Noted(machine_id, models.machines.set_critical(session, act, position_id, critical=not off) != before)

    return say


def _meets() -> Callable[..., Any]:

    def note(
        session: Session, act: Act, *, machine_id: int, position_id: int, fluid: str | None = None, hottest: Any = None
    ) -> PositionRow:
        """Note it at the machine's position."""
        heat = None if hottest is None else round(hottest.to("°C"))
        return models.machines.set_meets(session, act, position_id, fluid=fluid, hottest_c=heat)

    return note


def _no_fluid(values: Values) -> str:
    if values.get("hottest") is not None and values.get("fluid") is None:
        return "the hottest goes with a fluid; type --fluid too, such as --fluid UTTO"
    return ""


def _housing() -> Callable[..., Any]:

    def note(session: Session, act: Act, *, machine_id: int, position_id: int, housing: Any) -> None:
        """Note it at the machine's position."""
        models.machines.set_housing(session, act, position_id, housing)

    return note


def _known(then: Then, done: str = "") -> MachineKnown:
    """The machine that was named or added, as it is known now."""
    named = then.values["machine"]
    machine_id = then.result.machine_id if isinstance(named, str) else named.machine_id
    row, places = models.machines.get(then.session, machine_id), models.machines.positions(then.session, machine_id)
    holding = {one.position_id: one.size_key for one in fits.fit_records.at_machine(then.session, machine_id)}
    told = tuple(
        Position(
            one.name,
            one.takes.value,
            holding.get(one.position_id),
            models.machines.housing_at(then.session, one.position_id) is not None,
            one.note or None,
            one.critical,
            one.meets or None,
            one.hottest_c,
        )
        for one in places
    )
    return MachineKnown(row.name, row.built.value, row.note or None, told, done)


def _noted(then: Then) -> MachineKnown:
    return _known(then, "Noted." if then.result.is_new else "That was on record already; nothing was changed.")


@dataclass(frozen=True)
class _Positions(Pairs):
    """Positions, each with what it takes."""

    def value(self, text: str, asked: Asked) -> str:
        """The kind of item it takes. Raises `FieldError`."""
        if text.lower() not in KINDS:
            raise FieldError(unknown(text, KINDS))
        return text.lower()


MACHINE = Machine("machine", "Machine", "the machine's name", placed=True)
CRITICAL = "somebody may be hurt where it fails: brakes, fuel, lifting, steering, hot or high pressure"
WHERE = "where, which says what rings are likely"

LIST = Operation(
    area="machine",
    name="list",
    label="List",
    help="the machines, by name",
    about="List the machines by name.",
    fields=(),
    question=lambda: models.machines.listed,
    answer=_listed,
    examples=("machine list",),
)
SHOW = Operation(
    area="machine",
    name="show",
    label="Show",
    help="one machine with its positions",
    about="Show one machine: where it was built, its positions, and what takes which item.",
    fields=(MACHINE,),
    question=lambda: models.machines.get,
    answer=_known,
    examples=('machine show "Orchard tractor 3"',),
)
ADD = Operation(
    area="machine",
    name="add",
    label="Add a machine",
    help="add a machine, with positions if you like",
    about="Add a machine, with its positions where you know them.",
    fields=(
        Text("machine", "Name", "the machine's name", what="the machine's name", placed=True, parameter="name"),
        Choice("built", "Built", f"{WHERE}: {', '.join(BUILT)}", choices=BUILT, must=False, empty=BUILT[0]),
        _Positions("position", "Positions", f"a position and what it takes: {', '.join(KINDS)}",
                   metavar="NAME=KIND", example="sump=fluid", parameter="positions"),
        Text("note", "Note", "anything else to know", must=False),
    ),
    change=_add,
    answer=partial(_known, done="Added."),
    examples=('machine add "Loader 2" --built japan --position "lift valve ring=ring" --position "sump=fluid"',),
)  # fmt: skip
POSITION = Operation(
    area="machine",
    name="position",
    label="Add a position",
    help="add a position to a machine",
    about="Add a position to a machine: a named place that takes an item.",
    fields=(
        MACHINE,
        Text("position", "Position", "what the place is called", what="what the place is called", placed=True,
             parameter="name"),
        Choice("takes", "Takes", f"what it takes, ring unless you say: {', '.join(KINDS)}", choices=KINDS, must=False,
               empty=KINDS[0]),
        Text("note", "Note", "anything else to know", must=False),
        Flag("critical", "Critical", CRITICAL),
    ),
    change=_position,
    answer=partial(_known, done="Added."),
    examples=(
        'machine position "Row sprayer" "pump inlet strainer" --takes filter',
        'machine position "Orchard tractor 3" "brake line fitting ring" --critical',
    ),
)  # fmt: skip
CRITICAL_PLACE = Operation(
    area="machine",
    name="critical",
    label="Critical",
    help="say whether a position is critical",
    about="""\
Say that a position is critical: somebody may be hurt where it fails (brakes,
fuel, lifting, steering, hot or high pressure). Measure then names the ring most
likely to seal, whatever lies on the shelf, counts no marginal one, and asks once
before a kit takes it. --off says that it is not critical.""",
    fields=(
        MACHINE,
        AnyPosition("position", "Position", "the position on it", placed=True),
        Flag("off", "Not critical", "it is not critical (any more)"),
    ),
    change=_critical,
    answer=_noted,
    examples=(
        'machine critical "Orchard tractor 3" "pump inlet flange ring"',
        'machine critical "Orchard tractor 3" "pump inlet flange ring" --off',
    ),
    key="mark",
)
MEETS_THERE = Operation(
    area="machine",
    name="meets",
    label="Fluid there",
    help="note which fluid a ring at a position meets",
    about="""\
Note which fluid a ring at a position meets, and the hottest it gets. A ring measured
there is then judged by it. Without --fluid it is not known any more.""",
    fields=(
        MACHINE,
        AnyPosition("position", "Position", "the position on it", placed=True),
        RubbersFluid("fluid", "Fluid", "the fluid, as kitwright rubber --fluids lists them"),
        HOTTEST,
    ),
    change=_meets,
    refuse=_no_fluid,
    answer=partial(_known, done="Noted."),
    examples=(
        'machine meets "Orchard tractor 3" "pump inlet flange ring" --fluid UTTO --to 100C',
        'machine meets "Orchard tractor 3" "pump inlet flange ring"',
    ),
)
BUILT_IN = Operation(
    area="machine",
    name="built",
    label="Built",
    help="say where a machine was built",
    about="Say where a machine was built: it weighs which ring series are likely on it.",
    fields=(
        MACHINE,
        Choice("where", "Where", f"where it was built: {', '.join(BUILT)}", choices=BUILT, placed=True,
               parameter="built"),
    ),
    change=_built,
    answer=_noted,
    examples=('machine built "Shop press" europe',),
)  # fmt: skip
HOUSING = Operation(
    area="machine",
    name="housing",
    label="Housing as measured",
    help="note a filter position's housing as measured",
    about="Note the housing at a filter position as it was measured; elements are judged in it.",
    fields=(
        Measured("housing", "Housing", "what was measured, see: kitwright filter --fields", part="housing"),
        MACHINE,
        FilterPosition("position", "Position", "the filter position", placed=True),
    ),
    change=_housing,
    answer=partial(_known, done="Noted."),
    examples=('machine housing "Bin tipper" "tank return element" --housing takes=spin-on thread=1-12',),
)

HISTORY = Operation(
    area="machine",
    name="history",
    label="What was done on a machine",
    help="the jobs of a machine: when, at which hours, with what",
    about="Show what is done and was done on a machine: its open jobs, then its closed ones, each\n"
    "the latest first, with the hours that were noted and what each used.",
    fields=(NameOf("machine", "Machine", "the machine's name", placed=True, what="machine", retired=True,
                   parameter="machine_id"),),
    question=lambda: models.job_history.of_machine,
    answer=_told_history,
    examples=('machine history "Orchard tractor 3"',),
)  # fmt: skip

OPERATIONS = (
    *(LIST, SHOW, ADD, POSITION, BUILT_IN, CRITICAL_PLACE, MEETS_THERE, HOUSING, HISTORY, NOTE_ON_POSITION),
    note_on("machine", "Orchard tractor 3", "sump plug has a metric thread"),
    *upkeep("machine", "Shop press", "Bin tipper"),
)
