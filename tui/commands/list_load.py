"""`kitwright list load`: see what a file would change, or take it over, by columns that a person has accepted."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import islice
from typing import TYPE_CHECKING, Any

from tui.commands.list_answer import loaded_lines, say_change, say_guesses
from tui.commands.output import say, say_json, talk
from tui.commands.parsing import UsageError, shown, unknown
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.supplier_lists.entries import RefusedLine
    from models.supplier_lists.layout import Layout
    from models.supplier_lists.progress import Progress
    from models.supplier_lists.proposal import Proposal
    from models.supplier_lists.source import Source
    from models.supplier_lists.staging import Staged
    from models.supplier_lists.suppliers import SupplierRow
    from tui.workshop import Workshop

LOADED_SCHEMA = "kitwright.list.loaded/1"
REFUSED_SHOWN = 20


def add_options(load: argparse.ArgumentParser) -> None:
    """Add whose list it is and what its columns hold."""
    load.add_argument("--supplier", required=True, metavar="NAME", help="whose list it is")
    load.add_argument("--dry-run", action="store_true", help="show every change and change nothing")
    load.add_argument("--accept", action="store_true", help="take the columns as proposed")
    load.add_argument(
        "--column",
        action="append",
        default=[],
        metavar="N=FIELD",
        help="say what column N holds, as in 3=price or 4=price-from-10; may be repeated",
    )
    load.add_argument("--decimal", choices=("point", "comma"), help="the decimal mark of the prices")


@contextmanager
def looked_at(arguments: argparse.Namespace) -> Iterator[tuple[Source, Proposal]]:
    """The file, or what comes through a pipe, and what its columns seem to hold; it is at hand during the block."""
    from models.errors import WorkshopError
    from models.outside import at_hand
    from models.supplier_lists.proposal import propose
    from models.supplier_lists.source import open_source

    try:
        with at_hand(arguments.file) as file:
            source = open_source(file, sheet=arguments.sheet)
            yield source, propose(source)
    except WorkshopError as problem:
        raise UsageError(str(problem)) from problem


def run(arguments: argparse.Namespace) -> ExitCode:
    """Read the file to the side, then show what it would change or take it over."""
    with looked_at(arguments) as (source, proposal):
        return _run(arguments, source, proposal)


def _run(arguments: argparse.Namespace, source: Source, proposal: Proposal) -> ExitCode:
    from models.supplier_lists import suppliers
    from models.supplier_lists.staging import stage
    from tui.commands.workshop import opened

    with opened(arguments) as workshop:
        with workshop.open().read() as session:
            row = suppliers.named(session, arguments.supplier)
            kept = suppliers.remembered_layout(session, row.supplier_id, proposal.headers, proposal.header_line)
        layout = _settled(arguments, proposal, kept)
        with stage(source, layout, row.currency, watch=_Talk()) as staged:
            if arguments.dry_run:
                return _show(arguments, workshop, row, staged)
            return _take_over(arguments, workshop, row, staged, layout)


def _show(arguments: argparse.Namespace, workshop: Workshop, row: SupplierRow, staged: Staged) -> ExitCode:
    from models.supplier_lists.changes import changes

    count = 0
    with workshop.open().read() as session:
        for change in changes(session, staged, row.supplier_id, watch=_Talk()):
            say_change(change, as_json=arguments.json)
            count += 1
    if not arguments.json and not count:
        say("The list says nothing new.")
    return ExitCode.NOTHING if staged.refused_count else ExitCode.FOUND


def _take_over(
    arguments: argparse.Namespace, workshop: Workshop, row: SupplierRow, staged: Staged, layout: Layout
) -> ExitCode:
    from models.acts import by
    from models.supplier_lists import suppliers
    from models.supplier_lists.loading import load
    from tui.workshop import user

    with workshop.open().write() as session:
        done = load(session, by(user()), row.supplier_id, staged, watch=_Talk())
        suppliers.remember_layout(session, by(user()), row.supplier_id, layout)
    refused = [_refused(line) for line in islice(staged.refused(), REFUSED_SHOWN)]
    if arguments.json:
        say_json({"schema": LOADED_SCHEMA, "supplier": row.name, **done._asdict(), "refused_lines": refused})
    else:
        for line in loaded_lines(done, refused):
            say(line)
    return ExitCode.NOTHING if done.refused else ExitCode.FOUND


def _refused(line: RefusedLine) -> dict[str, Any]:
    return {"line": line.line, "number": line.number or None, "reason": line.reason}


def _settled(arguments: argparse.Namespace, proposal: Proposal, kept: Layout | None) -> Layout:
    """The layout to read by. Nothing that was only guessed is written by before a person has accepted it."""
    layout = kept if kept is not None and not arguments.accept else proposal.layout
    for said in arguments.column:
        layout = _corrected(layout, said, proposal)
    if arguments.decimal is not None:
        layout = layout._replace(mark="." if arguments.decimal == "point" else ",")
    if kept is None and not arguments.accept and not arguments.dry_run:
        say_guesses(proposal, talk)
        raise UsageError("these columns were not accepted yet: add --accept, with --column where one is wrong")
    return layout


def _corrected(layout: Layout, said: str, proposal: Proposal) -> Layout:
    from models.supplier_lists.words import Field

    number, _, name = said.partition("=")
    if not (number.isascii() and number.isdigit() and 1 <= int(number[:6]) <= len(proposal.guesses)):
        raise UsageError(f"--column: {shown(said)} names no column of the file; they are 1 to {len(proposal.guesses)}")
    at, word = int(number) - 1, name.strip().lower().replace(" ", "-")
    step = re.fullmatch(r"price-from-(\d{1,6})", word)
    fields = {field.value.replace(" ", "-"): field for field in Field if field is not Field.PRICE_FROM}
    if step is None and word not in fields:
        raise UsageError(f"--column: {unknown(name, [*fields, 'price-from-10'])}")
    packs = None if step is None else int(step[1])
    field = Field.PRICE_FROM if step is not None else fields[word]
    return layout.with_field(at, field, packs, header=proposal.headers[at])


class _Talk:
    """Says how far it is, now and then, and only on a terminal: a script's log needs none of it."""

    def __init__(self) -> None:
        import sys

        self._is_seen = sys.stderr.isatty()
        self._next = 0.0

    def __call__(self, at: Progress) -> None:
        import time

        if self._is_seen and time.monotonic() >= self._next:
            self._next = time.monotonic() + 2
            talk(f"{at.step}: {at.rows} rows" + ("" if at.part is None else f", {at.part:.0%}"))
