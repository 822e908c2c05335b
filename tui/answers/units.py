"""The units of bare numbers, as an answer."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from tui.answers.answer import Answer


@dataclass(frozen=True)
class UnitsAnswer(Answer):
    """The unit of a number typed without one, quantity by quantity. `length` is the session's, the rest is kept."""

    SCHEMA: ClassVar[str] = "kitwright.units/2"

    length: Literal["mm", "in"]
    torque: Literal["N·m", "lbf·ft"]
    pressure: Literal["bar", "psi"]
    volume: Literal["L", "US qt"]
    temperature: Literal["°C", "°F"]

    def words(self) -> list[str]:
        """One line a quantity."""
        return [
            f"A length typed without a unit is in {self.length} (this session's; --unit, or F6 in the app).",
            f"A torque is in {self.torque}, a pressure in {self.pressure}, a volume in {self.volume}, "
            f"a temperature in {self.temperature}: kept for this bench.",
        ]
