"""A supplier's terms: not known until somebody says them, and no plan calls itself the cheapest till then."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.database import Workshop
from models.errors import InvalidInputError
from models.orders import booking, listing
from models.orders.texts import as_supplier_order
from models.purchasing.order_text import order_mail
from models.storage.check import check
from models.supplier_lists import suppliers
from models.undoing.undo import undo
from tests.models.orders.buying import FIRST, planned, rings, short_job, supplier
from tests.models.shop import NOON, act
from tui.answers.buying import order_of, plan_of

FIRST_NAME, SECOND_NAME = "First supplier (invented)", "Second supplier (invented)"


def test_until_the_freight_is_said_nothing_is_called_free_or_proven(workshop: Workshop, tmp_path: Path) -> None:
    one = supplier(workshop, tmp_path, FIRST, freight=None)
    with workshop.write() as session:
        short_job(session, rings(10))
    found = planned(workshop)
    told = plan_of(found)
    assert (found.orders[0].freight_minor, told.orders[0].freight, told.proven) == (None, None, False)
    words = "\n".join(told.words())
    assert "freight not known" in words
    assert "5.00 EUR without the freight of First supplier (invented), which is not known" in words
    assert "proven" not in words
    assert "free" not in words
    with workshop.write() as session:
        (order,) = booking.accept(session, act(), found, looked_at=True)
        assert (order.freight_minor, order.total_minor, order_of(order).freight) == (None, 500, None)
        mail = order_mail(
            as_supplier_order(listing.get(session, order.order_id)),
            shop="Shop",
            ordered=NOON.date(),
            freight_known=False,
        )
        assert "Freight not known" in mail
        assert check(session).ok
        suppliers.set_terms(session, act(), one, freight_minor=0)
        short_job(session, rings(4))
    told = plan_of(planned(workshop))
    assert (told.orders[0].freight_words, told.proven) == ("free", True)


def test_another_suppliers_unknown_freight_compares_with_nothing(workshop: Workshop, tmp_path: Path) -> None:
    supplier(workshop, tmp_path, FIRST, freight=100)
    supplier(workshop, tmp_path, ["B,O-RING AS568-214 HNBR 70,9.00,1"], SECOND_NAME, freight=None)
    with workshop.write() as session:
        short_job(session, rings(2))
    told = plan_of(planned(workshop))
    # What the other asks can only make it dearer, so the plan's own cost is proven.
    assert (told.proven, told.orders[0].supplier) == (True, FIRST_NAME)
    assert told.costs[1:] == (f"Freight not known: {SECOND_NAME}.",)


def test_terms_are_said_changed_and_undone(workshop: Workshop) -> None:
    first, second = act(), act()
    with workshop.write() as session:
        one = suppliers.add(session, act(), name=FIRST_NAME, currency="EUR").supplier_id
        assert suppliers.get(session, one).freight_minor is None
        said = suppliers.set_terms(session, first, one, freight_minor=990, lead_days=2, language="fr")
        assert (said.freight_minor, said.lead_days, said.currency) == (990, 2, "EUR")
        assert said.language == "fr"
        said = suppliers.set_terms(session, second, one, free_from_minor=15_000, currency="usd")
        assert said.language == "fr"
        assert (said.freight_minor, said.free_from_minor, said.currency) == (990, 15_000, "USD")
        undo(session, act(), second.key)
        undo(session, act(), first.key)
        said = suppliers.get(session, one)
        assert said.language == ""
        assert (said.freight_minor, said.free_from_minor, said.lead_days, said.currency) == (None, None, None, "EUR")
    for wrong in ({"freight_minor": -1}, {"lead_days": -1}, {"currency": "EU"}):
        with pytest.raises(InvalidInputError), workshop.write() as session:
            suppliers.set_terms(session, act(), one, **wrong)
