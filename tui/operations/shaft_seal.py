"""What can be asked of a rotary shaft seal: which size belongs to this shaft and bore?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from catalog import seals
from tui.answers.shaft_seal import READ, ShaftSealAnswer, shaft_seal_of
from tui.fields.field import FieldError
from tui.fields.seals import BORE, OD, SHAFT, WIDTH
from tui.operations.operation import Operation
from tui.operations.seal_readings import readings_of

if TYPE_CHECKING:
    from tui.operations.operation import Bench, Values

HELP = "measured shaft, bore and width → shaft seal size"
DESCRIPTION = """\
Tell the shaft, the bore it sits in and the width of a rotary shaft lip seal (oil seal);
get the size it was, how sure that is, and what else is near.

examples:
  kitwright shaft-seal --shaft 34.95mm --bore 52mm --width 7mm
  kitwright shaft-seal --shaft 1.375in --bore 2.062in
  kitwright shaft-seal --shaft 40 --od 62.3 --width 10
  kitwright shaft-seal --shaft 25mm --json
"""
EPILOG = """\
Measure the shaft beside the lip's track, not in it. The seal's own outside (--od) is
larger than its bore; its lip is smaller than the shaft, so do not measure the lip.
Unless you type a ±: 0.1 mm. exit codes: 0 a size fits, 1 none does, 2 wrong options.
"""
DIAMETERS = (SHAFT, BORE, OD)


def identified(values: Values, bench: Bench) -> ShaftSealAnswer:
    """The sizes that it can be. Raises `FieldError` for what cannot be."""
    given = [one for one in DIAMETERS if values[one.name] is not None]
    if not given:
        raise FieldError("give readings such as --shaft 34.95mm --bore 52mm --width 7mm", "-")
    readings = readings_of(values, READ)
    try:
        found = seals.shaft_seals.identify_shaft_seal(readings)
    except ValueError as problem:
        raise FieldError(str(problem), given[0].flag) from problem
    return shaft_seal_of(readings, found, bench.units.length)


SHAFT_SEAL = Operation(
    area="shaft-seal",
    name="shaft-seal",
    label="Shaft seal",
    help=HELP,
    fields=(*DIAMETERS, WIDTH),
    answers=identified,
    lengths_only=True,
    examples=(
        "shaft-seal --shaft 34.95mm --bore 52mm --width 7mm",
        "shaft-seal --shaft 1.375in --bore 2.062in",
        "shaft-seal --shaft 40 --od 62.3 --width 10",
        "shaft-seal --shaft 25mm",
    ),
)

OPERATIONS = (SHAFT_SEAL,)
