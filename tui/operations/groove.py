"""What can be asked of a groove: does this ring seal in it, or which rings would?"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Final, NamedTuple

import catalog
import models
from catalog import orings
from tui.answers.advice import ADVICE
from tui.answers.groove import (
    UNJUDGED,
    GrooveAnswer,
    back_ups_of,
    groove_of,
    identity_of,
    look_alikes_of,
    play_of,
    sealing_of,
    service_of,
)
from tui.fields.field import FieldError, under
from tui.fields.grooves import (
    CENTRED,
    CHAMFER,
    CLEARANCE,
    HARDNESS,
    PLAY,
    PRESSURE,
    RING,
    SIZES,
    SWELL,
    TEMPERATURE,
)
from tui.fields.plain import Choice, Count, Flag
from tui.fields.quantities import Dimension, in_mm
from tui.fields.rings import CONDITIONS, InSeries, TakenWith
from tui.operations.operation import Operation
from tui.operations.own_book import own_book
from tui.operations.own_grooves import OPERATIONS as OWN

if TYPE_CHECKING:
    from sqlmodel import Session

    from catalog.orings.figures import Service
    from catalog.orings.groove import Groove, GrooveKind, Motion
    from catalog.orings.groove_reading import GrooveReading, GrooveTool
    from catalog.orings.joint import JointRanking
    from catalog.orings.size_book import SizeBook
    from catalog.orings.sizes import RingSize
    from tui.fields.field import Look
    from tui.fields.grooves import Gap
    from tui.operations.operation import Bench, Values

HELP = "measured groove → does this ring seal, or which rings do"
DESCRIPTION = """\
Tell what was measured of a groove. With a ring: does it seal there, at the worst of all
tolerances, and what may replace it. Without: the rings that seal, most margin first.

examples:
  kitwright groove --root 25±0.05 --bore 30.05±0.05 --width 4.2mm --ring G25
  kitwright groove --rod 22 --depth 3±0.05 --width 4.8 --reciprocating --play 0.1
  kitwright groove --root 34 --bore 40.3 --width 5 --ring -219 --clearance 0.4
  kitwright groove --kind face-inside --groove-diameter 32 --depth 2.6 --width 5
  kitwright groove --kind piston --ring P22A --standard --swell 10
  kitwright groove --root 58 --bore 65 --width 5 --ring-id 57.6 --ring-width 4.1
  kitwright groove --root 58mm --bore 65mm --width 5mm --shelf-first --json
  kitwright groove load grooves.csv --series "ISO 3601-2" --source "2016 edition"

A reading may carry its own ±. Without one it is taken as a caliper's, a depth as a
depth gauge's; --tool says otherwise. A table's groove keeps its printed limits.

A loaded piston or rod lies pushed over: the gap opens by half the play on one side and
closes by half on the other, and both sides are judged. --play is the guide clearance on
diameter; without it --clearance is taken; without both the part is taken as centred, and
the answer says which play would turn it. --centred: guide rings or bearings hold it.
"""
EPILOG = """\
kinds: piston (ring on a piston or plug: --root, --width, --bore or --depth), rod (ring in
  a bore: --rod, --width, --groove-diameter or --depth), face-inside and face-outside (the
  side the pressure is on: --groove-diameter, --depth, --width), port (--neck, --mouth,
  --chamfer: 12 in SAE J1926-1, 15 in ISO 6149-1). Depth is to the mating surface.
tools: caliper, micrometer, depth-gauge, rule; --tool rule is for all readings,
  --tool depth=rule for one. A typed ± always wins. A gap with a ± counts at its most.
exit codes: 0 it seals or is marginal, or a table was loaded, 1 it will not or nothing
  seals, 2 wrong options, or a row that can't be right.
