"""A need read from options: a ring by its size, a fluid by class and marks, anything else by its class."""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING

from tui.commands.amounts import microlitres
from tui.commands.parsing import UsageError, did_you_mean, shown, whole

if TYPE_CHECKING:
    from sqlmodel import Session

    from models.jobs import JobRow
    from models.kitting.needs import NeedSpec

PLAIN = ("filter", "sealant", "fastener", "consumable")
MOST = 1_000_000


def add_need_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what a need is told by."""
    what = parser.add_argument_group("what is needed, one of these")
    one = what.add_mutually_exclusive_group(required=True)
    one.add_argument("--ring", metavar="SIZE", help="a standard ring size, like AS568-214 or P22A")
    one.add_argument("--fluid", metavar="CLASS", help="a fluid's class, like UTTO; with --grade, --low and --full")
    one.add_argument(
        "--fitted", action="store_true", help="the ring that the fit record at --at says when it is looked for"
    )
    for kind in PLAIN:
        one.add_argument(f"--{kind}", metavar="CLASS", help=f"a {kind}, by its class as on the shelf")
    add_detail_arguments(parser)


def add_detail_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what is said of a need beside what it is."""
    parser.add_argument("--rubber", action="append", default=[], metavar="FAMILY", help="a rubber allowed, best first")
    parser.add_argument("--hardness", metavar="SHORE_A", help="the ring's hardness")
    parser.add_argument("--grade", metavar="GRADE", help="the grade, like 10W-30 or 8.8")
    parser.add_argument("--low", metavar="VOLUME", help="what the system holds at the low mark, with its unit")
    parser.add_argument("--full", metavar="VOLUME", help="what it holds at the full mark; without --low the one mark")
    parser.add_argument(
        "--asks",
        action="append",
        default=[],
        metavar="CLASS",
        help="a further class a fluid must meet, or what a sealant must resist",
    )
    parser.add_argument("--cure", metavar="TIME", help="the longest a sealant may cure, as 24 h or 90 min")
    parser.add_argument("--count", metavar="N", help="how many pieces (1 unless you say)")
    parser.add_argument("--spares", metavar="N", help="how many more, as spares (0 unless you say)")
    parser.add_argument("--at", metavar="POSITION", help="the position on the job's machine")
    parser.add_argument("--title", metavar="TEXT", help="what to call it on the kit")


def need_spec(arguments: argparse.Namespace) -> NeedSpec:
    """The need that the options tell. Raises UsageError with the option to put right."""
    from models.kitting.needs import NeedSpec
    from models.words import Kind

    kind = Kind.RING if arguments.fitted else next(one for one in Kind if getattr(arguments, one.value) is not None)
    refuse_strangers(arguments, kind.value)
    title = arguments.title or ""
    asks = tuple(arguments.asks)
    if kind is Kind.FLUID:
        low, full = marks(arguments)
        grade = arguments.grade or ""
        return NeedSpec(
            kind, title=title, spec_class=arguments.fluid, spec_grade=grade, low_ul=low, full_ul=full, asks=asks
        )
    pieces = 1 if arguments.count is None else whole("--count", arguments.count, 1, MOST)
    spares = 0 if arguments.spares is None else whole("--spares", arguments.spares, 0, MOST)
    if kind is not Kind.RING:
        called = getattr(arguments, kind.value)
        cure = None if arguments.cure is None else minutes("--cure", arguments.cure)
        return NeedSpec(
            kind, pieces, spares, title, spec_class=called, spec_grade=arguments.grade or "",
            cure_minutes_at_most=cure, asks=asks,
        )  # fmt: skip
    hardness = None if arguments.hardness is None else whole("--hardness", arguments.hardness, 10, 99)
    rubbers = families(arguments.rubber)
    if arguments.fitted:
        from models.qualify.wanted import AS_FITTED

        if not (arguments.at or "").strip():
            raise UsageError("--fitted: say at which position, with --at; its fit record tells the ring")
        title = title or f"{arguments.at}, as fitted"[:200]
        return NeedSpec(kind, pieces, spares, title, AS_FITTED, rubbers=rubbers, hardness_shore_a=hardness)
    key, label = ring_size(arguments.ring)
    return NeedSpec(kind, pieces, spares, title or label, key, rubbers=rubbers, hardness_shore_a=hardness)


def ring_size(text: str, option: str = "--ring") -> tuple[str, str]:
    """A standard size's key and name."""
    from catalog.orings.sizes import find

    size = find(text)
    if size is None:
        raise UsageError(f"{option}: no standard size goes by {shown(text)}; look with: kitwright sizes")
    return size.key, size.label


def families(typed: list[str]) -> tuple[str, ...]:
    """Rubber families as typed; `any` alone asks for none in particular."""
    found = tuple(family.strip().upper() for family in typed)
    return () if found == ("ANY",) else found


def minutes(option: str, text: str) -> int:
    """A time of hours or minutes."""
    found = re.fullmatch(r"([0-9]{1,5}(?:[.,][0-9]{1,3})?)\s*(h|hours?|min|minutes?)", text.strip(), re.ASCII)
    if found is None:
        raise UsageError(f"{option}: {shown(text)} is not a time; type for example 24 h or 90 min")
    return round(float(found[1].replace(",", ".")) * (60 if found[2].startswith("h") else 1))


def refuse_strangers(arguments: argparse.Namespace, kind: str) -> None:
    """An option that says nothing about this kind is a slip, so it is not passed over."""
    belongs = {
        "ring": {"rubber", "hardness", "count", "spares"},
        "fluid": {"grade", "low", "full", "asks"},
        "sealant": {"grade", "count", "spares", "asks", "cure"},
    }.get(kind, {"grade", "count", "spares"})
    for option in ("rubber", "hardness", "grade", "low", "full", "count", "spares", "asks", "cure"):
        if getattr(arguments, option) not in (None, []) and option not in belongs:
            raise UsageError(f"--{option} says nothing about a {kind}; leave it out")


def marks(arguments: argparse.Namespace) -> tuple[int, int]:
    """The low and the full mark in microlitres; one alone is both."""
    if arguments.full is None and arguments.low is None:
        raise UsageError('--fluid: say what the system holds, as --low "11 qt" --full "12 qt"')
    low = None if arguments.low is None else microlitres("--low", arguments.low)
    full = None if arguments.full is None else microlitres("--full", arguments.full)
    found = (low if low is not None else full or 0), (full if full is not None else low or 0)
    if found[0] > found[1]:
        raise UsageError("--low is more than --full; type the smaller volume as the low mark")
    if found[0] <= 0:
        raise UsageError("--low: a mark must be above zero")
    return found


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
