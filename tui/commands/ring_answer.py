"""One ring asked about, one ranking answered."""

from __future__ import annotations

from catalog.orings.match import Ranking, rank
from tui.commands.ring_input import Asked, evidence, limit, series


def answer(asked: Asked) -> Ranking:
    """Rank the standard sizes for what was typed. Raises UsageError with one sentence where it cannot be read."""
    return rank(evidence(asked), series=series(asked), limit=limit(asked))
