"""What can be asked of a thread: which it is by its readings, what its name says, which threads have such a hex."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from catalog import fasteners
from tui.answers.thread import ThreadAnswer, hexes_found, named_thread, thread_answer
from tui.fields.field import FieldError, under
from tui.fields.quantities import Dimension, in_mm
from tui.fields.threads import DIAMETER, PITCHES, READINGS, USUAL, ThreadName
from tui.operations.operation import Operation
from tui.operations.thread_readings import measured

if TYPE_CHECKING:
    from tui.answers.answer import Answer
    from tui.operations.operation import Bench, Values

HELP = "measured thread → its name and its wrench"
DESCRIPTION = """\
Tell what was measured on a bolt, nut, plug or hole; get the threads it can be, how sure
each is, the wrench it takes, and the gauge that settles a doubt. Or ask by name or wrench.

examples:
  kitwright thread --diameter 7.85mm --pitch 1.25mm
  kitwright thread --diameter 0.37in --tpi 24
  kitwright thread --diameter 9.45mm --tpi 16 --flank 55
  kitwright thread --diameter 20.8mm --over 18.14mm --threads 10
  kitwright thread --diameter 15.4mm --pitch 2mm --wear damaged
  kitwright thread --diameter 6.78mm --pitch 1.25mm --female
  kitwright thread --name M8
  kitwright thread --wrench 13mm --json
"""
EPILOG = f"""\
The diameter is over the crests; with --female across the crests of a nut or hole.
{USUAL} A damaged thread never goes back under load.
A 55° leaf tells Whitworth and BSP from UNC, UNF and metric (60°); how often a leaf is
misread is allowed for. A port or plug: `kitwright port` says how it seals.
exit codes: 0 a thread fits, 1 none does, 2 wrong options.
"""
EXAMPLE: Final = "--diameter 7.85mm --pitch 1.25mm"


def identified(values: Values, bench: Bench) -> ThreadAnswer:
    """Which thread has these readings. Raises `FieldError`."""
    readings = measured(values, EXAMPLE)
    try:
        found = fasteners.thread.identify(readings)
    except ValueError as problem:
        raise FieldError(str(problem), DIAMETER.flag) from problem
    return thread_answer(readings, found, bench.units.length)


def _asked(values: Values, bench: Bench) -> Answer:
    by_readings = any(values[one.name] is not None for one in (DIAMETER, *PITCHES))
    if by_readings + (values["name"] is not None) + (values["wrench"] is not None) != 1:
        raise FieldError(f"give readings such as {EXAMPLE}, or --name M8, or --wrench 13mm", "-")
    unit = bench.units.length
    if values["name"] is not None:
        return named_thread(values["name"], unit)
    if values["wrench"] is None:
        return identified(values, bench)
    across, plus_minus = in_mm(values["wrench"])
    found = (
        fasteners.wrench.threads_for_wrench(across, plus_minus)
        if plus_minus
        else fasteners.wrench.threads_for_wrench(across)
    )
    return hexes_found(across, found, unit)


THREAD = Operation(
    area="thread",
    name="thread",
    label="Thread",
    help=HELP,
    fields=(
        *under("readings", *READINGS),
        *under(
            "or ask by",
            ThreadName("name", "Name", "a thread's name: M16x2, 3/8-16 UNC, G 1/2, 3/8 BSW"),
            Dimension("wrench", "Wrench", "across flats: which threads have such a hex?", what="across flats"),
        ),
    ),
    answers=_asked,
    lengths_only=True,
    examples=(
        f"thread {EXAMPLE}",
        "thread --diameter 0.37in --tpi 24",
        "thread --diameter 9.45mm --tpi 16 --flank 55",
        "thread --diameter 20.8mm --over 18.14mm --threads 10",
        "thread --diameter 15.4mm --pitch 2mm --wear damaged",
        "thread --diameter 6.78mm --pitch 1.25mm --female",
        "thread --name M8",
        "thread --wrench 13mm",
    ),
)

OPERATIONS = (THREAD,)
