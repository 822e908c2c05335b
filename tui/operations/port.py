"""What can be asked of a threaded port, a plug or a fitting: which joint it is, and its ring; the shop's own ports."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import models
from catalog import orings
from tui.answers.own_ports import PortsDropped, PortsExported, PortsLoaded, corrected_by, own_tables, ports_loaded
from tui.answers.port import PortAnswer, TubePorts, port_answer, tube_ports
from tui.fields.field import FieldError, under
from tui.fields.ports import SEAL, TUBE
from tui.fields.threads import DIAMETER, PITCHES, READINGS, THREADS, USUAL
from tui.operations.operation import Operation
from tui.operations.own_book import own_ports
from tui.operations.own_rows import OwnRows, drop_operation, load_operation, own_operation
from tui.operations.thread_readings import measured

if TYPE_CHECKING:
    from catalog.orings.port_book import PortBook
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
  kitwright port load ports.csv --series "ISO 6149-1" --source "2017 edition"
  kitwright port own --export our-ports.csv

The diameter is over the crests of a plug; with --female across the crests of a port.
A shop's own ports are matched beside the standard ones once they are loaded.
"""
EPILOG = f"""\
seal, as you see it: chamfer (a ring in a bevelled mouth), face (a flat face with a ring
  in it), cone, washer, thread (nothing but the thread). Or its kind, where you know it:
  cone-24, cone-24-ring, cone-37, cone-45, cone-60, inverted-flare, bonded-washer,
  flat-washer, banjo, metal-edge, profile-ring, retained-ring, face-ring.
tube: its outside diameter (3/8 is inches, 10mm), or its dash size (-6 is 6/16 in).
{USUAL}
exit codes: 0 a joint fits, or a table was loaded, 1 none does, 2 wrong options, or a row that can't be right.
"""
EXAMPLE: Final = "--diameter 11.0mm --tpi 20"


def joined(values: Values, bench: Bench, book: PortBook | None = None) -> PortAnswer | TubePorts:
    """Which joint it is; `book`: the ports there are, where that is known already. Raises `FieldError`."""
    if values["tube"] is not None:
        if any(values[one.name] is not None for one in (DIAMETER, *PITCHES, THREADS)):
            raise FieldError("a tube and readings of a thread are two questions; ask one of them", TUBE.flag)
        return _of_tube(values, own_ports(bench) if book is None else book)
    readings = measured(values, EXAMPLE)
    try:
        own = own_ports(bench) if book is None else book
        found = orings.port.ports_for(readings, values["seal"], own=own)
    except ValueError as problem:
        raise FieldError(str(problem), DIAMETER.flag) from problem
    return port_answer(readings, found, bench.units.length)


def _of_tube(values: Values, book: PortBook) -> TubePorts:
    tube, seal = values["tube"], values["seal"]
    every = orings.joints.ports_of_tube(tube.mm, book.ports)
    found = [port for port in every if seal is None or seal in (port.seal, *port.seal.seen)]
    also = orings.joints.tubes_near(tube.mm, book.ports)
    return tube_ports(tube.typed, tube.mm, every, found, None if seal is None else seal.value, also)


PORT = Operation(
    area="port",
    name="port",
    label="Port",
    help=HELP,
    fields=(SEAL, *under("readings", *READINGS), TUBE),
    answers=joined,
    glances=True,
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

OWN_ROWS = OwnRows(
    area="port",
    many="ports",
    like=("ports.csv", "ISO 6149-1"),
    read=lambda text, **said: orings.own_port_csv.read_own_ports(text, **said),
    rules=lambda: models.own_ports,
    refused=PortsLoaded,
    loaded=ports_loaded,
    corrected=corrected_by,
    listed=own_tables,
    dropped=PortsDropped,
    exported=PortsExported,
    about_load="""\
Load a table of ports that the shop owns: the priced standard, or a maker's
list, as CSV. From then on its ports are matched beside the standard ones.

The first line names the columns: thread (M14x1.5, 7/16-20, G 1/4) and seal
(chamfer, face-ring, cone-24 …) in every table; where the table has them tube
(3/8 is inches, 10 mm, 10 mm L), ring (its name, or ring_id, ring_id_tol,
ring_section and ring_section_tol), chamfer_deg, plug and note. A length's
unit stands in its column's name (ring_id_mm, ring_id_in) or is said by
--unit. A ring must go with its thread, a larger thread never has the smaller
ring, and no joint may stand there twice: each row that can't be right is
told with its line, and then nothing is loaded.

A table named as a standard is (ISO 6149-1, J1926-1, DIN 2353), or a row with
that name in a column standard, speaks of our rows: one that says the same
confirms it, one that differs corrects it, any other is a new joint. Each
correction is shown first, and the table is loaded once you say --yes. Take
it back with: kitwright undo""",
    about_drop="""\
Drop a table that the shop has loaded: its ports are matched no more, and
what it said of our rows no longer counts. It stays on record. Take it back
with: kitwright undo""",
)

OPERATIONS = (PORT, load_operation(OWN_ROWS), own_operation(OWN_ROWS, shares=True), drop_operation(OWN_ROWS))
