"""`kitwright kit fill`: a fluid need's tally, kept with the job: held, drained, poured; where the level stands."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from tui.commands.job_words import job_number
from tui.commands.kit_words import SCHEMA, need_of
from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode
from tui.kitting import Kitting

if TYPE_CHECKING:
    from models.acts import Act
    from models.database import Session
    from models.kitting.fluid_tally import FluidTally

ENTRIES = ("held", "drained", "poured", "reused")
CALLED = {"held": "held before", "drained": "drained", "poured": "poured", "reused": "poured back, clean"}
PER_LITRE = 1_000_000


def run(arguments: argparse.Namespace) -> ExitCode:
    """Note what went in or out, take an entry back, or show the tally."""
    job_id = job_number(arguments.job)
    typed = [(what, text) for what in ENTRIES for text in getattr(arguments, what)]
    if typed and arguments.take_back:
        raise UsageError("--take-back stands alone: take the last entry back, then note the right one")
    volumes = [(what, _volume(f"--{what}", text, empty=what == "held"), text) for what, text in typed]

    with opened(arguments) as workshop:
        need = need_of(workshop.kit(job_id), arguments.need)

        def change(session: Session, act: Act) -> FluidTally:
            from models.kitting import fluid_tally

            if arguments.take_back:
                return fluid_tally.take_back(session, act, need.need_id)
            for at, (what, volume, text) in enumerate(volumes):
                # Each entry is an action of its own, so that undo takes them back one by one.
                own = act._replace(key=f"{act.key}/{at}") if at else act
                fluid_tally.note(session, own, need.need_id, fluid_tally.Filled(what), volume, " ".join(text.split()))
            return fluid_tally.of_need(session, need.need_id)

        if typed or arguments.take_back:
            tally = workshop.change(change)
        else:
            from models.kitting import fluid_tally

            tally = workshop.read(lambda session: fluid_tally.of_need(session, need.need_id))
        curing = Kitting(workshop).curing(job_id)
    return _tell(arguments, tally, curing)


def _volume(option: str, text: str, *, empty: bool) -> Fraction:
    """A volume in microlitres, exact; a bare number is in the bench's kept unit."""
    from catalog.quantity import Kind
    from tui.commands.judging import typed

    if empty and text.strip() == "0":
        return Fraction(0)
    return typed(option, text, Kind.VOLUME).to("µL")


def _tell(arguments: argparse.Namespace, tally: FluidTally, curing: Sequence[str]) -> ExitCode:
    from catalog.fluids.fill import State

    level = tally.level
    if arguments.json:
        say_json(tally_object(tally, curing))
    else:
        for line in _lines(tally, curing):
            say(line)
    return ExitCode.NOTHING if level.state in (State.BELOW_LOW, State.OVER) else ExitCode.FOUND


def tally_object(tally: FluidTally, curing: Sequence[str]) -> dict[str, Any]:
    """A tally as JSON; volumes in litres. `curing`: what was sealed on the job and may not be filled yet, in words."""
    level = tally.level
    return {
        "schema": SCHEMA,
        "job": tally.job_id,
        "need": tally.title,
        "number": tally.need_id,
        "entries": [
            {
                "what": one.what.value,
                "volume_l": _litres(one.volume),
                "typed": one.typed or None,
                "who": one.who,
                "at": one.at.isoformat(timespec="seconds"),
            }
            for one in tally.entries
        ],
        "curing": list(curing),
        "state": level.state.value,
        "low_l": _litres(Fraction(tally.low_ul)),
        "full_l": _litres(Fraction(tally.full_ul)),
        "held_l": _litres(level.held),
        "poured_l": _litres(level.poured),
        "to_dispose_l": _litres(level.lost),
        "to_low_l": _litres(level.to_low),
        "to_full_l": _litres(level.to_full),
        "over_l": _litres(level.over),
    }


def _litres(microlitres: Fraction) -> float:
    return round(float(microlitres / PER_LITRE), 6)


def _lines(tally: FluidTally, curing: Sequence[str]) -> list[str]:
    from tui.commands.judging import ADVICE

    level = tally.level
    lines = [f"! {one}" for one in curing]
    lines.append(f"{tally.title}: {level.state.value}; it holds {_both(level.held)}")
    lines += [f"    {CALLED[one.what]} {one.typed or _both(one.volume)}, by {one.who}" for one in tally.entries]
    if level.over:
        lines.append(f"OVER-FILLED by {_both(level.over)}: draw it off before you run the machine.")
    if level.to_low:
        lines.append(f"To the low mark: {_both(level.to_low)} more")
    if level.to_full:
        lines.append(f"To the full mark: {_both(level.to_full)} more")
    if level.lost:
        lines.append(f"Drained and not poured back, to hand in: {_both(level.lost)}")
    if not any(one.what == "held" for one in tally.entries):
        lines.append("The system is taken as empty after draining; some always stays in, so check at the mark.")
    return [*lines, ADVICE]


def _both(microlitres: Fraction) -> str:
    from catalog.quantity import format_volume

    return format_volume(microlitres / PER_LITRE)
