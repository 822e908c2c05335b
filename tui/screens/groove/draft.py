"""What stands on the groove screen: kind, motion and every field. Measure keeps it, so nothing typed is lost."""

from __future__ import annotations

from typing import Final, NamedTuple

from catalog.orings.groove import Groove, GrooveKind, Motion
from catalog.orings.groove_reading import GrooveTool

KINDS: Final = tuple(GrooveKind)
KIND_WORDS: Final = ("piston", "rod", "face in", "face out", "port")
MOTIONS: Final = tuple(Motion)
MOTION_WORDS: Final = ("still", "moves", "moves in air")
FACES: Final = (GrooveKind.FACE_INSIDE, GrooveKind.FACE_OUTSIDE)
MOVING: Final = (GrooveKind.PISTON, GrooveKind.ROD)
CUT: Final = (*MOVING, *FACES)
# None: each size with what it is usually read with, a caliper or for a depth a depth gauge.
TOOLS: Final = (None, GrooveTool.MICROMETER, GrooveTool.RULE)
TOOL_WORDS: Final = ("caliper", "micrometer", "rule")


class Slot(NamedTuple):
    """One field: key, name, what to measure, the kinds of groove it belongs to, and whether it is a groove's size."""

    key: str
    name: str
    hint: str
    kinds: tuple[GrooveKind, ...]
    size: bool = True


SLOTS: Final = (
    Slot("root", "Root", "diameter, groove bottom", (GrooveKind.PISTON,)),
    Slot("bore", "Bore", "it runs in; or the depth", (GrooveKind.PISTON,)),
    Slot("rod", "Rod", "diameter", (GrooveKind.ROD,)),
    Slot("bottom", "Bottom", "of the groove; or the depth", (GrooveKind.ROD,)),
    Slot("outer", "OD", "of the groove, ring on it", (GrooveKind.FACE_INSIDE,)),
    Slot("inner", "ID", "of the groove, ring on it", (GrooveKind.FACE_OUTSIDE,)),
    Slot("depth", "Depth", "bottom to the other part", CUT),
    Slot("width", "Width", "of the groove", CUT),
    Slot("neck", "Neck", "diameter under the ring", (GrooveKind.PORT,)),
    Slot("mouth", "Mouth", "diameter of the chamfer", (GrooveKind.PORT,)),
    Slot("chamfer", "Chamfer", "° from the axis: 12, 15", (GrooveKind.PORT,)),
    Slot("ring", "Ring", "by name, if known: AS568-214", KINDS, size=False),
    Slot("gap", "Gap", "clearance, on diameter", CUT, size=False),
    Slot("play", "Play", "on diameter, or “centred”", MOVING, size=False),
    Slot("pressure", "Pressure", "at work, such as 160 bar", KINDS, size=False),
    Slot("hardness", "Hardness", "Shore A; 70 if empty", KINDS, size=False),
    Slot("swell", "Swell", "% of volume in the fluid", KINDS, size=False),
    Slot("warmth", "Warmth", "at work, such as 100 °C", KINDS, size=False),
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
