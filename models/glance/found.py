"""The first rows that Find lists before anything is typed, the same that `models.search` gives for empty text."""

from __future__ import annotations

from pathlib import Path

from models import search
from models.glance.asking import Look, ask
from models.search.found import Page
from models.storage.address import Server


def first_found(place: Path | Server, limit: int) -> Page | None:
    """The first `limit` rows of items and lists. None where a glance can't tell: ask `models.search`."""

    def page(look: Look) -> Page:
        return search.searching.listed(search.asking.Glancing(look, postgresql=isinstance(place, Server)), limit)

    return ask(place, page)