"""
KINDS: Final = ("piston", "rod", "face-inside", "face-outside", "port")
TOOLS: Final = ("caliper", "micrometer", "depth-gauge", "rule")
# How many rows of the shelf are looked through for sizes that lie there.
MOST_ROWS: Final = 10_000


class Read(NamedTuple):
    """A groove with each reading, its ± and its tool; no readings where a table gave it."""

    groove: Groove
    readings: tuple[GrooveReading, ...] = ()


def _option(name: str) -> str:
    return f"--{name.replace('_', '-')}"


def _kind(values: Values) -> GrooveKind:
    """The kind of groove, said or told by a size that only one kind has."""
    if values["kind"]:
        return orings.groove.GrooveKind(values["kind"].replace("-", "_"))
    kind = orings.measured_groove.told_by([one.name for one in (*SIZES, CHAMFER) if values[one.name] is not None])
    if kind is None:
        raise FieldError(f"--kind is missing; type one of: {', '.join(KINDS)}", "-")
    return kind


def _motion(values: Values) -> Motion:
    if values["pneumatic"] and values["reciprocating"]:
        raise FieldError("not allowed with --reciprocating: it slides in oil or water, or in air", "--pneumatic")
    if values["pneumatic"]:
        return orings.groove.Motion.PNEUMATIC
    return orings.groove.Motion.RECIPROCATING if values["reciprocating"] else orings.groove.Motion.STATIC


def _groove(values: Values, ring: RingSize | None, book: SizeBook) -> Read:
    """The groove that was measured, or the standard one for the ring."""
    kind, motion = _kind(values), _motion(values)
    name = kind.value.replace("_", "-")
    radial = kind in (orings.groove.GrooveKind.PISTON, orings.groove.GrooveKind.ROD)
    if motion is not orings.groove.Motion.STATIC and not radial:
        raise FieldError(f"a {name} groove stands still; leave out --reciprocating and --pneumatic", "-")
    if not radial:
        _no_play(values, kind)
    given = [one.name for one in (*SIZES, CHAMFER) if values[one.name] is not None]
    if values["standard"]:
        return Read(_guided(values, _standard(kind, motion, ring, given, book)))
    takes = orings.measured_groove.TAKES[kind]
    _complete(name, takes.must, takes.either, given)
    readings = tuple(_reading(kind, values, one) for one in given if one != CHAMFER.name)
    sizes = {one.name: one.range for one in readings}
    if CHAMFER.name in given:
        sizes[CHAMFER.name] = orings.span.span(values[CHAMFER.name])
    try:
        groove = orings.measured_groove.built(kind, motion, sizes)
    except ValueError as problem:
        raise FieldError(str(problem), "the groove") from problem
    return Read(_guided(values, groove), readings)


def _reading(kind: GrooveKind, values: Values, name: str) -> GrooveReading:
    value, plus_minus = in_mm(values[name])
    try:
        return orings.measured_groove.reading_of(kind, name, value, plus_minus, tool_called(values["tool"].of(name)))
    except ValueError as problem:
        raise FieldError(str(problem), _option(name)) from problem


def tool_called(word: str) -> GrooveTool | None:
    """The tool that a word of the field means; None where nobody says."""
    return orings.groove_reading.GrooveTool(word.replace("-", " ")) if word else None


def _no_play(values: Values, kind: GrooveKind) -> None:
    name = kind.value.replace("_", "-")
    what = "a face is pressed flat" if kind.is_face else "the plug's flange is pressed flat"
    if values["play"] is not None:
        raise FieldError(f"a {name} groove has no play: {what}; leave out --play and --centred", "-")
    if not kind.is_face and values["clearance"] is not None:
        raise FieldError("a port has no clearance: the plug's flange meets its face; leave out --clearance", "-")


def _guided(values: Values, groove: Groove) -> Groove:
    clearance: Gap | None = values["clearance"]
    play: Gap | None = values["play"]
    mm = None if play is None else play.mm
    try:
        return orings.groove.guided(
            groove, clearance=None if clearance is None else clearance.mm, play=mm, centred=play == CENTRED
        )
    except ValueError as problem:
        raise FieldError(str(problem), "--clearance" if mm is None else "--play") from problem


def _complete(name: str, must: tuple[str, ...], either: tuple[str, ...], given: list[str]) -> None:
    wanted = ", ".join(map(_option, must))
    if either:
        wanted += f", and {' or '.join(map(_option, either))}"
    for one in given:
        if one not in must + either:
            raise FieldError(f"{_option(one)} is not a dimension of a {name} groove; it takes {wanted}", "-")
    missing = [one for one in must if one not in given]
    if missing:
        raise FieldError(f"{_option(missing[0])} is missing; a {name} groove takes {wanted}", "-")
    if either and sum(one in given for one in either) != 1:
        raise FieldError(f"give either {' or '.join(map(_option, either))}, one of them and not both", "-")


def _standard(kind: GrooveKind, motion: Motion, ring: RingSize | None, given: list[str], book: SizeBook) -> Groove:
    if ring is None:
        raise FieldError("--standard needs the ring it is for; add --ring, such as --ring P22A", "-")
    if given:
        raise FieldError("--standard takes the dimensions from a table; leave out the measured ones", "-")
    rows = None if book.grooves is None else book.grooves.rows
    found = orings.standard_grooves.groove_for(ring, kind, motion, among=rows)
    if found is None:
        name = kind.value.replace("_", "-")
        raise FieldError(f"no table has a {name} groove for a ring {ring.cross_section_mm:g} mm wide; measure it", "-")
    return found


def _ring(values: Values, book: SizeBook) -> RingSize | None:
    """The ring that was named or measured, or None."""
    measured = (values["ring_id"], values["ring_width"])
    if values["ring"] is not None:
        if any(measured):
            raise FieldError("give the ring by --ring or by --ring-id and --ring-width, not both", "-")
        return book.by_key(values["ring"])
    if not any(measured):
        return None
    if not all(measured):
        raise FieldError("a measured ring needs both --ring-id and --ring-width", "-")
    (inside, inside_off), (section, section_off) = map(in_mm, measured)
    try:
        inner = orings.instruments.reading(orings.evidence.Dimension.ID, inside, plus_minus=inside_off)
        width = orings.instruments.reading(orings.evidence.Dimension.WIDTH, section, plus_minus=section_off)
    except ValueError as problem:
        raise FieldError(str(problem), "the ring") from problem
    return orings.sizes.RingSize(
        *(
            orings.sizes.Series.STOCK,
            f"{inside:g}x{section:g}",
            inside,
            inner.plus_minus_mm,
            section,
            width.plus_minus_mm,
        ),
        *("measured", catalog.standing.Standing.PUBLISHED, "as measured, no standard size"),
    )


def service_from(values: Values) -> Service | None:
    """What the ring meets at work, from the fields of it; None where none is filled."""
    swell, pressure, warm, hardness = (values[one.name] for one in (SWELL, PRESSURE, TEMPERATURE, HARDNESS))
    if swell is None and pressure is None and warm is None and hardness is None:
        return None
    usual = orings.figures.Service()
    return orings.figures.Service(
        volume_swell=usual.volume_swell if swell is None else swell,
        temperature_c=usual.temperature_c if warm is None else float(warm.to("°C")),
        pressure_bar=None if pressure is None else float(pressure.to("bar")),
        shore_a=usual.shore_a if hardness is None else hardness,
    )


def _identity(values: Values, groove: Groove, service: Service | None, book: SizeBook) -> JointRanking | None:
    """What the measured ring can be, the groove being evidence too. Readings are a caliper's unless a ± says."""
    if values["ring_id"] is None:
        if values["condition"]:
            raise FieldError("--condition is of a measured ring; add --ring-id and --ring-width", "-")
        return None
    readings = []
    for name, dimension in (("ring_id", orings.evidence.Dimension.ID), ("ring_width", orings.evidence.Dimension.WIDTH)):
        value, plus_minus = in_mm(values[name])
        readings.append(orings.instruments.reading(dimension, value, orings.evidence.Tool.CALIPER, plus_minus))
    evidence = orings.evidence.Evidence(
        tuple(readings), orings.evidence.Condition(values["condition"] or orings.evidence.Condition.NOT_SAID)
    )
    return orings.joint.with_groove(
        orings.match.rank(evidence, series=values["series"] or None, own=book), groove, service=service
    )


