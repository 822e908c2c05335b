"""`kitwright groove`: a measured groove in; will this ring seal in it, or which rings would?"""

from __future__ import annotations

import argparse

from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError, add_json_option, add_unit_option, add_workshop_options
from tui.exit_codes import ExitCode

NAME = "groove"
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
exit codes: 0 it seals or is marginal, 1 it will not or nothing seals, 2 wrong options.
"""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    groove = parser.add_argument_group("groove")
    groove.add_argument("--kind", metavar="KIND", help="piston, rod, face-inside, face-outside or port")
    for option, meaning in (
        ("--root", "piston: diameter of the groove's root"),
        ("--bore", "piston: diameter of the bore it runs in"),
        ("--rod", "rod: diameter of the rod"),
        ("--groove-diameter", "rod: of the groove's bottom; face: the diameter the ring rests on"),
        ("--depth", "groove bottom to mating surface, clearance included"),
        ("--width", "width of the groove"),
        ("--neck", "port: neck of the plug under the ring"),
        ("--mouth", "port: mouth of the chamfer"),
        ("--clearance", "gap on diameter that pressure may push the ring into"),
        ("--play", "piston, rod: guide clearance on diameter (--clearance unless you say otherwise)"),
    ):
        groove.add_argument(option, metavar="LENGTH", help=meaning)
    groove.add_argument("--chamfer", metavar="DEGREES", help="port: angle of the chamfer from the axis")
    groove.add_argument("--centred", action="store_true", help="piston, rod: something holds the part in the middle")
    groove.add_argument("--tool", action="append", default=[], metavar="TOOL", help="what it was measured with")
    groove.add_argument("--standard", action="store_true", help="take the ring's own standard groove from the tables")
    slides = groove.add_mutually_exclusive_group()
    slides.add_argument("--reciprocating", action="store_true", help="it slides to and fro in oil or water")
    slides.add_argument("--pneumatic", action="store_true", help="it slides in air")
    ring = parser.add_argument_group("ring")
    ring.add_argument("--ring", metavar="SIZE", help="a standard size: AS568-214, P22A, 25x3.55")
    ring.add_argument("--ring-id", metavar="LENGTH", help="ID of the ring that was in it, as measured")
    ring.add_argument("--ring-width", metavar="LENGTH", help="its width, with its ±")
    ring.add_argument(
        "--condition", metavar="WORD", help="how the measured ring looks: new, used, flattened, swollen, shrunk"
    )
    service = parser.add_argument_group("service")
    service.add_argument("--swell", metavar="PERCENT", help="change of volume in the fluid, such as 10 or -5")
    service.add_argument("--temperature", metavar="TEMP", help="working temperature, such as 100C")
    service.add_argument("--pressure", metavar="PRESSURE", help="such as 160bar; needs --clearance to be judged")
    service.add_argument("--hardness", metavar="SHORE", help="Shore A hardness (70 unless you say otherwise)")
    answer = parser.add_argument_group("answer")
    answer.add_argument("--series", action="append", default=[], metavar="NAME", help="only these series")
    answer.add_argument("--limit", metavar="N", help="how many sizes to list (10 unless you say otherwise)")
    answer.add_argument("--shelf-first", action="store_true", help="offer first what lies on the workshop's shelf")
    add_unit_option(answer)
    add_json_option(answer)
    add_workshop_options(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Judge a ring in the groove, or rank the rings that seal in it."""
    from catalog.orings.candidates import interchange, rings_for
    from catalog.orings.groove import GrooveKind
    from catalog.orings.play import guide_of, turning_words
    from catalog.orings.sizes import load
    from catalog.orings.verdict import Verdict
    from tui.commands.groove_input import groove_of, ring_of, service_of
    from tui.commands.judging import naming
    from tui.commands.ring_input import Asked, limit, series

    asked = Asked({}, series=tuple(arguments.series), limit=arguments.limit)
    most, only = limit(asked), series(asked)
    ring = ring_of(arguments)
    read = groove_of(arguments, ring)
    groove = read.groove
    service = service_of(arguments)
    sizes = None if only is None else [size for one in only for size in load(one)]
    shelf = _shelf(arguments) if arguments.shelf_first else None
    with naming("the service"):
        found = None if ring is None else interchange(ring, groove, sizes, service=service, preferred=shelf or ())
        rings = () if ring is not None else rings_for(groove, sizes, service=service, preferred=shelf or ())
    to_measure = []
    under_pressure = service is not None and service.pressure_bar is not None
    if under_pressure and groove.clearance is None and groove.kind is not GrooveKind.PORT:
        to_measure.append("the gap on diameter (--clearance), which decides whether pressure pushes the ring out.")
    best = found.ring if found is not None else rings[0] if rings else None
    guide = guide_of(groove, best, service)
    if guide.turns:
        to_measure.append(f"the play on diameter (--play, or --centred): {turning_words(guide.turns)}.")
    known = None
    if arguments.ring_id is not None:
        from tui.commands.groove_identity import identity

        known = identity(arguments, groove, service, only)
    elif arguments.condition is not None:
        raise UsageError("--condition is of a measured ring; add --ring-id and --ring-width")
    if arguments.json:
        from tui.commands.groove_json import groove_answer

        say_json(groove_answer(read, service, found, known, rings, guide, to_measure, shelf, most))
    else:
        from tui.commands.groove_text import groove_lines

        for line in groove_lines(read, found, known, rings, guide, to_measure, shelf, most, arguments.unit):
            say(line)
    if found is not None:
        return ExitCode.NOTHING if found.ring.verdict is Verdict.WILL_NOT else ExitCode.FOUND
    return ExitCode.FOUND if rings else ExitCode.NOTHING


def _shelf(arguments: argparse.Namespace) -> frozenset[str]:
    from datetime import date

    from tui.commands.groove_shelf import on_the_shelf

    return on_the_shelf(arguments, date.today())
