"""How sure, in words a person acts on."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.orings import fractions
from catalog.orings.denial import Denial
from catalog.orings.sizes import MM_PER_INCH, RingSize
from catalog.standing import Standing

SURE = 0.95
LIKELY = 0.75
_COUNTS = ("No", "One", "Two", "Three", "Four", "Five", "Six")


def doubt(
    matches: Sequence[tuple[RingSize, float]],
    none_probability: float,
    *,
    denied: Denial | None = None,
    called: RingSize | None = None,
    look_said: bool = True,
) -> str:
    """A few sentences: how sure the likeliest answer is and what its table row rests on.

    `matches` are (size, probability), likeliest first; `denied`: how far the tables bear a denial, `called`: the size
    whose trade fractions were typed. Nothing is sure of a ring whose look nobody said.
    """
    if called is not None:
        return _called(called)
    if not matches or none_probability >= 0.5:
        return denied.words(none_probability) if denied is not None else "No size fits these readings."
    size, probability = matches[0]
    if probability >= SURE and look_said:
        words = f"{size.label}, sure."
    elif probability >= LIKELY:
        words = f"{size.label}, likely but not sure."
        words += "" if look_said or probability < SURE else " How does the ring look?"
    else:
        reached, count = 0.0, 0
        for _, share in matches:
            count += 1
            reached += share
            if reached >= 0.9 - none_probability:
                break
        if count == 1:
            words = f"{size.label}, or no standard size."
        elif count < len(_COUNTS):
            words = f"{_COUNTS[count]} sizes fit these readings."
        else:
            words = "Many sizes fit these readings."
    if none_probability >= 0.1:
        words += " It may not be a standard size."
    if size.standing is Standing.MEMORY:
        words += f" The row of {size.label} is unchecked: compare the ring with a published table."
    return words


def _called(size: RingSize) -> str:
    name = fractions.trade_names()[size.designation]
    return (
        f"{name.words} is what {size.label} is called; it measures {size.id_mm / MM_PER_INCH:.3f} × "
        f"{size.cross_section_mm / MM_PER_INCH:.3f} in. If you measured these fractions, type decimals or a ±."
    )
