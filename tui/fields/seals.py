"""What is measured of a sealing washer, and of the place of a rotary shaft seal. A length may carry its own ±."""

from __future__ import annotations

from typing import Final

from tui.fields.plain import Choice, Flag
from tui.fields.quantities import Dimension
from tui.fields.threads import ThreadName

WASHER_KINDS: Final = ("flat", "bonded")
"""What a washer is made like, as `catalog.seals.washers.WasherKind` has it."""

INSIDE = Dimension("inside", "Inside", "inside diameter; of a bonded one inside its rubber lip", what="diameter")
OUTSIDE = Dimension("outside", "Outside", "outside diameter", what="diameter")
THICK = Dimension("thick", "Thickness", "thickness of the metal", what="of the metal")
NEW = Flag("new", "New", "it was never tightened")
KIND = Choice(
    "kind",
    "Made of",
    "flat (soft metal) or bonded (steel with a rubber lip)",
    must=False,
    choices=WASHER_KINDS,
    metavar="WORD",
)
PLUG = ThreadName("thread", "Or thread", "or ask by the plug's thread: M14x1.5, G 1/4", what="M14x1.5, G 1/4")

SHAFT = Dimension("shaft", "Shaft", "the shaft's diameter beside the lip's track", what="beside the track")
BORE = Dimension("bore", "Bore", "the housing's bore", what="of the housing")
OD = Dimension("od", "or seal OD", "the seal's own outside diameter, in place of the bore", what="over its outside")
WIDTH = Dimension("width", "Width", "the seal's width", what="of the seal")
