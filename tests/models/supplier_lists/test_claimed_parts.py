"""Two who share a list's parts between them: every part once, in order, and neither waits while there is work."""

from __future__ import annotations

from collections.abc import Iterator
from multiprocessing import get_context
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from models.supplier_lists.claimed_parts import Claims, Placed, in_order
from models.supplier_lists.maker_process import Parts


def claimed(claims: Claims, count: int) -> Iterator[Placed[int]]:
    """Parts that are their own places."""
    while (at := claims.take()) < count:
        yield at, at


class Slow(Parts[Placed[int]]):
    """Ready only at some of the times it is asked."""

    def __init__(self, made: Iterator[Placed[int]], ready: Iterator[bool]) -> None:
        super().__init__(made)
        self._ready = ready

    def ready(self) -> bool:
        return next(self._ready, False)


@given(st.integers(0, 60), st.integers(1, 9), st.lists(st.booleans(), max_size=90))
def test_all_come_once_in_their_order_however_slow_the_other_is(count: int, most: int, ready: list[bool]) -> None:
    claims = Claims()
    theirs = Slow(claimed(claims, count), iter(ready))
    assert list(in_order(claimed(claims, count), theirs, most=most)) == list(range(count))


def test_one_alone_does_all() -> None:
    assert list(in_order(iter(()), Parts(claimed(Claims(), 5)), most=3)) == list(range(5))


def test_no_more_of_ours_are_kept_than_may_be() -> None:
    claims = Claims()
    first = claims.take()
    made: list[int] = []

    def ours() -> Iterator[Placed[int]]:
        for place, part in claimed(claims, 100):
            made.append(place)
            yield place, part

    mixed = in_order(ours(), Slow(iter([(first, first)]), iter(())), most=4)
    assert [next(mixed), made] == [0, [1, 2, 3, 4]]


def take(folder: Path, count: int) -> list[int]:
    claims = Claims(folder)
    return [claims.take() for _ in range(count)]


def test_two_processes_claim_every_part_once(tmp_path: Path) -> None:
    with get_context("spawn").Pool(2) as pool:
        claimed_there = pool.starmap(take, [(tmp_path, 200)] * 2, chunksize=1)
    assert sorted(claimed_there[0] + claimed_there[1]) == list(range(400))
    assert Claims(tmp_path).take() == 400
