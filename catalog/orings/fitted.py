"""How likely a maker is to fit a ring that judges so in its groove: the groove as evidence of which ring it was.

Whoever built the machine fitted a ring that seals. A maker now and then fits a marginal ring, hardly ever one that will
not seal. The weights are this project's own, no source.
"""

from __future__ import annotations

from typing import Final

from catalog.orings.reason import Verdict

FITTED: Final = {Verdict.SEALS: 1.0, Verdict.MARGINAL: 0.3, Verdict.WILL_NOT: 0.02}
FITTED_NONE: Final = 0.3
"""A ring of no standard was made for its groove, or is none of ours to judge: between the two."""
