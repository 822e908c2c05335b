"""What is said of a plan that was not proven."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tui.answers.buying import in_time


@pytest.mark.parametrize(
    ("total", "least", "told"),
    [
        (1002, 1000, ", at most 0.2 % above the lowest possible"),
        (100_201, 100_000, ", at most 0.3 % above the lowest possible"),
        (1150, 1000, ", at most 15.0 % above the lowest possible"),
        (1150, 0, ""),
    ],
)
def test_the_gap_is_rounded_up(total: int, least: int, told: str) -> None:
    assert in_time(Fraction(total), Fraction(least)) == f"is the lowest found in the time allowed{told}"
