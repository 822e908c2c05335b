"""Rings of one machine are mostly of one standard: what those on record there say of another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Final

from catalog.orings.decide import Decision
from catalog.orings.sizes import Series, by_key

_CALLED: Final = {
    Series.AS568: "AS568",
    Series.JIS: "JIS",
    Series.METRIC: "ISO 3601",
    Series.BS4518: "BS 4518",
    Series.AFNOR: "French R",
    Series.STOCK: "stocked metric sizes",
}


def counted(keys: Iterable[str]) -> dict[Series, int]:
    """How many of these rings (`RingSize.key`) are of each series, for `prior.prior_for`; others are left out."""
    return dict(Counter(size.series for key in keys if (size := by_key(key)) is not None))


def words(on_machine: Mapping[Series, int]) -> str:
    """`3 of 3 rings of this machine were JIS`: the series that most are of."""
    most = max(on_machine, key=lambda series: (on_machine[series], series.value))
    whole = sum(on_machine.values())
    were = (
        f"{on_machine[most]} of {whole} rings of this machine were" if whole > 1 else "The one ring of this machine was"
    )
    return f"{were} {_CALLED[most]}"


def changed(decision: Decision, alone: Decision) -> bool:
    """Whether what is answered is another than it would be without the machine's other rings."""
    return _told(decision) != _told(alone)


def _told(decision: Decision) -> tuple[str | None, bool, str | None]:
    """The ring to fit, whether it is named so, and the size that it was."""
    best, ranking = decision.best, decision.ranking
    return (
        None if best is None else best.size.key,
        decision.settled,
        ranking.matches[0].size.key if ranking.found and ranking.matches else None,
    )
