"""The bands that squeeze, stretch, compression and fill are judged against, each with its source.

Published guides differ, so each rule keeps three bands: what is usual (a remark when left), what the worst case must
stay within to seal, and how far the nominal may stray before the answer is no. Small sections carry the same ± as
large ones, so guides allow them more percent: their own rows say how much. Source keys: data/grooves/SOURCES.md.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from catalog.orings.groove import GrooveKind, Motion

# Up to this width (mm) a section counts as small; JIS P and the AS568 -0xx sizes are the widest of them.
SMALL_SECTION = 2.1
# Below this diameter (mm) JIS P sizes stretch and squeeze in more than the rules for larger rings allow.
SMALL_DIAMETER = 20.0
LEAST_SQUEEZE_MM = 0.2
LEAST_SQUEEZE_SOURCE = "least squeeze about 0.2 mm, S25"
PRACTICE = "common practice, no source"


class Rule(NamedTuple):
    """Bands in percent. `usual` is what guides recommend, `worst` holds the worst case, `nominal` the nominal."""

    usual: tuple[float, float]
    worst: tuple[float, float]
    nominal: tuple[float, float]
    source: str


_SQUEEZE: dict[tuple[str, bool], Rule] = {
    ("face", False): Rule((20, 30), (10, 35), (5, 45), "static face 20–30 %, 10–35 % at the extremes, S07 S08 S09"),
    ("face", True): Rule((20, 30), (10, 37), (5, 45), "static face, small section: guide rows to 36 %, S02 S04"),
    ("static", False): Rule((18, 25), (5, 30), (3, 40), "static radial 18–25 %, 5–30 % at the extremes, S07 S08 S09"),
    ("static", True): Rule((18, 30), (5, 37), (3, 40), "static radial, small section: guide rows to 37 %, S02 S04"),
    ("reciprocating", False): Rule(
        (10, 20), (6, 20), (4, 30), "reciprocating 10–20 %, S07; rows from 7.9 % before stretch, JIS B 2401-2 S20"
    ),
    ("reciprocating", True): Rule(
        (10, 20), (6, 28), (4, 35), "reciprocating, small section: guide rows 11–28 %, S02 S04"
    ),
    ("pneumatic", False): Rule((5, 13), (2, 20), (1.5, 25), "air: rows 5.6–12.9 % before stretch S16, 3–5 % S107"),
    ("pneumatic", True): Rule((5, 13), (2, 20), (1.5, 25), "air: rows 5.6–12.9 % before stretch S16, 3–5 % S107"),
    ("port", False): Rule((10, 35), (5, 40), (3, 50), PRACTICE),
    ("port", True): Rule((10, 35), (5, 40), (3, 50), PRACTICE),
}
_STRETCH = Rule((0, 5), (-2, 8), (-3, 12), "stretch 0–5 %, to 6–8 % static in European guides, S06 S08 S09 S25")
_STRETCH_SMALL = Rule(
    (0, 8), (-3, 13.5), (-5, 18), "stretch of small rings as in the JIS B 2401-2 P sizes; from memory"
)
_STRETCH_PORT = Rule((0, 10), (-2, 15), (-3, 18), PRACTICE)
_COMPRESSION = Rule((0, 3), (-2, 5), (-4, 8), "OD held in by 0–3 %, S07 S08 S09")
_COMPRESSION_SMALL = Rule((0, 10), (-4, 15), (-8, 20), "OD of small rings as in the JIS B 2401-2 P sizes; from memory")
FILL = Rule((60, 85), (0, 100), (0, 95), "fill 60–85 %, never 100 %, S07 S09 S25; vacuum grooves to 93 %, S01")


@cache
def squeeze_rule(kind: GrooveKind, motion: Motion, section: float) -> Rule:
    """The rule for squeeze in a groove of this kind for a ring of this width (mm)."""
    name = "face" if kind.is_face else "port" if kind is GrooveKind.PORT else str(motion)
    return _SQUEEZE[name, section <= SMALL_SECTION]


def stretch_rule(kind: GrooveKind, inside: float) -> Rule:
    """The rule for stretch of a ring of this ID (mm)."""
    if kind is GrooveKind.PORT:
        return _STRETCH_PORT
    return _STRETCH_SMALL if inside < SMALL_DIAMETER else _STRETCH


def compression_rule(outside: float) -> Rule:
    """The rule for how far a groove's outer diameter holds in a ring of this OD (mm)."""
    return _COMPRESSION_SMALL if outside < SMALL_DIAMETER else _COMPRESSION
