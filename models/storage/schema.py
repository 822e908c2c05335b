"""Which revision of the schema this program knows. It needs no database, so that a quick look can ask it too."""

from __future__ import annotations

from typing import Final, NamedTuple


class Schema(NamedTuple):
    """The revision the code needs, every revision that came before it (oldest first), and where the steps are."""

    head: str
    earlier: tuple[str, ...]
    steps: str


CURRENT: Final = Schema(head="r0001", earlier=(), steps="models:migrations")

UNRELEASED: Final = ("0001", "0002", "0003", "0004", "0005", "0006", "0007", "0008", "0009", "0010", "0011")
"""Revisions from before the first release: their steps are gone."""
