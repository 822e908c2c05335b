"""The bands that squeeze, stretch, compression and fill are judged against, each with its source.

Published guides differ, so each rule keeps three bands: what is usual (a remark when left), what the worst case must
stay within to seal, and how far the nominal may stray before the answer is no. Small sections carry the same ± as
large ones, so guides allow them more percent: their own rows say how much. Sources are named as publications.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from catalog.because import Because
from catalog.compare import at_most, under
from catalog.orings.groove import GrooveKind, Motion
from catalog.publications import named
from catalog.standing import Standing, weakest

# Up to this width (mm) a section counts as small; JIS P and the AS568 -0xx sizes are the widest of them.
SMALL_SECTION = 2.1
# Below this diameter (mm) JIS P sizes stretch and squeeze in more than the rules for larger rings allow.
SMALL_DIAMETER = 20.0
LEAST_SQUEEZE_MM = 0.2
PRACTICE = "common practice, no source"


class Rule(NamedTuple):
    """Bands in percent. `usual` is what guides recommend, `worst` holds the worst case, `nominal` the nominal.

    `what`: what the rule is about, in words. `source`: the publications, by name, for the usual and the worst band. How
    far a nominal may stray is this project's own reading of them (`nominal_standing`).
    """

    usual: tuple[float, float]
    worst: tuple[float, float]
    nominal: tuple[float, float]
    what: str
    source: str
    standing: Standing = Standing.PUBLISHED

    @property
    def nominal_standing(self) -> Standing:
        """How far the nominal band can be trusted: nobody prints one."""
        return weakest((self.standing, Standing.INFERRED))


_GUIDES = "S07 S08 S09"
_AIR = ("squeeze of a ring that moves in air: rows from 5.6 to 12.9 % before stretch, 3 to 5 % where friction counts",)
_JIS_SMALL = "small rings as in the JIS B 2401-2 P sizes"

_SQUEEZE: dict[tuple[str, bool], Rule] = {
    ("face", False): Rule((20, 30), (10, 35), (5, 45), "squeeze in a static face groove", named(_GUIDES)),
    ("face", True): Rule(
        (20, 30), (10, 37), (5, 45), "squeeze of a small section in a face groove: guide rows to 36 %", named("S02 S04")
    ),
    ("static", False): Rule((18, 25), (5, 30), (3, 40), "squeeze in a static radial groove", named(_GUIDES)),
    ("static", True): Rule(
        (18, 30), (5, 37), (3, 40), "squeeze of a small section, static radial: guide rows to 37 %", named("S02 S04")
    ),
    ("reciprocating", False): Rule(
        (10, 20), (6, 20), (4, 30), "squeeze of a ring that slides: rows from 7.9 % before stretch", named("S07 S20")
    ),
    ("reciprocating", True): Rule(
        (10, 20), (6, 28), (4, 35), "squeeze of a small section that slides: guide rows 11 to 28 %", named("S02 S04")
    ),
    ("pneumatic", False): Rule((5, 13), (2, 20), (1.5, 25), *_AIR, named("S16 S107")),
    ("pneumatic", True): Rule((5, 13), (2, 20), (1.5, 25), *_AIR, named("S16 S107")),
    ("port", False): Rule((10, 35), (5, 40), (3, 50), "squeeze in a port's chamfer", PRACTICE, Standing.PRACTICE),
    ("port", True): Rule((10, 35), (5, 40), (3, 50), "squeeze in a port's chamfer", PRACTICE, Standing.PRACTICE),
}
_STRETCH = Rule(
    (0, 5), (-2, 8), (-3, 12), "stretch of 0 to 5 %, to 6 or 8 % static in European guides", named("S06 S08 S09 S25")
)
_STRETCH_SMALL = Rule((0, 8), (-3, 13.5), (-5, 18), f"stretch of {_JIS_SMALL}", "JIS B 2401-2", Standing.MEMORY)
_STRETCH_PORT = Rule((0, 10), (-2, 15), (-3, 18), "stretch on a plug's neck", PRACTICE, Standing.PRACTICE)
_COMPRESSION = Rule((0, 3), (-2, 5), (-4, 8), "OD held in by 0 to 3 %", named(_GUIDES))
_COMPRESSION_SMALL = Rule((0, 10), (-4, 15), (-8, 20), f"OD held in of {_JIS_SMALL}", "JIS B 2401-2", Standing.MEMORY)
FILL = Rule(
    (60, 85), (0, 100), (0, 95), "fill of 60 to 85 %, never 100 %; vacuum grooves to 93 %", named("S07 S09 S25 S01")
)
LEAST_SQUEEZE = Because("a least squeeze of about 0.2 mm of the free width", named("S25"), Standing.PUBLISHED)
ENTRY = Because("a ring goes freely into its groove", PRACTICE, Standing.PRACTICE)
NO_GAP = Because("no gap, no extrusion", named("S15"), Standing.PUBLISHED)
BACK_UPS = Because(
    "one back-up ring on the side away from the pressure, one on each side where the pressure changes sides",
    "MIL-G-5514G, 3.4",
    Standing.PUBLISHED,
)


@cache
def squeeze_rule(kind: GrooveKind, motion: Motion, section: float) -> Rule:
    """The rule for squeeze in a groove of this kind for a ring of this width (mm)."""
    name = "face" if kind.is_face else "port" if kind is GrooveKind.PORT else str(motion)
    return _SQUEEZE[name, at_most(section, SMALL_SECTION)]


def stretch_rule(kind: GrooveKind, inside: float) -> Rule:
    """The rule for stretch of a ring of this ID (mm)."""
    if kind is GrooveKind.PORT:
        return _STRETCH_PORT
    return _STRETCH_SMALL if under(inside, SMALL_DIAMETER) else _STRETCH


def compression_rule(outside: float) -> Rule:
    """The rule for how far a groove's outer diameter holds in a ring of this OD (mm)."""
    return _COMPRESSION_SMALL if under(outside, SMALL_DIAMETER) else _COMPRESSION
