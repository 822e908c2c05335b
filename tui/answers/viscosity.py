"""How thick a fluid is at a temperature, its index, its grades, and where a pump can bear it: the answer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import ClassVar, Final, Literal

import catalog
from tui.answers.answer import Answer, said
from tui.answers.reasons import Reason, Standing

Scale = Literal["ISO 3448", "SAE J300", "SAE J306"]
SCALES: Final[Mapping[Scale, str]] = MappingProxyType(
    {"ISO 3448": "ISO VG", "SAE J300": "SAE engine", "SAE J306": "SAE gear"}
)
"""The scales as a label writes them."""
THICK: Final = "too thick, the pump starves and howls"
THIN: Final = "too thin, the film breaks and the pump leaks inside"


def both(celsius: float, *, whole: bool = False) -> str:
    """A temperature on both scales."""
    fahrenheit = float(
        catalog.quantity.Typed(Fraction(round(celsius, 4)), "°C", None, catalog.quantity.Kind.TEMPERATURE).to("°F")
    )
    return f"{celsius:.{0 if whole else 1}f} °C ({fahrenheit:.0f} °F)"


@dataclass(frozen=True)
class ViscosityIndex:
    """The index by ASTM D2270, and by which of its procedures."""

    value: int
    procedure: Literal["A", "B"]


@dataclass(frozen=True)
class ViscosityAt:
    """The viscosity at a temperature that was asked. `extrapolated`: outside the measured temperatures.

    `within_limits`: of the pump, null where none were given; `why`: what it does there, where it is outside.
    """

    temperature_c: float
    mm2_per_s: float
    extrapolated: bool
    within_limits: bool | None
    why: str | None

    @property
    def figure(self) -> str:
        """The viscosity, also in Saybolt seconds where there are any."""
        return catalog.quantity.display.format_viscosity(self.mm2_per_s, self.temperature_c)

    @property
    def words(self) -> str:
        """Temperature, viscosity, and whether the pump tolerates it."""
        limits = {None: "", True: ", within the pump's limits", False: ", OUTSIDE the pump's limits"}
        mark = " (estimate)" if self.extrapolated else ""
        why = f": {self.why}" if self.why else ""
        return f"At {both(self.temperature_c)}: {self.figure}{limits[self.within_limits]}{mark}{why}"


@dataclass(frozen=True)
class ViscosityWindow:
    """Between which temperatures the pump tolerates it, °C."""

    coldest: float
    hottest: float
    extrapolated: bool

    @property
    def words(self) -> str:
        """Both temperatures, on both scales."""
        return f"Within the pump's limits from {both(self.coldest)} to {both(self.hottest)}"


@dataclass(frozen=True)
class Grade:
    """A grade that the fluid is in when warm: its limits in mm²/s, at 40 °C for ISO and at 100 °C for SAE.

    `most` is null where the grade is open above; it is inclusive for ISO, exclusive for SAE.
    """

    scale: Scale
    grade: str
    least: float
    most: float | None
    source: str
    standing: Standing

    @property
    def reason(self) -> Reason:
        """Its row as a rule that can be looked up."""
        iso = self.scale == "ISO 3448"
        most = "" if self.most is None else f" to {'' if iso else 'under '}{self.most:g}"
        rule = f"{self.scale} {self.grade}: {self.least:g}{most} mm²/s at {40 if iso else 100} °C"
        return Reason(rule, self.source, self.standing)


@dataclass(frozen=True)
class ViscosityAnswer(Answer):
    """What two points of a fluid, or of the two fluids of a blend, tell. Kinematic viscosity in mm²/s (cSt).

    `because`: the standards that it is worked out by.
    """

    SCHEMA: ClassVar[str] = "kitwright.fluid-viscosity/2"

    blend: bool
    mm2_per_s_at_40_c: float
    mm2_per_s_at_100_c: float
    index: ViscosityIndex | None
    at: tuple[ViscosityAt, ...]
    window_c: ViscosityWindow | None
    grades: tuple[Grade, ...]
    because: tuple[Reason, ...]
    note: str | None
    caution: str
    estimate: str = said()
    """What to mind of a figure outside the measured temperatures, where there is one."""
    no_index: str = said()
    """Why there is no index."""

    @property
    def found(self) -> bool:
        """Whether nothing that was asked is outside the pump's limits."""
        return not any(one.within_limits is False for one in self.at)

    def graded(self, scale: Scale) -> tuple[str, ...]:
        """The grades it is in on one scale."""
        return tuple(dict.fromkeys(one.grade for one in self.grades if one.scale == scale))

    def words(self) -> list[str]:
        """At each temperature, then the window, the points, the index, the grades."""
        what = "Blend" if self.blend else "Fluid"
        cold, hot = self.mm2_per_s_at_40_c, self.mm2_per_s_at_100_c
        index = self.index
        graded = "; ".join(f"{name} {' or '.join(self.graded(scale)) or 'none'}" for scale, name in SCALES.items())
        lines = [one.words for one in self.at]
        lines += [self.window_c.words] if self.window_c is not None else []
        lines.append(f"{what}: {cold:.2f} mm²/s at 40 °C, {hot:.2f} mm²/s at 100 °C (ASTM D341)")
        lines.append(
            f"Viscosity index: {self.no_index}"
            if index is None
            else f"Viscosity index {index.value} (ASTM D2270, procedure {index.procedure})"
        )
        lines.append(f"Grades when warm: {graded}")
        return [*lines, *filter(None, (self.estimate, self.note, self.caution))]
