"""The rules that an answer rests on, each with its source and how far it is trusted; the same in every answer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import catalog

if TYPE_CHECKING:
    from catalog.because import Because

Standing = Literal["published", "checked", "inferred", "shop", "practice", "memory"]
"""How far a row of a table is trusted, as `catalog.standing` has it, best first."""
Suitability = Literal["suitable", "with care", "doubtful", "not known", "unsuitable"]
"""Whether a rubber may be used, as `catalog.orings.elastomer` has it, best first."""


@dataclass(frozen=True)
class Reason:
    """A rule that decided, and where it is from."""

    rule: str
    source: str
    standing: Standing

    @property
    def sourced(self) -> str:
        """The source, and how far it is trusted unless it is published or says so itself."""
        if self.standing == "published":
            return self.source

        trusted = catalog.standing.Standing(self.standing)
        told = trusted.word if trusted is catalog.standing.Standing.MEMORY else trusted.words
        return self.source if told in self.source else f"{self.source}; {trusted.words}"

    @property
    def words(self) -> str:
        """The rule and its source, in one line."""
        return f"{self.rule} [{self.sourced}]"


def reasons_of(rules: Iterable[Because]) -> tuple[Reason, ...]:
    """The catalog's rules as answers tell them."""
    return tuple(Reason(one.rule, one.source, one.standing.value) for one in rules)


def why_lines(because: Sequence[Reason]) -> list[str]:
    """The rules under "Why:", one a line; nothing where none is told."""
    return ["Why:", *(f"  {one.words}" for one in because)] if because else []
