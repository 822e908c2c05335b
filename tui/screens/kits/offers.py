"""What could fill a need: the shelf first, then the suppliers' lists, each with its reason; Enter pins by hand."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from models import purchasing
from tui.screens.ask import Ask
from tui.screens.asking import Line, choose
from tui.screens.kits.lines import amount
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from models.kitting.candidates import Candidate
    from models.kitting.kit_offers import ListOffer, NeedOffers


class Chosen(NamedTuple):
    """What was chosen: a row of the shelf to pin, and how much of it is free; or None to see Buy."""

    stock_id: int | None
    name: str
    free: int


def offers_sheet(found: NeedOffers) -> Ask[Chosen | None]:
    """Enter pins the highlighted row of the shelf; on a supplier's row it opens Buy. Esc goes back."""
    unit = found.counted_in
    lacks = f", {amount(found.missing, unit)} short" if found.missing else ", nothing short"
    return choose(
        f"What could fill {found.title}{lacks}",
        [
            Column("Where", 13),
            Column("Free, pack", 10, right=True),
            Column("What", 24, grow=True),
            Column("Answer", 12),
        ],
        [*(_on_shelf(one, unit) for one in found.shelf), *(_on_list(one, unit) for one in found.lists)],
        empty="Nothing suits: not on the shelf, not on a list.",
        line="Enter pins it, or opens Buy for a supplier's · ↑ ↓ · Esc back",
        name="offers",
        enter=("Pin", "Pin what is highlighted"),
        closes="leave wanted",
        room="more",
        beneath=6,
    )


def _answer(one: Candidate) -> tuple[str, str]:
    if one.refused:
        return "○ no", "bad"
    if not one.free:
        return "· promised", "dim"
    return ("● with care", "good") if one.because else ("● may", "good")


def _on_shelf(one: Candidate, unit: str) -> Line[Chosen]:
    answer, tone = _answer(one)
    row = Row((one.bin_code, amount(one.free, unit), one.item_name, answer), tone)
    return Line(row, _shelf_words(one, unit), Chosen(one.stock_id, one.item_name, one.free))


def _on_list(one: ListOffer, unit: str) -> Line[Chosen]:
    days = "buy" if one.lead_days is None else f"buy, {one.lead_days} d"
    row = Row((one.supplier, amount(one.pack, unit), one.name or one.number, days), "dim")
    return Line(row, _list_words(one, unit), Chosen(None, "", 0))


def _shelf_words(one: Candidate, unit: str) -> list[str]:
    first = f"{one.item_name} in bin {one.bin_code}: {amount(one.free, unit)} free of {amount(one.on_hand, unit)}"
    if one.refused:
        return [first, f"Not used automatically: {one.refused}", "Pinned by hand it is used anyway, and marked so."]
    return [first, one.because[:1].upper() + one.because[1:] if one.because else "As asked for."]


def _list_words(one: ListOffer, unit: str) -> list[str]:
    per = f" for {one.price_per}" if one.price_per != 1 else ""
    days = "its delivery time is not known" if one.lead_days is None else f"takes {one.lead_days} days"
    price = f"{purchasing.money.written(one.price_minor, one.currency)}{per} a pack of {amount(one.pack, unit)}"
    first = f"{one.number} from {one.supplier}: {one.name}" if one.name else f"{one.number} from {one.supplier}"
    return [first, f"{price}, {days}.", one.because[:1].upper() + one.because[1:]]
