"""The README's figures are those of the tables and of the audit."""

from __future__ import annotations

from catalog.orings.sizes import all_sizes
from catalog.standing import Standing
from tests.audit import figures


def test_the_readme_shows_the_figures_of_now() -> None:
    assert figures.shown() == figures.text(), "run: python -m tests.audit --write"


def test_the_figures_are_those_of_the_loaded_rings() -> None:
    counted = sum(count for name, count in _rings())
    assert counted == len(all_sizes())
    memory = sum(size.standing is Standing.MEMORY for size in all_sizes())
    assert f"{memory:,} are unchecked" in figures.text()


def _rings() -> list[tuple[str, int]]:
    tables = figures.standings()
    return [(name, tables[f"orings/{name}"].total()) for name in figures.RING_TABLES]
