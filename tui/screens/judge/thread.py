"""Thread: diameter and pitch as measured, to the thread it is, its wrench, and what it is mistaken for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar, Final

from textual.widget import Widget

import tui
from tui import operations, screens
from tui.answers.chances import short_percent
from tui.fields.threads import DIAMETER, FLANK, OVER, PITCH, TAPERED, THREADS, TPI, WEAR, WEARS
from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Note, Ruling, ask, nothing, rule_line, rule_lines
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.thread_profile import Profile, ThreadProfile

if TYPE_CHECKING:
    from tui.answers.thread import Candidate, ThreadAnswer
    from tui.answers.threads import Thread
    from tui.needing import Needed

SURE: Final = 0.9
READINGS: Final = (ask(DIAMETER), ask(PITCH), ask(TPI), ask(OVER), ask(THREADS, hint="that it spans"))
"""What is measured of a thread, the same for a port."""
TAPER_AND_LEAF: Final = (ask(TAPERED, words=("?", "yes", "no")), ask(FLANK))


class ThreadPanel(Panel):
    """Readings in, ranked threads out."""

    ASKS: ClassVar[Sequence[Ask]] = (
        Ask("where", "Measured", words=("bolt", "nut"), heading="What you measured"),
        *READINGS,
        ask(WEAR, words=WEARS, heading="What you saw"),
        *TAPER_AND_LEAF,
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {
        "where": "bolt", "diameter": "7.9 mm", "pitch": "1.25 mm", "wear": "sound", "tapered": "no", "flank": "60°",
    }  # fmt: skip
    CAUTION = "Try a known nut by hand first. A damaged thread never goes back under load."
    HEADING = "Thread"
    EMPTY = "Type the diameter over the crests. The pitch makes it sure."

    def drawing(self) -> Widget:
        """The profile."""
        return ThreadProfile(classes="ruling-picture", plain=self.plain)

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Which thread, how sure, and what would settle it."""
        reader = screens.judge.reading.Reader({**values, "female": "yes" if values["where"] == "nut" else ""}, unit)
        read = reader.read(operations.thread.THREAD)
        if read["diameter"] is None or reader.wrong:
            return nothing(self.EMPTY, reader.notes)
        answer = reader.answer(operations.thread.THREAD, operations.thread.identified, read)
        if answer is None:
            return nothing(self.EMPTY, reader.notes)
        return _ruling(answer, reader.notes)

    def required(self, values: Mapping[str, str], unit: str) -> Needed | str:
        """A fastener with the thread that was found; its length and strength class are asked with the job."""
        found = self.ruled(values, unit)
        if not found.word or found.mark is Mark.BAD:
            return "No thread was found. Type the diameter, and the pitch makes it sure."
        return tui.needing.Needed("fastener", spec_class=found.word, why=f"measured in Judge: {found.says[0]}")


def as_port(values: Mapping[str, str]) -> dict[str, str]:
    """What was measured of a thread, as the port's fields take it: a bolt is the plug, a nut the port."""
    kept = {one.key: values.get(one.key, "") for one in (*READINGS, *TAPER_AND_LEAF)}
    return {**kept, "where": "port" if values.get("where") == "nut" else "plug"}


def _ruling(answer: ThreadAnswer, notes: Mapping[str, Note]) -> Ruling:
    sure = short_percent(answer.none_probability)
    none = Line(Mark.NOTE, sure, "no standard", "None of the threads in the tables.", "our rule")
    settled = tuple(text for text in (answer.settle, *answer.notes) if text)
    threads, rules = list(map(_line, answer.threads)), rule_lines(answer.because)
    if not answer.found:
        return Ruling(Mark.BAD, "no standard thread", settled, (none, *threads, *rules), None, notes)
    best = answer.threads[0]
    lead = f"{short_percent(best.probability)}; {best.said(answer.unit)}; leaf {best.leaf}."
    alike = [Line(Mark.CARE, "look-alike", one.designation, one.tell) for one in answer.nearest]
    return Ruling(
        Mark.GOOD if best.probability >= SURE else Mark.CARE,
        best.designation,
        (lead, *settled),
        (*threads, none, *_wrenches(best), *washer_lines(best), *alike, *rules),
        Profile(best.bolt_crests_mm[1], best.pitch_mm, best.designation, best.tapered),
        notes,
    )


def _line(one: Candidate) -> Line:
    mark = Mark.GOOD if one.probability >= SURE else Mark.NOTE
    return rule_line(mark, short_percent(one.probability), one.designation, one.judged)


def _wrenches(thread: Thread) -> list[Line]:
    return [rule_line(Mark.NOTE, "wrench", one.wrench, one.rule) for one in (*thread.hexes, *thread.drain_plug_hexes)]


def washer_lines(thread: Thread) -> list[Line]:
    """The washers under a plug of this thread, the usual one first; none where no plug has this thread."""
    return [rule_line(Mark.NOTE, "washer", one.size, one.rule(thread.designation)) for one in thread.washers]
