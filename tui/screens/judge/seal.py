"""Seal: a measured sealing washer or rotary shaft seal to its size, or a plug's thread to its washers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar, Final

from textual.widget import Widget

import tui
from tui import answers, operations, screens
from tui.answers.chances import short_percent
from tui.fields.seals import BORE, INSIDE, KIND, OD, OUTSIDE, PLUG, SHAFT, THICK, WASHER_KINDS, WIDTH
from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Ruling, ask, nothing, rule_line, rule_lines
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.section_text import Drawn, SectionText

if TYPE_CHECKING:
    from tui.answers.reasons import Reason
    from tui.answers.shaft_seal import ShaftSealAnswer
    from tui.answers.washer import WasherAnswer, WashersOfThread
    from tui.needing import Needed
    from tui.screens.judge.reading import Reader

WASHER, SHAFT_SEAL = "washer", "shaft seal"
SURE: Final = 0.9
PRACTICE: Final = "common practice, no source"


class SealPanel(Panel):
    """Readings in, ranked sizes out."""

    ASKS: ClassVar[Sequence[Ask]] = (
        Ask("seal", "Seal", words=(WASHER, SHAFT_SEAL), heading="What it is"),
        ask(INSIDE, when=(WASHER,), heading="What you measured"),
        ask(OUTSIDE, when=(WASHER,)),
        ask(THICK, when=(WASHER,)),
        Ask("state", "State", words=("used", "new"), when=(WASHER,)),
        ask(KIND, words=("?", *WASHER_KINDS), when=(WASHER,)),
        ask(PLUG, when=(WASHER,), heading="Or the plug's thread"),
        ask(SHAFT, when=(SHAFT_SEAL,), heading="What you measured"),
        ask(BORE, when=(SHAFT_SEAL,)),
        ask(OD, when=(SHAFT_SEAL,)),
        ask(WIDTH, when=(SHAFT_SEAL,)),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {
        "seal": WASHER, "inside": "14.2 mm", "outside": "17.9 mm", "thick": "1.4 mm", "state": "used",
    }  # fmt: skip
    CAUTION = "The manual says which material, lip and side. A soft washer is used once."
    HEADING = "Size"
    SOURCES = "seals"
    EMPTY = "Type what you measured: a washer inside and outside, or a shaft and its bore."

    def drawing(self) -> Widget:
        """Where to measure."""
        return SectionText(Drawn(WASHER), classes="ruling-picture")

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Which size, how sure, and what would settle it."""
        reader = screens.judge.reading.Reader({**values, "new": "yes" if values.get("state") == "new" else ""}, unit)
        return self._shaft_seal(reader) if reader.text("seal") == SHAFT_SEAL else self._washer(reader)

    def _washer(self, reader: Reader) -> Ruling:
        read = reader.read(operations.washer.WASHER)
        if reader.wrong or all(read[one.name] is None for one in (INSIDE, OUTSIDE, THICK, PLUG)):
            return nothing(self.EMPTY, reader.notes)
        answer = reader.answer(operations.washer.WASHER, operations.washer.asked, read)
        if answer is None:
            return nothing(self.EMPTY, reader.notes)
        return (
            _of_thread(answer, reader)
            if isinstance(answer, answers.washer.WashersOfThread)
            else _washer(answer, reader)
        )

    def _shaft_seal(self, reader: Reader) -> Ruling:
        read = reader.read(operations.shaft_seal.SHAFT_SEAL)
        if reader.wrong or all(read[one.name] is None for one in (SHAFT, BORE, OD)):
            return nothing(self.EMPTY, reader.notes)
        answer = reader.answer(operations.shaft_seal.SHAFT_SEAL, operations.shaft_seal.identified, read)
        return nothing(self.EMPTY, reader.notes) if answer is None else _shaft_seal(answer, reader)

    def required(self, values: Mapping[str, str], unit: str) -> Needed | str:
        """The washer or the shaft seal that was found."""
        found = self.ruled(values, unit)
        if not found.word or found.mark is Mark.BAD:
            return "No washer or shaft seal was found. Type what you measured."
        kind = "shaft seal" if values.get("seal") == SHAFT_SEAL else "sealing washer"
        return tui.needing.Needed(
            "consumable", spec_class=f"{kind} {found.word}", why=f"measured in Judge: {found.says[0]}"
        )


def _washer(answer: WasherAnswer, reader: Reader) -> Ruling:
    sizes = [(one.probability, one.size, one.rule(one.under)) for one in answer.washers]
    lead = f"{answer.washers[0].called}, {short_percent(answer.washers[0].probability)}." if answer.washers else ""
    return _ruling(answer, sizes, lead, (answer.caution,), Drawn(WASHER), reader)


def _shaft_seal(answer: ShaftSealAnswer, reader: Reader) -> Ruling:
    sizes = [(one.probability, one.size, one.rule) for one in answer.seals]
    lead = ""
    if answer.seals:
        best = answer.seals[0]
        lead = f"{short_percent(best.probability)}; shaft × bore × width, {best.standard}."
    return _ruling(answer, sizes, lead, answer.cautions, Drawn(SHAFT_SEAL), reader)


def _of_thread(answer: WashersOfThread, reader: Reader) -> Ruling:
    if not answer.found:
        return Ruling(Mark.BAD, "no washer", (answer.headline,), (), Drawn(WASHER), reader.notes)
    lines = [rule_line(Mark.NOTE, "washer", one.size, one.rule(answer.thread)) for one in answer.washers]
    lines.append(_caution(answer.caution))
    says = (f"the usual washer under a plug of {answer.thread}.",)
    return Ruling(Mark.CARE, answer.washers[0].size, says, tuple(lines), Drawn(WASHER), reader.notes)


def _ruling(
    answer: WasherAnswer | ShaftSealAnswer,
    sizes: Sequence[tuple[float, str, Reason]],
    lead: str,
    cautions: Sequence[str],
    picture: Drawn,
    reader: Reader,
) -> Ruling:
    """The likeliest size, how sure, and all it can be; the sizes with their chance and their row of the tables."""
    advice = tuple(text for text in (answer.settle, *answer.notes) if text)
    none = answer.none_probability
    nobody = Line(Mark.NOTE, short_percent(none), "no such size", "None of the sizes in the tables.", "our rule")
    ranked = [
        rule_line(Mark.GOOD if chance >= SURE else Mark.NOTE, short_percent(chance), size, rule)
        for chance, size, rule in sizes
    ]
    rest = [*map(_caution, cautions), *rule_lines(answer.because)]
    if not answer.found:
        return Ruling(Mark.BAD, "no such size", advice, (nobody, *ranked, *rest), picture, reader.notes)
    return Ruling(
        Mark.GOOD if sizes[0][0] >= SURE else Mark.CARE,
        sizes[0][1],
        (lead, *advice),
        (*ranked, nobody, *rest),
        picture,
        reader.notes,
    )


def _caution(text: str) -> Line:
    return Line(Mark.CARE, "service", "caution", text, PRACTICE)
