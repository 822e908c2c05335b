"""A box of many sizes from text: read row by row, booked as one, taken back as one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.sizes import all_sizes
from models import shelf
from models.database import Workshop
from models.errors import InvalidInputError
from models.inventory import box_load, box_rows
from models.storage.check import check
from models.undoing.undo import undo
from tests.models.shop import act, ring
from tests.statements import counted

AS568 = [one for one in all_sizes() if one.key.startswith("as568:")]
FEW, MANY, MOST = 5, 50, 30


def rows_of(number: int, *, start: int = 0) -> tuple[box_rows.BoxRow, ...]:
    return box_rows.read("\n".join(f"{one.label} NBR 70; 12" for one in AS568[start : start + number]))


@given(
    st.lists(st.tuples(st.sampled_from(AS568), st.integers(1, 999)), min_size=1, unique_by=lambda one: one[0].key),
    st.sampled_from(["; ", "\t", " | ", ", ", ";"]),
    st.booleans(),
)
def test_every_row_is_read_as_it_was_written(drawn: list[tuple[object, int]], mark: str, headed: bool) -> None:
    lines = [f"{one.label} NBR 70{mark}{count}" for one, count in drawn]  # type: ignore[attr-defined]
    read = box_rows.read("\n".join([*(["item;count"] if headed else []), *lines]))
    assert [(one.item.size_key, one.quantity) for one in read] == [(one.key, count) for one, count in drawn]  # type: ignore[attr-defined]
    assert [one.line for one in read] == list(range(1 + headed, len(drawn) + 1 + headed))


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("25 x 3,5", "no name and count"),  # a decimal comma, and no count
        ("AS568-214 NBR 70", "no name and count"),
        ("AS568-214; 12", "which rubber is not said"),
        ("AS568-214 NBR 70; 0", "0 pieces can't be booked"),
        ("AS568-214 NBR 70; 4; 12", "more than two cells"),
        ("AS568-214 NBR, 1, 200", "more than two cells"),  # 1,200 of them, most likely
        ("UTTO oil, pail 20 L; 2", "counted by volume"),
        ("thing; 3", "what it is is not said"),
    ],
)
def test_a_row_that_may_be_wrong_is_refused_by_its_line(row: str, said: str) -> None:
    with pytest.raises(InvalidInputError, match=r"^Line 2, ") as refused:
        box_rows.read(f"AS568-116 NBR 70; 1\n{row}")
    assert said in str(refused.value)


def test_a_box_goes_in_and_comes_back_as_one(workshop: Workshop) -> None:
    with workshop.write() as session:
        known = ring(session, 5, size_key="as568:116")  # of another name than a list would give it
        rows = box_rows.read("AS568-116 NBR; 10\nAS568-214; 12\nP22A; 8", "NBR 70")
        done = box_load.load(session, act(key="box"), "Box 7", rows)
    assert [(one.item_id, one.item_name) for one in done] == [
        (known.item_id, "O-ring as568:116 NBR 70"),
        (None, "O-ring AS568-214 NBR 70"),
        (None, "O-ring JIS P22A NBR 70"),
    ]
    with workshop.read() as session:
        lying = {row.item_name: row.on_hand for row in shelf.stock_rows(session, "Box 7").rows}
    assert lying == {"O-ring as568:116 NBR 70": 10, "O-ring AS568-214 NBR 70": 12, "O-ring JIS P22A NBR 70": 8}
    with workshop.write() as session:
        undo(session, act(), "box")
        assert [row.item_name for row in shelf.stock_rows(session).rows] == ["O-ring as568:116 NBR 70"]
        assert check(session).findings == ()


def test_what_may_be_two_items_or_stands_twice_is_refused_and_nothing_is_booked(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 5, size_key="as568:116", hardness=70)
        ring(session, 5, size_key="as568:116", hardness=90)
        for text, said in (
            ("AS568-116 NBR; 10", "Line 1 may be O-ring as568:116 NBR 70, O-ring as568:116 NBR 90"),
            ("P22A NBR 70; 1\nO-ring P22A NBR 70; 2", "Lines 1 and 2 are both"),
        ):
            with pytest.raises(InvalidInputError, match=said):
                box_load.load(session, act(), "Box 7", box_rows.read(text))
        assert len(shelf.stock_rows(session).rows) == 2


def test_fifty_sizes_send_as_much_as_five(workshop: Workshop) -> None:
    sent = []
    for number, start in ((FEW, 0), (MANY, 60)):
        with workshop.write() as session, counted(session) as statements:
            box_load.load(session, act(), f"Box {number}", rows_of(number, start=start))
        sent.append(len(statements))
    assert sent[0] == sent[1] <= MOST
