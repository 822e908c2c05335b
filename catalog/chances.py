"""A probability as a person reads it: never a certainty that the numbers don't have."""

from __future__ import annotations


def percent(probability: float) -> str:
    """A probability in a sentence: `over 99 %`, `40 %`, `under 1 %`."""
    if probability > 0.99:
        return "over 99 %"
    return "under 1 %" if probability < 0.01 else f"{probability * 100:.0f} %"
