"""Where a job's rings sat whose needs name no place: 7=pump inlet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

import models
from models import kitting
from tui.fields.field import Asked, Field, FieldError, Option
from tui.fields.plain import Count
from tui.fields.rows import look_of, one_named
from tui.fields.words import shown

if TYPE_CHECKING:
    from models.jobs import JobRow
    from models.machines import PositionRow

NO_PLACE = "It has no place for a ring; add one with: kitwright machine position"


@dataclass(frozen=True)
class Sat(Field[Mapping[int, "PositionRow"]]):
    """At which position of the job's machine the ring of each need sat, by the need's number."""

    LOOKS: ClassVar[bool] = True

    must: bool = False

    def options(self) -> tuple[Option, ...]:
        """One option, as often as it is needed."""
        return (Option(self.name, self.flag, "N=POSITION", self.help, takes="many"),)

    def from_words(self, words: Mapping[str, str | None], asked: Asked) -> Mapping[int, PositionRow]:
        """What was said, by need. Raises `FieldError`."""
        told = [text for text in (words.get(self.name) or "").split("\n") if text.strip()]
        if not told:
            return {}
        job: JobRow = asked.values["job"]
        look = look_of(asked)
        rings = look(lambda session: kitting.sat.unplaced(session, job.job_id))
        there = ", ".join(f"{one.need_id} ({one.title})" for one in rings) or "none"
        places = () if job.machine_id is None else look(lambda one: models.machines.positions(one, job.machine_id or 0))
        known = [(one.name, one) for one in places if one.takes == "ring"]
        said: dict[int, PositionRow] = {}
        for text in told:
            number, sign, name = (part.strip() for part in text.partition("="))
            if not sign or not name:
                raise FieldError(
                    f"{shown(text)} names no place; type it as 7=pump inlet, the need's number and its place"
                )
            need = Count("need", "Need").from_text(number, asked)
            if need not in {one.need_id for one in rings}:
                raise FieldError(f"need {need} has no ring whose place was not given; these have: {there}")
            if need in said:
                raise FieldError(f"need {need} was given twice; a need has one place")
            said[need] = one_named(name, known, "place for a ring", NO_PLACE)
        return said

    def arguments(self, value: Mapping[int, PositionRow]) -> dict[str, Any]:
        """The rule takes the positions' numbers, by need."""
        return {self.name: {need: place.position_id for need, place in value.items()}}
