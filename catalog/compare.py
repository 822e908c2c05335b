"""Comparing a figure with a limit: inclusive, and blind to the last digits of a float.

Every limit in `catalog/` is inclusive unless its table says otherwise. Two floats that were reached by different
arithmetic (inches × 25.4 here, a division there) differ in their last digits; they are the same figure. What was
measured is never rounded before it is compared.
"""

from __future__ import annotations

from math import isclose
from typing import Final

RELATIVE: Final = 1e-9
# Near zero no relative distance exists. 1e-12 of a millimetre, bar or percent is nothing that anybody measures.
ABSOLUTE: Final = 1e-12


def same(first: float, second: float) -> bool:
    """Whether two figures differ by no more than float arithmetic does."""
    return isclose(first, second, rel_tol=RELATIVE, abs_tol=ABSOLUTE)


def at_most(figure: float, limit: float) -> bool:
    """Whether a figure is at or below a limit."""
    return figure <= limit or same(figure, limit)


def at_least(figure: float, limit: float) -> bool:
    """Whether a figure is at or above a limit."""
    return figure >= limit or same(figure, limit)


def over(figure: float, limit: float) -> bool:
    """Whether a figure is really above a limit."""
    return not at_most(figure, limit)


def under(figure: float, limit: float) -> bool:
    """Whether a figure is really below a limit."""
    return not at_least(figure, limit)
