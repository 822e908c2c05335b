"""Torque: what a torque does to a bolt, dry or wet, and what is usual where none is typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.widget import Widget

from tui.screens.judge.panel import Panel
from tui.screens.judge.ruling import Ask, Line, Ruling, nothing
from tui.widgets.judge.load_bars import LoadBar, LoadBars
from tui.widgets.judge.marks import Mark

if TYPE_CHECKING:
    from catalog.fasteners.sizes import Thread
    from catalog.fasteners.torque import Overload, Tightening

# The usual ones side by side; the table behind has more.
CONDITIONS = ("dry", "oiled", "anti-seize", "zinc", "light-oil", "rusty", "waxed", "thread-locker")


class TorquePanel(Panel):
    """Thread, class, condition and torque in; clamp load against proof load out."""

    ASKS: ClassVar[Sequence[Ask]] = (
        Ask("thread", "Thread", "M16x2, 3/8-16", heading="The bolt", wide=True),
        Ask("class", "Class", "8.8, grade 5"),
        Ask("condition", "Thread is", words=CONDITIONS),
        Ask("torque", "Torque", "empty: usual", heading="The figure"),
        Ask("meant", "Meant for", words=CONDITIONS),
    )
    EXAMPLE: ClassVar[Mapping[str, str]] = {
        "thread": "M16x2", "class": "8.8", "condition": "oiled", "torque": "100 lbf·ft", "meant": "dry",
    }  # fmt: skip
    CAUTION = "The machine's manual has the last word on torque. ? says what this is not for."
    HEADING = "Condition"
    EMPTY = "Type a thread and a class. Then a torque, or leave it empty for the usual one."

    def drawing(self) -> Widget:
        """Bars of clamp load."""
        return LoadBars(classes="ruling-picture", plain=self.plain)

    def judge(self, values: Mapping[str, str], unit: str) -> Ruling:
        """Clamp load in this condition, and what the figure would do in the others."""
        from catalog.fasteners.sizes import thread_named
        from catalog.fasteners.strength import strength
        from catalog.fasteners.torque import USUAL_FRACTION, at_figure_meant_for, clamp_at, tighten_to
        from catalog.quantity import Kind
        from tui.screens.judge.reading import Reader

        reader = Reader(values, unit)
        thread = None
        grade = reader.text("class")
        if reader.text("thread"):
            try:
                thread = thread_named(reader.text("thread"))
                reader.echo("thread", f"{thread.designation}, {thread.diameter_mm:.2f} mm, pitch {thread.pitch_text}")
                if grade:
                    known = strength(grade, thread)
                    reader.echo("class", f"proof {known.proof_mpa:.0f} MPa")
            except ValueError as problem:
                reader.refuse("class" if thread else "thread", problem)
        torque = reader.quantity("torque", Kind.TORQUE, "N·m", "lbf·ft" if unit == "in" else "N·m")
        if thread is None or not grade or reader.wrong:
            return nothing(self.EMPTY, reader.notes)
        condition, meant = reader.text("condition"), reader.text("meant")
        try:
            if torque is None:
                found, over = tighten_to(thread, grade, condition), None
            else:
                found = clamp_at(thread, grade, float(torque), condition)
                over = at_figure_meant_for(thread, grade, float(torque), condition, meant)
            lines = tuple(_line(clamp_at(thread, grade, found.torque_nm, key), key) for key in CONDITIONS)
        except ValueError as problem:
            reader.refuse("torque", problem)
            return nothing(self.EMPTY, reader.notes)
        bars = tuple(_bar(clamp_at(thread, grade, found.torque_nm, key), key, condition) for key in CONDITIONS)
        mark, word = _verdict(found, over)
        share = f"{100 * found.fraction_of_proof:.0f} % of the proof load"
        says = [f"{_torque(found.torque_nm)}: {found.clamp_n / 1000:.0f} kN, {share}."]
        if torque is None:
            says.append(
                f"{100 * USUAL_FRACTION:.0f} % of the proof load is usual for a joint that is taken apart again."
            )
        if over is not None and condition != meant:
            says.append(
                f"The figure is for {meant}; {_torque(over.right_torque_nm)} clamps as meant. Ask the manual first."
            )
        says += found.warnings
        first = _condition_first(lines, condition)
        if over is not None and condition != meant:
            way = "over" if over.percent > 0 else "under"
            first.insert(
                0, Line(mark, f"{abs(over.percent):.0f}% {way}", f"meant for {meant}", over.sentence, "T = K d F")
            )
        return Ruling(mark, word, tuple(says), (*first, *_bolt(thread, found)), bars, reader.notes, found.caution)


def _verdict(found: Tightening, over: Overload | None) -> tuple[Mark, str]:
    if found.fraction_of_proof > 1:
        return Mark.BAD, "overload"
    if over is not None and over.percent > 0.5:
        return Mark.BAD, f"{over.percent:.0f} % too tight"
    if over is not None and over.percent < -0.5:
        return Mark.CARE, f"{-over.percent:.0f} % too loose"
    if found.warnings:
        return Mark.CARE, "with care"
    return Mark.GOOD, "within the proof load"


def _torque(newton_metres: float) -> str:
    from fractions import Fraction

    from catalog.quantity import Kind, parse

    typed = parse(f"{newton_metres:.1f} N·m", kind=Kind.TORQUE, bare_unit="N·m")
    return f"{newton_metres:.0f} N·m ({float(typed.to('lbf·ft') or Fraction(0)):.0f} lbf·ft)"


def _range(found: Tightening) -> str:
    return (
        f"{found.clamp_n / 1000:.1f} kN, {found.clamp_low_n / 1000:.1f} to {found.clamp_high_n / 1000:.1f} as friction "
        f"falls out; {100 * found.fraction_of_proof:.0f} % of the proof load"
    )


def _line(found: Tightening, key: str) -> Line:
    sentence = f"{found.friction.condition}, nut factor {found.friction.typical:g}: {_range(found)}."
    source = f"{found.friction.source}, {found.friction.standing}"
    share = f"{100 * found.fraction_of_proof:.0f}%"
    if found.fraction_of_proof > 1:
        return Line(Mark.BAD, f"{share} OVER", key, sentence, source)
    if found.fraction_high > 1:
        return Line(Mark.CARE, f"{share} care", key, sentence, source)
    return Line(Mark.GOOD, f"{share} proof", key, sentence, source)


def _bar(found: Tightening, key: str, condition: str) -> LoadBar:
    low = found.clamp_low_n / found.proof_load_n
    return LoadBar(key, low, found.fraction_of_proof, found.fraction_high, key == condition)


def _condition_first(lines: Sequence[Line], condition: str) -> list[Line]:
    """The condition asked about, then the others, worst first."""
    order = list(Mark)
    return sorted(lines, key=lambda line: (line.name != condition, -order.index(line.mark)))


def _bolt(thread: Thread, found: Tightening) -> list[Line]:
    from catalog.fasteners.wrench import hexes

    grade = found.strength
    sentence = f"{found.proof_load_n / 1000:.1f} kN: {grade.proof_mpa:.0f} MPa over the stress area of the thread."
    lines = [
        Line(
            Mark.NOTE,
            f"{found.proof_load_n / 1000:.1f} kN",
            "proof load",
            sentence,
            f"{grade.source}, {grade.standing}",
        )
    ]
    lines += [
        Line(
            Mark.NOTE,
            one.wrench,
            "wrench",
            f"{one.wrench} across flats ({one.standard}).",
            f"{one.source}, {one.standing}",
        )
        for one in hexes(thread)
    ]
    return lines
