"""Where a ring sits, as one sees it on the bench."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Final


class JointKind(StrEnum):
    """Where the ring sits."""

    PLUG = "plug"
    BORE = "bore"
    COVER = "cover"
    SHAFT = "shaft"
    PORT = "port"

    @property
    def words(self) -> str:
        """As a person says it, after "the ring sits"."""
        return _WORDS[self]


_WORDS: Final = {
    JointKind.PLUG: "on a plug or piston",
    JointKind.BORE: "in a bore",
    JointKind.COVER: "under a flat cover",
    JointKind.SHAFT: "on a shaft that slides",
    JointKind.PORT: "in a port, under a fitting or a plug",
}
SHARES: Final[Mapping[JointKind, float]] = MappingProxyType(
    {
        JointKind.PLUG: 0.35,
        JointKind.COVER: 0.30,
        JointKind.BORE: 0.20,
        JointKind.PORT: 0.10,
        JointKind.SHAFT: 0.05,
    }
)
"""Where a loose ring came from, as shares of 1. Common practice, no source."""
