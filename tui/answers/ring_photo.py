"""What a picture of a ring gave: its readings, and what is to be known of them."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Final

from tui.answers.answer import Answer
from tui.answers.ring import Reading

if TYPE_CHECKING:
    from catalog.photo.reading import Measured

UNTRIED: Final = "Measuring by a picture is not yet tried on a real photograph: check with a caliper."
UNTRIED_SHORT: Final = "By a picture, not yet tried on a real photograph: check with a caliper."
LEAST_OVAL_MM: Final = 0.25
"""Less is within what a picture tells."""


@dataclass(frozen=True)
class RingPhoto(Answer):
    """A ring's ID and width by a picture, each with its ±; lengths in mm. `oval_mm`: longest less shortest ID."""

    SCHEMA: ClassVar[str] = "kitwright.ring-photo/2"

    file: str
    readings: tuple[Reading, ...]
    oval_mm: float
    tilt_deg: float
    missing_marks: int

    def words(self) -> list[str]:
        """One line: what was measured by the picture, and what is to be known of it."""
        inside, width = self.readings
        oval = (
            f" It is out of round: its ID differs by {self.oval_mm:.1f} mm from one way to another; the mean is taken."
            if self.oval_mm >= LEAST_OVAL_MM
            else ""
        )
        hidden = f" {self.missing_marks} of 12 marks were not seen." if self.missing_marks else ""
        return [
            f"By the picture {self.file[:60]}: ID {inside.value_mm:.2f} ± {inside.plus_minus_mm:.2f} mm, "
            f"width {width.value_mm:.2f} ± {width.plus_minus_mm:.2f} mm.{oval}{hidden} {UNTRIED}"
        ]


@dataclass(frozen=True)
class RingPhotoStep(Answer):
    """What is being done with a picture that is measured."""

    SCHEMA: ClassVar[str] = "kitwright.ring-photo-step/2"

    step: str

    def words(self) -> list[str]:
        """The step."""
        return [self.step]


def ring_photo(name: str, found: Measured) -> RingPhoto:
    """The answer of a picture's file of that name."""
    return RingPhoto(
        Path(name).name,
        (
            Reading("id", round(found.id_mm, 3), round(found.id_plus_minus_mm, 3), "stated"),
            Reading("width", round(found.width_mm, 3), round(found.width_plus_minus_mm, 3), "stated"),
        ),
        found.oval_mm,
        found.tilt_deg,
        found.missing_marks,
    )
