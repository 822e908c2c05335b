"""What can be asked of a sealing washer: which one was measured, or which go under a plug?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from catalog import seals
from tui.answers.washer import READ, WasherAnswer, WashersOfThread, washer_measured, washers_of_thread
from tui.fields.field import FieldError, under
from tui.fields.seals import INSIDE, KIND, NEW, OUTSIDE, PLUG, THICK
from tui.operations.operation import Operation
from tui.operations.seal_readings import readings_of

if TYPE_CHECKING:
    from tui.operations.operation import Bench, Values

HELP = "measured sealing washer, or a plug's thread → the washer"
DESCRIPTION = """\
Tell what was measured on a copper, aluminium or bonded washer; get the size it was and
how sure that is. Or give a plug's thread and get the washers that go under it.

examples:
  kitwright washer --inside 14.2mm --outside 17.9mm --thick 1.4mm
  kitwright washer --inside 13.8mm --outside 20.6mm --kind bonded
  kitwright washer --inside 0.866in --outside 1.06in --new
  kitwright washer --thread M14x1.5
  kitwright washer --thread "G 1/4" --json
"""
EPILOG = """\
Unless you type a ±: 0.1 mm. A washer that was tightened is crushed, so the limits are
wide; --new narrows them. A soft metal washer is new at every opening.
exit codes: 0 a washer fits, 1 none does, 2 wrong options.
"""


def asked(values: Values, bench: Bench) -> WasherAnswer | WashersOfThread:
    """The washer that was measured, or those under a plug. Raises `FieldError` for what cannot be."""
    readings = readings_of(values, READ)
    thread = values[PLUG.name]
    kind = seals.washers.WasherKind(values[KIND.name]) if values[KIND.name] else None
    if readings and thread is not None:
        raise FieldError("a washer is measured already; give its readings or a plug's thread, not both", PLUG.flag)
    if thread is not None:
        return washers_of_thread(thread, seals.washers.washers_for(thread, kind))
    if not readings:
        raise FieldError(
            "give readings such as --inside 14.2mm --outside 17.9mm, or a thread such as --thread M14x1.5", "-"
        )
    used = not values[NEW.name]
    try:
        found = seals.washers.identify_washer(readings, used=used, kind=kind)
    except ValueError as problem:
        first = next(one for one in (INSIDE, OUTSIDE, THICK) if values[one.name] is not None)
        raise FieldError(str(problem), first.flag) from problem
    return washer_measured(readings, found, bench.units.length, used=used)


WASHER = Operation(
    area="washer",
    name="washer",
    label="Washer",
    help=HELP,
    fields=(*under("readings", INSIDE, OUTSIDE, THICK, NEW), KIND, PLUG),
    answers=asked,
    lengths_only=True,
    examples=(
        "washer --inside 14.2mm --outside 17.9mm --thick 1.4mm",
        "washer --inside 13.8mm --outside 20.6mm --kind bonded",
        "washer --inside 0.866in --outside 1.06in --new",
        "washer --thread M14x1.5",
    ),
)

OPERATIONS = (WASHER,)
