"""Thread: diameter and pitch as measured, to the thread it is, its wrench, and what it is mistaken for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.widget import Widget

from tui.answers.chances import short_percent
from tui.screens.judge.panel import Panel
from tui.screens.judge.port import washer_lines
from tui.screens.judge.ruling import Ask, Line, Ruling, nothing
from tui.screens.judge.thread_fields import measured, rule_lines
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.thread_profile import Profile, ThreadProfile

if TYPE_CHECKING:
    from catalog.fasteners.thread import Candidate
    from tui.needing import Needed

SURE = 0.9


class ThreadPanel(Panel):
    """Readings in, ranked threads out."""

    ASKS: ClassVar[Sequence[Ask]] = (
        Ask("where", "Measured", words=("bolt", "nut"), heading="What you measured"),
        Ask("diameter", "Diameter", "over the crests"),
        Ask("pitch", "Pitch", "crest to crest"),
        Ask("tpi", "or TPI", "threads counted"),
        Ask("wear", "Crests", words=("sound", "worn", "damaged"), heading="What you saw"),
        Ask("tapered", "Tapered", words=("?", "yes", "no")),
        Ask("flank", "Leaf angle", "55, 60, 56±2"),
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
        from catalog.fasteners.lookalikes import look_alikes
        from catalog.fasteners.thread import identify
        from tui.screens.judge.reading import Reader

        reader = Reader(values, unit)
        reading = measured(reader, internal=reader.text("where") == "nut")
        if reading is None:
            return nothing(self.EMPTY, reader.notes)
        try:
            found = identify(reading)
        except ValueError as problem:
            reader.refuse("diameter", problem)
            return nothing(self.EMPTY, reader.notes)
        lines = [_line(candidate) for candidate in found.candidates]
        none_first = not found.candidates or found.none_probability > 0.5
        none = Line(
            Mark.NOTE,
            short_percent(found.none_probability),
            "no standard",
            "None of the threads in the tables.",
            "our rule",
        )
        says = [text for text in (found.settle, *found.notes) if text]
        if none_first:
            return Ruling(
                Mark.BAD,
                "no standard thread",
                tuple(says),
                (none, *lines, *rule_lines(found.because)),
                None,
                reader.notes,
            )
        best = found.candidates[0].thread
        sure = found.candidates[0].probability
        lines = [*lines, none, *_wrenches(best.designation)]
        lines += washer_lines(best)
        lines += [Line(Mark.CARE, "look-alike", one.other.designation, one.tell) for one in look_alikes(best)[:4]]
        lines += rule_lines(found.because)
        lead = (
            f"{short_percent(sure)}; {best.pitch_text}, {best.diameter_mm:.2f} mm = {best.diameter_mm / 25.4:.3f} in."
        )
        picture = Profile(best.major_high_mm, best.pitch_mm, best.designation, best.tapered)
        mark = Mark.GOOD if sure >= SURE else Mark.CARE
        return Ruling(mark, best.designation, (lead, *says), tuple(lines), picture, reader.notes)

    def required(self, values: Mapping[str, str], unit: str) -> Needed | str:
        """A fastener with the thread that was found; its length and strength class are asked with the job."""
        from tui.needing import Needed

        found = self.judge(values, unit)
        if not found.word or found.mark is Mark.BAD:
            return "No thread was found to ask for. Type the diameter, and the pitch makes it sure."
        return Needed("fastener", spec_class=found.word, why=f"measured in Judge: {found.says[0]}")


def _line(candidate: Candidate) -> Line:
    thread = candidate.thread
    off = f"diameter {candidate.diameter_residual_mm:+.2f} mm from its limits"
    if candidate.pitch_residual_mm is not None:
        off += f", pitch {candidate.pitch_residual_mm:+.3f} mm"
    sentence = (
        f"{thread.system} {thread.series}, pitch {thread.pitch_text}, bolt {thread.major_low_mm:.2f} to "
        f"{thread.major_high_mm:.2f} mm, nut {thread.minor_low_mm:.2f} to {thread.minor_high_mm:.2f} mm; {off}."
    )
    mark = Mark.GOOD if candidate.probability >= SURE else Mark.NOTE
    source = f"{thread.source}; {thread.standing.words}" if thread.source != "memory" else thread.standing.words
    return Line(mark, short_percent(candidate.probability), thread.designation, sentence, source)


def _wrenches(designation: str) -> list[Line]:
    from catalog.fasteners.sizes import thread_named
    from catalog.fasteners.wrench import drain_plug_hexes, hexes

    thread = thread_named(designation)
    return [
        Line(
            Mark.NOTE,
            "wrench",
            one.wrench,
            f"{one.standard}. {one.note}".strip(),
            f"{one.source}, {one.standing.words}",
        )
        for one in (*hexes(thread), *drain_plug_hexes(thread))
    ]
