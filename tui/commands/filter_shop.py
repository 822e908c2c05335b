"""What do we have that fits: the shop's filters and suppliers' lists, for `kitwright filter --search` and `--shop`."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from catalog.filters.grade import Grade
from catalog.quantity import both_units
from tui.answers.advice import ADVICE, cautions
from tui.commands.filter_answer import SCHEMA, criterion_line, fit_parts
from tui.commands.output import say, say_json, table
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from catalog.filters.housing import Housing
    from catalog.filters.search import Described
    from models.elements import Answer, Ranked

MOST_NAMED = 5


def search_shop(
    arguments: argparse.Namespace, described: Described | None, housing: Housing | None, limit: int
) -> ExitCode:
    """Look, rank and print."""
    from models.elements import look
    from tui.commands.judging import naming
    from tui.commands.workshop import opened

    with opened(arguments) as workshop, naming("--search"):
        answer = workshop.read(lambda session: look(session, described, housing, misses=arguments.misses))
    if arguments.json:
        say_json(_object(answer, arguments.search, housing, limit))
    else:
        for line in _lines(answer, limit, arguments.unit, housed=housing is not None):
            say(line)
    usable = any(one.overall in (Grade.FITS, Grade.WITH_CARE) for one in answer.ranked)
    return ExitCode.FOUND if usable else ExitCode.NOTHING


def _object(answer: Answer, text: str | None, housing: Housing | None, limit: int) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "asked": "shop",
        "sought": text,
        "housing": None if housing is None else housing.name or "given",
        "candidates": answer.candidates,
        "do_not_fit": answer.misses,
        "found_in_all": len(answer.ranked),
        "found": [_one(one) for one in answer.ranked[:limit]],
        "never_measured": list(answer.unmeasured),
        "rows_without_measures": answer.unread,
        "more_rows_than_looked_at": answer.cut,
        "cautions": [*cautions("relieve"), ADVICE],
    }


def _one(one: Ranked) -> dict[str, Any]:
    offer = one.offer
    return {
        "where": offer.where.value,
        "id": offer.row_id,
        "name": offer.name,
        "kind": offer.element.kind.value,
        "od_mm": offer.element.od_mm,
        "length_mm": offer.element.length_mm,
        "reading_confidence": offer.confidence,
        "read_as": offer.read_as or None,
        "bins": [{"bin": place.bin_code, "on_hand": place.on_hand, "free": place.free} for place in offer.lying],
        "free": offer.free,
        "supplier": offer.supplier or None,
        "number": offer.number or None,
        "price_minor": offer.price_minor,
        "price_per": offer.price_per,
        "currency": offer.currency or None,
        "off": None if one.found is None else round(one.found.off, 4),
        **fit_parts(one.table),
    }


def _lines(answer: Answer, limit: int, unit: str, *, housed: bool) -> list[str]:
    found = answer.ranked
    if found:
        does = "fit this housing" if housed else "answer to this"
        cut = f", {limit} shown" if len(found) > limit else ""
        usable = sum(one.overall in (Grade.FITS, Grade.WITH_CARE) for one in found)
        known = f"{usable} of them {does}" if usable else "each to be measured further first"
        lines = [f"{len(found)} of {answer.candidates} elements, {known}, best first{cut}:"]
        rows = [
            (
                one.offer.name[:40],
                str(one.overall),
                where(one),
                *(_size(size, unit) for size in (one.offer.element.od_mm, one.offer.element.length_mm)),
            )
            for one in found[:limit]
        ]
        lines += table(("element", "word", "where", "outside", "long"), rows)
        for one in found[:limit]:
            doubts = [criterion for criterion in one.table.criteria if criterion.grade is not Grade.FITS]
            if doubts:
                lines += ["", f"{one.offer.name[:60]}:", *map(criterion_line, doubts)]
    else:
        lines = [f"None of {answer.candidates} elements {'fits' if housed else 'answers to this'}. See --misses."]
    lines += ["", *untold(answer)]
    if not housed:
        lines.append("Found by measure only. Add --housing to see what would fit the place it goes.")
    return [*lines, *cautions("relieve"), ADVICE]


def where(one: Ranked) -> str:
    """Where an element is to be had: its bins, or that it is short, or the supplier with number and price."""
    offer = one.offer
    if offer.supplier:
        from tui.answers.money import price_of

        money = price_of(offer.price_minor, offer.price_per, offer.currency)
        return ", ".join(part for part in (f"{offer.supplier} {offer.number}", money) if part)
    if not offer.lying:
        return "SHORT: none on the shelf"
    places = ", ".join(f"{place.bin_code}: {place.free} free of {place.on_hand}" for place in offer.lying)
    return places if offer.free else f"SHORT: {places}"


def untold(answer: Answer) -> list[str]:
    """What was not searched, and why."""
    lines = []
    if answer.unmeasured:
        named: Sequence[str] = answer.unmeasured[:MOST_NAMED]
        more = len(answer.unmeasured) - len(named)
        end = f" and {more} more" if more else ""
        lines.append(f"Never measured, so not searched: {', '.join(named)}{end}.")
    if answer.unread:
        rows = "1 row" if answer.unread == 1 else f"{answer.unread} rows"
        lines.append(f"Not searched, for no measure can be read there: {rows} of the lists.")
    if answer.cut:
        lines.append("The lists hold more filters than were looked at; say more of what is sought.")
    return lines


def _size(value_mm: float | None, unit: str) -> str:
    return "" if value_mm is None else both_units(value_mm, first=unit)
