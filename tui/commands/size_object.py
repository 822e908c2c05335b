"""A standard size as JSON, for commands that are not declared as operations yet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tui.answers.answer import plain
from tui.answers.sizes import size_of

if TYPE_CHECKING:
    from catalog.orings.sizes import RingSize


def size_object(size: RingSize) -> dict[str, Any]:
    """A size as JSON, lengths in mm."""
    found: dict[str, Any] = plain(size_of(size))
    return found
