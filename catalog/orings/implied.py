"""What the readings alone say about ID and width, before any standard size comes in: for a picture of the doubt."""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

from catalog.orings.evidence import Condition, Evidence
from catalog.orings.likelihood import any_ring_log_density, settles_both, terms

# About 95 % of a normal distribution lies within this many standard deviations (JCGM 100:2008, G.1.3).
COVERAGE = 2.0


class Implied(NamedTuple):
    """ID and width in mm as made, each with its expanded uncertainty ± in mm; None where the readings leave it open."""

    id_mm: float | None
    id_pm_mm: float
    width_mm: float | None
    width_pm_mm: float


def implied(evidence: Evidence) -> Implied:
    """The ID and width that explain the readings best, whatever its standard. Raises ValueError without a reading."""
    if not evidence.readings:
        raise ValueError("There is no reading; measure at least one dimension of the ring.")
    if not evidence.look_said:
        evidence = evidence._replace(condition=Condition.NEW)  # as it was read, not as it may have been made
    _, found, id_mm, width_mm = any_ring_log_density(terms(evidence))
    if settles_both(found):
        determinant = found.xx * found.yy - found.xy * found.xy
        return Implied(
            id_mm, COVERAGE * sqrt(found.yy / determinant), width_mm, COVERAGE * sqrt(found.xx / determinant)
        )
    # One reading of an OD or a cut length ties ID and width together without fixing either.
    if found.xx > 0.0 and found.yy <= 1e-9 * found.xx:
        return Implied(id_mm, COVERAGE / sqrt(found.xx), None, 0.0)
    if found.yy > 0.0 and found.xx <= 1e-9 * found.yy:
        return Implied(None, 0.0, width_mm, COVERAGE / sqrt(found.yy))
    return Implied(None, 0.0, None, 0.0)
