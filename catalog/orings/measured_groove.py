"""A groove from what was measured of it: the sizes that each kind needs, each reading's ±, and the groove of them."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import Final, NamedTuple

from catalog.orings import groove as build
from catalog.orings.groove import Groove, GrooveKind, Motion
from catalog.orings.groove_reading import GrooveReading, GrooveTool, groove_reading
from catalog.orings.span import Range

SOURCE: Final = "measured"
LABEL: Final = "as measured"


class Takes(NamedTuple):
    """What a kind of groove needs: all of `must`, and exactly one of `either`."""

    must: tuple[str, ...]
    either: tuple[str, ...] = ()


TAKES: Final[Mapping[GrooveKind, Takes]] = MappingProxyType(
    {
        GrooveKind.PISTON: Takes(("root", "width"), ("bore", "depth")),
        GrooveKind.ROD: Takes(("rod", "width"), ("groove_diameter", "depth")),
        GrooveKind.FACE_INSIDE: Takes(("groove_diameter", "depth", "width")),
        GrooveKind.FACE_OUTSIDE: Takes(("groove_diameter", "depth", "width")),
        GrooveKind.PORT: Takes(("neck", "mouth", "chamfer")),
    }
)
"""The sizes of each kind by name; `chamfer` is an angle in degrees, the rest lengths."""

_TELLS: Final[Mapping[str, GrooveKind]] = MappingProxyType(
    {
        "root": GrooveKind.PISTON,
        "bore": GrooveKind.PISTON,
        "rod": GrooveKind.ROD,
        "neck": GrooveKind.PORT,
        "mouth": GrooveKind.PORT,
        "chamfer": GrooveKind.PORT,
    }
)


def told_by(sizes: Collection[str]) -> GrooveKind | None:
    """The kind that one of these sizes tells; None where they leave it open (a groove diameter could be of three)."""
    return next((kind for name, kind in _TELLS.items() if name in sizes), None)


def reading_of(
    kind: GrooveKind, name: str, value_mm: float, plus_minus_mm: float | None = None, tool: GrooveTool | None = None
) -> GrooveReading:
    """A reading of a groove of this kind with its ±, mm. Raises ValueError where it can't be.

    The inner wall of a face groove is reached from outside, its outer wall from inside.
    """
    reached = "inner" if name == "groove_diameter" and kind is GrooveKind.FACE_OUTSIDE else name
    return groove_reading(reached, value_mm, plus_minus_mm, tool)._replace(name=name)


def built(kind: GrooveKind, motion: Motion, sizes: Mapping[str, Range]) -> Groove:
    """The groove of these sizes, mm and degrees; every size that the kind needs is there. Raises ValueError."""
    if kind is GrooveKind.PORT:
        return build.port(sizes["neck"], sizes["mouth"], sizes["chamfer"], label=LABEL, source=SOURCE)
    width, depth = sizes["width"], sizes.get("depth")
    if kind is GrooveKind.PISTON:
        bore = sizes.get("bore")
        return build.piston(sizes["root"], width, bore=bore, depth=depth, motion=motion, label=LABEL, source=SOURCE)
    if kind is GrooveKind.ROD:
        bottom = sizes.get("groove_diameter")
        return build.rod(
            sizes["rod"], width, groove_diameter=bottom, depth=depth, motion=motion, label=LABEL, source=SOURCE
        )
    face = build.face_inside if kind is GrooveKind.FACE_INSIDE else build.face_outside
    # A face joint is taken as metal on metal unless a gap was measured.
    return face(sizes["groove_diameter"], sizes["depth"], width, label=LABEL, source=SOURCE)
