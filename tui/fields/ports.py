"""What is typed of a threaded port: how it seals, and the tube it is for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, ClassVar, Final, NamedTuple

from catalog import orings
from tui.fields.field import Asked, Field, FieldError
from tui.fields.quantities import Dimension, in_mm
from tui.fields.words import unknown

if TYPE_CHECKING:
    from catalog.orings.joints import PortSeal, Seen

LOOKS: Final = ("chamfer", "face", "cone", "washer", "thread")
"""What is seen of a seal, as `catalog.orings.joints.Seen` has it."""
SEALS: Final[Mapping[str, str]] = MappingProxyType(
    {
        **{look: look for look in LOOKS},
        "taper": "thread", "cone-24": "24° cone", "cone-24-ring": "24° cone with O-ring", "cone-37": "37° cone",
        "cone-45": "45° cone", "cone-60": "60° cone", "inverted-flare": "inverted flare",
        "bonded-washer": "bonded washer", "flat-washer": "flat washer", "banjo": "banjo", "metal-edge": "metal edge",
        "profile-ring": "profile ring", "retained-ring": "retained ring", "face-ring": "face ring",
    }
)  # fmt: skip
"""The words for a seal: as it is seen, or its kind, as `catalog.orings.joints.PortSeal` has it."""
_DASH: Final = re.compile(r"-([0-9]{1,2})")
_FRACTION: Final = re.compile(r"(?:([0-9])[ -])?([0-9]{1,2})/([0-9]{1,2})\s*(?:in|\"|″)?")
MM_PER_INCH: Final = 25.4


@dataclass(frozen=True)
class SealOf(Field["Seen | PortSeal | None"]):
    """How a port seals: what is seen of it, or its kind where that is known."""

    METAVAR: ClassVar[str] = "WORD"

    must: bool = False

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return f"{', '.join(LOOKS[:-1])} or {LOOKS[-1]}"

    def read(self, text: str, asked: Asked) -> Seen | PortSeal | None:
        """The look or the kind. Raises `FieldError`."""
        word = SEALS.get(text.casefold())
        if word is None:
            raise FieldError(unknown(text, list(SEALS)))
        return orings.joints.Seen(word) if word in LOOKS else orings.joints.PortSeal(word)


class Tube(NamedTuple):
    """A tube's outside diameter, mm, and how it was typed."""

    mm: float
    typed: str


@dataclass(frozen=True)
class TubeSize(Field["Tube | None"]):
    """A tube by its size: a fraction is inches, `-6` is six sixteenths, else it is a length."""

    METAVAR: ClassVar[str] = "SIZE"
    LENGTHS: ClassVar[bool] = True

    must: bool = False
    what: str = "3/8, 10 mm, -6"

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return self.what

    def read(self, text: str, asked: Asked) -> Tube | None:
        """The tube. Raises `FieldError`."""
        if dash := _DASH.fullmatch(text):
            if int(dash[1]):
                return Tube(int(dash[1]) * MM_PER_INCH / 16, text)
            raise FieldError("no tube is of size -0; type 3/8, 10mm or -6")
        if (fraction := _FRACTION.fullmatch(text)) and int(fraction[2]) and int(fraction[3]):
            inches = int(fraction[1] or 0) + int(fraction[2]) / int(fraction[3])
            return Tube(inches * MM_PER_INCH, text)
        return Tube(in_mm(Dimension(self.name, self.label).read(text, asked))[0], text)

    def echo(self, value: Tube | None, asked: Asked) -> str:
        """It in both units, and the other tubes that a caliper may read so."""
        if value is None:
            return ""
        near = "".join(f", or {tube}" for tube in orings.joints.tubes_near(value.mm))
        return f"{value.mm:.2f} mm = {value.mm / MM_PER_INCH:.4g} in{near}"


SEAL = SealOf("seal", "Seal", "how it seals: chamfer, face, cone, washer or thread")
TUBE = TubeSize("tube", "Tube", "or ask by the tube's size: 3/8, 10mm or -6")
