"""What can be asked of a bolt: the clamp load that a torque gives, and the torque for a clamp load."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from catalog import fasteners
from tui.answers.torque import TorqueAnswer, Way, torque_answer
from tui.fields.bolts import CLAMP, CONDITION, CONDITIONS, FRACTION, MEANT_FOR, STRENGTH, THREAD, TORQUE
from tui.fields.field import FieldError, under
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from catalog.fasteners.sizes import Thread
    from catalog.fasteners.torque import Overload, Tightening
    from tui.operations.operation import Bench, Values

HELP = "thread, class and torque → clamp load, and the other way round"
DESCRIPTION = """\
Torque for a bolt by its thread and class, or the clamp load that a torque gives, with the
range that friction makes of it. A figure meant for a dry thread is flagged on a wet one.

examples:
  kitwright torque --thread M16x2 --class 8.8
  kitwright torque --thread M16x2 --class 8.8 --torque "100 lbf·ft"
  kitwright torque --thread M16x2 --class 8.8 --torque 219Nm --anti-seize
  kitwright torque --thread M12 --class 8.8 --clamp 34kN
  kitwright torque --thread M6 --class A2-70 --anti-seize
  kitwright torque --thread 3/8-16 --class "grade 5" --condition zinc --json
"""
EPILOG = """\
classes: 4.6 to 12.9, stainless A2-50 to A4-80, old Japanese marks 4T and 7T, SAE grades 1 to 8.2.
units: N·m, lbf·ft, lbf·in, kgf·m, kgf·cm; forces in N, kN, lbf, kip, kgf.
  A torque without a unit is in the one this bench keeps (kitwright units); the
  answer says which.
conditions: dry, oiled, anti-seize, zinc, light-oil, rusty, waxed, thread-locker.
The machine's manual has the last word on torque.
exit codes: 0 the torque is within the proof load and meant for this thread's condition,
  1 it overloads the bolt, leaves it far too loose (below 40 % of the proof load) or was
  meant for another condition, 2 wrong options.
"""
WAYS: Final = (TORQUE, CLAMP, FRACTION)
"""What may be asked with, one of them at a time."""


def tightened(values: Values, bench: Bench) -> TorqueAnswer:
    """What the torque does, or which torque it takes. Raises `FieldError`."""
    thread, grade, condition = values["thread"], values["strength"], values["condition"]
    if thread is None or grade is None:
        raise FieldError("the bolt is not known; type its thread and class, such as --thread M16x2 --class 8.8", "-")
    given = [one for one in WAYS if values[one.name] is not None]
    if len(given) > 1:
        raise FieldError("a torque, a clamp load and a share are three ways to ask; give one of them", given[1].flag)
    by_torque = values["torque"] is not None
    if values["meant_for"] is not None and not by_torque:
        raise FieldError("it goes with a printed figure; give that by --torque", MEANT_FOR.flag)
    meant_for, first = values["meant_for"] or "dry", bench.units.torque
    try:
        found = _found(values, thread, grade, condition)
        compared: Overload | None = None
        if by_torque and fasteners.torque.nut_factor(condition) != fasteners.torque.nut_factor(meant_for):
            compared = fasteners.torque.at_figure_meant_for(
                thread, grade, found.torque_nm, condition, meant_for, first=first
            )
        elif not by_torque and condition != "dry" and not found.overloaded:
            # The figure a book prints is nearly always the dry one: say what it would do here.
            dry = fasteners.torque.tighten_to(thread, grade, "dry", found.fraction_of_proof)
            compared = fasteners.torque.at_figure_meant_for(thread, grade, dry.torque_nm, condition, first=first)
        meant = meant_for if by_torque else condition
        elsewhere = [
            fasteners.torque.at_figure_meant_for(thread, grade, found.torque_nm, one, meant) for one in CONDITIONS
        ]
    except ValueError as problem:
        raise FieldError(str(problem), given[0].flag if given else THREAD.flag) from problem
    way: Way = "usual"
    if given:
        way = "torque" if by_torque else "clamp" if values["clamp"] is not None else "fraction"
    understood = "" if not given or way == "fraction" else values[way].echo()
    return torque_answer(found, elsewhere, compared, given=by_torque, asked=way, understood=understood, unit=first)


def _found(values: Values, thread: Thread, grade: str, condition: str) -> Tightening:
    """The tightening that was asked for. Raises ValueError."""
    if values["torque"] is not None:
        return fasteners.torque.clamp_at(thread, grade, float(values["torque"].to("N·m")), condition)
    if values["clamp"] is not None:
        force = float(values["clamp"].to("N"))
        if not force > 0:
            raise ValueError(f"A clamp load of {force:g} N cannot be: type a number above 0.")
        return fasteners.torque.clamp_at(
            thread,
            grade,
            fasteners.torque.torque_nm(fasteners.torque.nut_factor(condition).typical, thread.diameter_mm, force),
            condition,
        )
    if values["fraction"] is not None:
        return fasteners.torque.tighten_to(thread, grade, condition, values["fraction"])
    return fasteners.torque.tighten_to(thread, grade, condition)


TIGHTENED = Operation(
    area="torque",
    name="torque",
    label="Torque",
    help=HELP,
    fields=(
        *under("bolt", THREAD, STRENGTH, CONDITION),
        *under("load", *WAYS, MEANT_FOR),
    ),
    answers=tightened,
    examples=(
        "torque --thread M16x2 --class 8.8",
        'torque --thread M16x2 --class 8.8 --torque "100 lbf·ft"',
        "torque --thread M16x2 --class 8.8 --torque 219Nm --anti-seize",
        "torque --thread M12 --class 8.8 --clamp 34kN",
        "torque --thread M6 --class A2-70 --anti-seize",
        'torque --thread 3/8-16 --class "grade 5" --condition zinc',
    ),
)

OPERATIONS = (TIGHTENED,)
