"""What all screens' tests stand on: shared style sheets are the ones that would be parsed, a wait ends at rest."""

from __future__ import annotations

import asyncio
from time import monotonic

import pytest
from textual.css.stylesheet import Stylesheet
from textual.css.tokenizer import TokenError

from tests.tui.at_rest import at_rest
from tests.tui.parsed_once import _kept, _parse

SHEET = "Label { color: $ink; height: 2; } #a.b > Static { width: 50%; &:focus { color: red; } }"
BROKEN = "Label {{ color: red; }"
FROM = ("harness.tcss", "")


def rules(css: str, **variables: str) -> tuple[list[object], Stylesheet]:
    """The rules of a text, as all tests get them, and the sheet that they came from."""
    sheet = Stylesheet(variables=variables)
    return list(sheet._parse_rules(css, FROM)), sheet


def test_shared_rules_are_those_that_would_be_parsed_anew() -> None:
    shared, sheet = rules(SHEET, ink="blue")
    assert [one.css for one in shared] == [one.css for one in _parse(sheet, SHEET, FROM)]  # type: ignore[attr-defined]
    assert len(shared) == 3
    assert rules(SHEET, ink="blue")[0][0] is shared[0]


def test_another_theme_or_another_text_is_parsed_anew() -> None:
    blue, _ = rules(SHEET, ink="blue")
    green, _ = rules(SHEET, ink="green")
    assert "blue" not in green[0].css.lower()  # type: ignore[attr-defined]
    assert green[0].css != blue[0].css  # type: ignore[attr-defined]
    assert rules(SHEET.replace("2", "3"), ink="blue")[0][0].css != blue[0].css  # type: ignore[attr-defined]


def test_what_cannot_be_parsed_is_refused_each_time_and_never_kept() -> None:
    for _ in range(2):
        with pytest.raises(TokenError):
            rules(BROKEN)
    assert not any(key[0] == BROKEN for key in _kept)


async def test_a_call_in_a_thread_and_what_follows_it_are_waited_for() -> None:
    done = asyncio.Event()
    go = asyncio.Event()

    async def work() -> None:
        await asyncio.to_thread(lambda: asyncio.run_coroutine_threadsafe(_set(go), loop).result(5))
        done.set()

    async def _set(event: asyncio.Event) -> None:
        event.set()

    loop = asyncio.get_running_loop()
    task = asyncio.create_task(work())
    await at_rest(0)
    assert go.is_set()
    assert done.is_set()
    await task


async def test_a_timer_that_is_due_soon_is_waited_for_and_a_late_one_is_not() -> None:
    seen: list[str] = []
    loop = asyncio.get_running_loop()
    soon = loop.call_later(0.005, seen.append, "soon")
    late = loop.call_later(60, seen.append, "late")
    begun = monotonic()
    await at_rest(0)
    assert seen == ["soon"]
    assert monotonic() - begun < 30
    late.cancel()
    assert not soon.cancelled()


async def test_a_chain_of_calls_is_followed_to_its_end() -> None:
    loop, steps = asyncio.get_running_loop(), list[int]()

    def step(left: int) -> None:
        steps.append(left)
        if left:
            loop.call_soon(step, left - 1)

    loop.call_soon(step, 50)
    await at_rest(0)
    assert steps[-1] == 0
