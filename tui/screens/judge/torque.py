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
    from catalog.because import Because
    from catalog.fasteners.sizes import Thread
    from catalog.fasteners.torque import Overload, Tightening

# The usual ones side by side; the table behind has more.
CONDITIONS = ("dry", "oiled", "anti-seize", "zinc", "light-oil", "rusty", "waxed", "thread-locker")


class TorquePanel(Panel):
    """Thread, class, condition and torque in; clamp load against proof load out."""

    ASKS: ClassVar[Sequence[Ask]] = (
        Ask("thread", "Thread", "M16x2, 3/8-16", heading="The bolt", wide=True),
        Ask("class", "Class", "8.8, A2-70, 5"),
        Ask("condition", "Thread is", words=CONDITIONS),
        Ask("torque", "Torque", "empty: usual", heading="The figure", quantity="torque"),
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
        from catalog.fasteners.torque import USUAL_FRACTION, at_figure_meant_for, clamp_at, share, tighten_to
        from catalog.quantity import Kind
        from catalog.quantity.display import format_stress
        from tui.screens.judge.reading import Reader

        reader = Reader(values, unit)
        first_unit = reader.units.torque
        thread = None
        grade = reader.text("class")
        if reader.text("thread"):
            try:
                thread = thread_named(reader.text("thread"))
                reader.echo("thread", f"{thread.designation}, {thread.diameter_mm:.2f} mm, pitch {thread.pitch_text}")
                if grade:
                    known = strength(grade, thread)
                    reader.echo("class", f"{known.limit.stress} {format_stress(known.proof_mpa)}")
            except ValueError as problem:
                reader.refuse("class" if thread else "thread", problem)
        torque = reader.quantity("torque", Kind.TORQUE, "N·m")
        if thread is None or not grade or reader.wrong:
            return nothing(self.EMPTY, reader.notes)
        condition, meant = reader.text("condition"), reader.text("meant")
        try:
            if torque is None:
                # The usual torque is reckoned for this very condition.
                found, meant = tighten_to(thread, grade, condition), condition
            else:
                found = clamp_at(thread, grade, float(torque), condition)
            over = {key: at_figure_meant_for(thread, grade, found.torque_nm, key, meant) for key in CONDITIONS}
            other = over[condition] if condition != meant else None
        except ValueError as problem:
            reader.refuse("torque", problem)
            return nothing(self.EMPTY, reader.notes)
        lines = tuple(_line(one, key, first_unit) for key, one in over.items())
        bars = tuple(_bar(one.got, key, condition) for key, one in over.items())
        mark, word = _verdict(found, other)
        load = found.proof.limit.load
        says = [
            f"{_torque(found.torque_nm, first_unit)}: {_force(found.clamp_n, first_unit)}, "
            f"{share(found.fraction_of_proof)} of the {load}."
        ]
        if torque is None:
            says.append(f"{100 * USUAL_FRACTION:.0f} % of the {load} is usual for a joint that is taken apart again.")
        if other is not None:
            says.append(
                f"The figure is for {meant}; {_torque(other.right_torque_nm, first_unit)} clamps as meant. "
                "Ask the manual first."
            )
        says += found.warnings
        first = [one for one in lines if one.name == condition]
        if other is not None:
            way = "over" if other.percent > 0 else "under"
            first[0] = Line(mark, f"{abs(other.percent):.0f}% {way}", condition, other.sentence, first[0].source)
        # Then the condition that was meant, then the others, worst first.
        order = list(Mark)
        rest = sorted(
            (one for one in lines if one.name != condition), key=lambda one: (one.name != meant, -order.index(one.mark))
        )
        because = [one for one in (found if other is None else other).because if one != found.proof.because]
        return Ruling(
            mark, word, tuple(says), (*first, *rest, *_bolt(thread, found, first_unit), *map(_why, because)), bars,
            reader.notes, found.caution,
        )  # fmt: skip


def _verdict(found: Tightening, over: Overload | None) -> tuple[Mark, str]:
    if found.overloaded:
        return Mark.BAD, "overload"
    if over is not None and over.tighter:
        return Mark.BAD, f"{over.percent:.0f} % too tight"
    if over is not None and over.looser:
        return Mark.CARE, f"{-over.percent:.0f} % too loose"
    if found.warnings:
        return Mark.CARE, "with care"
    return Mark.GOOD, f"within the {found.proof.limit.load}"


def _torque(newton_metres: float, first: str) -> str:
    from catalog.quantity.display import format_torque

    return format_torque(newton_metres, first=first)


def _force(newtons: float, first: str) -> str:
    from catalog.quantity.display import format_force

    return format_force(newtons, first="lbf" if first == "lbf·ft" else "kN")


def _line(compared: Overload, key: str, first: str) -> Line:
    """The same torque in one condition. A tick belongs to the one that the figure is meant for, and to no other."""
    from catalog.fasteners.torque import share

    found = compared.got
    friction = found.friction
    sentence = (
        f"{friction.condition}, nut factor {friction.typical:g}: {_force(found.clamp_n, first)}, "
        f"{_force(found.clamp_low_n, first)} to {_force(found.clamp_high_n, first)} as friction falls out; "
        f"{share(found.fraction_of_proof)} of the {found.proof.limit.load}."
    )
    source = f"{friction.source}, {friction.standing.words}"
    part = share(found.fraction_of_proof).replace(" ", "")
    if found.overloaded:
        return Line(Mark.BAD, f"{part} OVER", key, sentence, source)
    if key == compared.meant.friction.key:
        return Line(Mark.CARE if found.warnings else Mark.GOOD, f"{part} as meant", key, sentence, source)
    if found.may_overload:
        return Line(Mark.CARE, f"{part} care", key, sentence, source)
    way = "over" if compared.tighter else "under" if compared.looser else "as meant"
    return Line(Mark.NOTE, f"{abs(compared.percent):.0f}% {way}", key, sentence, source)


def _bar(found: Tightening, key: str, condition: str) -> LoadBar:
    low = found.clamp_low_n / found.proof_load_n
    return LoadBar(key, low, found.fraction_of_proof, found.fraction_high, key == condition)


def _why(rule: Because) -> Line:
    return Line(Mark.NOTE, "because", "rule", f"{rule.rule}.", f"{rule.source}, {rule.standing.words}")


def _bolt(thread: Thread, found: Tightening, first: str) -> list[Line]:
    from catalog.fasteners.wrench import hexes
    from catalog.quantity.display import format_stress

    grade, proof = found.strength, found.proof
    source = f"{grade.source}, {grade.standing.words}"
    rule = proof.because
    loads = (
        (proof.limit.load, found.proof_load_n, f"{rule.rule}.", f"{rule.source}, {rule.standing.words}"),
        (
            "breaking load",
            found.ultimate_load_n,
            f"least; {format_stress(grade.tensile_mpa)} tensile strength.",
            source,
        ),
    )
    lines = [Line(Mark.NOTE, _first(_force(newtons, first)), name, why, whence) for name, newtons, why, whence in loads]
    stress = f"In the bolt {format_stress(found.stress_mpa)}; {grade.limit.stress} {format_stress(grade.proof_mpa)}."
    lines.append(Line(Mark.NOTE, _first(format_stress(found.stress_mpa)), "stress", stress, source))
    if grade.note:
        lines.append(Line(Mark.NOTE, grade.name, "about the class", f"{grade.note}.", source))
    lines += [
        Line(
            Mark.NOTE,
            one.wrench,
            "wrench",
            f"{one.wrench} across flats ({one.standard}).",
            f"{one.source}, {one.standing.words}",
        )
        for one in hexes(thread)
    ]
    return lines


def _first(both: str) -> str:
    """The first of the two units of a figure."""
    return both.partition(" (")[0]
