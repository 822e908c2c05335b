"""What a person says of a reading, which rows are offered for a ring, what is remembered of suppliers."""

from __future__ import annotations

from pathlib import Path

import pytest

from models.database import Workshop
from models.errors import AlreadyThereError, InvalidInputError, NotFoundError
from models.search.found import How
from models.search.searching import search
from models.supplier_lists import suppliers
from models.supplier_lists.listing import ring_offers, row, say_of_reading
from models.supplier_lists.words import ReadingState
from tests.models.shop import act
from tests.models.supplier_lists.lists import listed, supplier, take_over, written

LINES = [
    'A-1,"ORING 24,99X3,53 N70",0.45,100',
    "A-2,O-ring -214 FKM 75,0.95,10",
    "A-3,Seal 25x3,0.10,100",
    "A-4,Grease,5.00,1",
]


@pytest.fixture
def who(workshop: Workshop, tmp_path: Path) -> int:
    found = supplier(workshop)
    take_over(workshop, found, written(tmp_path / "a.csv", LINES))
    return found


def ids(workshop: Workshop, who: int) -> dict[str, int]:
    with workshop.read() as session:
        return {one.number: one.row_id for one in listed(session, who)}


def offered(workshop: Workshop, key: str, least_ppm: int = 0) -> list[str]:
    with workshop.read() as session:
        return [one.number for one in ring_offers(session, [key], least_ppm=least_ppm)]


# SAE AS568: 214 is 24.99 × 3.53 mm.
def test_rows_read_as_a_size_are_offered_the_surest_first(workshop: Workshop, who: int) -> None:
    assert offered(workshop, "as568:214") == ["A-2", "A-1"]
    assert offered(workshop, "as568:214", least_ppm=850_000) == ["A-2"]
    assert offered(workshop, "stock:25x3") == ["A-3"]
    assert offered(workshop, "stock:25x3", least_ppm=500_000) == []
    assert offered(workshop, "as568:112") == []


def test_what_a_person_says_of_a_reading_outlives_a_new_price(workshop: Workshop, who: int, tmp_path: Path) -> None:
    rows = ids(workshop, who)
    with workshop.write() as session:
        say_of_reading(session, act(), rows["A-1"], right=True)
        say_of_reading(session, act(), rows["A-3"], right=False)
    assert offered(workshop, "as568:214") == ["A-1", "A-2"]
    assert offered(workshop, "stock:25x3") == []
    with workshop.read() as session:
        assert [hit.number for hit in search(session, "25x3").rows if hit.how is How.SIZE] == []
    take_over(workshop, who, written(tmp_path / "b.csv", [line.replace("0.45", "0.55") for line in LINES]))
    with workshop.read() as session:
        assert row(session, rows["A-1"]).reading_state is ReadingState.CONFIRMED
    renamed = [line.replace("N70", "N90") for line in LINES]
    take_over(workshop, who, written(tmp_path / "c.csv", renamed))
    with workshop.read() as session:
        again = row(session, rows["A-1"])
        assert (again.reading_state, again.hardness_shore_a) == (ReadingState.READ, 90)


def test_only_a_reading_can_be_confirmed(workshop: Workshop, who: int) -> None:
    with pytest.raises(InvalidInputError, match="Nothing was read"), workshop.write() as session:
        say_of_reading(session, act(), ids(workshop, who)["A-4"], right=True)
    with pytest.raises(NotFoundError), workshop.write() as session:
        say_of_reading(session, act(), 99_999, right=True)


def test_suppliers_are_found_by_name_whatever_its_case(workshop: Workshop, who: int) -> None:
    with workshop.read() as session:
        assert suppliers.named(session, "  NORTHFIELD seals").supplier_id == who
        assert suppliers.page(session)[0].listed == len(LINES)
        with pytest.raises(NotFoundError, match="no supplier"):
            suppliers.named(session, "Nobody")


@pytest.mark.parametrize(
    ("name", "currency"), [("", "EUR"), ("x" * 300, "EUR"), ("X", "EURO"), ("X", "E€R"), ("X\x07", "EUR")]
)
def test_a_supplier_that_can_not_be_is_refused(workshop: Workshop, name: str, currency: str) -> None:
    with pytest.raises(InvalidInputError), workshop.write() as session:
        suppliers.add(session, act(), name=name, currency=currency)


def test_a_supplier_is_added_once(workshop: Workshop, who: int) -> None:
    with pytest.raises(AlreadyThereError), workshop.write() as session:
        suppliers.add(session, act(), name="northfield SEALS", currency="USD")
    with workshop.write() as session:
        first = suppliers.add(session, act(key="once"), name="Second", currency="USD")
        assert suppliers.add(session, act(key="once"), name="Second", currency="USD") == first
