"""A hint names what was misspelled, never another size."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings.sizes import all_sizes
from models.alike import nearest, same_figures
from models.database import Workshop
from models.inventory import arrivals
from tests.models.shop import ring
from tui.fields.field import FieldError
from tui.fields.rows import item_named

SIZES = tuple(size.label for size in all_sizes())


@pytest.mark.parametrize(
    ("typed", "known", "hint"),
    [
        ("AS568-210", "AS568-214", ""),
        ("O-ring AS568-210 NBR 70", "O-ring AS568-214 NBR 70", ""),
        ("O-rnig AS568-214 NBR 70", "O-ring AS568-214 NBR 70", "O-ring AS568-214 NBR 70"),
        ("JIS P22", "JIS P22A", ""),
        ("JIS P22", "JIS G22", ""),
        ("25 x 3", "25 × 3.5", ""),
        ("25x3.5 rnig", "25 × 3.5 ring", "25 × 3.5 ring"),
        ("M10 blot", "M12 bolt", ""),
        ("M10 blot", "M10 bolt", "M10 bolt"),
        ("Box 12", "Box 1", ""),
        ("Spryer2", "Sprayer 2", "Sprayer 2"),
        ("Tracter", "Tractor 3", "Tractor 3"),
    ],
)
def test_a_name_with_other_figures_is_no_slip(typed: str, known: str, hint: str) -> None:
    assert nearest(typed, [known], 0.5) == hint


@given(st.sampled_from(SIZES), st.sampled_from(SIZES))
def test_no_size_is_ever_offered_for_another(typed: str, other: str) -> None:
    assert same_figures(typed, typed)
    if typed != other:
        assert nearest(typed, [other], 0.0) in ("", other)
        # What is offered has all that was typed: it says more of the same size, such as a longer label.
        assert nearest(typed, [other], 0.0) == "" or typed.replace(" ", "") in other.replace(" ", "")


def test_neither_a_command_nor_a_delivery_names_the_neighbour_of_a_size(workshop: Workshop) -> None:
    with workshop.write() as session:
        ring(session, 4, size_key="as568:214", bin_code="B3")
        with pytest.raises(FieldError) as refused:
            item_named(session, "O-ring as568:210 NBR 70")
        assert "214" not in str(refused.value)
        news = arrivals.item_called(session, "O-ring AS568-210 NBR 70").news
        assert "214" not in news
        assert "210" in news
