"""A probability as every answer and screen says it; a command's help loads no catalog."""

from __future__ import annotations

import catalog


def percent(probability: float) -> str:
    """A probability in a sentence: `over 99 %`, `40 %`, `under 1 %`."""
    return catalog.chances.percent(probability)


def short_percent(probability: float) -> str:
    """A probability in a narrow column: `>99 %`, `40 %`, `<1 %`."""
    return percent(probability).replace("over ", ">").replace("under ", "<")
