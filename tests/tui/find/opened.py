"""The app with Find open over a workshop with a supplier's list, for its tests."""

from __future__ import annotations

from pathlib import Path

from textual.pilot import Pilot

from tests.tui.counter import keys, make_app, settle
from tui.app import KitwrightApp

HEAD = "Part No;Description;Price EUR;Pack"


def write_list(file: Path, rows: int, *, extra: tuple[str, ...] = ()) -> Path:
    """A list of so many plain rows, then whatever lines are given."""
    lines = [
        f"V-{number:07};Valve cap {number % 97} brass;{number % 50 + 1},{number % 100:02};1" for number in range(rows)
    ]
    file.write_text("\n".join((HEAD, *lines, *extra)) + "\n", encoding="utf-8")
    return file


def with_list(folder: Path, rows: int, *, extra: tuple[str, ...] = ()) -> KitwrightApp:
    """The app over the seeded workshop with one supplier's list loaded."""
    from models.supplier_lists import suppliers
    from models.supplier_lists.loading import load
    from models.supplier_lists.proposal import propose
    from models.supplier_lists.source import open_source
    from models.supplier_lists.staging import stage

    app = make_app(folder)
    supplier = app.workshop.change(
        lambda session, act: suppliers.add(session, act, name="North Valley Supply", currency="EUR")
    )
    source = open_source(write_list(folder / "first.csv", rows, extra=extra))
    with stage(source, propose(source).layout, "EUR") as staged:
        app.workshop.change(lambda session, act: load(session, act, supplier.supplier_id, staged))
    return app


async def find(pilot: Pilot[None]) -> None:
    """Open Find."""
    await settle(pilot)
    await keys(pilot, "ctrl+f")
