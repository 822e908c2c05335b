"""A kit as the workshop remembers it, turned into the records that a job sheet or a pick list is printed from."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Final

import models
from catalog.cautions import Step, in_order, steps_for
from catalog.languages.tongue import ENGLISH, Tongue
from catalog.orings.evidence import Dimension
from catalog.quantity.display import both_units
from models.kitting.finish import cure_minutes
from models.kitting.kit_view import KitView, LineView, NeedView
from models.moments import WALL
from models.pictures.at_work import Shown
from models.volume import in_words
from models.words import Kind, LineState
from tui import answers
from tui.sheets.records import (
    Again,
    Costs,
    Cure,
    JobSheet,
    PickLine,
    PickList,
    Pictured,
    ShortLine,
    Tally,
    Torque,
    WorkStep,
)

READ_AGAIN: Final = {
    Dimension.ID: "ring, ID",
    Dimension.OD: "ring, OD",
    Dimension.WIDTH: "ring, width",
    Dimension.AROUND: "ring, inner circumference",
    Dimension.CUT_LENGTH: "ring, cut length",
}
"""What is measured again of a ring."""


def job_sheet_of(
    kit: KitView,
    *,
    who: str,
    written_on: date,
    shop: str = "",
    steps: tuple[WorkStep, ...] = (),
    torques: tuple[Torque, ...] = (),
    cures: tuple[Cure, ...] | None = None,
    costs: Costs | None = None,
    pictures: Iterable[Shown] = (),
    say: Tongue = ENGLISH,
) -> JobSheet:
    """A job sheet from a kit. `cures` None: one for each sealant, with blanks until somebody notes when it was sealed.

    It cures the longest time of what was found for it, or the longest its need allows.
    """
    return JobSheet(
        kit.title,
        kit.machine_name,
        who,
        written_on,
        shop,
        kit.due_on,
        picks_of([kit], say),
        shorts_of([kit]),
        steps,
        steps_of(kit),
        torques,
        tuple(_tally(need) for need in kit.needs if need.kind is Kind.FLUID and need.low_ul and need.full_ul),
        _cures(kit) if cures is None else cures,
        tuple(again for need in kit.needs for again in _again(need, say)),
        costs,
        "" if kit.meter_hundredths_h is None else models.hours.in_words(kit.meter_hundredths_h),
        tuple(Pictured(*one) for one in pictures),
    )


def pick_list_of(
    kits: Iterable[KitView],
    *,
    who: str,
    written_on: date,
    shop: str = "",
    title: str = "",
    say: Tongue = ENGLISH,
) -> PickList:
    """One walk along the bins for several kits."""
    listed = list(kits)
    called = title or ", ".join(kit.title for kit in listed)
    return PickList(called, who, written_on, picks_of(listed, say), shorts_of(listed), shop)


def steps_of(kit: KitView) -> tuple[Step, ...]:
    """The kinds of step that the kit's needs bring with them, in the order work goes."""
    return in_order({Step.ANY, *(step for need in kit.needs for step in steps_for(need.kind, need.spec_class))})


def _why(need: NeedView, line: LineView, say: Tongue) -> str:
    """Why this one; and of what lies free that it does: nobody has promised it to the kit yet.

    The verdict on a ring's rubber in what it meets there is told as all answers tell it, with its source.
    """
    free = say("free in {bin}", bin=line.bin_code) if line.state is LineState.FREE else ""
    here = answers.kits.rubber_here(need, line)
    return "; ".join(part for part in (free, line.reason, "" if here is None else here.words) if part)


def picks_of(kits: Iterable[KitView], say: Tongue = ENGLISH) -> tuple[PickLine, ...]:
    """Every line that lies in a bin: promised, picked, or free and not promised yet."""
    return tuple(
        PickLine(
            line.bin_code,
            line.item_name,
            in_words(line.quantity, line.counted_in),
            _for(need),
            line.lot.code,
            line.lot.expires_on,
            _why(need, line, say),
            kit.title,
            line.state is LineState.PICKED,
        )
        for kit, need, line in _lines(kits)
        if line.state is not LineState.SHORT
    )


def shorts_of(kits: Iterable[KitView]) -> tuple[ShortLine, ...]:
    """Every line that is short."""
    return tuple(
        ShortLine(_for(need), in_words(line.quantity, line.counted_in), line.reason)
        for _, need, line in _lines(kits)
        if line.state is LineState.SHORT
    )


def _lines(kits: Iterable[KitView]) -> Iterable[tuple[KitView, NeedView, LineView]]:
    return ((kit, need, line) for kit in kits for need in kit.needs for line in need.lines)


def _for(need: NeedView) -> str:
    if need.position_name and need.position_name.casefold() not in need.title.casefold():
        return f"{need.position_name}: {need.title}"
    return need.title


def _tally(need: NeedView) -> Tally:
    grade = " ".join(filter(None, [need.spec_class, need.spec_grade]))
    return Tally(need.position_name or need.title, grade or need.title, need.low_ul or 0, need.full_ul or 0)


def _cures(kit: KitView) -> tuple[Cure, ...]:
    return tuple(
        Cure(need.position_name, _sealant(need), minutes, need.sealed.at.astimezone(WALL) if need.sealed else None)
        for need in kit.needs
        if need.kind is Kind.SEALANT and (minutes := cure_minutes(need) or need.cure_minutes_at_most)
    )


def _sealant(need: NeedView) -> str:
    found = next((line.item_name for line in need.lines if line.item_name), "")
    return found or need.title or need.spec_class


def _again(need: NeedView, say: Tongue) -> tuple[Again, ...]:
    """What was measured to choose a ring is measured again on the new one before the machine is closed."""
    return tuple(
        Again(
            need.position_name or need.title,
            say(READ_AGAIN[reading.what]),
            both_units(reading.value_mm),
        )
        for reading in need.readings
    )
