"""What the `item` commands do."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NamedTuple

from tui.commands.amounts import EACH, amount, minutes, ring_size
from tui.commands.output import say, say_json, table, talk
from tui.commands.parsing import UsageError, whole
from tui.commands.shelf_words import item_named
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from models.acts import Act
    from models.database import Session
    from models.stores.item_figures import ItemFigures
    from models.stores.items import ItemPage, ItemRow

SCHEMA = "kitwright.item/1"
MOST = 500


class Known(NamedTuple):
    """One item with its figures and bar codes."""

    row: ItemRow
    figures: ItemFigures
    codes: tuple[str, ...]


def listing(arguments: argparse.Namespace) -> ExitCode:
    """List items."""

    def look(session: Session) -> ItemPage:
        from models.stores import items
        from models.words import Kind

        kind = None if arguments.kind is None else Kind(arguments.kind)
        return items.page(session, " ".join(arguments.text), kind=kind, limit=MOST)

    with opened(arguments) as workshop:
        page = workshop.read(look)
    if arguments.json:
        say_json({"schema": SCHEMA, "total": page.total, "items": [item_object(row) for row in page.rows]})
    elif page.rows:
        cells = [(row.name, row.kind.value, _what(row)) for row in page.rows]
        for line in table(("item", "kind", "what"), cells):
            say(line)
        if page.total > len(page.rows):
            talk(f"{len(page.rows)} of {page.total} shown; add a word to narrow it.")
    else:
        say("No item goes by that.")
    return ExitCode.FOUND if page.rows else ExitCode.NOTHING


def show(arguments: argparse.Namespace) -> ExitCode:
    """Show one item."""
    with opened(arguments) as workshop:
        return _tell(arguments, workshop.read(lambda session: _known(session, item_named(session, arguments.item))))


def add(arguments: argparse.Namespace) -> ExitCode:
    """Add an item."""
    by_volume = arguments.by_volume or arguments.kind == "fluid"
    if arguments.kind == "ring" and arguments.size is None:
        raise UsageError("--kind ring: say its size, as --size AS568-214")
    if arguments.kind != "ring" and (arguments.size or arguments.rubber or arguments.hardness):
        raise UsageError(f"--size, --rubber and --hardness say nothing about a {arguments.kind}; leave them out")
    if arguments.cure is not None and arguments.kind != "sealant":
        raise UsageError(f"--cure says nothing about a {arguments.kind}; leave it out")
    size_key = None if arguments.size is None else ring_size(arguments.size)[0]
    hardness = None if arguments.hardness is None else whole("--hardness", arguments.hardness, 10, 99)
    cure = None if arguments.cure is None else minutes("--cure", arguments.cure)
    holds = None
    if arguments.container is not None:
        holds = amount("--container", arguments.container, "ul" if by_volume else EACH)

    def change(session: Session, act: Act) -> Known:
        from models.stores import items
        from models.stores.item_figures import ItemFigures
        from models.words import Kind, Unit

        row = items.add(
            session,
            act,
            kind=Kind(arguments.kind),
            name=arguments.item,
            size_key=size_key,
            rubber=arguments.rubber,
            hardness_shore_a=hardness,
            spec_class=arguments.spec_class,
            spec_grade=arguments.grade,
            cure_minutes=cure,
            counted_in=Unit.MICROLITRE if by_volume else None,
            note=arguments.note,
            figures=ItemFigures(tuple(arguments.claims), None, holds),
        )
        return _known(session, row)

    with opened(arguments) as workshop:
        return _tell(arguments, workshop.change(change), "Added.")


def claims(arguments: argparse.Namespace) -> ExitCode:
    """Say which further classes an item claims."""

    def change(session: Session, act: Act, row: ItemRow) -> None:
        from models.stores import item_figures

        item_figures.set_claims(session, act, row.item_id, arguments.classes)

    return _note(arguments, change)


def container(arguments: argparse.Namespace) -> ExitCode:
    """Say what a full container holds."""

    def change(session: Session, act: Act, row: ItemRow) -> None:
        from models.stores import item_figures

        item_figures.set_container(session, act, row.item_id, amount("N", arguments.holds, row.counted_in))

    return _note(arguments, change)


def element(arguments: argparse.Namespace) -> ExitCode:
    """Note an element as measured."""
    from tui.commands.filter_fields import element_of
    from tui.commands.filter_files import pairs_of

    measured = element_of(pairs_of("--element", arguments.element), arguments.unit)

    def change(session: Session, act: Act, row: ItemRow) -> None:
        from models.stores import item_figures

        item_figures.set_element(session, act, row.item_id, measured)

    return _note(arguments, change)


def code(arguments: argparse.Namespace) -> ExitCode:
    """Say which bar code is on an item's pack."""

    def change(session: Session, act: Act, row: ItemRow) -> None:
        from models.stores import bar_codes

        bar_codes.tie(session, act, arguments.gtin, row.item_id)

    return _note(arguments, change)


def _note(arguments: argparse.Namespace, change: Callable[[Session, Act, ItemRow], None]) -> ExitCode:
    def alter(session: Session, act: Act) -> Known:
        row = item_named(session, arguments.item)
        change(session, act, row)
        return _known(session, row)

    with opened(arguments) as workshop:
        return _tell(arguments, workshop.change(alter), "Noted.")


def _known(session: Session, row: ItemRow) -> Known:
    from models.stores import bar_codes, item_figures

    figures = item_figures.of(session, [row.item_id]).get(row.item_id, item_figures.ItemFigures())
    return Known(row, figures, bar_codes.codes_of(session, row.item_id))


def _what(row: ItemRow) -> str:
    from catalog.orings.sizes import label_of

    hard = f"{row.hardness_shore_a} Shore A" if row.hardness_shore_a else ""
    return " ".join(filter(None, (label_of(row.size_key), row.rubber, hard, row.spec_class, row.spec_grade)))


def item_object(row: ItemRow) -> dict[str, Any]:
    """An item as JSON."""
    return {
        "item": row.name,
        "kind": row.kind.value,
        "counted_in": row.counted_in.value,
        "size": row.size_key,
        "rubber": row.rubber or None,
        "hardness": row.hardness_shore_a,
        "class": row.spec_class or None,
        "grade": row.spec_grade or None,
        "cure_minutes": row.cure_minutes,
        "note": row.note or None,
    }


def _tell(arguments: argparse.Namespace, known: Known, done: str = "") -> ExitCode:
    from models.volume import in_words

    row, figures = known.row, known.figures
    if arguments.json:
        more = {
            "claims": list(figures.claims),
            "container": figures.container,
            "element_measured": figures.element is not None,
            "bar_codes": list(known.codes),
        }
        say_json({"schema": SCHEMA, **item_object(row), **more})
        return ExitCode.FOUND
    if done:
        say(done)
    say(f"{row.name}, {row.kind}" + (f": {_what(row)}" if _what(row) else ""))
    unit = "by volume" if row.counted_in == "ul" else "in pieces"
    cure = f"; cures in {row.cure_minutes / 60:g} h" if row.cure_minutes is not None else ""
    say(f"  counted {unit}{cure}")
    if figures.claims:
        say(f"  claims {', '.join(figures.claims)}")
    if figures.container:
        say(f"  a full container holds {in_words(figures.container, row.counted_in)}")
    if figures.element is not None:
        say("  its element was measured")
    if known.codes:
        say(f"  bar code {', '.join(known.codes)}")
    if row.note:
        say(f"  {row.note}")
    return ExitCode.FOUND
