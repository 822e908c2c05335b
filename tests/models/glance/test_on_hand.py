"""All that lies on the shelf, in one statement: the same that the Shelf shows row by row."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from models import shelf
from models.database import Workshop
from models.demo import orchard
from models.glance import on_hand as glance
from models.glance.asking import Look, ask
from models.inventory import bins, items
from models.inventory.item_figures import ItemFigures
from models.storage import address
from models.words import Kind
from tests.models.shop import act, ring


def test_it_is_what_the_shelf_shows(workshop: Workshop, where: str) -> None:
    with workshop.write() as session:
        orchard.fill(session)
    found = glance.on_hand(address.named(where))
    assert found is not None
    with workshop.read() as session:
        rows = [row for row in shelf.stock_rows(session, limit=10_000).rows if row.on_hand > 0]
        classes = {row.item_id: row.spec_class for row in items.page(session, limit=10_000).rows}
    assert [(one.item_id, one.kind, one.name, one.bin_code, one.free, one.expires_on) for one in found] == [
        (row.item_id, row.kind, row.item_name, row.bin_code, row.free, row.expires_on) for row in rows
    ]
    for one in found:
        assert not classes[one.item_id] or one.claims[0] == classes[one.item_id]
    # The demo's drum says two things of itself.
    drum = next(one for one in found if one.name == "UTTO, drum")
    assert drum.claims == ("UTTO", "10W-30", "API GL-4")


def test_it_is_one_statement_however_much_lies_there(workshop: Workshop, where: str) -> None:
    with workshop.write() as session:
        for at in range(30):
            ring(session, 3, bin_code=f"B{at}", lot=f"L{at}", expires_on=date(2030, 1, 1))
        place = bins.add(session, act(), code="D1").bin_id
        oil = items.add(
            session,
            act(),
            kind=Kind.FLUID,
            name="Oil",
            spec_class="UTTO",
            figures=ItemFigures(("API GL-4", "API GL-3")),
        )
        shelf.receive(session, act(), item_id=oil.item_id, bin_id=place, quantity=5_000_000)
    sent: list[str] = []

    class Noted:
        """Asks, and keeps what was asked."""

        def __init__(self, look: Look) -> None:
            self._look = look

        def __call__(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
            return list(self.each(sql, *values))

        def each(self, sql: str, *values: object) -> Iterator[tuple[Any, ...]]:
            sent.append(sql)
            return self._look.each(sql, *values)

    def counted(look: Look) -> tuple[glance.OnHand, ...]:
        return tuple(glance._on_hand(Noted(look)))

    found = ask(address.named(where), counted)
    assert found is not None
    assert len(found) == 31
    assert len(sent) == 1
    # A shop of ten thousands of rows is kept by the Catalog: a word that comes again is the same object.
    rings = [one for one in found if one.kind is Kind.RING]
    assert len(rings) == 30
    assert len({id(one.name) for one in rings}) == len({one.name for one in rings})
    assert len({id(one.claims) for one in rings}) == 1


def test_where_there_is_no_workshop_nothing_is_claimed(tmp_path: Any) -> None:
    assert glance.on_hand(tmp_path / "none.sqlite3") is None
