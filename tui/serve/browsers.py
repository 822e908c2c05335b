"""The browsers that were let in, each by the random id in its cookie, with the app that is kept for it."""

from __future__ import annotations

import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from tui.serve.kept import KeptApp

MOST_KNOWN: Final = 200
"""Browsers that are remembered; over that the one without an app that was let in first is forgotten."""


@dataclass(eq=False)
class Browser:
    """One browser, and its app once it has one."""

    app: KeptApp | None = None


class Browsers:
    """Who was let in. Kept under a hash of the id, so that looking one up tells nothing of another."""

    def __init__(self) -> None:
        self._known: dict[bytes, Browser] = {}

    def let_in(self) -> str:
        """A new browser's id."""
        if len(self._known) >= MOST_KNOWN:
            idle = next((key for key, one in self._known.items() if one.app is None), None)
            if idle is not None:
                del self._known[idle]
        token = secrets.token_urlsafe(32)
        self._known[_hash(token)] = Browser()
        return token

    def known(self, token: str | None) -> Browser | None:
        """The browser of that id, if it was let in."""
        return self._known.get(_hash(token)) if token else None

    def apps(self) -> Iterator[KeptApp]:
        """The apps that run."""
        return (one.app for one in list(self._known.values()) if one.app is not None)

    def forget_app(self, app: KeptApp) -> None:
        """An app has ended; its browser may begin another."""
        for one in self._known.values():
            if one.app is app:
                one.app = None


def _hash(token: str) -> bytes:
    return sha256(token.encode("utf-8", "replace")).digest()
