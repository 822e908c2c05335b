"""A small cat: a few hundred keys with fixed seeds, without the net and with it. The large one is a program."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from tests.faults.monkey import Cat, Move, ground, play, read
from tests.tui.counter import make_app


@pytest.mark.parametrize(("seed", "slow", "net"), [(11, False, False), (12, True, False), (13, False, True)])
def test_a_cat_on_the_keyboard_ends_nothing(tmp_path: Path, seed: int, slow: bool, net: bool) -> None:
    told: list[str] = []
    with ground(tmp_path):
        run = play(tmp_path, seed, 120, slow=slow, net=net, tell=told.append)
    assert run.ends == [], "\n".join(told)
    assert run.keys >= 120
    assert run.caught == 0


def test_a_deed_is_written_and_read_again(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    moves: list[Move] = []

    async def draw() -> None:
        async with app.run_test():
            cat = Cat(5, slow=True)
            moves.extend(cat.move(app.screen) for _ in range(200))

    asyncio.run(draw())
    assert [read(one.written()) for one in moves] == moves
    assert {"keys", "paste", "size", "click", "wheel"} == {one.kind for one in moves}
    assert any(len(one.what) > 1 for one in moves if one.kind == "keys")


def test_an_end_is_seen_and_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The cat itself is tested on a page that fails."""
    told: list[str] = []

    def fall(self: object) -> None:
        raise LookupError("as it was meant to")

    monkeypatch.setattr("tui.app.KitwrightApp.action_flip_unit", fall)
    moves = [Move("keys", ("escape", "f6"), 0.1)]
    with ground(tmp_path):
        run = play(tmp_path, 1, 2, slow=False, net=False, moves=moves, tell=told.append)
    assert [end.what for end in run.ends] == ["LookupError: as it was meant to"]
    assert "keys 0.1 escape f6" in "\n".join(told)
