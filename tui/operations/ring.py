"""What can be asked of a measured ring: which standard size was it? One ring, or a box of them from a file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.answers.ring import RingAnswer, ring_answer
from tui.fields.field import FieldError, under
from tui.fields.plain import Count, File
from tui.fields.rings import CONDITION, JOINT, MEASURED, TOOL, InSeries
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from catalog.orings.evidence import Evidence, Reading
    from catalog.quantity import Typed
    from tui.answers.answer import Answer
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
  kitwright ring --id 24.9 --width 3.5 --condition used --joint plug
  kitwright ring --id 24.9±0.2mm --series as568,jis --json
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
chance: how likely the ring seals as well as the right one would, over all the sizes the
  old one may have been and the standard grooves they sit in.
batch: a CSV file (or - for standard input) with the options as column names, one
  ring a row; , ; or tab between columns; two width columns for two readings. With
  --json each ring is a line, and the last line counts them.
exit codes: 0 a size fits, 1 no size in our tables fits, 2 wrong options or input.
"""
THICKEST_MM = 25.0
"""Above this a width is a slip: no table has a thicker ring than 10 mm, and cord ends at about 20."""
USUAL = {"around": "tape", "cut_length": "rule"}
"""What a reading is taken with when nobody says so, where that is not a caliper."""


def reading_of(name: str, typed: Typed, tool: str = "") -> Reading:
    """A reading of a ring, by its field's name; `tool` is a word of the field, "" for the usual one.

    Raises `FieldError`.
    """
    from catalog.orings.evidence import Dimension, Tool
    from catalog.orings.instruments import reading
    from tui.fields.quantities import in_mm

    value, plus_minus = in_mm(typed)
    if name == Dimension.WIDTH and value > THICKEST_MM:
        meant = f"; did you mean {float(typed.value):g} mm? F6 or --unit flips" if typed.unit == "in" else ""
        raise FieldError(f"no ring is {value:.1f} mm thick{meant}", _option(name))
    try:
        return reading(Dimension(name), value, Tool(tool or USUAL.get(name, "caliper")), plus_minus)
    except ValueError as problem:
        raise FieldError(str(problem), _option(name)) from problem


def evidence_of(values: Values) -> Evidence | None:
    """What was measured on a ring, from the fields of it; None where nothing was. Raises `FieldError`."""
    from catalog.orings.contradiction import contradiction
    from catalog.orings.evidence import Condition, Evidence

    tools = values["tool"]
    readings = tuple(reading_of(one.name, typed, tools.of(one.name)) for one in MEASURED for typed in values[one.name])
    if not readings:
        return None
    clash = contradiction(readings)
    if clash is not None:
        wrong, other = (_option(one.dimension.value) for one in (clash.wrong, clash.other))
        raise FieldError(f"{wrong} does not go with {other}: {clash.why}; look whether each is in its place", "-")
    return Evidence(readings, Condition(values["condition"] or Condition.NOT_SAID))


def _option(name: str) -> str:
    return f"--{name.replace('_', '-')}"


def asked_once(values: Values, unit: str, line: int | None = None) -> RingAnswer:
    """One ring's answer. Raises `FieldError`."""
    from catalog.orings.decide import Wanted, decide
    from catalog.orings.match import rank
    from catalog.orings.next_step import next_step
    from catalog.orings.seats import JointKind

    evidence = evidence_of(values)
    if evidence is None:
        raise FieldError("no reading given; type at least one, such as --id 24.9mm --width 3.5mm", "-")
    joint = JointKind(values["joint"]) if values["joint"] else None
    decision = decide(rank(evidence, series=values["series"] or None, limit=values["limit"]), Wanted(joint))
    return ring_answer(decision, next_step(decision), unit, limit=values["limit"], line=line)


def _ring(values: Values, bench: Bench) -> Answer:
    if not values["batch"]:
        return asked_once(values, bench.units.length)
    if any(values[one.name] for one in MEASURED):
        raise FieldError("--batch reads the rings from a file; leave the readings out of the command line", "-")
    from tui.operations.ring_batch import box_of_rings

    return box_of_rings(values, bench)


RING = Operation(
    area="ring",
    name="ring",
    label="Ring",
    help=HELP,
    fields=(
        *under(
            "readings",
            *MEASURED,
            TOOL,
            CONDITION,
            JOINT,
            File("batch", "Batch", "read many rings from a CSV file, - for standard input", must=False),
        ),
        *under(
            "answer",
            InSeries(
                "series",
                "Series",
                "only these series: as568, jis, metric, bs4518, afnor, stock; repeat it or part them by commas",
            ),
            Count("limit", "At most", "how many sizes to list (10 unless you say otherwise)", False, 10, most=1000),
        ),
    ),
    answers=_ring,
    lengths_only=True,
    examples=(
        "ring --id 24.9 --width 3.5",
        "ring --id 63/64in --width 9/64in --tool rule",
        "ring --id 1in --width 1/8in",
        "ring --cut-length 90mm --width 3.4 --width 3.7 --condition flattened",
        "ring --id 24.9±0.2mm --series as568,jis",
    ),
)

OPERATIONS = (RING,)
