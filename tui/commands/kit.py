"""`kitwright kit`: a job's kit, need by need: have it (bin, count) or short; and the work on it."""

from __future__ import annotations

import argparse

from tui.commands.later import later
from tui.commands.parsing import Parser, UsageError, add_json_option, add_workshop_options
from tui.exit_codes import ExitCode

NAME = "kit"
HELP = "a job's kit: have it, where, or short; promise, pick, give back, pin"
DESCRIPTION = """\
Show a job's kit: what it needs, for each need which bin has it or how much is
short, and the earliest finish. Or work on it: promise stock to it, pick, use,
give back, pin by hand. A need is named by its number or its title, as shown.

examples:
  kitwright kit 3 --demo
  kitwright kit 3 --json --demo
  kitwright kit offers 3 "cover ring" --demo
  kitwright kit promise 4 --demo
  kitwright kit pick 3 "cover bolts" --quantity 4 --demo
  kitwright kit pin 3 "valve seat rings" --item "O-ring AS568 116 NBR 70" --demo
"""
EPILOG = "exit codes: 0 nothing is short, 1 something is, 2 no such job or wrong options.\n"
NEED = "the need: its number or its title, as the kit shows it"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the things to do with a kit; a bare job number shows it."""
    if isinstance(parser, Parser):
        parser.number_means = "show"
    todo = parser.add_subparsers(title="what to do", metavar="WHAT", dest="what", required=True, parser_class=Parser)
    _add(todo, "show", "kit_show", "show", "how the kit stands (a bare number does the same)", _SHOW)
    below = _add(todo, "offers", "kit_show", "offers", "what could fill a need, and why or why not", _OFFERS)
    below.add_argument("need", metavar="NEED", help=NEED)
    below = _add(todo, "promise", "kit_work", "promise", "promise free stock to what the kit lacks", _PROMISE)
    below.add_argument("--afresh", action="store_true", help="let go of every promise not pinned, and look again")
    _line(_add(todo, "release", "kit_work", "release", "give a promise back to free stock", _RELEASE), why="why")
    below = _line(_add(todo, "pick", "kit_work", "pick", "take what is promised off the shelf", _PICK))
    _quantity(below, "what was really taken of one line; less leaves the rest promised")
    below = _line(_add(todo, "use", "kit_work", "use", "say what a picked line really took", _USE), why="why")
    _quantity(below, "how much the job used; the rest goes back", required=True)
    below = _add(todo, "fill", "kit_fill", "run", "a fluid's tally as it goes in", _FILL)
    below.add_argument("need", metavar="NEED", help=NEED)
    for name, said in _TALLY:
        below.add_argument(f"--{name}", action="append", default=[], metavar="VOLUME", help=said)
    below.add_argument("--take-back", action="store_true", help="take the last entry back")
    below = _add(todo, "sealed", "kit_sealed", "run", "note when a joint was sealed", _SEALED)
    below.add_argument("need", metavar="NEED", help=NEED)
    below.add_argument("--at", metavar="TIME", help="when it was sealed, as 14:30 or 2026-11-25 14:30; now without")
    below.add_argument("--take-back", action="store_true", help="take the note that stands back")
    below = _line(_add(todo, "give-back", "kit_work", "give_back", "put a rest back on the shelf", _GIVE), why="why")
    _quantity(below, "how much comes back", required=True)
    _line(_add(todo, "put-back", "kit_work", "put_back", "put a whole picked line back", _PUT), why="why")
    below = _add(todo, "pin", "kit_work", "pin", "choose by hand what serves a need", _PIN)
    below.add_argument("need", metavar="NEED", help=NEED)
    below.add_argument("--stock", metavar="N", help="the stock's number, as kit offers shows it")
    below.add_argument("--item", metavar="NAME", help="or the item, with --bin where it lies in several")
    below.add_argument("--bin", metavar="CODE", help="the bin it lies in")
    below.add_argument("--lot", metavar="CODE", help="the lot, where the bin holds several")
    _quantity(below, "how much of it (all the need wants, unless you say)")
    below.add_argument("--reason", metavar="TEXT", default="", help="why this one")
    _line(_add(todo, "unpin", "kit_work", "unpin", "let the program choose again", _UNPIN))
    below = _line(_add(todo, "scrap", "kit_work", "scrap", "throw away what turned out bad", _SCRAP))
    _quantity(below, "how much of the line (all of it, unless you say)")
    below.add_argument("--reason", metavar="TEXT", required=True, help="what is wrong with it")
    below = _add(todo, "strike", "kit_work", "strike", "strike a need off the kit", _STRIKE)
    below.add_argument("need", metavar="NEED", help=NEED)
    below.add_argument("--reason", metavar="TEXT", default="", help="why")


def run(arguments: argparse.Namespace) -> ExitCode:
    """Never reached alone: `kit` asks for a job or for what to do."""
    raise UsageError(f"say which job, as in: kitwright kit 3 (got {arguments.what})")


def _add(
    todo: argparse._SubParsersAction[Parser], name: str, module: str, call: str, text: str, description: str
) -> Parser:
    below = todo.add_parser(name, help=text, description=description)
    below.set_defaults(run=later(module, call), parser=below)
    below.add_argument("job", metavar="JOB", help="the job's number, as in kitwright jobs")
    add_json_option(below)
    add_workshop_options(below)
    return below


def _line(below: Parser, *, why: str = "") -> Parser:
    below.add_argument("need", metavar="NEED", nargs="?", help=NEED)
    below.add_argument("--line", metavar="N", help="one line by its number, as the kit shows it")
    if why:
        below.add_argument("--reason", metavar="TEXT", default="", help=why)
    return below


def _quantity(below: Parser, text: str, *, required: bool = False) -> None:
    below.add_argument("--quantity", metavar="N", required=required, help=f"{text}; a volume with its unit, as 2 qt")


_SHOW = """\
Show a kit: needs, lines with why and what is pinned, and the earliest finish.

