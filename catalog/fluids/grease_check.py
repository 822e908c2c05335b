"""One thickener over another: may the gun with this grease go on the nipple that had that one?"""

from __future__ import annotations

from typing import Final

from catalog.because import Because
from catalog.fluids.answers import Answer, Refusal
from catalog.fluids.grade_check import Verdict
from catalog.fluids.greases import CAVEAT, PURGE, Mixing, Rating, heats, mixing, thickener
from catalog.standing import Standing, weakest

_NO_CHART: Final = Because(
    "no chart has this pair: greases not tested together must not meet",
    "common practice, no source",
    Standing.PRACTICE,
)
_PURGE: Final = Because(f"{CAVEAT}: {PURGE}", "common practice, no source", Standing.PRACTICE)


def over(offered: str, required: str) -> Answer | None:
    """Judge one thickener's class over another's; None if one of the two is no thickener.

    Incompatible is a no, borderline with care. A plain yes needs a chart that was seen in print, all charts of one
    mind, and a thickener that bears the heat of the one asked for.
    """
    ours, theirs = thickener(offered), thickener(required)
    if ours is None or theirs is None:
        return None
    found = mixing(ours, theirs)
    if ours == theirs and found.rating in (None, Rating.COMPATIBLE):
        return None
    if found.rating is None:
        reason = f"No: no chart has {ours} grease over {theirs}. Clean all the old grease out first."
        return _no(offered, required, reason, Refusal.NO_RULE, (_NO_CHART,))
    because = _because(ours, theirs, found)
    if found.rating is Rating.INCOMPATIBLE:
        reason = f"No: {ours} grease over {theirs} is incompatible{_by(found)}. Clean all the old grease out first."
        return _no(offered, required, reason, Refusal.INCOMPATIBLE, because)
    lost = max(0, heats()[theirs].step - heats()[ours].step)
    heat = f"{ours} grease withstands about {heats()[ours].to_c} °C, {theirs} {heats()[theirs].to_c} °C"
    if lost:
        because = (*because, Because(heat, Standing.MEMORY.words, Standing.MEMORY))
    if lost > 1:
        reason = f"No: {heat}. It would run out where {theirs} grease is asked."
        return _no(offered, required, reason, Refusal.LACKS, because)
    conditions = [PURGE]
    if found.rating is Rating.BORDERLINE:
        conditions.insert(0, f"borderline{_by(found)}: the mixture may soften")
    elif not found.seen:
        conditions.insert(0, "the chart that calls them compatible is unchecked")
    if lost:
        conditions.append(f"{heat}: only where it stays cooler")
    plain = found.rating is Rating.COMPATIBLE and found.seen and not lost
    verdict = Verdict.YES if plain else Verdict.WITH_CARE
    word = "Yes" if plain else "With care"
    return Answer(
        verdict,
        offered,
        required,
        f"{word}: {ours} grease over {theirs} is {found.rating}{_by(found)}.",
        conditions=tuple(conditions),
        source=_sources(because),
        standing=weakest(one.standing for one in because),
        because=because,
    )


def _because(ours: str, theirs: str, found: Mixing) -> tuple[Because, ...]:
    charts = tuple(
        Because(
            f"{ours} with {theirs}: {one.rating} ({one.says})",
            one.standing.words if one.source == "memory" else one.source,
            one.standing,
        )
        for one in found.entries
    )
    return (*charts, _PURGE)


def _by(found: Mixing) -> str:
    """Which charts say so, and that they disagree where they do."""
    if found.disagree:
        said = "; ".join(f"{one.rating} ({one.says})" for one in found.entries)
        return f", the worst of charts that disagree: {said}"
    return f" ({found.entries[0].says})" if found.entries else ""


def _no(offered: str, required: str, reason: str, refusal: Refusal, because: tuple[Because, ...]) -> Answer:
    return Answer(
        Verdict.NO,
        offered,
        required,
        reason,
        source=_sources(because),
        standing=weakest(one.standing for one in because),
        refusal=refusal,
        because=because,
    )


def _sources(because: tuple[Because, ...]) -> str:
    return "; ".join(dict.fromkeys(one.source for one in because))
