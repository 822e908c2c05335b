"""A need read from options: a ring by its size, a fluid by class and marks, anything else by its class."""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING

from tui.commands.parsing import UsageError, did_you_mean, shown

if TYPE_CHECKING:
    from sqlmodel import Session

    from models.jobs import JobRow
    from models.needs import NeedSpec

PLAIN = ("filter", "sealant", "fastener", "consumable")
MOST = 1_000_000


def add_need_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what a need is told by."""
    what = parser.add_argument_group("what is needed, one of these")
    one = what.add_mutually_exclusive_group(required=True)
    one.add_argument("--ring", metavar="SIZE", help="a standard ring size, like AS568-214 or P22A")
    one.add_argument("--fluid", metavar="CLASS", help="a fluid's class, like UTTO; with --grade, --low and --full")
    for kind in PLAIN:
        one.add_argument(f"--{kind}", metavar="CLASS", help=f"a {kind}, by its class as on the shelf")
    parser.add_argument("--rubber", action="append", default=[], metavar="FAMILY", help="a rubber allowed, best first")
    parser.add_argument("--hardness", metavar="SHORE_A", help="the ring's hardness")
    parser.add_argument("--grade", metavar="GRADE", help="the grade, like 10W-30 or 8.8")
    parser.add_argument("--low", metavar="VOLUME", help="what the system holds at the low mark, with its unit")
    parser.add_argument("--full", metavar="VOLUME", help="what it holds at the full mark; without --low the one mark")
    parser.add_argument("--count", metavar="N", help="how many pieces (1 unless you say)")
    parser.add_argument("--spares", metavar="N", help="how many more, as spares (0 unless you say)")
    parser.add_argument("--at", metavar="POSITION", help="the position on the job's machine")
    parser.add_argument("--title", metavar="TEXT", help="what to call it on the kit")


def need_spec(arguments: argparse.Namespace) -> NeedSpec:
    """The need that the options tell. Raises UsageError with the option to put right."""
    from models.needs import NeedSpec
    from models.words import Kind
    from tui.commands.judging import whole

    kind = next(kind for kind in Kind if getattr(arguments, kind.value) is not None)
    _refuse_strangers(arguments, kind.value)
    title = arguments.title or ""
    if kind is Kind.FLUID:
        low, full = _marks(arguments)
        return NeedSpec(
            kind, title=title, spec_class=arguments.fluid, spec_grade=arguments.grade or "", low_ul=low, full_ul=full
        )
    pieces = 1 if arguments.count is None else whole("--count", arguments.count, 1, MOST)
    spares = 0 if arguments.spares is None else whole("--spares", arguments.spares, 0, MOST)
    if kind is not Kind.RING:
        called = getattr(arguments, kind.value)
        return NeedSpec(kind, pieces, spares, title, spec_class=called, spec_grade=arguments.grade or "")
    from catalog.orings.sizes import find

    size = find(arguments.ring)
    if size is None:
        raise UsageError(f"--ring: no standard size goes by {shown(arguments.ring)}; look with: kitwright sizes")
    hardness = None if arguments.hardness is None else whole("--hardness", arguments.hardness, 10, 99)
    rubbers = tuple(family.strip().upper() for family in arguments.rubber)
    return NeedSpec(kind, pieces, spares, title or size.label, size.key, rubbers=rubbers, hardness_shore_a=hardness)


def _refuse_strangers(arguments: argparse.Namespace, kind: str) -> None:
    """An option that says nothing about this kind is a slip, so it is not passed over."""
    belongs = {
        "ring": {"rubber", "hardness", "count", "spares"},
        "fluid": {"grade", "low", "full"},
    }.get(kind, {"grade", "count", "spares"})
    for option in ("rubber", "hardness", "grade", "low", "full", "count", "spares"):
        if getattr(arguments, option) not in (None, []) and option not in belongs:
            raise UsageError(f"--{option} says nothing about a {kind}; leave it out")


def _marks(arguments: argparse.Namespace) -> tuple[int, int]:
    if arguments.full is None and arguments.low is None:
        raise UsageError('--fluid: say what the system holds, as --low "11 qt" --full "12 qt"')
    low = None if arguments.low is None else _microlitres("--low", arguments.low)
    full = None if arguments.full is None else _microlitres("--full", arguments.full)
    marks = (low if low is not None else full or 0), (full if full is not None else low or 0)
    if marks[0] > marks[1]:
        raise UsageError("--low is more than --full; type the smaller volume as the low mark")
    if marks[0] <= 0:
        raise UsageError("--low: a mark must be above zero")
    return marks


def _microlitres(option: str, text: str) -> int:
    from catalog.quantity import Kind
    from tui.commands.judging import typed

    if re.fullmatch(r"[\s0-9.,/+-]*", text) and text.strip():
        raise UsageError(f"{option}: {shown(text)} has no unit; type for example 11 qt or 10.4 L")
    return round(typed(option, text, Kind.VOLUME, "L").to("µL"))


def at_position(session: Session, job: JobRow, spec: NeedSpec, name: str | None) -> NeedSpec:
    """The need at a position of the job's machine."""
    from models import machines

    if name is None:
        return spec
    if job.machine_id is None:
        raise UsageError("--at: the job is on the bench, so it has no positions; leave it out")
    fits = [row for row in machines.positions(session, job.machine_id) if row.takes is spec.kind]
    for row in fits:
        if row.name.casefold() == " ".join(name.split()).casefold():
            return spec._replace(position_id=row.position_id)
    names = [row.name for row in fits]
    said = did_you_mean(name, names) or (f"; there are: {', '.join(map(shown, names))}" if names else "")
    raise UsageError(f"--at: {job.machine_name} has no position {shown(name)} that takes a {spec.kind}{said}")
