"""All that is typed and picked on Measure for one ring: kept when it is emptied, so that it can be brought back."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from catalog.orings.evidence import Condition, Tool
from tui.screens.measure.result import CONDITIONS, JOINTS, SLOTS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tui.answers.ring import Reading
    from tui.answers.ring_photo import RingPhoto
    from tui.screens.groove.draft import Draft
    from tui.screens.ring_list.listed import Listed


USUAL = tuple(slot.tool for slot in SLOTS)
PICTURED = (0, 2)
"""The places of ID and width among the fields."""


class ByPicture(NamedTuple):
    """ID and width that a picture gave, as they stand in their fields, and what is to be known of them."""

    texts: tuple[str, str]
    words: str

    def counts(self, texts: Sequence[str]) -> bool:
        """Whether any of it still stands in the fields."""
        return any(texts[at] == text for at, text in zip(PICTURED, self.texts, strict=True))


class Typed(NamedTuple):
    """Texts and tools in the order of the fields, the places of the words picked, the fluid and the hottest.

    `draft`: the groove as typed. `hand`: the place of the ring in the list, where it is one of it. `picture`: what of
    it a picture gave.
    """

    texts: tuple[str, ...] = ("",) * len(SLOTS)
    tools: tuple[Tool, ...] = USUAL
    condition: int = 0
    joint: int = 0
    meets: tuple[str, str] = ("", "")
    draft: Draft | None = None
    hand: int | None = None
    picture: ByPicture | None = None

    def is_empty(self, meets: tuple[str, str]) -> bool:
        """Whether nothing of it says anything of a ring; `meets`: what stands in the fluid's fields by itself."""
        return not any(self.texts) and self.meets in (("", ""), meets)


def pictured(now: Typed, found: RingPhoto) -> Typed:
    """What a picture gave in place of the readings; all else stays."""
    inside, width = (_text(one) for one in found.readings)
    texts = tuple(dict(zip(PICTURED, (inside, width), strict=True)).get(at, "") for at in range(len(SLOTS)))
    return now._replace(texts=texts, tools=USUAL, picture=ByPicture((inside, width), found.words()[0]))


def typed_of(ring: Listed, meets: tuple[str, str], hand: int) -> Typed:
    """A ring of the list as it would be typed, each reading with its unit."""
    empty = Typed()
    texts, tools = list(empty.texts), list(empty.tools)
    for one in ring.readings:
        free = [at for at, slot in enumerate(SLOTS) if slot.dimension.value == one.what and not texts[at]]
        if free:
            texts[free[0]] = _text(one)
            tools[free[0]] = Tool(one.tool) if one.tool != Tool.STATED.value else empty.tools[free[0]]
    condition = CONDITIONS.index(Condition(ring.condition)) if ring.condition else 0
    return Typed(tuple(texts), tuple(tools), condition, JOINTS.index(ring.joint), meets, hand=hand)


def _text(one: Reading) -> str:
    error = f"±{_short(one.plus_minus_mm)}" if one.tool == Tool.STATED.value else ""
    return f"{_short(one.value_mm)}{error} mm"


def _short(value_mm: float) -> str:
    """To the micrometre, without zeros that say nothing."""
    return f"{value_mm:.3f}".rstrip("0").rstrip(".")
