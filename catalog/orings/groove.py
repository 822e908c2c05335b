"""A groove: what kind it is, and its dimensions as measured or as a standard prints them, each with its own ±.

A loaded piston or rod lies pushed over all the time, so its play is no tolerance corner: the radial gap is open by half
the diametral play at one side and closed by half at the other (`Groove.pushed_mm`; `figures` reckons both sides).
"""

from __future__ import annotations

from enum import StrEnum
from math import isfinite
from typing import NamedTuple

from catalog.compare import over
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


class Guiding(StrEnum):
    """What is taken of the play between piston and bore, or rod and its bore.

    `NONE`: a face or a port, which has none. `PLAY`: as given. `CLEARANCE`: not given, so the clearance is the play.
    `CENTRED`: said to be guided centred. `UNKNOWN`: nobody knows, so it is taken as centred.
    """

    NONE = "no play in this kind of groove"
    PLAY = "play as given"
    CLEARANCE = "clearance taken as play"
    CENTRED = "guided centred, as said"
    UNKNOWN = "play unknown, taken as centred"


class Groove(NamedTuple):
    """One groove, mm. Build it with `piston`, `rod`, `face_inside`, `face_outside` or `port`, which check it.

    `inner`: the smaller diameter the ring lies between: groove root on a piston, rod, groove ID of a face, neck of a
    stud. `outer`: the larger one: bore, groove bottom in a housing, groove OD of a face, mouth of a port's chamfer.
    `depth`: groove bottom to mating surface, clearance included; None where the two diameters give it.
    `chamfer`: angle of a port's chamfer from the axis, degrees. `clearance`: diametral gap that pressure may push
    rubber into; 0 where metal meets metal, None where unknown. `play`: diametral guide clearance of a piston or rod,
    None where not given: then the clearance counts, and where that is unknown too the part is taken as centred.
    `centred`: something holds the part in the middle (guide rings, bearings), whatever its clearance.
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
    play: float | None = None
    centred: bool = False

    @property
    def guiding(self) -> Guiding:
        """What is taken of the play."""
        if self.kind not in (GrooveKind.PISTON, GrooveKind.ROD):
            return Guiding.NONE
        if self.centred:
            return Guiding.CENTRED
        if self.play is not None:
            return Guiding.PLAY
        return Guiding.UNKNOWN if self.clearance is None else Guiding.CLEARANCE

    @property
    def pushed_mm(self) -> float:
        """The diametral play, mm, by which the part is pushed over; 0 where it is centred or taken so."""
        match self.guiding:
            case Guiding.PLAY:
                return self.play or 0.0
            case Guiding.CLEARANCE:
                return self.clearance or 0.0
            case _:
                return 0.0


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
    _guided(groove)
    return groove


def guided(
    groove: Groove, *, clearance: float | None = None, play: float | None = None, centred: bool = False
) -> Groove:
    """The same groove with another clearance, play or guide, where given. Raises ValueError where they cannot be."""
    if groove.guiding is Guiding.NONE and (play is not None or centred):
        raise ValueError(f"A {groove.kind.value.replace('_', '-')} groove has no play; leave it out.")
    found = groove._replace(
        clearance=groove.clearance if clearance is None else clearance,
        play=groove.play if play is None else play,
        centred=groove.centred or centred,
    )
    if found.guiding is not Guiding.NONE:
        _guided(found)
    return found


def _guided(groove: Groove) -> None:
    for name, gap in (("clearance", groove.clearance), ("play", groove.play)):
        if gap is not None and not (isfinite(gap) and gap >= 0):
            raise ValueError(f"The {name} on diameter ({gap:g} mm) must be 0 or more, for example 0.15.")
    if groove.centred and groove.play:
        raise ValueError("A part that is guided centred has no play to judge; give the play or say centred, not both.")
    if groove.play is not None and groove.clearance is not None and over(groove.play, groove.clearance):
        raise ValueError(
            f"The play ({groove.play:g} mm) can't be more than the clearance ({groove.clearance:g} mm): "
            "metal would meet metal first. Measure both again."
        )
    least = depth_range(groove).minimum
    if groove.pushed_mm and not groove.pushed_mm / 2 < least:
        raise ValueError(
            f"A play of {groove.pushed_mm:g} mm on diameter moves the part by {groove.pushed_mm / 2:g} mm, more than "
            f"the groove's whole depth ({least:g} mm at the least); measure both again."
        )


def depth_range(groove: Groove) -> Range:
    """Groove bottom to mating surface, mm, on the radius with the part in the middle; a port's before its chamfer."""
    if groove.depth is not None:
        return groove.depth
    inner, outer = groove.inner, groove.outer
    assert inner is not None
    assert outer is not None
    return Range(
        (outer.minimum - inner.maximum) / 2, (outer.nominal - inner.nominal) / 2, (outer.maximum - inner.minimum) / 2
    )


def piston(
    root: Range,
    width: Range,
    *,
    bore: Range | None = None,
    depth: Range | None = None,
    motion: Motion = Motion.STATIC,
    clearance: float | None = None,
    play: float | None = None,
    centred: bool = False,
    label: str = "",
    source: str = "",
) -> Groove:
    """Ring on a piston or plug: groove root diameter, groove width, and the bore it runs in (or the depth to the bore).

    Raises ValueError in one sentence when the dimensions cannot be.
    """
    groove = Groove(GrooveKind.PISTON, motion, root, bore, depth, width, None, clearance, label, source, play, centred)
    return _radial(GrooveKind.PISTON, ("groove root", "bore"), groove)


def rod(
    rod_diameter: Range,
    width: Range,
    *,
    groove_diameter: Range | None = None,
    depth: Range | None = None,
    motion: Motion = Motion.STATIC,
    clearance: float | None = None,
    play: float | None = None,
    centred: bool = False,
    label: str = "",
    source: str = "",
) -> Groove:
    """Ring in a bore, sealing on a rod: rod diameter, groove width, and the groove's bottom diameter (or the depth)."""
    groove = Groove(
        GrooveKind.ROD,
        motion,
        rod_diameter,
        groove_diameter,
        depth,
        width,
        None,
        clearance,
        label,
        source,
        play,
        centred,
    )
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
