"""From a file's path to a loaded list: which supplier, which columns, dry run, progress, done."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import models
from models import supplier_lists
from models.errors import WorkshopError
from tui import screens
from tui.fields.field import Asked
from tui.operations.list import ADD
from tui.screens.area import in_thread
from tui.screens.asking import one_text
from tui.screens.find.steps import step
from tui.screens.form import Form
from tui.screens.terms import ask_terms
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.supplier_lists.layout import Layout
    from models.supplier_lists.proposal import Proposal
    from models.supplier_lists.source import Source
    from models.supplier_lists.suppliers import SupplierRow
    from tui.screens.area import Area


async def load_list(area: Area) -> bool:
    """Ask, show, load; whether a list was loaded. Runs in a worker of the area's; Esc at any step changes nothing."""
    opened = await _file(area)
    if opened is None:
        return False
    source, proposal = opened
    supplier = await _supplier(area)
    if supplier is None:
        return False
    kept = await area.ask(_remembered, area, supplier, proposal, quiet=True)
    layout = await area.app.push_screen_wait(
        screens.find.columns.ConfirmColumns(
            source.file.name, proposal, kept or proposal.layout, remembered=kept is not None
        )
    )
    if layout is None:
        return False
    running = screens.find.running.Import(area.kitwright.workshop, source, layout, supplier)
    return await area.app.push_screen_wait(
        screens.find.import_screen.ImportScreen(running, plain=area.kitwright.plain_glyphs)
    )


async def load_over(area: Area) -> None:
    """`load_list` over another area than Find, which then shows what that changed."""
    if await load_list(area):
        area.workshop_changed()


async def _file(area: Area) -> tuple[Source, Proposal] | None:
    """The file, opened; a path that can't be is asked again as it was typed, over what is wrong with it."""
    path, hint = "", "CSV, TSV or XLSX: type its path."
    while True:
        typed = await area.app.push_screen_wait(one_text(step(1, "Which file is the list?"), hint, path))
        if typed is None:
            return None
        try:
            return await in_thread(_open, typed)
        except WorkshopError as refused:
            path, hint = typed, f"! {clean(str(refused))}"
            if not area.is_current:
                # Another screen was opened meanwhile, and a question put over it would take its keys.
                area.say(clean(str(refused)), trouble=True)
                return None


def _open(path: str) -> tuple[Source, Proposal]:
    try:
        source = supplier_lists.source.open_source(Path(path).expanduser())
    except (ValueError, RuntimeError) as fault:
        raise models.errors.InvalidInputError(
            "That is not a file name.", "Type a path, as ~/lists/spring.csv."
        ) from fault
    return source, supplier_lists.proposal.propose(source)


def _remembered(area: Area, supplier: SupplierRow, proposal: Proposal) -> Layout | None:
    return area.kitwright.workshop.read(
        lambda session: supplier_lists.suppliers.remembered_layout(
            session, supplier.supplier_id, proposal.headers, proposal.header_line
        )
    )


async def _supplier(area: Area) -> SupplierRow | None:
    """The supplier named, once its terms are told, as far as they are known; a new one is added first."""
    workshop = area.kitwright.workshop
    known: tuple[SupplierRow, ...] | None = await area.ask(workshop.read, supplier_lists.suppliers.page)
    if known is None:
        return None
    names = ", ".join(clean(row.name, 30) for row in known[:6]) + (" …" if len(known) > 6 else "")
    hint = f"Known: {names}. Another name adds a supplier." if known else "No supplier is known yet: type the name."
    name = await area.app.push_screen_wait(
        one_text(step(2, "From which supplier?"), hint, known[0].name if len(known) == 1 else "")
    )
    if name is None:
        return None
    folded = " ".join(name.split()).casefold()
    for row in known:
        if " ".join(row.name.split()).casefold() == folded:
            if row.freight_minor is not None or row.listed:
                return row
            # Its first list: the plan needs to know what it asks beside its prices.
            if not await ask_terms(area, row):
                return None
            return await area.ask(workshop.read, partial(supplier_lists.suppliers.named, name=row.name))
    title = step(2, f"Add a supplier: “{name}” is not known yet")
    asked = Asked(area.kitwright.units, {}, workshop.read)
    form = Form(ADD, asked, partial(ADD.perform, workshop), title=title, start={"name": name})
    done = await area.app.push_screen_wait(form)
    if done is None:
        return None
    return await area.ask(workshop.read, partial(supplier_lists.suppliers.named, name=done.values["name"]))
