"""What is noted with a ring that fitted, besides its size and how it was measured."""

from __future__ import annotations

from tui.fields.grooves import Hardness
from tui.fields.plain import Text

FIT_RUBBER = Text(
    "rubber", "Rubber", "its rubber, like NBR, if known", must=False, metavar="FAMILY", what="NBR; empty if not known"
)
FIT_HARDNESS = Hardness(
    "hardness", "Hardness", "its hardness, if known", metavar="SHORE_A", least=1, most=100, what="Shore A, if known"
)
FIT_NOTE = Text(
    "note",
    "Note",
    "anything the next one should know",
    must=False,
    what="anything the next one should know",
    longest=2000,
)
