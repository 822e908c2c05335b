"""A verdict, and one reason for it: what was judged, a sentence, the rule with its source, and how near it was."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple

from catalog.standing import Standing


class Verdict(StrEnum):
    """Whether the ring will seal in the groove."""

    SEALS = "seals"
    MARGINAL = "marginal"
    WILL_NOT = "will not"

    @property
    def rank(self) -> int:
        """0 best, 2 worst."""
        return _RANKS[self]


_RANKS = {Verdict.SEALS: 0, Verdict.MARGINAL: 1, Verdict.WILL_NOT: 2}


class Reason(NamedTuple):
    """One judged figure.

    `about` names it; `text` is a sentence with the figures; `rule` says what was asked, `source` names the publication
    and `standing` says how far it is trusted. `margin`: 1 in the middle of the band, 0 at a limit, negative beyond it;
    its sign is the verdict's.
    """

    about: str
    verdict: Verdict
    text: str
    source: str
    rule: str
    standing: Standing = Standing.PUBLISHED
    margin: float = 1.0
