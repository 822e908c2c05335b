"""A ring on record or on the shelf in a few words, for screens and the command line."""

from __future__ import annotations

from typing import Protocol

from catalog import orings


class Described(Protocol):
    """What is said of a ring on record or on the shelf."""

    @property
    def size_key(self) -> str:
        """The standard size."""

    @property
    def rubber(self) -> str | None:
        """Its family; "" or None where nobody knows."""

    @property
    def hardness_shore_a(self) -> int | None:
        """None where nobody knows."""


def ring_words(ring: Described) -> str:
    """A ring in a few words: size and rubber."""
    rubber = " ".join(
        part for part in (ring.rubber, str(ring.hardness_shore_a) if ring.hardness_shore_a else "") if part
    )
    return f"{orings.sizes.label_of(ring.size_key)} {rubber}".strip()


def record_words(ring: Described) -> str:
    """The same of a ring on record, which says where its rubber was not noted."""
    return ring_words(ring) if ring.rubber else f"{ring_words(ring)}, rubber not noted"
