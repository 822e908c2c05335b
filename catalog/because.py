"""What a verdict rests on: the rules that decided it, so that a person can look them up."""

from __future__ import annotations

from typing import NamedTuple

from catalog.standing import Standing


class Because(NamedTuple):
    """One rule that decided a verdict.

    `rule`: the rule in words with its figures ("squeeze of a moving ring 5 to 30 %, nominal at least 3 %").
    `source`: the publication's name, or "common practice, no source"; never a code. `standing`: how far it is trusted.
    """

    rule: str
    source: str
    standing: Standing

    @property
    def words(self) -> str:
        """The rule with source and standing behind it, as a person reads it; nothing is said twice."""
        no_source = self.standing in (Standing.PRACTICE, Standing.MEMORY)
        told = self.standing.words if no_source else f"{self.source}; {self.standing.words}"
        return f"{self.rule} [{told}]"
