"""Port: how it seals and what its thread measures, or the tube it is for; to the joint it is and its ring."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.widget import Widget

from tui.answers.chances import short_percent
from tui.answers.reasons import reasons_of
from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Ruling, nothing, rule_lines
from tui.screens.judge.thread_fields import measured
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.section_text import Drawn, SectionText

if TYPE_CHECKING:
    from catalog.fasteners.sizes import Thread
    from catalog.orings.joints import Port, Seen
    from catalog.orings.port import PortAnswer
    from tui.screens.judge.reading import Reader


TALL = 34
"""Rows from which the list and the drawing stand together: the app's own breakpoint."""


class PortPanel(Panel):
    """The seal first, then the readings; ranked joints out."""

    ASKS: ClassVar[Sequence[Ask]] = (
        Ask("seal", "Seal", words=("?", "chamfer", "face", "cone", "washer", "thread"), heading="How does it seal?"),
        Ask("where", "Measured", words=("plug", "port"), heading="What you measured"),
        Ask("diameter", "Diameter", "over the crests"),
        Ask("pitch", "Pitch", "crest to crest"),
        Ask("tpi", "or TPI", "threads counted"),
        Ask("tapered", "Tapered", words=("?", "yes", "no"), heading="What you saw"),
        Ask("flank", "Leaf angle", "55, 60, 56±2"),
        Ask("tube", "Tube", "3/8, 10 mm, -6", heading="Or the tube it is for"),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {
        "seal": "chamfer", "where": "plug", "diameter": "11.0 mm", "tpi": "20", "tapered": "no",
    }  # fmt: skip
    CAUTION = "Relieve the pressure first. Match the old part's seal; the machine's manual has the last word."
    HEADING = "Joint"
    SOURCES = "ports"
    EMPTY = "Look first: which of the drawings is it? Then type the diameter and the pitch, or the tube."

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        # The first question is a drawing, so it is what a small window shows first.
        self._pictured = True
        self.set_class(True, "-pictured")

    def on_mount(self) -> None:
        """A tall window has room for the list and the drawing at once."""
        if self.app.size.height >= TALL:
            self._pictured = False
            self.set_class(False, "-pictured")

    def drawing(self) -> Widget:
        """The five looks of a seal."""
        return SectionText(Drawn("port"), classes="ruling-picture")

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Which joint, which ring, how sure, and what would settle it."""
        from catalog.orings.joints import Seen
        from catalog.orings.port import ports_for
        from tui.screens.judge.reading import Reader

        reader = Reader(values, unit)
        seal = reader.word("seal", Seen)
        reading = measured(reader, internal=reader.text("where") == "port")
        if reader.text("tube"):
            if reader.text("diameter"):
                reader.refuse("tube", "A thread is typed already; keep one of the two.")
                return nothing(self.EMPTY, reader.notes)
            return self._of_tube(reader, seal, unit)
        if reading is None:
            return nothing(self.EMPTY, reader.notes)
        try:
            answer = ports_for(reading, seal)
        except ValueError as problem:
            reader.refuse("diameter", problem)
            return nothing(self.EMPTY, reader.notes)
        return _ruling(answer, reader)

    def _of_tube(self, reader: Reader, seal: Seen | None, unit: str) -> Ruling:
        from catalog.orings.joints import ports_of_tube, tubes_near
        from catalog.orings.port import ring_words
        from tui.commands.parsing import UsageError
        from tui.commands.port import tube_size

        try:
            outside = tube_size(reader.text("tube"), unit)
        except UsageError as problem:
            reader.refuse("tube", str(problem).removeprefix("--tube: "))
            return nothing(self.EMPTY, reader.notes)
        near = "".join(f", or {tube}" for tube in tubes_near(outside))
        reader.echo("tube", f"{outside:.2f} mm = {outside / 25.4:.4g} in{near}")
        every = ports_of_tube(outside)
        found = [port for port in every if seal is None or seal in port.seal.seen]
        picture = Drawn("port", "" if seal is None else str(seal))
        if not found:
            text = "No joint of the tables is for this tube." if not every else "No joint of this tube looks like that."
            return Ruling(Mark.BAD, "no joint", (text,), (), picture, reader.notes)
        lines = [_line(port, " or ".join(port.seal.seen)) for port in found]
        if seal is None:
            asked = ("No ring is certain until you have looked.",)
            return Ruling(Mark.CARE, f"tube {reader.text('tube')}", asked, tuple(lines), picture, reader.notes)
        first = found[0]
        one = len({(port.title, port.seal) for port in found}) == 1
        says = tuple(
            text for text in (ring_words(first) if one else "Several joints of this tube look so.", first.note) if text
        )
        rules = tuple(rule for port in found for rule in (port.because, *((port.chamfer,) if port.chamfer else ())))
        return Ruling(
            Mark.GOOD if one else Mark.CARE,
            first.title,
            says,
            (*lines, *rule_lines(reasons_of(rules))),
            picture,
            reader.notes,
        )


def _ruling(answer: PortAnswer, reader: Reader) -> Ruling:
    from catalog.orings.port import OTHERWISE, ring_words

    picture = Drawn("port", "" if answer.seal is None else str(answer.seal))
    threads = answer.identification.candidates
    rules = rule_lines(reasons_of(answer.because))
    if not answer.candidates or answer.identification.none_probability > 0.5:
        return Ruling(Mark.BAD, "no port", (answer.text,), tuple(rules), picture, reader.notes)
    alive = [one for one in threads if one.probability >= 0.05]
    named = ", ".join(f"{one.thread.designation} {short_percent(one.probability)}" for one in alive)
    if answer.seal is None:
        lines = [_line(match.port, " or ".join(match.port.seal.seen)) for match in answer.candidates]
        # The drawing asks the question; what else would help stands in the list, so that the drawing keeps its room.
        says = (f"{named}. No ring is certain until you have looked.",)
        lines += [Line(Mark.MEASURE, "measure", "thread", check, "our rule") for check in answer.checks[1:]]
        return Ruling(Mark.CARE, "how does it seal?", says, (*lines, *rules), picture, reader.notes)
    first = answer.candidates[0]
    sure = first.agrees and answer.settled and (first.port.ring is None or answer.ring_certain)
    lead = f"{short_percent(answer.first_probability)}; {ring_words(first.port) + '.' if first.agrees else OTHERWISE}"
    tubes = " or ".join(one.port.tube for one in answer.alike if one.port.tube)
    unsure = f"The ring is not certain ({short_percent(answer.ring_probability)}); settle it first."
    told = [
        lead,
        unsure if first.agrees and first.port.ring is not None and not answer.ring_certain else "",
        f"For tube {tubes}." if tubes else "",
        f"Thread: {named}." if len(alive) > 1 else "",
        first.port.note if first.agrees else "",
        *answer.checks,
    ]
    lines = [_line(match.port, short_percent(match.probability)) for match in answer.candidates]
    lines += _washers([match.port for match in answer.candidates if match.probability >= 0.05])
    mark = Mark.GOOD if sure else Mark.CARE
    sentences = tuple(text for text in told if text)
    return Ruling(mark, first.port.title, sentences, (*lines, *rules), picture, reader.notes)


def _line(port: Port, word: str) -> Line:
    from catalog.orings.port import ring_words

    parts = [f"{ring_words(port)}, sealed by {port.seal.words}"]
    if port.tube:
        parts.append(f"tube {port.tube}")
    if port.ring_sits:
        parts.append(f"the ring sits {port.ring_sits}")
    parts.append(f"goes with: {port.plug}")
    if port.note:
        parts.append(port.note)
    source = port.standing.words if port.source == "memory" else f"{port.source}; {port.standing.words}"
    return Line(Mark.NOTE, word, port.title, f"{'; '.join(parts)}.", source)


def _washers(ports: list[Port]) -> list[Line]:
    found: dict[str, Thread] = {port.screw.designation: port.screw for port in ports if port.seal.takes_washer}
    return [line for thread in found.values() for line in washer_lines(thread)]


def washer_lines(thread: Thread) -> list[Line]:
    """The washers under a plug of this thread, the usual one first; none where no plug has this thread."""
    from catalog.orings.joints import takes_washer
    from catalog.seals.washers import washers_for

    if not takes_washer(thread):
        return []
    return [
        Line(Mark.NOTE, "washer", one.label, f"{one.kind.words} under {thread.designation}, {one.standard}.",
             one.standing.words if one.source == "memory" else f"{one.source}; {one.standing.words}")
        for one in washers_for(thread)
    ]  # fmt: skip
