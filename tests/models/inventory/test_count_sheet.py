"""The sheet of a count round: what a spreadsheet may do to it, read back exactly or told by line."""

from __future__ import annotations

import csv
import io
import threading
from typing import Any

import pytest

from models import shelf
from models.database import Workshop, open_workshop
from models.errors import InvalidInputError
from models.inventory import count_round, count_sheet, items
from models.inventory.count_round import stops
from models.undoing.last_change import last_change
from models.words import Kind, Unit
from tests import postgres
from tests.models.shop import act, ring
from tests.statements import counted


@pytest.mark.parametrize(
    ("microlitres", "litres"),
    [
        (0, "0"), (1, "0.000001"), (18_927_060, "18.92706"), (20_000_000, "20"), (10**12, "1000000"),
    ]
)  # fmt: skip
def test_litres_are_written_exactly(microlitres: int, litres: str) -> None:
    assert count_sheet.written(microlitres, Unit.MICROLITRE) == litres


def test_a_name_that_looks_like_a_formula_goes_out_as_text_and_comes_back(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 3, bin_code="=A1")
        rags = items.add(session, act(), kind=Kind.CONSUMABLE, name="@rags; \"fine\", 'blue'")
        shelf.receive(session, act(), item_id=rags.item_id, bin_id=row.bin_id, quantity=7)
        sheet = count_sheet.to_csv(stops(session))
        cells = list(csv.DictReader(io.StringIO(sheet)))
        # OWASP, "CSV Injection": a cell must not start with =, +, - or @.
        assert not [cell for one in cells for cell in one.values() if cell.startswith(("=", "+", "-", "@"))]
        for delimiter in ",;\t":
            out = io.StringIO()
            writer = csv.DictWriter(out, cells[0], delimiter=delimiter)
            writer.writeheader()
            writer.writerows({**one, "counted": "7.0"} for one in cells)
            found = count_sheet.compare(session, count_sheet.from_csv("\ufeff" + out.getvalue()))
            assert (sorted(found.counts.values()), [gap.by for gap in found.gaps]) == ([7, 7], [4])
            assert (found.refused, found.moved, found.blank) == ((), (), 0)


@pytest.mark.parametrize("text", ["", "x", "row,bin\n1,2\n", 'row,bin,item,on_record,counted\n1,"A'])
def test_what_is_no_sheet_is_refused(text: str) -> None:
    with pytest.raises(InvalidInputError):
        count_sheet.from_csv(text)


def test_a_row_twice_or_gone_is_told(workshop: Workshop) -> None:
    with workshop.write() as session:
        row = ring(session, 3, bin_code="A1")
        line = f"{row.stock_id},A1,{row.item_name},3,3\n"
        head = "row,bin,item,on_record,counted\n"
        found = count_sheet.compare(
            session, count_sheet.from_csv(f"{head}{line}{line}999,A1,x,3,3\nx,A1,y,1,1\n,,,,\n")
        )
        assert found.counts == {row.stock_id: 3}
        assert [number for number, _ in found.refused] == [3, 4, 5]
        assert "twice" in found.refused[0][1]


def test_the_last_change_is_named_with_what_it_moved(workshop: Workshop) -> None:
    with workshop.write() as session:
        assert last_change(session, "Bench 1") is None
        row = ring(session, 3, bin_code="A1")
        shelf.scrap(session, act("Bench 2"), stock_id=row.stock_id, quantity=2, reason="nicked")
        found = last_change(session, "Bench 2")
        assert found is not None
        assert (found.what, [(one.bin_code, one.on_hand_change) for one in found.moves]) == ("scrapping", [("A1", -2)])
        mine = last_change(session, "Bench 1")
        assert mine is not None
        assert mine.what == "receiving"


def test_nothing_moves_between_comparing_a_sheet_and_booking_it(
    postgres_workshop: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    postgres.empty(postgres_workshop)
    ours, theirs = open_workshop(postgres_workshop), open_workshop(postgres_workshop)
    with ours.write() as session:
        row = ring(session, 9, bin_code="A1")
    with ours.read() as session:
        sheet = count_sheet.to_csv(stops(session)).removesuffix(",\r\n") + ",9\r\n"
    booked = count_round.enter
    failed: list[BaseException] = []

    def use() -> None:
        try:
            with theirs.write() as session:
                shelf.use(session, act(), stock_id=row.stock_id, quantity=3)
        except BaseException as fault:
            failed.append(fault)

    other = threading.Thread(target=use)

    def meanwhile(*given: Any, **named: Any) -> Any:
        other.start()
        other.join(0.4)
        return booked(*given, **named)

    monkeypatch.setattr(count_round, "enter", meanwhile)
    with ours.write() as session:
        assert count_sheet.book(session, act(), count_sheet.from_csv(sheet), reason="round").counts == {row.stock_id: 9}
    other.join(10)
    assert failed == []
    with ours.read() as session:
        assert shelf.stock_row(session, row.stock_id).on_hand == 6
    # The same sheet again: nothing is booked, and it is told.
    monkeypatch.undo()
    with ours.write() as session:
        again = count_sheet.book(session, act(), count_sheet.from_csv(sheet), reason="round")
        assert ("now 6 on record" in again.moved[0][1], again.counts) == (True, {})
    ours.close()
    theirs.close()


def test_a_sheet_takes_a_few_statements_however_long_it_is(workshop: Workshop) -> None:
    with workshop.write() as session:
        rows = [ring(session, 3, bin_code=f"A{number}") for number in range(12)]
        filled = count_sheet.from_csv(
            "row,bin,item,on_record,counted\n"
            + "".join(f"{row.stock_id},{row.bin_code},{row.item_name},3,2\n" for row in rows)
        )
        with counted(session) as statements:
            found = count_sheet.book(session, act(), filled, reason="round")
        assert len(found.gaps) == 12
        assert len(statements) < 12
