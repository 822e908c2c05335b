"""The sheet's marks can't be taken for one another, and lie where none touches another or the field."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from catalog.photo.sheet import APART, FIELD_MM, MARK_MM, PATTERNS, PLACES, cells, corners, squares


def test_any_two_marks_turned_in_any_way_differ_in_nine_cells() -> None:
    marks = [np.array(cells(pattern)) for pattern in PATTERNS]
    for one, other in combinations(marks, 2):
        assert min((one != np.rot90(other, turn)).sum() for turn in range(4)) >= APART
    for one in marks:
        assert min((one != np.rot90(one, turn)).sum() for turn in (1, 2, 3)) >= APART


def test_marks_keep_clear_of_each_other_and_of_the_field() -> None:
    assert len(PLACES) == len(PATTERNS) == 12
    for number, (x, y) in enumerate(PLACES):
        assert max(abs(x), abs(y)) - MARK_MM / 2 > FIELD_MM / 2 + 2
        assert corners(number)[0] == (x - MARK_MM / 2, y - MARK_MM / 2)
    for one, other in combinations(PLACES, 2):
        assert max(abs(one[0] - other[0]), abs(one[1] - other[1])) > MARK_MM + 5


def test_what_is_drawn_is_the_marks() -> None:
    drawn = list(squares())
    assert sum(one.black for one in drawn) == 12
    assert sum(not one.black for one in drawn) == sum(pattern.bit_count() for pattern in PATTERNS)
