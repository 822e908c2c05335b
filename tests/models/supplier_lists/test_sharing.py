"""Two who share a list's parts between them: every part once, in order, and neither waits while there is work."""

from __future__ import annotations

import os
from collections.abc import Iterator
from multiprocessing import get_context

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.supplier_lists.beside import ImportBrokenError, Parts
from models.supplier_lists.sharing import Claims, Placed, in_order, shared


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


def test_two_processes_count_with_one_counter(monkeypatch: pytest.MonkeyPatch) -> None:
    assert shared(10) is None
    monkeypatch.setattr("models.supplier_lists.beside.LONG", 1)
    claims = shared(10)
    assert claims is not None
    assert claims.take() == 0
    process = get_context("spawn").Process(target=Claims.take, args=(claims,))
    process.start()
    process.join()
    assert claims.take() == 2


def hold_for_ever(claims: Claims) -> None:
    """Die in the middle of claiming."""
    assert claims._shared is not None
    claims._shared.get_lock().acquire()
    os._exit(9)


def test_a_process_killed_while_it_claims_hinders_nobody_for_ever(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("models.supplier_lists.beside.LONG", 1)
    monkeypatch.setattr("models.supplier_lists.sharing._PATIENCE_S", 0.05)
    claims = shared(10)
    assert claims is not None
    process = get_context("spawn").Process(target=hold_for_ever, args=(claims,))
    process.start()
    process.join()
    with pytest.raises(ImportBrokenError):
        claims.take()


def test_where_the_system_has_nothing_to_count_with_one_does_it_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    class Without:
        def Value(self, *_given: object) -> None:  # noqa: N802 - the library's name
            raise OSError("no semaphores here")

    monkeypatch.setattr("models.supplier_lists.beside.LONG", 1)
    monkeypatch.setattr("models.supplier_lists.sharing.get_context", lambda _kind: Without())
    assert shared(10) is None
