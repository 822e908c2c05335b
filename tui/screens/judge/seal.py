"""Seal: a measured sealing washer or rotary shaft seal to its size, or a plug's thread to its washers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.widget import Widget

from tui.answers.chances import short_percent
from tui.answers.reasons import reasons_of
from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Ruling, nothing, rule_line, rule_lines
from tui.widgets.judge.marks import Mark
from tui.widgets.judge.section_text import Drawn, SectionText

if TYPE_CHECKING:
    from catalog.fasteners.thread import Reading
    from tui.needing import Needed
    from tui.screens.judge.reading import Reader

WASHER, SHAFT_SEAL = "washer", "shaft seal"
SURE = 0.9


class SealPanel(Panel):
    """Readings in, ranked sizes out."""

    ASKS: ClassVar[Sequence[Ask]] = (
        Ask("kind", "Seal", words=(WASHER, SHAFT_SEAL), heading="What it is"),
        Ask("inside", "Inside", "diameter", when=(WASHER,), heading="What you measured"),
        Ask("outside", "Outside", "diameter", when=(WASHER,)),
        Ask("thick", "Thickness", "of the metal", when=(WASHER,)),
        Ask("state", "State", words=("used", "new"), when=(WASHER,)),
        Ask("made", "Made of", words=("?", "flat", "bonded"), when=(WASHER,)),
        Ask("thread", "Or thread", "M14x1.5, G 1/4", when=(WASHER,), heading="Or the plug's thread"),
        Ask("shaft", "Shaft", "beside the track", when=(SHAFT_SEAL,), heading="What you measured"),
        Ask("bore", "Bore", "of the housing", when=(SHAFT_SEAL,)),
        Ask("od", "or seal OD", "over its outside", when=(SHAFT_SEAL,)),
        Ask("width", "Width", "of the seal", when=(SHAFT_SEAL,)),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {
        "kind": WASHER, "inside": "14.2 mm", "outside": "17.9 mm", "thick": "1.4 mm", "state": "used",
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
        from tui.screens.judge.reading import Reader

        reader = Reader(values, unit)
        if reader.text("kind") == SHAFT_SEAL:
            return self._shaft_seal(reader)
        if reader.text("thread"):
            return self._of_thread(reader)
        return self._washer(reader)

    def _read(self, reader: Reader, names: Mapping[str, str]) -> dict[str, Reading]:
        from catalog.fasteners.thread import Reading
        from tui.commands.washer import PLUS_MINUS_MM

        found = {}
        for key, name in names.items():
            value = reader.length(key)
            if value is not None:
                found[name] = Reading(value, reader.plus_minus_mm(key, PLUS_MINUS_MM))
        return found

    def _washer(self, reader: Reader) -> Ruling:
        from catalog.seals.washers import CAUTION, INSIDE, OUTSIDE, THICK, WasherKind, identify_washer

        readings = self._read(reader, {"inside": INSIDE, "outside": OUTSIDE, "thick": THICK})
        if not readings or reader.wrong:
            return nothing(self.EMPTY, reader.notes)
        try:
            answer = identify_washer(readings, used=reader.text("state") != "new", kind=reader.word("made", WasherKind))
        except ValueError as problem:
            reader.refuse("inside" if "inside" in reader.values and reader.text("inside") else "outside", problem)
            return nothing(self.EMPTY, reader.notes)
        lines = [
            Line(
                Mark.GOOD if one.probability >= SURE else Mark.NOTE,
                short_percent(one.probability),
                one.washer.label,
                f"{one.washer.kind.words}, {one.washer.standard}, under {' and '.join(one.washer.threads)}.",
                one.washer.standing.words
                if one.washer.source == "memory"
                else f"{one.washer.source}; {one.washer.standing.words}",
            )
            for one in answer.matches
        ]
        says = tuple(text for text in (answer.settle, *answer.notes) if text)
        lines.append(Line(Mark.CARE, "service", "caution", CAUTION, "common practice, no source"))
        best = answer.matches[0] if answer.matches else None
        word = "" if best is None else best.washer.label
        lead = "" if best is None else f"{best.washer.kind.words}, {short_percent(best.probability)}."
        return _ruling(
            word,
            lead,
            says,
            lines,
            answer.none_probability,
            reader,
            Drawn(WASHER),
            rule_lines(reasons_of(answer.because)),
        )

    def _of_thread(self, reader: Reader) -> Ruling:
        from catalog.fasteners.sizes import thread_named
        from catalog.seals.washers import CAUTION
        from tui.answers.washers import washers_under

        if any(reader.text(key) for key in ("inside", "outside", "thick")):
            reader.refuse("thread", "A washer is measured already; keep one of the two.")
            return nothing(self.EMPTY, reader.notes)
        try:
            thread = thread_named(reader.text("thread"))
        except ValueError as problem:
            reader.refuse("thread", problem)
            return nothing(self.EMPTY, reader.notes)
        reader.echo("thread", f"{thread.designation}, {thread.diameter_mm:.2f} mm")
        lines = [
            rule_line(Mark.NOTE, "washer", one.size, one.rule(thread.designation)) for one in washers_under(thread)
        ]
        if not lines:
            text = f"No washer of the tables is for {thread.designation}: measure the old one."
            return Ruling(Mark.BAD, "no washer", (text,), (), Drawn(WASHER), reader.notes)
        says = (f"the usual washer under a plug of {thread.designation}.",)
        lines.append(Line(Mark.CARE, "service", "caution", CAUTION, "common practice, no source"))
        return Ruling(Mark.CARE, lines[0].name, says, tuple(lines), Drawn(WASHER), reader.notes)

    def _shaft_seal(self, reader: Reader) -> Ruling:
        from catalog.seals.shaft_seals import BORE, CAUTIONS, OUTSIDE, SHAFT, WIDTH, identify_shaft_seal

        readings = self._read(reader, {"shaft": SHAFT, "bore": BORE, "od": OUTSIDE, "width": WIDTH})
        if not ({SHAFT, BORE, OUTSIDE} & set(readings)) or reader.wrong:
            return nothing(self.EMPTY, reader.notes)
        try:
            answer = identify_shaft_seal(readings)
        except ValueError as problem:
            reader.refuse("shaft", problem)
            return nothing(self.EMPTY, reader.notes)
        lines = [
            Line(
                Mark.GOOD if one.probability >= SURE else Mark.NOTE,
                short_percent(one.probability),
                one.seal.label,
                f"shaft × bore × width, {one.seal.standard}. {one.seal.note}".strip(),
                one.seal.standing.words
                if one.seal.source == "memory"
                else f"{one.seal.source}; {one.seal.standing.words}",
            )
            for one in answer.matches
        ]
        says = tuple(text for text in (answer.settle, *answer.notes) if text)
        best = answer.matches[0] if answer.matches else None
        word = "" if best is None else best.seal.label
        lead = "" if best is None else f"{short_percent(best.probability)}; shaft × bore × width, {best.seal.standard}."
        lines += [Line(Mark.CARE, "service", "caution", text, "common practice, no source") for text in CAUTIONS]
        drawn = Drawn(SHAFT_SEAL)
        return _ruling(
            word, lead, says, lines, answer.none_probability, reader, drawn, rule_lines(reasons_of(answer.because))
        )

    def required(self, values: Mapping[str, str], unit: str) -> Needed | str:
        """The washer or the shaft seal that was found."""
        from tui.needing import Needed

        found = self.judge(values, unit)
        if not found.word or found.mark is Mark.BAD:
            return "No washer or shaft seal was found to ask for. Type what you measured."
        kind = "shaft seal" if values.get("kind") == SHAFT_SEAL else "sealing washer"
        return Needed("consumable", spec_class=f"{kind} {found.word}", why=f"measured in Judge: {found.says[0]}")


def _ruling(
    word: str,
    lead: str,
    says: tuple[str, ...],
    lines: list[Line],
    none: float,
    reader: Reader,
    picture: Drawn,
    rules: list[Line],
) -> Ruling:
    nobody = Line(Mark.NOTE, short_percent(none), "no such size", "None of the sizes in the tables.", "our rule")
    if none > 0.5 or not word:
        return Ruling(Mark.BAD, "no such size", says, (nobody, *lines, *rules), picture, reader.notes)
    sure = lines[0].mark is Mark.GOOD
    mark = Mark.GOOD if sure else Mark.CARE
    ranked = [line for line in lines if line.mark is not Mark.CARE]
    service = [line for line in lines if line.mark is Mark.CARE]
    return Ruling(mark, word, (lead, *says), (*ranked, nobody, *service, *rules), picture, reader.notes)
