"""Port: how it seals and what its thread measures, or the tube it is for; to the joint it is and its ring."""

from __future__ import annotations

import asyncio
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar, cast

from textual import work
from textual.widget import Widget

from catalog import orings
from tui import answers, operations, screens
from tui.answers.chances import short_percent
from tui.fields.ports import LOOKS, SEAL, TUBE
from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Note, Ruling, ask, nothing, rule_line, rule_lines
from tui.screens.judge.thread import READINGS, TAPER_AND_LEAF
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.section_text import Drawn, SectionText

if TYPE_CHECKING:
    from catalog.orings.port_book import PortBook
    from tui.answers.port import Joint, PortAnswer, TubePorts
    from tui.host import Host


TALL = 34
"""Rows from which the list and the drawing stand together: the app's own breakpoint."""


class PortPanel(Panel):
    """The seal first, then the readings; ranked joints out."""

    ASKS: ClassVar[Sequence[Ask]] = (
        ask(SEAL, words=("?", *LOOKS), heading="How does it seal?"),
        Ask("where", "Measured", words=("plug", "port"), heading="What you measured"),
        *READINGS,
        TAPER_AND_LEAF[0]._replace(heading="What you saw"),
        TAPER_AND_LEAF[1],
        ask(TUBE, heading="Or the tube it is for"),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {
        "seal": "chamfer", "where": "plug", "diameter": "11.0 mm", "tpi": "20", "tapered": "no",
    }  # fmt: skip
    CAUTION = "Relieve the pressure first. Match the old part's seal; the machine's manual has the last word."
    HEADING = "Joint"
    WORD = 8
    WHY = 48
    SOURCES = "ports"
    EMPTY = "Look first: which of the drawings is it? Then type the diameter and the pitch, or the tube."

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        # The first question is a drawing, so it is what a small window shows first.
        self._pictured = True
        self.set_class(True, "-pictured")
        # The ports there are, the shop's own too; read from its database once the panel stands.
        self._book: PortBook = orings.port_book.built_in()

    def on_mount(self) -> None:
        """A tall window has room for the list and the drawing at once."""
        if self.app.size.height >= TALL:
            self._pictured = False
            self.set_class(False, "-pictured")
        self.read_own()

    @work(exclusive=True, group="own")
    async def read_own(self) -> None:
        """Read which ports the shop says itself, and judge by them."""
        found = await asyncio.to_thread(cast("Host", self.app).workshop.port_book)
        if found.own != self._book.own:
            self._book = found
            self._judge_again()

    @property
    def first(self) -> Widget | None:
        """The drawings: what is seen comes before what is measured."""
        return self.field("seal")

    def drawing(self) -> Widget:
        """The five looks of a seal."""
        return SectionText(Drawn("port"), classes="ruling-picture")

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Which joint, which ring, how sure, and what would settle it."""
        reader = screens.judge.reading.Reader({**values, "female": "yes" if values["where"] == "port" else ""}, unit)
        read = reader.read(operations.port.PORT)
        if reader.wrong or (read["diameter"] is None and read["tube"] is None):
            return nothing(self.EMPTY, reader.notes)
        book = self._book
        answer = reader.answer(
            operations.port.PORT, lambda values, bench: operations.port.joined(values, bench, book), read
        )
        if answer is None:
            return nothing(self.EMPTY, reader.notes)
        if isinstance(answer, answers.port.TubePorts):
            return _of_tube(answer, reader.notes, reader.text("tube"))
        return _ruling(answer, reader.notes)


def _of_tube(answer: TubePorts, notes: Mapping[str, Note], typed: str) -> Ruling:
    picture = Drawn("port", answer.seal or "")
    if not answer.ports:
        return Ruling(Mark.BAD, "no joint", _sentences(answer.sentences), (), picture, notes)
    lines = tuple(_line(port, port.look) for port in answer.ports)
    if answer.seal is None:
        # The drawing asks the question, and keeps its room.
        says = tuple(text for text in answer.sentences if text != answer.question)
        return Ruling(Mark.CARE, f"tube {typed}", says, lines, picture, notes)
    word = answer.ports[0].title if answer.one else answers.port.SEVERAL
    kept = tuple(dict.fromkeys(f"{port.note}." for port in answer.ports if port.note)) if answer.one else ()
    mark = Mark.GOOD if answer.one else Mark.CARE
    says = (*_sentences(answer.sentences), *kept)
    return Ruling(mark, word, says, (*lines, *rule_lines(answer.because)), picture, notes)


def _ruling(answer: PortAnswer, notes: Mapping[str, Note]) -> Ruling:
    picture, rules = Drawn("port", answer.seal or ""), rule_lines(answer.because)
    if not answer.found:
        return Ruling(Mark.BAD, "no port", answer.sentences, tuple(rules), picture, notes)
    if answer.seal is None:
        lines = [_line(match, match.look) for match in answer.ports]
        # The drawing asks the question; what else would help stands in the list, so that the drawing keeps its room.
        says = (" ".join(text for text in answer.sentences if text != answer.question),)
        lines += [Line(Mark.MEASURE, "measure", "thread", check, "our rule") for check in answer.checks[1:]]
        return Ruling(Mark.CARE, "how does it seal?", says, (*lines, *rules), picture, notes)
    first = answer.ports[0]
    lines = [_line(match, short_percent(match.probability)) for match in answer.ports]
    lines += [
        rule_line(Mark.NOTE, "washer", one.size, one.rule(name))
        for name, washers in answer.washers.items()
        for one in washers
    ]
    lead, *rest = answer.sentences
    told = (lead.removeprefix(f"{first.title} "), *rest)
    return Ruling(Mark.GOOD if answer.sure else Mark.CARE, first.title, told, (*lines, *rules), picture, notes)


def _line(port: Joint, word: str) -> Line:
    return rule_line(Mark.NOTE, word, port.title, port.rule)


def _sentences(told: tuple[str, ...]) -> tuple[str, ...]:
    """What follows a tube's size in the command's answer, standing alone."""
    return tuple(f"{text[:1].upper()}{text[1:]}" for text in told)
