"""A box of many sizes from text: read row by row, booked as one, taken back as one."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.sizes import all_sizes
from models import shelf
from models.database import Workshop
from models.errors import InvalidInputError
from models.inventory import bins, box_load, box_rows, items
from models.storage.check import check
from models.undoing.undo import undo
from tests.models.shop import act, ring
from tests.statements import counted

AS568 = [one for one in all_sizes() if one.key.startswith("as568:")]
FEW, MANY, MOST = 5, 50, 30


def rows_of(number: int, *, start: int = 0) -> box_rows.BoxRead:
    return box_rows.read("\n".join(f"{one.label} NBR 70; 12" for one in AS568[start : start + number]))


@given(
    st.lists(st.tuples(st.sampled_from(AS568), st.integers(1, 999)), min_size=1, unique_by=lambda one: one[0].key),
    st.sampled_from(["; ", "\t", " | ", ", ", ";"]),
    st.booleans(),
)
def test_every_row_is_read_as_it_was_written(drawn: list[tuple[object, int]], mark: str, headed: bool) -> None:
    lines = [f"{one.label} NBR 70{mark}{count}" for one, count in drawn]  # type: ignore[attr-defined]
    read = box_rows.read("\n".join([*(["item;count"] if headed else []), *lines]))
    assert [(one.item.size_key, one.quantity) for one in read.rows] == [(one.key, count) for one, count in drawn]  # type: ignore[attr-defined]
    assert [one.line for one in read.rows] == list(range(1 + headed, len(drawn) + 1 + headed))


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("25 x 3,5", "no name and count"),  # a decimal comma, and no count
        ("AS568-214 NBR 70", "no name and count"),
        ("AS568-214; 12", "the rubber is missing"),
        ("AS568-214 NBR 70; 2000000", "2000000 pieces can't be booked"),
        ("AS568-214 NBR 70; 4; 12", "more than two cells"),
        ("AS568-214 NBR, 1, 200", "more than two cells"),  # 1,200 of them, most likely
        ("UTTO oil, pail 20 L; 2", "counted by volume"),
        ("thing; 3", "its kind is missing"),
        # The dash numbers end at 475 (AS568); no other size is named: it might be taken for the right one.
        ("AS568-999 NBR; 3", "AS568-999 is no size of SAE AS568. Look at the bag again; the Catalog lists the sizes."),
        ("O-ring jis P999 NBR 70; 3", "jis P999 is no size of JIS B 2401."),
    ],
)
def test_a_row_that_may_be_wrong_is_bad_by_its_line_and_the_others_are_read(row: str, said: str) -> None:
    read = box_rows.read(f"AS568-116 NBR 70; 1\n{row}\nP22 NBR 70; 4")
    assert [(one.line, one.quantity) for one in read.rows] == [(1, 1), (3, 4)]
    (bad,) = read.bad
    assert (bad.line, bad.text) == (2, row)
    assert said in bad.why


def test_a_box_goes_in_and_comes_back_as_one(workshop: Workshop) -> None:
    with workshop.write() as session:
        known = ring(session, 5, size_key="as568:116")  # of another name than a list would give it
        rows = box_rows.read("AS568-116 NBR; 10\nAS568-214; 12\nP22A; 8", "NBR 70")
        done = box_load.load(session, act(key="box"), "Box 7", rows)
    assert [(one.item_id, one.item_name) for one in done.found] == [
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


def test_what_may_be_two_items_or_stands_twice_is_left_out_and_told(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 5, size_key="as568:116", hardness=70)
        ring(session, 5, size_key="as568:116", hardness=90)
        for text, line, said in (
            ("AS568-116 NBR; 10", 1, "it may be O-ring as568:116 NBR 70, O-ring as568:116 NBR 90"),
            ("P22A NBR 70; 1\nO-ring P22A NBR 70; 2", 2, "line 1 is O-ring JIS P22A NBR 70 too"),
        ):
            (bad,) = box_load.look(session, box_rows.read(text)).bad
            assert bad.line == line
            assert said in bad.why
        with pytest.raises(InvalidInputError, match="nothing to book"):
            box_load.load(session, act(), "Box 7", box_rows.read("AS568-116 NBR; 10"), good_alone=True)
        assert len(shelf.stock_rows(session).rows) == 2


def test_case_and_accents_make_no_second_item(workshop: Workshop) -> None:
    with workshop.write() as session:
        for row in ("Bolt zinké M8x30 8.8; 4", "bolt ZINKÉ m8X30 8.8; 2", "BOLT zinke M8x30 8.8; 1"):
            box_load.load(session, act(), "Box 7", box_rows.read(row))
        assert [(row.item_name, row.on_hand) for row in shelf.stock_rows(session).rows] == [("Bolt zinké M8x30 8.8", 7)]
        (bad,) = box_load.look(session, box_rows.read("Bolt M10x30 8.8; 1\nbolt M10x30 8.8; 2")).bad
        assert "line 1 is bolt M10x30 8.8 too" in bad.why


def test_a_row_without_hardness_is_never_one_of_an_unusual_hardness(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 5, size_key="as568:116", hardness=90)
        (bad,) = box_load.look(session, box_rows.read("AS568-116 NBR; 10")).bad
        assert "names no hardness, and O-ring as568:116 NBR 90 has 90 Shore A; write the hardness" in bad.why
        for row, item in (
            ("AS568-116 NBR 90; 10", "O-ring as568:116 NBR 90"),
            ("AS568-116 NBR 70; 10", "O-ring AS568-116 NBR 70"),
        ):
            (one,) = box_load.look(session, box_rows.read(row)).found
            assert one.item_name == item


def test_a_count_of_nothing_means_empty_and_books_nothing(workshop: Workshop) -> None:
    with workshop.write() as session:
        looked = box_load.load(session, act(), "Box 7", box_rows.read("P22 NBR 70; 0\nP22A NBR 70; 4"))
        assert [(one.item_name, one.row.quantity) for one in looked.found] == [
            ("O-ring JIS P22 NBR 70", 0), ("O-ring JIS P22A NBR 70", 4),
        ]  # fmt: skip
        assert [row.item_name for row in shelf.stock_rows(session).rows] == ["O-ring JIS P22A NBR 70"]


def test_fifty_sizes_send_as_much_as_five(workshop: Workshop) -> None:
    sent = []
    for number, start in ((FEW, 0), (MANY, 60)):
        with workshop.write() as session, counted(session) as statements:
            box_load.load(session, act(), f"Box {number}", rows_of(number, start=start))
        sent.append(len(statements))
    assert sent[0] == sent[1] <= MOST


def test_a_row_that_turned_bad_since_it_was_looked_at_is_refused_unless_the_good_alone_are_asked_for(
    workshop: Workshop,
) -> None:
    rows = box_rows.read("AS568-116 NBR 70; 10\nP22A NBR 70; 4")
    with workshop.write() as session:
        assert not box_load.look(session, rows).bad
        new = rows.rows[0].item  # meanwhile, by another bench
        items.add_many(session, act(), [new._replace(name=name) for name in ("Ring 116", "Another ring 116")])
    refused = pytest.raises(InvalidInputError, match="Line 1 can't be booked: it may be ")
    with refused, workshop.write() as session:
        box_load.load(session, act(), "Box 7", rows)
    with workshop.write() as session:
        assert shelf.stock_rows(session).rows == ()
        assert bins.page(session) == ()
        done = box_load.load(session, act(), "Box 7", rows, good_alone=True)
        assert [one.line for one in done.bad] == [1]
        assert [row.item_name for row in shelf.stock_rows(session).rows] == ["O-ring JIS P22A NBR 70"]
