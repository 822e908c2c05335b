"""A list of rings as it is worked through: each with its answer, whether it is marked, and what came of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from tui import answers
from tui.answers.chances import short_percent as percent
from tui.screens.measure.chosen import chosen_ring
from tui.widgets.cells import clean
from tui.widgets.rows import Column, Row

if TYPE_CHECKING:
    from catalog.orings.decide import Decision
    from tui.answers.ring import Reading, RingAnswer
    from tui.answers.ring_batch import BadRow
    from tui.answers.to_fit import OnShelf
    from tui.workshop import ChosenRing

COLUMNS = (
    Column("", 1),
    Column("Ring", 12, grow=True),
    Column("Fit", 15),
    Column("Seals", 5, right=True),
    Column("On shelf", 16, yields=1),
    Column("", 9),
)
MARKED = "*"


@dataclass
class Listed:
    """One ring of the list. `line` and `own`: its line, and the user's own columns. `error`: why it can't be read.

    `fit`, `seals`, `shelf`: the ring to fit, how likely it seals, where it lies. `settled`: it is named to be fitted.
    `by_hand`: it was chosen on Measure. `kit`: the job whose kit it is on, `need`: that job's number and the need's.
    """

    line: int
    own: str
    error: str = ""
    readings: tuple[Reading, ...] = ()
    condition: str = ""
    joint: str = ""
    chosen: ChosenRing | None = None
    seals: float | None = None
    shelf: str = ""
    words: str = ""
    settled: bool = False
    by_hand: bool = False
    marked: bool = False
    kit: str = ""
    need: tuple[int, int] | None = None

    @property
    def name(self) -> str:
        """What a person calls it: the user's own columns, or its line."""
        return self.own or f"line {self.line}"

    def choose(self, ring: ChosenRing, decision: Decision, *, by_hand: bool) -> None:
        """It was measured again, and this ring chosen."""
        note = "" if self.chosen is None else self.chosen.note
        at = next((one for one in decision.to_fit if one.size.key == ring.size_key), None)
        self.chosen = ring._replace(note=note or self.own)
        self.seals = ring.seals
        self.shelf = "" if at is None or at.on_shelf is None else _where(answers.to_fit.rows_of(at.on_shelf))
        self.readings = answers.ring.readings_of(decision.ranking.evidence)
        self.condition = decision.ranking.evidence.condition.value
        self.words = f"{ring.label} chosen on Measure" if by_hand else f"Fit {ring.label}, measured again"
        self.settled, self.by_hand = not by_hand, by_hand

    def put(self, title: str, job_id: int, need_id: int) -> None:
        """It was put on a kit."""
        self.marked, self.kit, self.need = False, title, (job_id, need_id)

    @property
    def markable(self) -> bool:
        """Whether it may go on a kit as it stands."""
        return self.chosen is not None and (self.settled or self.by_hand) and not self.kit

    @property
    def state(self) -> str:
        """In a word, what is to be done with it."""
        if self.error:
            return "! row"
        if self.kit:
            return "on a kit"
        return "chosen" if self.by_hand else "to fit" if self.settled else "open" if self.chosen else "no size"

    def row(self) -> Row:
        """It in the list."""
        chosen = "" if self.chosen is None else self.chosen.label
        seals = "" if self.seals is None else percent(self.seals).replace(" ", "")
        tone = "bad" if self.error else "dim" if self.kit else ""
        return Row(
            (MARKED if self.marked else "", clean(self.name), clean(chosen), seals, clean(self.shelf), self.state), tone
        )

    def told(self) -> str:
        """It in a sentence or two."""
        if self.error:
            return f"Line {self.line} can't be read. {self.error[:1].upper()}{self.error[1:]}"
        on = f" On the kit of “{self.kit}”." if self.kit else ""
        return f"{self.name}: {self.words}.{on}"


@dataclass
class RingList:
    """The rings in their order. `hand`: the place of the one that is open on Measure, None where none is."""

    rings: list[Listed] = field(default_factory=list)
    hand: int | None = None
    source: str = ""
    stopped: bool = False

    @property
    def marked(self) -> list[Listed]:
        """Those that are marked."""
        return [one for one in self.rings if one.marked]

    @property
    def in_hand(self) -> Listed | None:
        """The one that is open on Measure."""
        return None if self.hand is None else self.rings[self.hand]

    def summary(self) -> str:
        """How the list stands, in one line."""
        counts = {name: sum(one.state == name for one in self.rings) for name in STATES}
        parts = ", ".join(f"{count} {name}" for name, count in counts.items() if count)
        stopped = " Stopped: the rest was not read." if self.stopped else ""
        return f"{len(self.rings)} rings: {parts}. {len(self.marked)} marked.{stopped}"


STATES = ("to fit", "chosen", "open", "no size", "on a kit", "! row")


def listed(answer: RingAnswer | BadRow) -> Listed:
    """A ring as a batch told of it."""
    if isinstance(answer, answers.ring_batch.BadRow):
        return Listed(answer.line, "", answer.error)
    own = ", ".join(value for value in answer.own.values() if value)
    best = answer.to_fit[0] if answer.to_fit else None
    found = best is not None and answer.conflict is None and bool(answer.to_do) and (answer.found or answer.settled)
    chosen = None
    if found and answer.decided.best is not None:
        note = ", ".join(f"{column} {value}" for column, value in answer.own.items() if value)
        chosen = chosen_ring(answer.decided, answer.decided.best.size)._replace(note=note)
        if answer.met is not None:
            chosen = chosen._replace(rubbers=answer.met.rubbers(chosen.lying))
            if not chosen.rubbers:
                return Listed(answer.line or 0, own, readings=answer.readings, words=answer.met.none_may.rstrip("."))
    return Listed(
        answer.line or 0,
        own,
        readings=answer.readings,
        condition=answer.condition,
        joint=answer.joint or "",
        chosen=chosen,
        seals=best.seals if best is not None and found else None,
        shelf="" if best is None or not found or best.on_shelf is None else _where(best.on_shelf),
        words=answer.in_one_line,
        settled=found and answer.settled,
    )


def _where(rows: tuple[OnShelf, ...]) -> str:
    there = [row for row in rows if row.free]
    free = sum(row.free for row in there)
    return f"{free} in {', '.join(dict.fromkeys(row.bin for row in there))}" if free else "none"
