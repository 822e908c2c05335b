"""The steps from a file to a loaded list, counted in the titles: file, supplier, columns, dry run, loading."""

from __future__ import annotations

from typing import Final

STEPS: Final = 5


def step(at: int, title: str) -> str:
    """The title with its place among the steps."""
    return f"{at} of {STEPS} · {title}"
