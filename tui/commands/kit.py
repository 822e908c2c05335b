"""`kitwright kit JOB`: a job's kit, need by need: have it (bin, count) or short."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError, add_json_option, add_workshop_options, shown
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.kit_view import KitView, LineView

NAME = "kit"
HELP = "a job's kit: have it, where, or short"
DESCRIPTION = """\
Show a job's kit: what it needs, and for each need which bin has it or how much
is short.

examples:
  kitwright kit 1 --demo
  kitwright kit 1 --json
"""
EPILOG = "exit codes: 0 nothing is short, 1 something is, 2 no such job or wrong options.\n"
SCHEMA = "kitwright.kit/1"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's options."""
    parser.add_argument("job", metavar="JOB", help="the job's number, as in kitwright jobs")
    add_json_option(parser)
    add_workshop_options(parser)


def run(arguments: argparse.Namespace) -> ExitCode:
    """Show one kit."""
    from tui.commands.workshop import opened

    number = arguments.job.strip()
    if not (number.isascii() and number.isdigit() and len(number) <= 9):
        raise UsageError(f"{shown(arguments.job)} is not a job's number; list them with: kitwright jobs")
    with opened(arguments) as workshop:
        kit = workshop.kit(int(number))
    if arguments.json:
        say_json(kit_object(kit))
    else:
        for line in kit_lines(kit):
            say(line)
    return ExitCode.NOTHING if any(need.missing for need in kit.needs) else ExitCode.FOUND


def kit_object(kit: KitView) -> dict[str, Any]:
    """A kit as JSON; quantities in pieces or, for `counted_in` "ul", in microlitres."""
    return {
        "schema": SCHEMA,
        "job": kit.job_id,
        "title": kit.title,
        "machine": kit.machine_name or None,
        "due_on": None if kit.due_on is None else kit.due_on.isoformat(),
        "kit": kit.state.value,
        "needs": [
            {
                "need": need.title,
                "kind": need.kind.value,
                "position": need.position_name or None,
                "size": need.size_key,
                "counted_in": need.counted_in.value,
                "wanted": need.wanted,
                "short": need.missing,
                "lines": [_line_object(line) for line in need.lines],
            }
            for need in kit.needs
        ],
    }


def _line_object(line: LineView) -> dict[str, Any]:
    return {
        "state": line.state.value,
        "quantity": line.quantity,
        "item": line.item_name or None,
        "bin": line.bin_code or None,
        "lot": line.lot_code or None,
        "expires_on": None if line.expires_on is None else line.expires_on.isoformat(),
        "reason": line.reason or None,
    }


def kit_lines(kit: KitView) -> list[str]:
    """A kit as text, one need a block."""
    from models.volume import in_words

    head = " · ".join(part for part in (f"Job {kit.job_id}: {kit.title}", kit.machine_name, f"kit {kit.state}") if part)
    lines = [head]
    for need in kit.needs:
        at = f" ({need.position_name})" if need.position_name else ""
        lines.append(f"{in_words(need.wanted, need.counted_in)} × {need.title}{at}")
        for line in need.lines:
            amount = in_words(line.quantity, line.counted_in)
            where = f" {line.item_name}, bin {line.bin_code}" if line.bin_code else ""
            why = f": {line.reason}" if line.reason else ""
            lines.append(f"    {line.state} {amount}{where}{why}")
    if not kit.needs:
        lines.append("Nothing is needed yet.")
    return lines