example:
  kitwright kit show 3 --demo
"""
_OFFERS = """\
Show what could fill a need: what lies on the shelf, then what suppliers' lists
offer, each with why it serves or does not. What has expired is said. Take one by
hand with: kitwright kit pin

examples:
  kitwright kit offers 3 "cover ring" --demo
  kitwright kit offers 3 "valve seat rings" --json --demo
"""
_PROMISE = """\
Look on the shelf for what the kit lacks and promise it to the job. What is
promised to one job no other can take.

examples:
  kitwright kit promise 4 --demo
  kitwright kit promise 3 --afresh --demo
"""
_RELEASE = """\
Give a promise back to free stock.

example:
  kitwright kit release 3 "cleaner" --reason "found an open can" --demo
"""
_PICK = """\
Take what is promised off the shelf: everything, what is promised to one need, or
another quantity of one line. Picking books the stock as used by the job.

examples:
  kitwright kit pick 2 --demo
  kitwright kit pick 3 "cover bolts" --quantity 4 --demo
"""
_USE = """\
Say how much of a picked line the job really took. The rest goes back to its bin:
a rest in the pail is stock again.

example:
  kitwright kit use 5 "ram oil" --quantity "2.6 L" --demo
"""
_FILL = """\
Keep a fluid need's tally with the job: what the system held, what was drained, what is
poured in; how much more to the marks. Without an entry it is shown.

examples:
  kitwright kit fill 2 "transmission oil, 44 to 48 US quarts" --drained "40 qt" --poured "5 gal" --demo
  kitwright kit fill 5 "ram oil" --demo
"""
_TALLY = (
    ("held", "what the system held before, with its unit; 0 for empty"),
    ("drained", "what came out"),
    ("poured", "what was poured in from a pack; may be given again"),
    ("reused", "clean drained fluid that was poured back"),
)
_SEALED = """\
Note that a joint was sealed, now or at a stated time. The earliest finish
counts its cure from there. Sealed again, note it again: the last note counts.
Pick the sealant first.

examples:
  kitwright kit pick 2 "housing sealant" --demo
  kitwright kit sealed 2 "housing sealant" --demo
  kitwright kit sealed 2 "housing sealant" --at "yesterday 16:00" --demo
"""
_GIVE = """\
Put what the job did not use of a picked line back on the shelf. The job has what it
needs; the line stays picked.

example:
  kitwright kit give-back 5 "ram oil" --quantity "0.4 L" --demo
"""
_PUT = """\
Put a whole picked line back: it was the wrong one, and its need is open again.

example:
  kitwright kit put-back 5 "ram ring" --reason "too hard" --demo
"""
_PIN = """\
Choose by hand what serves a need. You have the last word: what speaks against it
stands on the line, and the line is marked as pinned.

examples:
  kitwright kit pin 3 "valve seat rings" --item "O-ring AS568 116 NBR 70" --demo
  kitwright kit pin 3 "cover bolts" --item "Hex bolt M10 × 1.5 × 30" --quantity 4 --demo
"""
_UNPIN = """\
Let go of a line pinned by hand; its need is looked for on the shelf as any other.

examples:
  kitwright kit pin 3 "cover bolts" --item "Hex bolt M10 × 1.5 × 30" --demo
  kitwright kit unpin 3 "cover bolts" --demo
"""
_SCRAP = """\
Throw away what turned out bad among what is promised, before it is picked. The rest
stays promised, and what lacks is looked for on the shelf.

example:
  kitwright kit scrap 2 "rags" --quantity 2 --reason "soaked in solvent" --demo
"""
_STRIKE = """\
Strike a need off the kit; what was promised for it is free again.

example:
  kitwright kit strike 3 "cleaner" --demo
"""
