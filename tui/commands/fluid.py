"""`kitwright fluid`: may this stand in for that, how thick is it when cold, what does a class say."""

from __future__ import annotations

import argparse

from tui.commands import fluid_rules
from tui.commands.parsing import Parser, UsageError, add_json_option, add_workshop_options
from tui.exit_codes import ExitCode

NAME = "fluid"
HELP = "may this fluid stand in for that; viscosity; classes and grades"
DESCRIPTION = """\
Four questions about a fluid. May it be used where another is asked? Do the
figures that were measured of it fit? How thick is it at a temperature, what is
its index, what does a blend give? What does a class or grade say?

examples:
  kitwright fluid --have UTTO --need ISO-L-HM
  kitwright fluid --have "API GL-5" --need "API GL-4"
  kitwright fluid --have "API CK-4" --have 15W-40 --need "API CI-4" --need 10W-40
  kitwright fluid --have "lithium complex grease" --need "lithium grease"
  kitwright fluid --need "DOT 4" --figures dry=232C wet=157C
  kitwright fluid --need "DOT 4" --figures dry=160C state=used
  kitwright fluid --figures urea=32.5 density=1090
  kitwright fluid --figures freezes=-20C coldest=-25C
  kitwright fluid --need "VG 46" --figures v40=52 new=46
  kitwright fluid --points 46@40C 6.8@100C --at -10C --least 10 --most 1000
  kitwright fluid --points 32@40 5.4@100 --points 68@40 8.7@100 --share 40%
  kitwright fluid --points 46@40 --index 100 --at 100C
  kitwright fluid --class "wet brake"
  kitwright fluid --class 80W-90
  kitwright fluid rules list
"""
EPILOG = """\
--have is what the label claims, --need what the machine's manual asks; repeat both.
A rule may hold one way only. What no rule speaks of is a no, and so is a way over two
cautions: they never add up to a permission. Over an old grease, --need is the old one.
--figures takes NAME=VALUE, with --need where a class or grade is asked:
  brake fluid dry, wet, state=used; AUS 32 urea, density, refraction, biuret;
  two-stroke lubricity, torque, detergency, skirt, smoke, blocking; motorcycle dfi, sfi, sti,
  edition=2006; coolant glycol, freezes, coldest, base=pg, sold=prediluted; grease
  penetration; oil in use v40 or v100, new. A temperature without a unit is in
  °C, or in what `kitwright units` says.
The shop's own rules count too, and are said to be its own: kitwright fluid rules --help.
--rules FILE adds more of them: a CSV file with required,offered,kind,condition.
A point is VISCOSITY@TEMPERATURE, in mm²/s (the same number as cSt) and °C; 150SUS@100F
is read as Saybolt seconds at that temperature.
exit codes: 0 yes or with care, or an answer; 1 no, outside the limits asked, or no such
  class; 2 wrong options.
"""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    stand_in = parser.add_argument_group("may I use it")
    stand_in.add_argument("--have", action="append", default=[], metavar="CLASS", help="a class or grade it claims")
    stand_in.add_argument("--need", action="append", default=[], metavar="CLASS", help="a class or grade asked for")
    stand_in.add_argument("--rules", metavar="FILE", help="the shop's own stand-in rules, a CSV file")
    figures = parser.add_argument_group("do its figures fit")
    figures.add_argument(
        "--figures", action="extend", nargs="+", default=[], metavar="NAME=VALUE", help="what was measured of it"
    )
    viscosity = parser.add_argument_group("how thick is it")
    viscosity.add_argument(
        "--points",
        action="append",
        default=[],
        nargs="+",
        metavar="POINT",
        help="two points such as 46@40 6.8@100; give the option twice for a blend",
    )
    viscosity.add_argument("--index", metavar="VI", help="viscosity index, in place of a second point at 100 °C")
    viscosity.add_argument(
        "--at", action="append", default=[], metavar="TEMP", help="the viscosity at this temperature"
    )
    viscosity.add_argument("--least", metavar="VISC", help="the thinnest the pump bears")
    viscosity.add_argument("--most", metavar="VISC", help="the thickest the pump bears, such as at a cold start")
    viscosity.add_argument("--share", metavar="SHARE", help="blend: share of the first fluid by volume, such as 40%%")
    parser.add_argument("--class", dest="lookup", metavar="TEXT", help="look up classes and grades")
    add_json_option(parser)
    add_workshop_options(parser)
    more = parser.add_subparsers(title="more", metavar="rules", dest="what", parser_class=Parser)
    rules = more.add_parser("rules", help="the shop's own rules and classes", description=fluid_rules.DESCRIPTION)
    fluid_rules.add_arguments(rules)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Answer whichever of the four was asked."""
    figures = bool(arguments.figures)
    asked = [
        bool(arguments.have or arguments.need) and not figures,
        bool(arguments.points),
        arguments.lookup is not None,
        figures,
    ]
    if sum(asked) != 1:
        raise UsageError(
            "ask one thing: --have and --need (may I use it), --figures (do its figures fit), "
            "--points (how thick is it), or --class (what is it)"
        )
    if figures:
        from tui.commands.fluid_figures import answer_figures

        return answer_figures(arguments)
    if asked[0]:
        from tui.commands.fluid_stand_in import answer_stand_in

        return answer_stand_in(arguments)
    if asked[1]:
        from tui.commands.fluid_viscosity import answer_viscosity

        return answer_viscosity(arguments)
    from tui.commands.fluid_classes import answer_classes

    return answer_classes(arguments)
