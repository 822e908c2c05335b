"""A groove: what kind it is, and its dimensions as measured or as a standard prints them, each with its own ±."""

from __future__ import annotations

from enum import StrEnum
from math import isfinite
from typing import NamedTuple

from catalog.orings.span import Range


class GrooveKind(StrEnum):
    """Where the groove is and which side the pressure comes from."""

    PISTON = "piston"
    ROD = "rod"
    FACE_INSIDE = "face_inside"
    FACE_OUTSIDE = "face_outside"
    PORT = "port"

    @property
    def is_face(self) -> bool:
        """True where the ring is squeezed along its axis."""
        return self in (GrooveKind.FACE_INSIDE, GrooveKind.FACE_OUTSIDE)


class Motion(StrEnum):
    """Whether the ring stands still, slides to and fro in oil or water, or slides in air (which is squeezed less)."""

    STATIC = "static"
    RECIPROCATING = "reciprocating"
    PNEUMATIC = "pneumatic"


class Groove(NamedTuple):
    """One groove, mm. Build it with `piston`, `rod`, `face_inside`, `face_outside` or `port`, which check it.

    `inner`: the smaller diameter the ring lies between: groove root on a piston, rod, groove ID of a face, neck of a
    stud. `outer`: the larger one: bore, groove bottom in a housing, groove OD of a face, mouth of a port's chamfer.
    `depth`: groove bottom to mating surface, clearance included; None where the two diameters give it.
    `chamfer`: angle of a port's chamfer from the axis, degrees. `clearance`: diametral gap that pressure may push
    rubber into; 0 where metal meets metal, None where unknown.
    """

    kind: GrooveKind
    motion: Motion
    inner: Range | None
    outer: Range | None
    depth: Range | None
    width: Range | None
    chamfer: Range | None = None
    clearance: float | None = None
    label: str = ""
    source: str = ""


def _positive(name: str, value: Range | None) -> None:
    if value is None:
        return
    if not all(map(isfinite, value)) or not 0 < value.minimum <= value.nominal <= value.maximum:
        raise ValueError(
            f"The {name} ({value.minimum:g} to {value.maximum:g} mm) must be above zero, with its lowest below its "
            "highest; measure again or make the ± smaller."
        )


def _nested(small: str, inner: Range, large: str, outer: Range) -> None:
    if inner.maximum >= outer.minimum:
        raise ValueError(
            f"The {small} (up to {inner.maximum:g} mm) must be smaller than the {large} (from {outer.minimum:g} mm); "
            "check which is which, and their ±."
        )


def _radial(kind: GrooveKind, names: tuple[str, str], groove: Groove) -> Groove:
    small, large = names
    if groove.inner is None:
        raise ValueError(f"A {kind} groove needs its {small}; measure it and give it in mm.")
    if (groove.outer is None) == (groove.depth is None):
        raise ValueError(f"Give either the {large} or the depth with clearance, not both and not neither.")
    for name, value in ((small, groove.inner), (large, groove.outer), ("depth", groove.depth), ("width", groove.width)):
        _positive(name, value)
    if groove.outer is not None:
        _nested(small, groove.inner, large, groove.outer)
    return groove


def piston(
    root: Range,
    width: Range,
    *,
    bore: Range | None = None,
    depth: Range | None = None,
    motion: Motion = Motion.STATIC,
    clearance: float | None = None,
    label: str = "",
    source: str = "",
) -> Groove:
    """Ring on a piston or plug: groove root diameter, groove width, and the bore it runs in (or the depth to the bore).

    Raises ValueError in one sentence when the dimensions cannot be.
    """
    groove = Groove(GrooveKind.PISTON, motion, root, bore, depth, width, None, clearance, label, source)
    return _radial(GrooveKind.PISTON, ("groove root", "bore"), groove)


def rod(
    rod_diameter: Range,
    width: Range,
    *,
    groove_diameter: Range | None = None,
    depth: Range | None = None,
    motion: Motion = Motion.STATIC,
    clearance: float | None = None,
    label: str = "",
    source: str = "",
) -> Groove:
    """Ring in a bore, sealing on a rod: rod diameter, groove width, and the groove's bottom diameter (or the depth)."""
    groove = Groove(GrooveKind.ROD, motion, rod_diameter, groove_diameter, depth, width, None, clearance, label, source)
    return _radial(GrooveKind.ROD, ("rod", "groove diameter"), groove)


def face_inside(
    outer: Range, depth: Range, width: Range, *, clearance: float | None = 0.0, label: str = "", source: str = ""
) -> Groove:
    """Ring under a face, pressure inside: the ring rests on the groove's OD. Depth is along the axis."""
    for name, value in (("groove OD", outer), ("depth", depth), ("groove width", width)):
        _positive(name, value)
    if outer.minimum <= 2 * width.maximum:
        raise ValueError(
            f"A groove {width.maximum:g} mm wide does not fit inside an OD of {outer.minimum:g} mm; check both."
        )
    return Groove(GrooveKind.FACE_INSIDE, Motion.STATIC, None, outer, depth, width, None, clearance, label, source)


def face_outside(
    inner: Range, depth: Range, width: Range, *, clearance: float | None = 0.0, label: str = "", source: str = ""
) -> Groove:
    """Ring under a face, pressure outside or vacuum inside: the ring rests on the groove's ID."""
    for name, value in (("groove ID", inner), ("depth", depth), ("groove width", width)):
        _positive(name, value)
    return Groove(GrooveKind.FACE_OUTSIDE, Motion.STATIC, inner, None, depth, width, None, clearance, label, source)


def port(
    neck: Range,
    mouth: Range,
    chamfer: Range,
    *,
    label: str = "",
    source: str = "",
) -> Groove:
    """Ring on the neck of a threaded plug or stud, pressed by its flange into a port's chamfer.

    `chamfer` is its angle from the axis in degrees (12 in SAE J1926-1, 15 in ISO 6149-1).
    """
    for name, value in (("neck", neck), ("chamfer's mouth", mouth)):
        _positive(name, value)
    _nested("neck", neck, "chamfer's mouth", mouth)
    if not 0 <= chamfer.minimum <= chamfer.nominal <= chamfer.maximum <= 45:
        raise ValueError(
            f"The chamfer's angle ({chamfer.minimum:g} to {chamfer.maximum:g} degrees) must lie between 0 and 45 "
            "degrees from the axis; 12 is SAE J1926-1, 15 is ISO 6149-1."
        )
    return Groove(GrooveKind.PORT, Motion.STATIC, neck, mouth, None, None, chamfer, 0.0, label, source)
