"""What is done to a kit: promise, release, pick, use, give back, put back, pin, unpin, scrap, strike."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import TYPE_CHECKING

from tui.commands.amounts import amount, number
from tui.commands.job_words import job_number
from tui.commands.kit_show import tell
from tui.commands.kit_words import lines_of, need_of, one_line
from tui.commands.parsing import UsageError
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from sqlmodel import Session

    from models.acts import Act
    from models.kitting.kit_view import KitView, LineView
    from tui.workshop import Workshop

    Change = Callable[[Session, Act], KitView]


def promise(arguments: argparse.Namespace) -> ExitCode:
    """Look on the shelf for what the kit lacks."""
    from models import kits

    job_id = job_number(arguments.job)
    look = kits.look_again if arguments.afresh else kits.resolve
    return _do(
        arguments, lambda _workshop, _kit: (lambda session, act: look(session, act, job_id), "Looked on the shelf.")
    )


def release(arguments: argparse.Namespace) -> ExitCode:
    """Give promises back to free stock."""
    from models import kits
    from models.words import LineState

    def plan(_workshop: Workshop, kit: KitView) -> tuple[Change, str]:
        line = one_line(kit, arguments.need, arguments.line, (LineState.HAVE,))
        return (
            lambda session, act: kits.release(session, act, _id(line), arguments.reason),
            f"Released {_words(line)}: it is free again.",
        )

    return _do(arguments, plan)


def pick(arguments: argparse.Namespace) -> ExitCode:
    """Take what is promised off the shelf: all of it, a need's, or part of one line."""
    from models import kits
    from models.words import LineState

    def plan(_workshop: Workshop, kit: KitView) -> tuple[Change, str]:
        if arguments.quantity is not None:
            line = one_line(kit, arguments.need, arguments.line, (LineState.HAVE,))
            taken = amount("--quantity", arguments.quantity, line.counted_in)
            said = f"Picked {_words(line, taken)}."
            return lambda session, act: kits.pick(session, act, [_id(line)], taken={_id(line): taken}), said
        found = lines_of(kit, arguments.need, arguments.line, (LineState.HAVE,))
        if not found:
            raise UsageError("nothing is promised there to be picked; look on the shelf with: "
                             f"kitwright kit promise {kit.job_id}")  # fmt: skip
        ids = [_id(line) for _, line in found]
        said = f"Picked {'1 line' if len(ids) == 1 else f'{len(ids)} lines'}."
        return lambda session, act: kits.pick(session, act, ids), said

    return _do(arguments, plan)


def use(arguments: argparse.Namespace) -> ExitCode:
    """Say how much of a picked line the job really took; the rest goes back to its bin."""
    from models import kits
    from models.volume import in_words
    from models.words import LineState

    def plan(_workshop: Workshop, kit: KitView) -> tuple[Change, str]:
        line = one_line(kit, arguments.need, arguments.line, (LineState.PICKED,))
        out = line.quantity - line.given_back
        used = amount("--quantity", arguments.quantity, line.counted_in, least=0)
        if used == 0:
            raise UsageError(f"--quantity: nothing was used; put it back with: kitwright kit put-back {kit.job_id}")
        if used >= out:
            raise UsageError(
                f"--quantity: {in_words(out, line.counted_in)} of it is out, so no rest goes back; "
                "type less than that, or leave it as it is"
            )
        rest = out - used
        said = f"Used {in_words(used, line.counted_in)}; {_words(line, rest)} went back to the shelf."
        reason = arguments.reason or "left over"
        return lambda session, act: kits.give_back(session, act, _id(line), rest, reason), said

    return _do(arguments, plan)


def give_back(arguments: argparse.Namespace) -> ExitCode:
    """Put what the job did not use of a picked line back on the shelf."""
    from models import kits
    from models.words import LineState

    def plan(_workshop: Workshop, kit: KitView) -> tuple[Change, str]:
        line = one_line(kit, arguments.need, arguments.line, (LineState.PICKED,))
        back = amount("--quantity", arguments.quantity, line.counted_in)
        said = f"Gave back {_words(line, back)}."
        return lambda session, act: kits.give_back(session, act, _id(line), back, arguments.reason), said

    return _do(arguments, plan)


