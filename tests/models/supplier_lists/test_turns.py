"""Two who share a list's parts between them: every part once, and neither waits while the other has work."""

from __future__ import annotations

from collections.abc import Iterator

from hypothesis import given
from hypothesis import strategies as st

from models.supplier_lists.beside import Parts
from models.supplier_lists.turns import ALL, Turns, in_turns


class Slow(Parts[str]):
    """Ready only at some of the times it is asked."""

    def __init__(self, made: list[str], ready: Iterator[bool]) -> None:
        super().__init__(iter(made))
        self._left = len(made)
        self._ready = ready

    def __next__(self) -> str:
        part = super().__next__()
        self._left -= 1
        return part

    def ready(self) -> bool:
        return self._left > 0 and next(self._ready, False)


@given(st.integers(2, 20), st.integers(0, 200))
def test_every_part_is_one_s_turn(one_in: int, count: int) -> None:
    ours, theirs = Turns(one_in, True), Turns(one_in, False)
    taken = [(ours.takes(at), theirs.takes(at)) for at in range(count)]
    assert all(one != two for one, two in taken)
    assert sum(one for one, _ in taken) == -(-count // one_in)
    assert all(ALL.takes(at) for at in range(count))


@given(st.integers(0, 8), st.integers(0, 8), st.lists(st.booleans(), max_size=30))
def test_both_come_each_once_and_in_order(ours: int, theirs: int, ready: list[bool]) -> None:
    mine, other = [f"ours {at}" for at in range(ours)], [f"theirs {at}" for at in range(theirs)]
    mixed = list(in_turns(iter(mine), Slow(other, iter(ready))))
    assert [part for part in mixed if part in mine] == mine
    assert [part for part in mixed if part in other] == other
    assert len(mixed) == ours + theirs


def test_what_is_ready_is_taken_before_the_next_of_ours() -> None:
    slow = Slow(["theirs 0", "theirs 1"], iter([True, False, True]))
    assert list(in_turns(iter(["ours 0", "ours 1"]), slow)) == ["ours 0", "theirs 0", "ours 1", "theirs 1"]
