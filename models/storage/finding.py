"""What a check of the database says where something is not as it must be."""

from __future__ import annotations

from typing import NamedTuple


class Finding(NamedTuple):
    """One thing that is not as it must be: where, and what was found."""

    where: str
    what: str
