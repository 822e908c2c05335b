"""From a file's path to a loaded list: which supplier, which columns, dry run, progress, done."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from tui.fields.field import Asked
from tui.operations.list import ADD
from tui.screens.asking import one_text
from tui.screens.form import Form
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.supplier_lists.layout import Layout
    from models.supplier_lists.proposal import Proposal
    from models.supplier_lists.source import Source
    from models.supplier_lists.suppliers import SupplierRow
    from tui.screens.area import Area


async def load_list(area: Area) -> bool:
    """Ask, show, load; whether a list was loaded. Runs in a worker of the area's; Esc at any step changes nothing."""
    from tui.screens.find.columns import ConfirmColumns
    from tui.screens.find.import_screen import ImportScreen
    from tui.screens.find.running import Import

    path = await area.app.push_screen_wait(one_text("Which file is the list?", "CSV, TSV or XLSX: type its path."))
    if path is None:
        return False
    opened = await area.ask(_open, path)
    if opened is None:
        return False
    source, proposal = opened
    supplier = await _supplier(area)
    if supplier is None:
        return False
    kept = await area.ask(_remembered, area, supplier, proposal, quiet=True)
    layout = await area.app.push_screen_wait(
        ConfirmColumns(source.file.name, proposal, kept or proposal.layout, remembered=kept is not None)
    )
    if layout is None:
        return False
    running = Import(area.kitwright.workshop, source, layout, supplier)
    return await area.app.push_screen_wait(ImportScreen(running, plain=area.kitwright.plain_glyphs))


def _open(path: str) -> tuple[Source, Proposal]:
    from models.errors import InvalidInputError
    from models.supplier_lists.proposal import propose
    from models.supplier_lists.source import open_source

    try:
        source = open_source(Path(path).expanduser())
    except (ValueError, RuntimeError) as fault:
        raise InvalidInputError("That names no file.", "Type a path, as ~/lists/spring.csv.") from fault
    return source, propose(source)


def _remembered(area: Area, supplier: SupplierRow, proposal: Proposal) -> Layout | None:
    from models.supplier_lists.suppliers import remembered_layout

    return area.kitwright.workshop.read(
        lambda session: remembered_layout(session, supplier.supplier_id, proposal.headers, proposal.header_line)
    )


async def _supplier(area: Area) -> SupplierRow | None:
    """The supplier named; a new one once its currency, and what else is known of it, is told."""
    from models.supplier_lists import suppliers

    workshop = area.kitwright.workshop
    known: tuple[SupplierRow, ...] | None = await area.ask(workshop.read, suppliers.page)
    if known is None:
        return None
    names = ", ".join(clean(row.name, 30) for row in known[:6]) + (" …" if len(known) > 6 else "")
    hint = f"Known: {names}. Another name adds a supplier." if known else "No supplier is known yet: type the name."
    name = await area.app.push_screen_wait(
        one_text("From which supplier?", hint, known[0].name if len(known) == 1 else "")
    )
    if name is None:
        return None
    folded = " ".join(name.split()).casefold()
    for row in known:
        if " ".join(row.name.split()).casefold() == folded:
            return row
    title = f"Add a supplier: “{name}” is not known yet"
    asked = Asked(area.kitwright.units, {}, workshop.read)
    form = Form(ADD, asked, partial(ADD.perform, workshop), title=title, start={"name": name})
    done = await area.app.push_screen_wait(form)
    if done is None:
        return None
    return await area.ask(workshop.read, partial(suppliers.named, name=done.values["name"]))
