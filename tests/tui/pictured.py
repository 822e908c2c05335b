"""Several pictures of one run of an app: opening it costs a second, and another size of the window a tenth of one.

The pictures stay tests of their own. The first that runs takes all of the run's; the others, which follow it, find
theirs. Every picture is one that an app begun at that size gave, so the window's way to it may not matter.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from textual.app import App
from textual.pilot import Pilot

from tests.tui.counter import settle
from tui.app import KitwrightApp

Act = Callable[[Pilot[Any]], Awaitable[None]]
SMALL, LARGE = (80, 24), (120, 40)


class View(NamedTuple):
    """What is photographed: in a window of this size, after this was done, beside what was done for those before it."""

    size: tuple[int, int]
    act: Act | None = None


def run(app: KitwrightApp, views: Sequence[View]) -> list[str]:
    """The pictures as SVG, in the order of the views."""
    pictures: list[str] = []

    async def photograph(pilot: Pilot[Any]) -> None:
        for view in views:
            if (app.size.width, app.size.height) != view.size:
                await pilot.resize_terminal(*view.size)
                await settle(pilot)
            if view.act:
                await view.act(pilot)
            await pilot.wait_for_scheduled_animations()
            await settle(pilot)
            pictures.append(app.export_screenshot(title=app.title, simplify=True))
        app.exit()

    app.run(headless=True, auto_pilot=photograph, size=views[0].size)
    return pictures


class Pictured:
    """`snap_compare` for one picture of a run. The last run's are kept, by what the test is without its own view."""

    _kept: tuple[object, list[str]] = (None, [])

    def __init__(self, compare: Callable[..., bool], request: pytest.FixtureRequest, patch: pytest.MonkeyPatch) -> None:
        self._compare = compare
        self._request = request
        self._patch = patch

    def both(self, make: Callable[[], KitwrightApp], act: Act, which: int, *of: object, alone: bool = False) -> bool:
        """One state in a small window (0) and in a large one (1). `alone`: that it was small before would show."""
        if alone:
            return self([View((SMALL, LARGE)[which], act)], 0, make, which, *of)
        return self([View(SMALL, act), View(LARGE)], which, make, *of)

    def __call__(self, views: Sequence[View], which: int, make: Callable[[], KitwrightApp], *of: object) -> bool:
        """Whether the picture number `which` is the one on file; `of` tells this run from the test's others."""
        path: Path = self._request.node.path
        key = (path, self._request.node.originalname, *of)
        if Pictured._kept[0] != key:
            Pictured._kept = (key, run(make(), views))
        picture = Pictured._kept[1][which]
        self._patch.setattr("textual._doc.take_svg_screenshot", lambda **_: picture)
        return self._compare(App())
