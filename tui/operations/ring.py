"""What can be asked of a measured ring: which standard size was it? One ring, or a box of them from a file."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tui import operations
from tui.fields.field import FieldError, under
from tui.fields.met import HOTTEST, RubbersFluid
from tui.fields.plain import Count, File, Flag, Text
from tui.fields.quantities import Dimension
from tui.fields.rings import CONDITION, JOINT, MEASURED, TOOL, InSeries
from tui.operations.asked_ring import asked_once, option_of, shelf_at
from tui.operations.operation import Operation
from tui.operations.own_book import own_book

if TYPE_CHECKING:
    from tui.answers.answer import Answer
    from tui.answers.ring import RingAnswer
    from tui.operations.operation import Bench, Values

HELP = "measured ring → which ring to fit, and which size it was"
DESCRIPTION = """\
Tell what was measured on an old ring; get the ring to fit in its place and how likely it
seals, the standard sizes the old one can be, and what to measure or say next.

examples:
  kitwright ring --id 24.9 --width 3.5
  kitwright ring --id 63/64in --width 9/64in --tool rule
  kitwright ring --id 1in --width 1/8in
  kitwright ring --cut-length 90mm --width 3.4 --width 3.7 --condition flattened
  kitwright ring --id 24.9 --width 3.5 --condition used --joint plug --fluid UTTO --to 100C
  kitwright ring --id 24.9±0.2mm --series as568,jis --json
  kitwright ring --photo ring.jpg --bar 99.6mm
  kitwright ring --batch box.csv --json

A reading is a number with or without a unit: 24.9  24,9 mm  63/64  1-1/8in  24.9±0.1mm

Fractions that the trade calls a ring by are its name: 1in by 1/8in is AS568-214.
"""
EPILOG = """\
tools: caliper, micrometer, rule, tape, cone. Unless you say otherwise a reading
  is taken as a caliper's; around as a tape's; cut length as a rule's. --tool rule
  is for all readings, --tool id=cone for one. A stated ± always wins.
conditions: new, used, flattened, swollen, shrunk. Until you say, all of them count.
joints: where the ring sits. plug (on a plug or piston), bore (in a bore), cover (under a
  flat cover), shaft (on a shaft that slides), port (under a fitting). Until you say, all.
machine: rings of one machine are mostly of one standard. With --position also how rings
  went there before counts (kitwright fits went), and whether the place is critical.
critical: brakes, fuel, lifting, steering, hot or high pressure. The ring most likely to
  seal goes first, whatever lies on the shelf; one that is marginal there counts for nothing.
fluid: with --fluid (and --to, the hottest it gets) rings on the shelf count only in a rubber
  that may go in; kitwright rubber says which and why.
chance: how likely the ring seals as well as the right one would, over all the sizes the
  old one may have been and the standard grooves they sit in.
photo: a picture straight from above of the ring on the printed sheet, all marks in it; its bar
  measured by caliper. Gives ID and width with their ±. Needs the extra “photo”.
batch: a CSV file (or - for standard input) with the options as column names, one
  ring a row; , ; or tab between columns; two width columns for two readings. Your own
  columns (nr, bag, remark) come back beside the answer. With --json each ring is a
  line, and the last line counts them; --csv gives a table. --one-machine: rings of one
  machine are mostly of one standard, so each counts for the others. --names says only
  which size each was, not which ring to fit: quicker for a long list.
exit codes: 0 a size fits, 1 no size in our tables fits, 2 wrong options or input.
"""


def _ring(values: Values, bench: Bench) -> Answer:
    if values["photo"] and not values["batch"]:
        by_picture = operations.ring_photo.measured(values)
        return replace(_one(by_picture.values, bench), photo=by_picture.answer.words()[0])
    if values["bar"] is not None:
        raise FieldError("is of the sheet in a picture of one ring; name the picture with --photo", "--bar")
    if not values["batch"]:
        return _one(values, bench)
    if values["photo"]:
        raise FieldError("is of one ring; leave out --batch", "--photo")
    for name in ("machine", "position"):
        if values[name]:
            raise FieldError("is about one ring; for a box from one machine there is --one-machine", option_of(name))
    if any(values[one.name] for one in MEASURED):
        raise FieldError("--batch reads the rings from a file; leave the readings out of the command line", "-")
    if values["names"] and values["one_machine"]:
        raise FieldError("says more than the names; leave one of the two out", "--one-machine")

    return operations.ring_batch.box_of_rings(values, bench)


def _one(values: Values, bench: Bench) -> RingAnswer:
    """The answer about one ring. Raises `FieldError`."""
    for name in ("csv", "names", "one_machine"):
        if values[name]:
            raise FieldError("goes with --batch: it is about many rings", option_of(name))
    if not values["machine"]:
        if values["position"]:
            raise FieldError("needs --machine: say which machine it is of", "--position")
        return asked_once(values, bench, shelf_at(bench), own=own_book(bench))

    at = operations.at_machine.at_machine(bench, values["machine"], values["position"])
    return asked_once(values, bench, shelf_at(bench), at=at, own=own_book(bench))


MEETS = RubbersFluid("fluid", "Fluid", "the fluid it meets: the rubbers on the shelf are judged by it")
RING = Operation(
    area="ring",
    name="ring",
    label="Ring",
    help=HELP,
    fields=(
        *under(
            "readings",
            *MEASURED,
            File("photo", "Picture", "in place of readings: a picture of it on the sheet of “sheet photo”", must=False),
            Dimension("bar", "Bar", "with --photo: how long the sheet's bar is, as printed", what="as 99.6 mm"),
            TOOL,
            CONDITION,
            JOINT,
            Text(
                "machine",
                "Machine",
                "the machine it is from: where that was built and its other rings count",
                must=False,
                metavar="NAME",
            ),
            Text(
                "position",
                "Position",
                "with --machine: the position it is from; how rings went there counts",
                must=False,
                metavar="NAME",
            ),
            Flag("critical", "Critical", "a critical place: somebody may be hurt where it fails"),
            MEETS,
            HOTTEST,
            File("batch", "Batch", "read many rings from a CSV file, - for standard input", must=False),
            Flag("one_machine", "One machine", "with --batch: the rings are of one machine and tell of each other"),
        ),
        *under(
            "answer",
            InSeries(
                "series",
                "Series",
                "only these series: as568, jis, metric, bs4518, afnor, stock, own; repeat it or put commas between",
            ),
            Count("limit", "At most", "how many sizes to list (10 unless you say otherwise)", False, 10, most=1000),
            Flag("csv", "CSV", "with --batch: a CSV line for each ring, your own columns first"),
            Flag("names", "Names alone", "with --batch: only which size each ring was, much quicker"),
        ),
    ),
    answers=_ring,
    glances=True,
    examples=(
        "ring --id 24.9 --width 3.5",
        "ring --id 63/64in --width 9/64in --tool rule",
        "ring --id 1in --width 1/8in",
        "ring --cut-length 90mm --width 3.4 --width 3.7 --condition flattened",
        "ring --id 24.9±0.2mm --series as568,jis",
    ),
)


OPERATIONS = (RING,)
BY_KEYS = ("ring_list", "ring_picture")
"""Where the operations stand that a screen alone has: the command loads none of their fields."""
