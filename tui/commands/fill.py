"""`kitwright fill`: marks and pours in, how much more and which packs to open out."""

from __future__ import annotations

import argparse
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError, add_json_option, whole
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from catalog.fluids.fill import Level, Marks
    from catalog.fluids.packs import Opened, Pack

NAME = "fill"
HELP = "low and full marks, what was poured → how much more, which packs"
DESCRIPTION = """\
Keep the tally of a fill: what the system holds at its low and full marks, what drained,
what was poured. How much more? Over-filled by how much? Which packs to open?

examples:
  kitwright fill --low "11 qt" --full "12 qt" --poured "6 qt" "5 qt"
  kitwright fill --low "11 qt" --full "12 qt" --packs "1 gal" "1 qt"
  kitwright fill --full "7.6 L" --drained "7 L" --reused "2 L" --poured "5 L"
  kitwright fill --low 10.4L --full 11.4L --poured 12L --json
  kitwright fill --full "3 gal" --packs "5 gal=1" "1 gal=2" "1 qt"
"""
EPILOG = """\
gal, qt and pt are US measures; type imp gal, imp qt or imp pt for imperial ones.
--reused is clean fluid that was drained and poured back; it counts as poured.
A pack with a number, "1 gal=2", is one of which there are only so many.
exit codes: 0 the level is between the marks or at one, 1 below the low mark or over the
  full mark, 2 wrong options.
"""
SCHEMA = "kitwright.fill/1"
MOST_POURS = 200
MOST_PACKS = 12
CAUTIONS = ("fill-between", "hot-oil", "keep-apart")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    marks = parser.add_argument_group("marks")
    marks.add_argument(
        "--low", metavar="VOLUME", help="what the system holds at the low mark (the full one if left out)"
    )
    marks.add_argument("--full", metavar="VOLUME", help="what it holds at the full mark")
    tally = parser.add_argument_group("tally")
    tally.add_argument("--held", metavar="VOLUME", help="what it held before draining, if known")
    tally.add_argument("--drained", metavar="VOLUME", help="what came out")
    for option, meaning in (("--poured", "fresh fluid, each pour"), ("--reused", "drained fluid poured back clean")):
        tally.add_argument(option, action="extend", nargs="+", default=[], metavar="VOLUME", help=meaning)
    parser.add_argument("--packs", action="extend", nargs="+", default=[], metavar="PACK", help="packs there are")
    add_json_option(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Add up the pours and say where the level stands."""
    from catalog.fluids.fill import Pour, State, marks, tally
    from catalog.fluids.packs import to_open
    from tui.commands.judging import naming

    if arguments.full is None:
        raise UsageError("--full is missing; type what the system holds at its full mark, such as --full 12qt")
    full = _volume("--full", arguments.full)
    low = full if arguments.low is None else _volume("--low", arguments.low)
    with naming("--low and --full"):
        at = marks(low, full)
    if len(arguments.poured) + len(arguments.reused) > MOST_POURS:
        raise UsageError(f"more than {MOST_POURS} pours; add some of them up first")
    pours = [Pour(_volume("--poured", text)) for text in arguments.poured]
    pours += [Pour(_volume("--reused", text), reused=True) for text in arguments.reused]
    drained = Fraction(0) if arguments.drained is None else _volume("--drained", arguments.drained)
    held = None if arguments.held is None else _volume("--held", arguments.held)
    with naming("the tally"):
        level = tally(at, pours, drained=drained, held_before=held)
    packs = _packs(arguments.packs)
    opened: dict[str, Opened] = {}
    if packs:
        with naming("--packs"):
            opened = {"low": to_open(level.to_low, packs), "full": to_open(level.to_full, packs)}
    if arguments.json:
        say_json(_object(at, level, opened))
    else:
        for line in _lines(at, level, opened, empty=held is None):
            say(line)
    return ExitCode.NOTHING if level.state in (State.BELOW_LOW, State.OVER) else ExitCode.FOUND


def _volume(option: str, text: str) -> Fraction:
    """A volume in microlitres, exact; a bare number is in the bench's kept unit."""
    from catalog.quantity import Kind
    from tui.commands.judging import typed

    return typed(option, text, Kind.VOLUME).to("µL")


def _packs(texts: list[str]) -> list[Pack]:
    from catalog.fluids.packs import Pack

    if len(texts) > MOST_PACKS:
        raise UsageError(f"--packs: {len(texts)} sizes given; give {MOST_PACKS} at most")
    packs = []
    for text in texts:
        size, sign, count = text.partition("=")
        volume = _volume("--packs", size)
        packs.append(Pack(volume, " ".join(size.split()), whole("--packs", count, 0, 10_000) if sign else None))
    return packs


def _object(at: Marks, level: Level, opened: dict[str, Opened]) -> dict[str, Any]:
    from tui.answers.advice import ADVICE, cautions

    return {
        "schema": SCHEMA,
        "state": level.state.value,
        "share": round(level.share(at), 6),
        "low_l": _litres(at.low),
        "full_l": _litres(at.full),
        "held_l": _litres(level.held),
        "left_in_l": _litres(level.left_in),
        "poured_l": _litres(level.poured),
        "fresh_l": _litres(level.fresh),
        "reused_l": _litres(level.reused),
        "to_dispose_l": _litres(level.lost),
        "to_low_l": _litres(level.to_low),
        "to_full_l": _litres(level.to_full),
        "over_l": _litres(level.over),
        "open": {
            mark: {
                "packs": [
                    {"pack": pack.name, "volume_l": _litres(Fraction(pack.volume)), "count": count}
                    for pack, count in one.packs
                ],
                "total_l": _litres(one.total),
                "left_over_l": _litres(one.left_over),
                "missing_l": _litres(one.missing),
            }
            for mark, one in opened.items()
        }
        or None,
        "cautions": [*cautions(*CAUTIONS), ADVICE],
    }


def _litres(microlitres: Fraction) -> float:
    from catalog.fluids.fill import LITRE

    return round(float(microlitres / LITRE), 6)


def _lines(at: Marks, level: Level, opened: dict[str, Opened], *, empty: bool) -> list[str]:
    from catalog.fluids.fill import State
    from tui.answers.advice import ADVICE, cautions
    from tui.answers.levels import over_filled

    lines = [f"{level.state.value[:1].upper()}{level.state.value[1:]}: it holds {_both(level.held)}"]
    if level.state is State.OVER:
        lines.append(over_filled(level.over))
    if level.to_low:
        lines.append(f"To the low mark: {_both(level.to_low)} more")
    if level.to_full:
        lines.append(f"To the full mark: {_both(level.to_full)} more")
    for mark, one in opened.items():
        if (level.to_low if mark == "low" else level.to_full) and (mark == "full" or at.low != at.full):
            lines.append(f"To open for the {mark} mark: {_opened(one)}")
    if level.lost:
        lines.append(f"Drained and not poured back, to hand in: {_both(level.lost)}")
    if empty:
        lines.append("The system is taken as empty after draining; some always stays in, so check at the mark.")
    marks = _both(at.full) if at.low == at.full else f"low {_both(at.low)}, full {_both(at.full)}"
    lines += ["", f"Understood: marks {marks}; poured {_both(level.fresh)} fresh, {_both(level.reused)} reused."]
    return [*lines, *cautions(*CAUTIONS), ADVICE]


def _opened(one: Opened) -> str:
    if not one.packs:
        return f"nothing there is; {_both(one.missing)} short"
    text = " + ".join(f"{count} × {pack.name}" for pack, count in one.packs)
    if one.missing:
        return f"{text}, all there is; {_both(one.missing)} short"
    return f"{text}, {_both(one.left_over)} left over" if one.left_over else f"{text}, nothing left over"


def _both(microlitres: Fraction) -> str:
    from catalog.fluids.fill import LITRE
    from catalog.quantity import format_volume

    return format_volume(microlitres / LITRE)
