"""Two who share a list's parts between them: every part once, and neither waits while the other has work."""

from __future__ import annotations

from collections.abc import Iterator

from hypothesis import given
from hypothesis import strategies as st

from models.supplier_lists.beside import Parts
from models.supplier_lists.turns import ALL, Turns, in_order


class Slow(Parts[int]):
    """Ready only at some of the times it is asked; says how often it had to be waited for."""

    def __init__(self, made: list[int], ready: Iterator[bool]) -> None:
        super().__init__(iter(made))
        self._ready = ready

    def ready(self) -> bool:
        return next(self._ready, False)


@given(st.integers(2, 20), st.integers(0, 200))
def test_every_part_is_one_s_turn(one_in: int, count: int) -> None:
    ours, theirs = Turns(one_in, True), Turns(one_in, False)
    taken = [(ours.takes(at), theirs.takes(at)) for at in range(count)]
    assert all(one != two for one, two in taken)
    assert sum(one for one, _ in taken) == -(-count // one_in)
    assert all(ALL.takes(at) for at in range(count))


@given(st.integers(2, 9), st.integers(0, 60), st.lists(st.booleans(), max_size=90))
def test_all_come_in_their_order_however_slow_the_other_is(one_in: int, count: int, ready: list[bool]) -> None:
    shares = [[at for at in range(count) if Turns(one_in, ours).takes(at)] for ours in (True, False)]
    slow = Slow(shares[1], iter(ready))
    assert list(in_order(iter(shares[0]), slow, one_in, most=4)) == list(range(count))


def test_ours_are_made_ahead_while_theirs_are_not_ready_but_not_without_end() -> None:
    made: list[int] = []

    def ours() -> Iterator[int]:
        for at in range(0, 200, 2):
            made.append(at)
            yield at

    mixed = in_order(ours(), Slow(list(range(1, 200, 2)), iter([False, True])), 2, most=5)
    assert [next(mixed), made] == [0, [0]]
    assert [next(mixed), made] == [1, [0, 2]]
    assert [next(mixed), next(mixed), len(made)] == [2, 3, 2 + 5]
