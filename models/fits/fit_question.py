"""A new reading against the fit record: where they differ, a question for the person, never an overwrite."""

from __future__ import annotations

from typing import Final, NamedTuple

from catalog.orings.evidence import Evidence
from catalog.orings.groove import Groove, GrooveKind
from catalog.orings.match import Match, rank
from catalog.orings.other_groove import KIND, apart_in
from catalog.orings.prior import Prior
from catalog.orings.size_book import SizeBook, built_in
from catalog.orings.sizes import label_of
from catalog.orings.span import Range
from models.fits.fit_records import FitRow
from models.qualify.wanted import same_rings

DOUBTED_BELOW: Final = 0.05
"""A recorded size that the new readings leave less than this probability is asked about. Our rule, no source."""

_PLACES: Final = {"inner": "inner diameter", "outer": "outer diameter", "depth": "depth", "width": "groove width"}

_KINDS: Final = {
    GrooveKind.PISTON: "in the piston",
    GrooveKind.ROD: "in the bore around the rod",
    GrooveKind.FACE_INSIDE: "in a face, pressure from inside",
    GrooveKind.FACE_OUTSIDE: "in a face, pressure from outside",
    GrooveKind.PORT: "in a port",
}


class Question(NamedTuple):
    """What does not agree, in words to be answered by keeping the record, noting a new one, or measuring again.

    `recorded` and `found` are size keys; `found` None: no standard size, or only the groove differs.
    """

    position_id: int
    recorded: str
    found: str | None
    text: str


def compare(
    holds: FitRow,
    *,
    evidence: Evidence | None = None,
    size_key: str | None = None,
    groove: Groove | None = None,
    prior: Prior | None = None,
    own: SizeBook | None = None,
) -> Question | None:
    """Ask where new readings, a size a person accepted, or a groove do not agree with the record that holds.

    None: they agree, or there is nothing to compare. A used ring is read with the allowances of its condition.
    `own`: the sizes with the shop's own among them.
    """
    names = {holds.size_key, *same_rings(holds.size_key)}
    said: list[str] = []
    found: str | None = None
    if size_key is not None and size_key not in names:
        found = size_key
        said.append(f"{label_of(size_key)} was accepted now.")
    elif evidence is not None and evidence.readings and (own or built_in()).by_key(holds.size_key) is not None:
        ranking = rank(evidence, prior=prior, limit=1000, own=own)
        share = sum(match.probability for match in ranking.matches if _names(match) & names)
        if ranking.conflict is None and share < DOUBTED_BELOW:
            best = ranking.matches[0] if ranking.found else None
            found = best.size.key if best else None
            reads = f"{best.size.label} ({best.probability:.0%})" if best else "no size in our tables"
            said.append(f"The readings now say {reads}.")
    if groove is not None and holds.groove is not None:
        said += _groove_differs(holds.groove, groove)
    if not said:
        return None
    recorded = f"{label_of(holds.size_key)}{f' {holds.rubber}' if holds.rubber else ''}"
    text = (
        f"On record at {holds.position_name}: {recorded}, by {holds.who} on {holds.at:%Y-%m-%d}. {' '.join(said)} "
        "Is the old ring a wrong one, was the place reworked, or is a reading off? Measure again, keep the record, "
        "or note the new fit; the old one stays readable."
    )
    return Question(holds.position_id, holds.size_key, found, text)


def _names(match: Match) -> set[str]:
    return {match.size.key, *(size.key for size in match.also)}


def _groove_differs(old: Groove, new: Groove) -> list[str]:
    parts = apart_in(old, new)
    if parts == (KIND,):
        return [f"The groove is {_KINDS[new.kind]} now and was {_KINDS[old.kind]}."]
    said = []
    for part in parts:
        was: Range = getattr(old, part)
        now: Range = getattr(new, part)
        said.append(f"The groove's {_PLACES[part]} reads {now.nominal:g} mm and was {was.nominal:g} mm.")
    return said
