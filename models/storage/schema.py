"""Which revision of the schema this program knows. It needs no database, so that a quick look can ask it too."""

from __future__ import annotations

import re
from typing import Final, NamedTuple


class Schema(NamedTuple):
    """The revision the code needs, every revision that came before it (oldest first), and where the steps are."""

    head: str
    earlier: tuple[str, ...]
    steps: str


CURRENT: Final = Schema(head="first_992f58eb", earlier=(), steps="models:migrations")
"""Until the first release the head is named by what the tables are, so that tables changed in place are a new head."""

UNRELEASED: Final = re.compile(r"00[01][0-9]|r0001|first_[0-9a-f]{8}")
"""Revisions from before the first release, but for the one at work: their steps are gone."""
