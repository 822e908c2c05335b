"""Names: what can't be seen is left out and told, what deceives is refused, what looks alike is told."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models import machines, noticing
from models.alike import skeleton
from models.database import Workshop
from models.errors import InvalidInputError
from models.inventory import bins, items
from models.supplier_lists import cells, suppliers
from models.text import NOTE_LENGTH, clean
from models.words import Kind
from tests.models.shop import act


@pytest.fixture(autouse=True)
def nothing_noted() -> None:
    noticing.taken()


@pytest.mark.parametrize(
    ("typed", "kept", "told"),
    [
        ("Box\xa01", "Box 1", "special space"),
        ("Box\u20071", "Box 1", "special space"),
        ("Box\u200b 1", "Box 1", "can't be seen"),
        ("\ufeffBox 1", "Box 1", "can't be seen"),
        ("Bo\xadx 1", "Box 1", "can't be seen"),
        ("Box 1\u200e", "Box 1", "can't be seen"),
        ("Box\u2060 1", "Box 1", "can't be seen"),
        ("Box 1", "Box 1", ""),
        ("  Box 1 ", "Box 1", ""),
        ("Kübel 1", "Kübel 1", ""),
        ("箱 1", "箱 1", ""),
    ],
)
def test_what_can_t_be_seen_is_left_out_and_told(typed: str, kept: str, told: str) -> None:
    assert clean(typed, "bin code") == kept
    said = noticing.taken()
    assert (told in said[0]) if told else said == ()
    assert noticing.taken() == ()


@pytest.mark.parametrize(
    "letter", ["\u202e", "\u202d", "\u2066", "\u2069", "\u2028", "\u2029", "\ufdd0", "\uffff", "\U0001fffe"]
)
@pytest.mark.parametrize("limit", [200, NOTE_LENGTH])
def test_what_turns_or_parts_a_line_is_refused(letter: str, limit: int) -> None:
    with pytest.raises(InvalidInputError, match=r"Type it again without it\."):
        clean(f"Box {letter}1", "bin code", limit=limit)


@given(st.text(max_size=60))
def test_what_is_kept_is_kept_again_as_it_is(typed: str) -> None:
    try:
        kept = clean(typed, "name")
    except InvalidInputError:
        return
    noticing.taken()
    assert clean(kept, "name") == kept
    assert noticing.taken() == ()
    assert not {*kept} & {*"\x1b\x9b\u202e\u200b\ufeff\xad\u2028"}


@given(st.text(max_size=60))
def test_a_suppliers_row_is_cleaned_and_never_dropped_for_it(cell: str) -> None:
    kept = cells.text(cell, "name", 400)
    assert not {*kept} & {*"\x00\x07\x1b\x9b\u202e\u200b\ufeff\xad\u2028\ufdd0"}
    assert cells.text(kept, "name", 400) == kept or kept[:1] == "'"


def test_a_bell_in_a_suppliers_row_is_left_out() -> None:
    assert cells.text("a\x07 bell\u202e and\u2028more ", "name", 100) == "a bell and more"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Box 1", "box 1"),
        ("Box 1", "Box  1"),
        ("Box 1", "Box l"),
        ("Box 1", "Box I"),
        ("Box 10", "Box 1O"),
        ("Box 1", "Вох 1"),
        ("Box 1", "Βοx 1"),
        ("Box 1", "Ｂｏｘ １"),
        ("A-1", "A–1"),
        ("fitting", "ﬁtting"),
        ("AP", "АР"),
    ],
)
def test_names_that_look_alike_have_one_skeleton(one: str, other: str) -> None:
    assert one != other
    assert skeleton(one) == skeleton(other)


@pytest.mark.parametrize(("one", "other"), [("Box 1", "Box 2"), ("A-1", "A1"), ("Box 1", "Box 11"), ("Kübel", "Kubel")])
def test_names_that_do_not_have_two(one: str, other: str) -> None:
    assert skeleton(one) != skeleton(other)


def test_a_new_name_that_looks_like_one_there_is_told(workshop: Workshop) -> None:
    with workshop.write() as session:
        bins.add(session, act(), code="Box 1")
        assert noticing.taken() == ()
        bins.add(session, act(), code="Вох 1")
        assert noticing.taken() == ("The bin “Вох 1” is like “Box 1” that is there.",)
        for name in ("Rags", "rags "):
            items.add(session, act(), kind=Kind.CONSUMABLE, name=name, spec_class="rags")
        assert noticing.taken() == ("The item “rags” is like “Rags” that is there.",)
        first = machines.add(session, act(), name="Press 1").machine_id
        machines.add(session, act(), name="Press l")
        machines.add_position(session, act(), machine_id=first, name="ram ring")
        machines.add_position(session, act(), machine_id=first, name="Ram  ring")
        suppliers.add(session, act(), name="O Seals", currency="EUR")
        suppliers.add(session, act(), name="0 Seals", currency="EUR")
        assert [said.split("“")[0] for said in noticing.taken()] == [
            "The machine ",
            "The position ",
            "The supplier ",
        ]
