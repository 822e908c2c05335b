"""Which thread it is: by its readings, by its name, or by the hex that it takes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Final

import catalog
from catalog import fasteners
from tui.answers.answer import Answer, said
from tui.answers.chances import percent
from tui.answers.reasons import Reason, reasons_of, why_lines
from tui.answers.threads import Hex, Thread, ThreadReadings, reading_figures, thread_figures
from tui.commands.output import table

if TYPE_CHECKING:
    from catalog.fasteners import lookalikes, sizes
    from catalog.fasteners.thread import Candidate as Ranked
    from catalog.fasteners.thread import Identification, Measured
    from catalog.fasteners.wrench import Hex as Catalogued

MOST_ALIKE: Final = 4
"""How many threads that are taken for a measured one are told of."""


@dataclass(frozen=True)
class Candidate(Thread):
    """A thread that it can be. Residuals in mm: reading less the nearest limit (0 within), reading less the pitch."""

    probability: float
    diameter_residual_mm: float
    pitch_residual_mm: float | None

    @property
    def judged(self) -> Reason:
        """The row, and how far the readings are off it."""
        off = f"diameter {self.diameter_residual_mm:+.2f} mm from its limits"
        if self.pitch_residual_mm is not None:
            off += f", pitch {self.pitch_residual_mm:+.3f} mm"
        return Reason(f"{self.rule.rule}; {off}.", self.rule.source, self.standing)


@dataclass(frozen=True)
class LookAlike:
    """A thread that is taken for this one, and how to tell them apart."""

    designation: str
    tell: str


@dataclass(frozen=True)
class ThreadAnswer(Answer):
    """The threads that it can be, likeliest first. `settle`: what would settle a doubt.

    `look_alikes`: what the likeliest is taken for; none where it is no standard thread.
    """

    SCHEMA: ClassVar[str] = "kitwright.thread/2"

    readings: ThreadReadings
    threads: tuple[Candidate, ...]
    none_probability: float
    settle: str | None
    notes: tuple[str, ...]
    look_alikes: tuple[LookAlike, ...]
    because: tuple[Reason, ...]
    unit: str = said("mm")

    @property
    def found(self) -> bool:
        """Whether some standard thread is likelier than none of them."""
        return bool(self.threads) and self.none_probability <= 0.5

    @property
    def advice(self) -> list[str]:
        """What would settle it, then what else there is to know."""
        return [*([f"Next: {self.settle}"] if self.settle else []), *self.notes]

    @property
    def nearest(self) -> tuple[LookAlike, ...]:
        """Those that the likeliest is most easily taken for."""
        return self.look_alikes[:MOST_ALIKE]

    def words(self) -> list[str]:
        """The thread first, its wrench, what settles a doubt; then all it can be, then why."""
        lines = [f"No standard thread ({percent(self.none_probability)})"]
        if self.found:
            best = self.threads[0]
            lines = [f"{best.designation} ({percent(best.probability)}): {best.said(self.unit)}", *best.wrenches]
        lines += self.advice
        if self.threads:
            lines += ["", *self._table(), f"{percent(self.none_probability)}  none of these"]
        understood = self.readings.said(self.unit, ("inside a nut or hole", "on a bolt or plug"))
        return [*lines, "", understood, *why_lines(self.because)]

    def _table(self) -> list[str]:
        rows = [
            (
                one.designation,
                percent(one.probability),
                one.leaf,
                f"{one.diameter_residual_mm:+.2f}",
                "" if one.pitch_residual_mm is None else f"{one.pitch_residual_mm:+.3f}",
                ", ".join(dict.fromkeys(size.wrench for size in one.hexes)),
            )
            for one in self.threads
        ]
        header = ("thread", "chance", "gauge", "past limits mm", "pitch off mm", "wrench")
        return table(header, rows, right=(1, 3, 4))


def taken_for(alike: Iterable[LookAlike]) -> list[str]:
    """What a thread is taken for, and how to tell."""
    return ["Taken for it:", *(f"  {one.tell}" for one in alike)]


@dataclass(frozen=True)
class NamedThread(Answer):
    """A thread asked for by its name, with its wrench and what is taken for it."""

    SCHEMA: ClassVar[str] = "kitwright.thread-named/2"

    thread: Thread
    look_alikes: tuple[LookAlike, ...]
    unit: str = said("mm")

    def words(self) -> list[str]:
        """Its figures, what a caliper meets, its wrench, and what is taken for it."""
        thread = self.thread
        lines = [f"{thread.designation}: {thread.said(self.unit)}", *thread.crests(self.unit), *thread.wrenches]
        return [*lines, "", *taken_for(self.look_alikes)] if self.look_alikes else lines


@dataclass(frozen=True)
class HexOfThread(Hex):
    """A hex, and the thread that it belongs to."""

    designation: str


@dataclass(frozen=True)
class HexesFound(Answer):
    """The threads whose hex measures this across its flats, mm."""

    SCHEMA: ClassVar[str] = "kitwright.thread-hexes/2"

    across_flats_mm: float
    threads: tuple[HexOfThread, ...]
    unit: str = said("mm")

    @property
    def found(self) -> bool:
        """Whether there is any."""
        return bool(self.threads)

    def words(self) -> list[str]:
        """A table of them."""
        across = catalog.quantity.both_units(self.across_flats_mm, first=self.unit)
        if not self.threads:
            return [f"No thread in the tables has a hex of {across} across flats."]
        rows = [(one.designation, one.wrench, one.standard) for one in self.threads]
        return [f"Hexes of {across} across flats:", *table(("thread", "wrench", "standard"), rows)]


# From the catalog's records


def thread_answer(measured: Measured, found: Identification, unit: str) -> ThreadAnswer:
    """An identification as an answer."""
    sure = bool(found.candidates) and found.none_probability <= 0.5
    return ThreadAnswer(
        readings=ThreadReadings(**reading_figures(measured)),
        threads=tuple(map(_candidate, found.candidates)),
        none_probability=round(found.none_probability, 6),
        settle=found.settle or None,
        notes=found.notes,
        look_alikes=_look_alikes(fasteners.lookalikes.look_alikes(found.candidates[0].thread)) if sure else (),
        because=reasons_of(found.because),
        unit=unit,
    )


def _candidate(one: Ranked) -> Candidate:
    return Candidate(
        **thread_figures(one.thread),
        probability=round(one.probability, 6),
        diameter_residual_mm=round(one.diameter_residual_mm, 4),
        pitch_residual_mm=None if one.pitch_residual_mm is None else round(one.pitch_residual_mm, 4),
    )


def _look_alikes(alike: Iterable[lookalikes.LookAlike]) -> tuple[LookAlike, ...]:
    return tuple(LookAlike(one.other.designation, one.tell) for one in alike)


def named_thread(thread: sizes.Thread, unit: str) -> NamedThread:
    """A thread of the catalog as an answer."""
    return NamedThread(Thread(**thread_figures(thread)), _look_alikes(fasteners.lookalikes.look_alikes(thread)), unit)


def hexes_found(across_mm: float, found: Iterable[tuple[str, Catalogued]], unit: str) -> HexesFound:
    """The hexes of this width as an answer."""
    return HexesFound(
        round(across_mm, 4),
        tuple(
            HexOfThread(
                size.standard,
                round(size.across_flats_mm, 4),
                size.wrench,
                size.source,
                size.standing.value,
                size.note,
                designation,
            )
            for designation, size in found
        ),
        unit,
    )