def on_the_shelf(look: Look) -> frozenset[str]:
    """The keys of sizes with a free ring that has not expired."""
    today = date.today()

    def free(session: Session) -> frozenset[str]:
        rows = models.shelf.stock_rows(session, kind=models.words.Kind.RING, limit=MOST_ROWS).rows
        return frozenset(
            row.size_key
            for row in rows
            if row.size_key and row.free > 0 and (row.expires_on is None or row.expires_on >= today)
        )

    return look(free)


def _judge(values: Values, bench: Bench) -> GrooveAnswer:
    book = own_book(bench)
    ring = _ring(values, book)
    read = _groove(values, ring, book)
    groove, service, most = read.groove, service_from(values), values["limit"]
    asked = values["series"] or tuple(orings.sizes.Series)
    sizes = [size for size in book.sizes if size.series in asked]
    shelf = on_the_shelf(bench.look) if values["shelf_first"] else None
    found = (
        None
        if ring is None
        else orings.candidates.interchange(ring, groove, sizes, service=service, preferred=shelf or ())
    )
    seals = (
        orings.candidates.rings_for(groove, sizes, service=service, preferred=shelf or ())
        if found is None
        else found.seals
    )
    to_measure = []
    under_pressure = service is not None and service.pressure_bar is not None
    if under_pressure and groove.clearance is None and groove.kind is not orings.groove.GrooveKind.PORT:
        to_measure.append(f"the clearance on diameter (--clearance): {UNJUDGED}")
    guide = orings.play.guide_of(groove, found.ring if found is not None else seals[0] if seals else None, service)
    if guide.turns:
        to_measure.append(f"the play on diameter (--play, or --centred): {orings.play.turning_words(guide.turns)}.")
    known = _identity(values, groove, service, book)
    return GrooveAnswer(
        groove=groove_of(groove, read.readings),
        service=service_of(service),
        ring=None if found is None else sealing_of(found.ring, shelf),
        identity=None if known is None else identity_of(known, most),
        rings=tuple(sealing_of(one, shelf) for one in seals[:most]),
        rings_in_all=len(seals),
        look_alikes=() if found is None else look_alikes_of(found, most, shelf),
        look_alikes_in_all=0 if found is None else len(found.look_alikes),
        play=play_of(groove, guide),
        back_ups=back_ups_of(guide.back_ups),
        to_measure=tuple(to_measure),
        caution=ADVICE,
        unit=bench.units.length,
        limit=most,
        shelf_first=shelf is not None,
    )


