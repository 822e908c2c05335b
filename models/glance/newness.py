"""Whether anything was ever booked in a workshop."""

from __future__ import annotations

from pathlib import Path

from models.glance.asking import ask
from models.storage.address import Server


def is_new(place: Path | Server) -> bool | None:
    """Whether there is no workshop yet, or nothing was booked in it; None where a glance can't tell."""
    if isinstance(place, Path) and not place.exists():
        return True
    return ask(place, lambda look: not look("SELECT 1 FROM actions LIMIT 1"))
