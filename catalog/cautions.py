"""The cautions that belong to the steps of a job: sentences of our own, keyed by what a step does, each with its basis.

They are reminders for a competent person. The machine's manual, local codes and licensed practice come first; `DEFERS`
says so and stands on every printed sheet.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Final, NamedTuple

from catalog import fluids
from catalog.standing import Standing

TABLE: Final = Path(__file__).parent / "data" / "cautions" / "cautions.csv"

DEFERS: Final = (
    "Advice for a competent person. The machine's manual, local codes and licensed practice come first; "
    "where they differ from this sheet, they are right."
)
TORQUE_DEFERS: Final = "The machine's manual has the last word on every torque."


class Step(StrEnum):
    """What a step of a job does, as far as cautions go. `ANY` belongs to every job on a machine."""

    ANY = "any"
    WORK_UNDER = "work_under"
    OPEN_PRESSURE = "open_pressure"
    FIND_LEAK = "find_leak"
    DRAIN = "drain"
    USED_OIL = "used_oil"
    OLD_SEAL = "old_seal"
    CLEAN = "clean"
    SEALANT = "sealant"
    BRAKE_FLUID = "brake_fluid"
    COOLANT = "coolant"
    TIGHTEN = "tighten"
    ELECTRICAL = "electrical"
    FILL = "fill"
    FIRST_RUN = "first_run"

    @property
    def words(self) -> str:
        """The step as a heading: `open a system under pressure`."""
        return _WORDS[self]


_WORDS: Final = {
    Step.ANY: "before any work",
    Step.WORK_UNDER: "work under a raised machine or attachment",
    Step.OPEN_PRESSURE: "open a system under pressure",
    Step.FIND_LEAK: "look for a leak",
    Step.DRAIN: "drain oil",
    Step.USED_OIL: "handle used oil and filters",
    Step.OLD_SEAL: "take out old seals",
    Step.CLEAN: "clean with solvent",
    Step.SEALANT: "apply sealant",
    Step.BRAKE_FLUID: "work on brakes",
    Step.COOLANT: "open the cooling system",
    Step.TIGHTEN: "tighten bolts",
    Step.ELECTRICAL: "work near the battery",
    Step.FILL: "fill to the mark",
    Step.FIRST_RUN: "first run",
}


class Harm(StrEnum):
    """The worst that can come of ignoring it, worst first."""

    LIFE = "life"
    INJURY = "injury"
    DAMAGE = "damage"


class Caution(NamedTuple):
    """One caution. `steps` are the kinds of step it belongs to; `basis` says where it comes from."""

    key: str
    steps: tuple[Step, ...]
    harm: Harm
    text: str
    basis: str
    standing: Standing


@cache
def all_cautions() -> tuple[Caution, ...]:
    """Every caution, in the order of the table. Read once, then kept."""
    with TABLE.open(encoding="utf-8", newline="") as handle:
        return tuple(
            Caution(
                row["key"],
                tuple(Step(name) for name in row["steps"].split(";")),
                Harm(row["harm"]),
                row["text"],
                row["basis"],
                Standing(row["standing"]),
            )
            for row in csv.DictReader(handle)
        )


def in_order(steps: Iterable[Step]) -> tuple[Step, ...]:
    """The steps once each, in the order work goes: the order of `Step`."""
    wanted = frozenset(steps)
    return tuple(step for step in Step if step in wanted)


def for_step(step: Step) -> tuple[Caution, ...]:
    """The cautions of one kind of step, the worst harm first."""
    order = list(Harm)
    return tuple(sorted((one for one in all_cautions() if step in one.steps), key=lambda one: order.index(one.harm)))


def steps_for(kind: str, spec: str = "") -> tuple[Step, ...]:
    """The steps that a need of this kind brings with it, when nobody wrote the steps down.

    `kind` is ring, filter, fluid, sealant, fastener or consumable; `spec` its class in words (`DOT 4`, `UTTO`). Errs
    towards one caution too many: a ring may sit under pressure, a fluid may be hot. Unknown kinds bring `ANY` alone.
    """
    found = _BY_KIND.get(kind, ())
    if kind == "fluid":
        found = _FLUID_STEPS.get(_family(spec), _OIL)
    elif kind == "consumable" and any(word in spec.casefold() for word in ("clean", "solvent", "degreas")):
        found = (Step.CLEAN,)
    return in_order((Step.ANY, *found))


_OIL: Final = (Step.OPEN_PRESSURE, Step.DRAIN, Step.USED_OIL, Step.FILL, Step.FIRST_RUN)
_FLUID_STEPS: Final = {
    "brake fluid": (Step.OPEN_PRESSURE, Step.BRAKE_FLUID, Step.FILL),
    "coolant": (Step.COOLANT, Step.FILL, Step.FIRST_RUN),
    "SCR reagent": (Step.FILL,),
    "grease service (ASTM D4950)": (),
    "grease thickener": (),
}
_BY_KIND: Final = {
    "ring": (Step.OPEN_PRESSURE, Step.FIND_LEAK, Step.OLD_SEAL, Step.FIRST_RUN),
    "filter": (Step.OPEN_PRESSURE, Step.DRAIN, Step.USED_OIL, Step.FIRST_RUN),
    "sealant": (Step.OLD_SEAL, Step.CLEAN, Step.SEALANT),
    "fastener": (Step.TIGHTEN,),
}


def _family(spec: str) -> str:
    # Imported here: the fluid tables are read only when a fluid is asked about.
    known = fluids.classes.get(spec)
    if known is not None:
        return known.family
    folded = spec.casefold()
    if "brake fluid" in folded:
        return "brake fluid"
    if "coolant" in folded or "antifreeze" in folded or "glycol" in folded:
        return "coolant"
    return ""
