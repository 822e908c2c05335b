"""How sure, in words a person acts on."""

from __future__ import annotations

from collections.abc import Sequence

from catalog.orings import fractions
from catalog.orings.denial import Denial
from catalog.orings.evidence import Evidence
from catalog.orings.likelihood import Fit, settles_both
from catalog.orings.sizes import MM_PER_INCH, RingSize
from catalog.standing import Standing

SURE = 0.95
LIKELY = 0.75
_COUNTS = ("No", "One", "Two", "Three", "Four", "Five", "Six")
# A misfit this far beyond its expectation (in standard deviations of a chi-square variable) is no accident of reading.
CLASH = 5.0


def doubt(
    matches: Sequence[tuple[RingSize, float]],
    none_probability: float,
    *,
    can_settle: bool,
    denied: Denial | None = None,
    called: RingSize | None = None,
) -> str:
    """A few sentences: how sure the likeliest answer is, what would settle it, what its table row rests on.

    `matches` are (size, probability), likeliest first; `can_settle` says whether a further reading of the ring helps;
    `denied` how far the tables bear a denial, `called` the size whose trade fractions were typed.
    """
    if called is not None:
        return _called(called)
    if not matches or none_probability >= 0.5:
        return denied.words(none_probability) if denied is not None else "No size fits these readings."
    size, probability = matches[0]
    if probability >= SURE:
        words = f"{size.label}, sure."
    elif probability >= LIKELY:
        words = f"{size.label}, likely but not sure."
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
    if probability < SURE and not can_settle:
        words += " No further reading of the ring settles it; the groove it came from can."
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


def conflict(evidence: Evidence, found: Fit) -> str | None:
    """A sentence where the readings cannot be of one ring, whatever its size; else None."""
    if settles_both(found):
        freedom = found.readings - 2
        explained = (found.yy * found.ux**2 - 2.0 * found.xy * found.ux * found.uy + found.xx * found.uy**2) / (
            found.xx * found.yy - found.xy**2
        )
    else:
        freedom = found.readings - 1
        explained = found.ux**2 / found.xx if found.xx > 0.0 else found.uy**2 / found.yy
    misfit = found.rest - explained
    if freedom < 1 or misfit <= freedom + CLASH * (2.0 * freedom) ** 0.5 + 4.0:
        return None
    read = ", ".join(f"{reading.dimension.words} {reading.value_mm:.2f}" for reading in evidence.readings)
    return f"These readings cannot be of one ring ({read} mm). Check each one; OD = ID + 2 × width."
