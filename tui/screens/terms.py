"""A supplier's terms: freight, smallest order, days, currency, language. Asked with the first list, changed on Buy."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from models import supplier_lists
from tui.answers.supplier_lists import supplier_of
from tui.fields.field import Asked
from tui.operations.list import TERMS
from tui.screens.asking import one_text
from tui.screens.form import Form
from tui.widgets.cells import clean

if TYPE_CHECKING:
    from models.supplier_lists.suppliers import SupplierRow
    from tui.screens.area import Area


async def ask_terms(area: Area, supplier: SupplierRow) -> bool:
    """Ask for a supplier's terms, what is known of them typed in; False where Esc left them as they were."""
    workshop = area.kitwright.workshop
    known = supplier_of(supplier)
    least = known.minimum_order if supplier.minimum_order_minor else ""
    start = {
        "currency": known.currency,
        "freight": known.freight or "",
        "free_from": known.free_from or "",
        "minimum_order": least,
        "lead_days": "" if known.lead_days is None else str(known.lead_days),
        "language": known.language or "",
    }
    form = Form(
        TERMS,
        Asked(area.kitwright.units, {"supplier": supplier}, workshop.read),
        partial(TERMS.perform, workshop),
        title=f"Terms of {clean(supplier.name, 50)}",
        start=start,
    )
    return await area.app.push_screen_wait(form) is not None


async def change_terms(area: Area, usual: str) -> str:
    """Ask whose terms, then for them; gives what they are now in words, "" where nothing was changed."""
    workshop = area.kitwright.workshop
    known: tuple[SupplierRow, ...] | None = await area.ask(workshop.read, supplier_lists.suppliers.page)
    if not known:
        return "" if known is None else "There is no supplier yet. Find loads a list with its own L."
    names = ", ".join(clean(row.name, 30) for row in known[:6]) + (" …" if len(known) > 6 else "")
    name = await area.app.push_screen_wait(one_text("Terms of which supplier?", f"Known: {names}.", usual))
    if name is None:
        return ""
    row = await area.ask(workshop.read, partial(supplier_lists.suppliers.named, name=name))
    if row is None or not await ask_terms(area, row):
        return ""
    now = await area.ask(workshop.read, partial(supplier_lists.suppliers.get, supplier_id=row.supplier_id))
    return "" if now is None else f"{clean(now.name)}: {supplier_of(now).terms}. F9 takes it back."
