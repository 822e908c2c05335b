"""What a number typed without a unit means at this bench."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

import models
from tui.answers.units import UnitsAnswer
from tui.fields.field import Asked, Field, FieldError
from tui.fields.units import CHOICES, SPELLINGS, keep
from tui.fields.words import shown
from tui.operations.operation import Operation

if TYPE_CHECKING:
    from tui.operations.operation import Bench, Values

HELP = "what a number typed without a unit means at this bench"
DESCRIPTION = """\
Show, or set, the unit of a torque, a pressure, a volume and a temperature that is typed
without one. The setting is this bench's own and is kept; every form and every command
goes by it. Lengths follow the session: F6 in the app, --unit on the command line.

examples:
  kitwright units
  kitwright units --torque lbf·ft --pressure psi
  kitwright units --volume qt --temperature F
"""
EPILOG = "exit codes: 0 told, or kept, 2 no such unit, or it can't be kept.\n"


@dataclass(frozen=True)
class UnitChoice(Field["str | None"]):
    """The unit of a quantity, by any of its spellings; the field's name is the quantity's."""

    METAVAR: ClassVar[str] = "UNIT"
    # The answer tells of lengths too, so that the command has --unit.
    LENGTHS: ClassVar[bool] = True

    must: bool = False

    def hint(self, asked: Asked) -> str:
        """What to type."""
        return " or ".join(CHOICES[self.name])

    def read(self, text: str, asked: Asked) -> str | None:
        """The unit as it is kept. Raises `FieldError`."""
        unit = SPELLINGS.get(text.casefold())
        if unit not in CHOICES[self.name]:
            raise FieldError(f"{shown(text)} is not a unit to choose here; type {self.hint(asked)}")
        return unit


def _units(values: Values, bench: Bench) -> UnitsAnswer:
    chosen = {name: unit for name, unit in values.items() if unit is not None}
    units = bench.units._replace(**chosen)
    try:
        if chosen:
            keep(units)
    except (OSError, models.errors.WorkshopError) as problem:
        reason = getattr(problem, "strerror", None) or problem
        raise FieldError(f"the units can't be kept ({reason}); make the data folder writable", "-") from problem
    return UnitsAnswer(**units._asdict())


UNITS = Operation(
    area="units",
    name="units",
    label="Units",
    help=HELP,
    fields=tuple(
        UnitChoice(name, name.capitalize(), " or ".join(choices))
        for name, choices in CHOICES.items()
        if name != "length"
    ),
    answers=_units,
    examples=("units", "units --torque lbf·ft --pressure psi", "units --volume qt --temperature F"),
)

OPERATIONS = (UNITS,)
