"""Filter elements: their measured fields against the housing. What was never measured never fits silently."""

from __future__ import annotations

from catalog.filters import fit
from catalog.filters.grade import Grade
from models.qualify.others import by_words
from models.qualify.wanted import AS_ASKED, WITH_CARE, Judged, Offer, Wanted

SAID = 2
"""How many things to think about a line names; `kitwright filter` names all."""


def judge(wanted: Wanted, offer: Offer) -> Judged:
    """One element on the shelf; by its description alone where nobody measured the housing, and then it says so."""
    if wanted.housing is None:
        found = by_words(wanted, offer)
        said = ("chosen by its description: no housing was measured to judge it in",)
        return found if found.refused else found._replace(because=said)
    if offer.element is None:
        return Judged("it was never measured, so its fit is not known: measure it")
    judged = fit.judge(offer.element, wanted.housing)
    first = judged.criteria[0].sentence
    if judged.overall is Grade.DOES_NOT:
        return Judged(first.rstrip("."))
    if judged.overall is Grade.MEASURE:
        return Judged(f"not known to fit. {first.rstrip('.')}")
    if judged.overall is Grade.WITH_CARE:
        doubts = [one.sentence.rstrip(".") for one in judged.criteria if one.grade is not Grade.FITS]
        more = f"and {len(doubts) - SAID} more to look at" if len(doubts) > SAID else ""
        return Judged("", tuple(filter(None, (*doubts[:SAID], more))), WITH_CARE)
    return Judged("", (), AS_ASKED)
