"""What stands on the groove screen: kind, motion and every field. Measure keeps it, so nothing typed is lost."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final, NamedTuple

from catalog.orings.figures import Service
from catalog.orings.groove import Groove, GrooveKind, Motion
from catalog.orings.groove_reading import GrooveTool
from tui.fields import grooves
from tui.fields.field import Field

KINDS: Final = tuple(GrooveKind)
KIND_WORDS: Final = ("piston", "rod", "face in", "face out", "port")
MOTIONS: Final = tuple(Motion)
MOTION_WORDS: Final = ("still", "moves", "pneumatic")
FACES: Final = (GrooveKind.FACE_INSIDE, GrooveKind.FACE_OUTSIDE)
MOVING: Final = (GrooveKind.PISTON, GrooveKind.ROD)
CUT: Final = (*MOVING, *FACES)
# None: each size with what it is usually read with, a caliper or for a depth a depth gauge.
TOOLS: Final = (None, GrooveTool.MICROMETER, GrooveTool.RULE)
TOOL_WORDS: Final = ("caliper", "micrometer", "rule")


class Slot(NamedTuple):
    """One field: its key here, how it is read, the kinds of groove it belongs to, and whether it is a groove's size.

    A groove's diameter is one field of the question and has a name of its own in each kind of groove.
    """

    key: str
    field: Field[Any]
    kinds: tuple[GrooveKind, ...]
    size: bool = True

    @property
    def name(self) -> str:
        """What stands before it."""
        return self.field.label


def _diameter(key: str, label: str, what: str, kind: GrooveKind) -> Slot:
    return Slot(key, replace(grooves.GROOVE_DIAMETER, label=label, what=what), (kind,))


SLOTS: Final = (
    Slot("root", grooves.ROOT, (GrooveKind.PISTON,)),
    Slot("bore", grooves.BORE, (GrooveKind.PISTON,)),
    Slot("rod", grooves.ROD, (GrooveKind.ROD,)),
    _diameter("bottom", "Bottom", "of the groove; or the depth", GrooveKind.ROD),
    _diameter("outer", "OD", "of the groove, ring on it", GrooveKind.FACE_INSIDE),
    _diameter("inner", "ID", "of the groove, ring on it", GrooveKind.FACE_OUTSIDE),
    Slot("depth", grooves.DEPTH, CUT),
    Slot("width", grooves.WIDTH, CUT),
    Slot("neck", grooves.NECK, (GrooveKind.PORT,)),
    Slot("mouth", grooves.MOUTH, (GrooveKind.PORT,)),
    Slot("chamfer", grooves.CHAMFER, (GrooveKind.PORT,)),
    Slot("ring", grooves.RING, KINDS, size=False),
    Slot("clearance", grooves.CLEARANCE, CUT, size=False),
    Slot("play", grooves.PLAY, MOVING, size=False),
    Slot("pressure", grooves.PRESSURE, KINDS, size=False),
    Slot("hardness", grooves.HARDNESS, KINDS, size=False),
    Slot("swell", grooves.SWELL, KINDS, size=False),
    Slot("temperature", grooves.TEMPERATURE, KINDS, size=False),
)


class Draft:
    """Texts by the field's key, for all kinds at once. `standard` holds while the fields it filled stand unchanged."""

    def __init__(self) -> None:
        self.kind = GrooveKind.PISTON
        self.motion = Motion.STATIC
        self.tool: GrooveTool | None = None
        self.texts: dict[str, str] = {}
        self.standard: Groove | None = None
        self.filled: dict[str, str] = {}
        self.own: dict[str, str] | None = None
        self.cleared: dict[str, str] = {}
        self.groove: Groove | None = None
        self.service: Service | None = None

    def slots(self) -> tuple[Slot, ...]:
        """The fields that this kind of groove has."""
        return tuple(slot for slot in SLOTS if self.kind in slot.kinds)

    def sizes(self) -> dict[str, str]:
        """What is typed of the groove itself."""
        return {slot.key: self.texts.get(slot.key, "").strip() for slot in self.slots() if slot.size}

    @property
    def is_standard(self) -> bool:
        """Whether the fields still hold the standard groove they were filled with."""
        if self.standard is None or self.standard.kind is not self.kind or self.standard.motion is not self.motion:
            return False
        return {key: text for key, text in self.sizes().items() if text} == self.filled