GROOVE = Operation(
    area="groove",
    name="groove",
    label="Groove",
    help=HELP,
    fields=(
        *under(
            "groove",
            Choice("kind", "Kind", "piston, rod, face-inside, face-outside or port", must=False, choices=KINDS),
            *SIZES,
            CLEARANCE,
            PLAY,
            CHAMFER,
            TakenWith(
                "tool",
                "Read with",
                "what it was measured with",
                tools=TOOLS,
                readings=tuple(one.name for one in SIZES),
                only_given=True,
                example="depth=rule,root=caliper",
            ),
            Flag("standard", "Standard", "take the ring's own standard groove from the tables"),
            Flag("reciprocating", "Slides in oil", "it slides to and fro in oil or water"),
            Flag("pneumatic", "Slides in air", "it slides in air"),
        ),
        *under(
            "ring",
            RING,
            Dimension("ring_id", "Ring ID", "ID of the ring that was in it, as measured"),
            Dimension("ring_width", "Ring width", "its width, with its ±"),
            Choice(
                "condition",
                "Condition",
                "how the measured ring looks: new, used, flattened, swollen, shrunk",
                must=False,
                choices=CONDITIONS,
                metavar="WORD",
            ),
        ),
        *under("service", SWELL, TEMPERATURE, PRESSURE, HARDNESS),
        *under(
            "answer",
            InSeries("series", "Series", "only these series"),
            Count("limit", "At most", "how many sizes to list (10 unless you say otherwise)", False, 10, most=1000),
            Flag("shelf_first", "Shelf first", "offer first what lies on the workshop's shelf"),
        ),
    ),
    answers=_judge,
    looks=True,
    examples=(
        "groove --root 25±0.05 --bore 30.05±0.05 --width 4.2mm --ring G25",
        "groove --rod 22 --depth 3±0.05 --width 4.8 --reciprocating --play 0.1",
        "groove --kind face-inside --groove-diameter 32 --depth 2.6 --width 5",
        "groove --kind piston --ring P22A --standard --swell 10",
        "groove --root 58 --bore 65 --width 5 --ring-id 57.6 --ring-width 4.1",
        "groove --root 58mm --bore 65mm --width 5mm --shelf-first",
    ),
)

OPERATIONS = (GROOVE, *OWN)
