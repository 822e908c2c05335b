"""`kitwright list row`: one row of a supplier's list, what was read in its text, what it costs and did cost."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from tui.commands.list_answer import plain
from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError, shown
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.supplier_lists.listing import ListedRow, PriceSpan

SCHEMA = "kitwright.list.row/1"


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add which row, and what a person says of its reading."""
    parser.add_argument("supplier", metavar="NAME", help="whose list")
    parser.add_argument("number", metavar="NUMBER", help="the part number, as the list has it")
    said = parser.add_mutually_exclusive_group()
    said.add_argument("--right", action="store_true", help="what was read in the text is right")
    said.add_argument("--wrong", action="store_true", help="what was read in the text is wrong")


def run(arguments: argparse.Namespace) -> ExitCode:
    """Show the row; with --right or --wrong write down what the person says."""
    from models.acts import by
    from models.supplier_lists import suppliers
    from models.supplier_lists.listing import numbered, prices, say_of_reading
    from tui.commands.workshop import opened
    from tui.workshop import user

    with opened(arguments) as workshop:
        with workshop.open().read() as session:
            row = numbered(session, suppliers.named(session, arguments.supplier).supplier_id, arguments.number)
        if row is None:
            raise UsageError(
                f"the list of {shown(arguments.supplier)} has no {shown(arguments.number)}; look with: kitwright find"
            )
        if arguments.right or arguments.wrong:
            with workshop.open().write() as session:
                row = say_of_reading(session, by(user()), row.row_id, right=arguments.right)
        with workshop.open().read() as session:
            spans = prices(session, row.row_id)
    if arguments.json:
        say_json({"schema": SCHEMA, **_row_object(row), "prices": [_span_object(span) for span in spans]})
    else:
        for line in _lines(row, spans):
            say(line)
    return ExitCode.FOUND


def _row_object(row: ListedRow) -> dict[str, Any]:
    return {
        "number": row.number,
        "name": row.name,
        "pack_quantity": row.pack_quantity,
        "counted_in": row.counted_in.value,
        "min_packs": row.min_packs,
        "lead_days": row.lead_days,
        "gtin": row.gtin or None,
        "listed": row.withdrawn_list_id is None,
        "reading": {
            "state": row.reading_state.value,
            "confidence": None if row.reading_ppm is None else row.reading_ppm / 1_000_000,
            "size": row.size_key,
            "id_mm": None if row.ring_id_100nm is None else row.ring_id_100nm / 10_000,
            "width_mm": None if row.ring_width_100nm is None else row.ring_width_100nm / 10_000,
            "rubber": row.rubber or None,
            "hardness_shore_a": row.hardness_shore_a,
            "thread": row.thread or None,
            "volume_ul": row.volume_ul,
        },
    }


def _span_object(span: PriceSpan) -> dict[str, Any]:
    return {
        "price_minor": span.price_minor,
        "price_per": span.price_per,
        "currency": span.currency,
        "breaks": span.breaks,
        "since": span.since.isoformat(),
        "until": None if span.until is None else span.until.isoformat(),
    }


def _lines(row: ListedRow, spans: Sequence[PriceSpan]) -> list[str]:
    from models.volume import in_words
    from tui.answers.money import price_of

    gone = "" if row.withdrawn_list_id is None else "  (no longer listed)"
    lines = [f"{plain(row.number)}  {plain(row.name)}{gone}", f"pack of {in_words(row.pack_quantity, row.counted_in)}"]
    if row.reading_ppm is not None:
        ring = "" if row.ring_id_100nm is None else f"ring {_ring(row)}"
        volume = "" if row.volume_ul is None else f"volume {row.volume_ul / 1_000_000:.3g} L"
        found = [word for word in (ring, row.thread and f"thread {row.thread}", volume) if word]
        lines.append(f"read in its text: {', '.join(found)}; {row.reading_ppm / 10_000:.0f} % sure, {_said(row)}")
    for span in spans:
        until = "" if span.until is None else f" until {span.until:%Y-%m-%d}"
        money = price_of(span.price_minor, span.price_per, span.currency) or "no price"
        lines.append(f"{money}  from {span.since:%Y-%m-%d}{until}")
    return lines


def _ring(row: ListedRow) -> str:
    from catalog.orings.sizes import label_of

    size = f"{(row.ring_id_100nm or 0) / 10_000:g} × {(row.ring_width_100nm or 0) / 10_000:g} mm"
    return " ".join(
        word for word in (label_of(row.size_key), size, row.rubber, str(row.hardness_shore_a or "")) if word
    )


def _said(row: ListedRow) -> str:
    return {"confirmed": "confirmed by a person", "refused": "refused by a person"}.get(
        row.reading_state.value, "not confirmed: say --right or --wrong"
    )
