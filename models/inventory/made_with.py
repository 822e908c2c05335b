"""What is made with a delivery, under keys that follow from the delivery's own: a second try and undo find it."""

from __future__ import annotations

from hashlib import sha256
from typing import Final

from models.text import fold

_KEY_KEPT: Final = 120


def made_with(key: str, kind: str, name: str) -> str:
    """The key of the action that makes an item or a bin (`kind`) of that name with what is done under `key`."""
    return f"{all_made_with(key)}{kind}-{sha256(fold(name).encode()).hexdigest()[:24]}"


def all_made_with(key: str) -> str:
    """What every such key begins with."""
    return f"{key[:_KEY_KEPT]}/"
