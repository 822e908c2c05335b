"""What can be asked of a threaded port, a plug or a fitting: which joint it is, and its ring."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from catalog import orings
from tui.answers.port import PortAnswer, TubePorts, port_answer, tube_ports
from tui.fields.field import FieldError, under
from tui.fields.ports import SEAL, TUBE
from tui.fields.threads import DIAMETER, PITCHES, READINGS, THREADS, USUAL
from tui.operations.operation import Operation
from tui.operations.thread_readings import measured

if TYPE_CHECKING:
    from tui.operations.operation import Bench, Values

HELP = "measured port or plug thread → the joint and its ring"
DESCRIPTION = """\
Tell what was measured on a threaded port, plug or fitting and how it seals; get the
joints it can be, the ring each takes, and the check that settles a doubt. The thread is
identified as by `kitwright thread`. Without --seal no ring is named as certain.

examples:
  kitwright port --diameter 11.0mm --tpi 20
  kitwright port --diameter 11.0mm --tpi 20 --seal chamfer
  kitwright port --diameter 13.9mm --pitch 1.5mm --seal washer
  kitwright port --diameter 19.2mm --female
  kitwright port --tube 3/8 --seal chamfer
  kitwright port --diameter 13.1±0.05mm --tpi 19 --json

The diameter is over the crests of a plug; with --female across the crests of a port.
"""
EPILOG = f"""\
seal, as you see it: chamfer (a ring in a bevelled mouth), face (a flat face with a ring
  in it), cone, washer, thread (nothing but the thread). Or its kind, where you know it:
  cone-24, cone-24-ring, cone-37, cone-45, cone-60, inverted-flare, bonded-washer,
  flat-washer, banjo, metal-edge, profile-ring, retained-ring, face-ring.
tube: its outside diameter (3/8 is inches, 10mm), or its dash size (-6 is 6/16 in).
{USUAL}
exit codes: 0 a joint fits, 1 none does, 2 wrong options.
"""
EXAMPLE: Final = "--diameter 11.0mm --tpi 20"


def joined(values: Values, bench: Bench) -> PortAnswer | TubePorts:
    """Which joint it is. Raises `FieldError`."""
    if values["tube"] is not None:
        if any(values[one.name] is not None for one in (DIAMETER, *PITCHES, THREADS)):
            raise FieldError("a tube and readings of a thread are two questions; ask one of them", TUBE.flag)
        return _of_tube(values)
    readings = measured(values, EXAMPLE)
    try:
        found = orings.port.ports_for(readings, values["seal"])
    except ValueError as problem:
        raise FieldError(str(problem), DIAMETER.flag) from problem
    return port_answer(readings, found, bench.units.length)


def _of_tube(values: Values) -> TubePorts:
    tube, seal = values["tube"], values["seal"]
    every = orings.joints.ports_of_tube(tube.mm)
    found = [port for port in every if seal is None or seal in (port.seal, *port.seal.seen)]
    return tube_ports(tube.typed, tube.mm, every, found, None if seal is None else seal.value)


PORT = Operation(
    area="port",
    name="port",
    label="Port",
    help=HELP,
    fields=(SEAL, *under("readings", *READINGS), TUBE),
    answers=joined,
    lengths_only=True,
    examples=(
        f"port {EXAMPLE}",
        "port --diameter 11.0mm --tpi 20 --seal chamfer",
        "port --diameter 13.9mm --pitch 1.5mm --seal washer",
        "port --diameter 19.2mm --female",
        "port --tube 3/8 --seal chamfer",
        "port --diameter 13.1±0.05mm --tpi 19",
    ),
)

OPERATIONS = (PORT,)