def put_back(arguments: argparse.Namespace) -> ExitCode:
    """Put a whole picked line back: its need is open again."""
    from models import kits
    from models.words import LineState

    def plan(_workshop: Workshop, kit: KitView) -> tuple[Change, str]:
        line = one_line(kit, arguments.need, arguments.line, (LineState.PICKED,))
        said = f"Put back {_words(line)}: its need is open again."
        return lambda session, act: kits.put_back(session, act, _id(line), arguments.reason), said

    return _do(arguments, plan)


def pin(arguments: argparse.Namespace) -> ExitCode:
    """Choose by hand what serves a need."""
    from models import kits

    def plan(workshop: Workshop, kit: KitView) -> tuple[Change, str]:
        need = need_of(kit, arguments.need)
        stock_id = number("--stock", arguments.stock) if arguments.stock else _stock(workshop, arguments)
        taken = None
        if arguments.quantity is not None:
            taken = amount("--quantity", arguments.quantity, need.counted_in)
        return (
            lambda session, act: kits.pin(session, act, need.need_id, stock_id, taken, arguments.reason),
            f"Pinned for {need.title}.",
        )

    return _do(arguments, plan)


def unpin(arguments: argparse.Namespace) -> ExitCode:
    """Let go of a line pinned by hand; its need is looked for as any other."""
    from models import kits
    from models.words import LineState

    def plan(_workshop: Workshop, kit: KitView) -> tuple[Change, str]:
        found = lines_of(kit, arguments.need, arguments.line, (LineState.HAVE,))
        pinned = [line for _, line in found if line.pinned]
        if not pinned:
            raise UsageError(f"no line there is pinned by hand; look with: kitwright kit {kit.job_id}")
        if len(pinned) > 1:
            numbers = ", ".join(str(line.line_id) for line in pinned)
            raise UsageError(f"several lines are pinned; say which with --line: {numbers}")
        line = pinned[0]
        return lambda session, act: kits.unpin(session, act, _id(line)), f"Unpinned {_words(line)}; looked again."

    return _do(arguments, plan)


def scrap(arguments: argparse.Namespace) -> ExitCode:
    """Throw away what turned out bad among what is promised, and look for other."""
    from models import kits
    from models.words import LineState

    def plan(_workshop: Workshop, kit: KitView) -> tuple[Change, str]:
        line = one_line(kit, arguments.need, arguments.line, (LineState.HAVE,))
        bad = line.quantity
        if arguments.quantity is not None:
            bad = amount("--quantity", arguments.quantity, line.counted_in)
        said = f"Scrapped {_words(line, bad)}; looked for other."
        return lambda session, act: kits.scrap(session, act, _id(line), bad, arguments.reason), said

    return _do(arguments, plan)


def strike(arguments: argparse.Namespace) -> ExitCode:
    """Strike a need off the kit."""
    from models import kits

    def plan(_workshop: Workshop, kit: KitView) -> tuple[Change, str]:
        need = need_of(kit, arguments.need)
        said = f"Struck {need.title}."
        return lambda session, act: kits.withdraw_need(session, act, need.need_id, arguments.reason), said

    return _do(arguments, plan)


def _do(arguments: argparse.Namespace, plan: Callable[[Workshop, KitView], tuple[Change, str]]) -> ExitCode:
    """Look at the kit, make the one change that was asked for, and say how the kit stands after it."""
    job_id = job_number(arguments.job)
    with opened(arguments) as workshop:
        change, said = plan(workshop, workshop.kit(job_id))
        workshop.change(change)
        return tell(workshop, job_id, arguments, said)


def _id(line: LineView) -> int:
    assert line.line_id is not None
    return line.line_id


def _words(line: LineView, quantity: int | None = None) -> str:
    from models.volume import in_words

    return f"{in_words(line.quantity if quantity is None else quantity, line.counted_in)} {line.item_name}"


def _stock(workshop: Workshop, arguments: argparse.Namespace) -> int:
    from tui.commands.shelf_words import one_stock

    if arguments.item is None:
        raise UsageError("say what to pin: --stock N as kit offers shows it, or --item NAME with --bin CODE")
    return one_stock(workshop, arguments.item, arguments.bin, arguments.lot).stock_id
