"""A torque and the clamp load it gives, with what friction makes of it and what the same torque does elsewhere."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar, Final, Literal

import catalog
from catalog import fasteners
from tui.answers.advice import ADVICE
from tui.answers.answer import Answer, said
from tui.answers.reasons import Reason, Standing, reasons_of, why_lines
from tui.answers.threads import Hex, hex_of, wrench_lines
from tui.commands.output import table

if TYPE_CHECKING:
    from catalog.fasteners import strength as graded
    from catalog.fasteners.torque import NutFactor, Tightening
    from catalog.fasteners.torque import Overload as ElsewhereOverload

Way = Literal["torque", "clamp", "fraction", "usual"]
"""By what it was asked: a torque, a clamp load, a share of the proof load, or none of them."""
Verdict = Literal["overload", "far too loose", "too tight", "too loose", "with care", "within the load"]
USUAL: Final = "75 % of the {load} is usual for a joint that is taken apart again."


@dataclass(frozen=True)
class Scatter:
    """A figure at the least, the typical and the most that friction makes of it."""

    least: float
    typical: float
    most: float


@dataclass(frozen=True)
class Strength:
    """A property class or grade. `limit`: which stress `proof_mpa` is, for not every class has a proof stress.

    Stainless classes have a 0.2 % yield stress in its place, old Japanese marks a yield point.
    """

    name: str
    label: str
    standard: str
    limit: Literal["proof", "0.2", "yield"]
    proof_mpa: float
    yield_mpa: float
    tensile_mpa: float
    note: str
    source: str
    standing: Standing

    @property
    def load(self) -> str:
        """The load it bears, by name: `proof load`."""
        return fasteners.strength.Limit(self.limit).load

    @property
    def stress(self) -> str:
        """The stress it bears, by name: `proof stress`."""
        return fasteners.strength.Limit(self.limit).stress

    @property
    def rule(self) -> Reason:
        """The row itself, with its source."""
        in_both = catalog.quantity.display.format_stress
        stresses = f"{self.stress} {in_both(self.proof_mpa)}, tensile strength {in_both(self.tensile_mpa)}"
        return Reason(f"{self.label}: {stresses}.", self.source, self.standing)


@dataclass(frozen=True)
class Condition:
    """What is on the thread, and the nut factor that it gives."""

    key: str
    name: str
    nut_factor: Scatter
    source: str
    standing: Standing
    note: str


@dataclass(frozen=True)
class InCondition:
    """The same torque on a thread in one condition. `percent`: how much more clamp load than meant; below 0, less.

    `as_meant`: it is the condition that the torque is for. `tighter`, `looser`: by more than a wrench can tell.
    `warnings`: worst first.
    """

    condition: Condition
    clamp_n: Scatter
    share_of_proof: Scatter
    percent: float
    as_meant: bool
    overloaded: bool
    may_overload: bool
    too_loose: bool
    tighter: bool
    looser: bool
    warnings: tuple[str, ...]

    @property
    def outcome(self) -> str:
        """How it comes out, against what the bolt bears and what was meant."""
        if self.overloaded:
            return "OVERLOAD"
        if self.too_loose:
            return "far too loose"
        if self.as_meant or not (self.tighter or self.looser):
            return "as meant"
        return f"{abs(self.percent):.0f} % {'tighter' if self.tighter else 'looser'}"

    @property
    def short(self) -> str:
        """The share of what the bolt bears and the outcome, for a narrow column: `80% as meant`, `33% tighter`."""
        part = _share(self.share_of_proof.typical).replace(" ", "")
        if self.overloaded:
            return f"{part} OVER"
        if self.too_loose:
            return f"{part} loose"
        if self.as_meant:
            return f"{part} as meant"
        return f"{part} care" if self.may_overload else self.outcome.replace(" %", "%")

    def rule(self, load: str, unit: str) -> Reason:
        """The clamp load and its range in both units, its share of the load, and where the friction is from."""
        scatter, condition = self.clamp_n, self.condition
        low, typical, high = (_force(one, unit) for one in (scatter.least, scatter.typical, scatter.most))
        told = (
            f"{condition.name}, nut factor {condition.nut_factor.typical:g}: {typical}, {low} to {high} as friction "
            f"varies; {_share(self.share_of_proof.typical)} of the {load}."
        )
        return Reason(told, condition.source, condition.standing)


@dataclass(frozen=True)
class Overload:
    """A torque meant for a thread in another condition. `figure_was_given`: else it is the dry one, for comparison.

    `percent`: more clamp load than meant at typical friction, `percent_most` at the least; below 0 it is looser.
    `tighter`, `looser`: by more than a wrench can tell.
    """

    meant_for: str
    figure_nm: float
    figure_was_given: bool
    percent: float
    percent_most: float
    right_torque_nm: float
    tighter: bool
    looser: bool
    text: str

    def short(self, unit: str) -> str:
        """What would be right, in both units."""
        right = _torque(self.right_torque_nm, unit)
        return f"The figure is for {self.meant_for}; {right} clamps as meant. Ask the manual first."


@dataclass(frozen=True)
class TorqueAnswer(Answer):
    """A torque and the clamp load it gives, with the spread of friction. Loads in N, stresses in MPa.

    `asked`: by what, and `understood`: how that was read, in both units. `proof_load_printed`: a table prints it;
    else it is stress area times stress. `stress_mpa`: of the clamp load over the stress area. `overloaded`: over the
    proof load at typical friction, `may_overload`: at the least friction. `too_loose`: below 40 % of it, so that
    the joint hardly clamps. `overload`: where figure and thread are not in the same condition. `conditions`: the same
    torque in each condition. `warnings`: worst first. `proof`: what the proof load rests on.
    """

    SCHEMA: ClassVar[str] = "kitwright.torque/2"

    thread: str
    strength: Strength
    condition: Condition
    asked: Way
    understood: str
    torque_nm: float
    torque_lbf_ft: float
    torque_lbf_in: float
    clamp_n: Scatter
    proof_load_n: float
    proof_load_printed: bool
    ultimate_load_n: float
    stress_mpa: float
    share_of_proof: Scatter
    overloaded: bool
    may_overload: bool
    too_loose: bool
    overload: Overload | None
    conditions: tuple[InCondition, ...]
    hexes: tuple[Hex, ...]
    warnings: tuple[str, ...]
    proof: Reason
    because: tuple[Reason, ...]
    caution: str
    unit: str = said("N·m")

    @property
    def found(self) -> bool:
        """Whether the bolt bears it, it clamps, and the torque is meant for this thread's condition."""
        return not (self.overloaded or self.too_loose or self.misfigured)

    @property
    def misfigured(self) -> Overload | None:
        """The comparison where the torque that was given is meant for another condition; None otherwise."""
        return self.overload if self.overload is not None and self.overload.figure_was_given else None

    @property
    def verdict(self) -> Verdict:
        """How it comes out, in a word."""
        other = self.misfigured
        if self.overloaded:
            return "overload"
        if self.too_loose:
            return "far too loose"
        if other is not None and (other.tighter or other.looser):
            return "too tight" if other.tighter else "too loose"
        return "with care" if self.warnings else "within the load"

    @property
    def headline(self) -> str:
        """What the torque gives, in both units."""
        load = f"{_share(self.share_of_proof.typical)} of the {self.strength.load}"
        return f"{_torque(self.torque_nm, self.unit)} gives {_force(self.clamp_n.typical, self.unit)}, {load}"

    @property
    def usual(self) -> str:
        """Why just this share of the load, where nobody asked for another; "" where somebody did."""
        return USUAL.format(load=self.strength.load) if self.asked == "usual" else ""

    @property
    def compared(self) -> str:
        """What a figure for another condition does here; "" where there is none."""
        other = self.overload
        if other is None:
            return ""
        if not other.figure_was_given:
            return f"If the book's figure is a dry one: {other.text}"
        loud = "OVERLOAD" if self.may_overload else "TIGHTER THAN MEANT"
        return f"{loud}: {other.text}" if other.tighter else other.text

    def words(self) -> list[str]:
        """What the torque gives, then what is wrong with it, then what friction makes of it, then why."""
        strength, condition = self.strength, self.condition
        lines = [f"{self.thread}, {strength.label}, {condition.name}: {self.headline}"]
        lines += [f"Understood: {self.understood}."] if self.understood else []
        lines += [self.usual] if self.usual else []
        lines += [self.compared] if self.compared else []
        if self.misfigured is not None:
            lines.append(f"If the figure was printed for this condition, add --meant-for {condition.key}.")
        lines += [f"WARNING: {warning}" for warning in self.warnings]
        lines += ["", *self._friction(), "", *self._elsewhere(), ""]
        lines.append(
            f"Stress in the bolt {catalog.quantity.display.format_stress(self.stress_mpa)}; {strength.rule.rule}"
        )
        lines += [f"About {strength.label}: {strength.note}."] if strength.note else []
        lines += wrench_lines(self.hexes)
        return [*lines, *why_lines(self.because), self.caution, ADVICE]

    def _friction(self) -> list[str]:
        """The loads as friction falls out, and what the bolt bears."""
        factor, load, part = self.condition.nut_factor, self.clamp_n, self.share_of_proof
        rows = [
            ("slipperiest", f"{factor.least:.2f}", *self._load(load.most, part.most)),
            ("typical", f"{factor.typical:.2f}", *self._load(load.typical, part.typical)),
            ("roughest", f"{factor.most:.2f}", *self._load(load.least, part.least)),
            (self.strength.load, "", *self._load(self.proof_load_n, 1.0)),
            ("least breaking load", "", *self._load(self.ultimate_load_n, self.ultimate_load_n / self.proof_load_n)),
        ]
        heads = ("friction", "nut factor", "clamp load", "kgf", f"of {self.strength.load}")
        return table(heads, rows, right=(1, 3, 4))

    def _load(self, newtons: float, part: float) -> tuple[str, str, str]:
        return (
            _force(newtons, self.unit),
            catalog.quantity.typed.significant(newtons / float(catalog.quantity.display.N_PER_KGF)),
            _share(part),
        )

    def _elsewhere(self) -> list[str]:
        """The same torque in every condition."""
        rows = [
            (
                one.condition.key,
                _force(one.clamp_n.typical, self.unit),
                _share(one.share_of_proof.typical),
                f"{one.outcome}, may overload" if one.may_overload and not one.overloaded else one.outcome,
            )
            for one in self.conditions
        ]
        return table(("the same torque on", "clamp load", f"of {self.strength.load}", ""), rows, right=(2,))


def _share(fraction: float) -> str:
    return fasteners.torque.share(fraction)


def _torque(newton_metres: float, unit: str) -> str:
    return catalog.quantity.display.format_torque(newton_metres, first=unit)


def _force(newtons: float, unit: str) -> str:
    return catalog.quantity.display.format_force(newtons, first="lbf" if unit == "lbf·ft" else "kN")


# From the catalog's records


def torque_answer(
    found: Tightening,
    elsewhere: Sequence[ElsewhereOverload],
    compared: ElsewhereOverload | None,
    *,
    given: bool,
    asked: Way,
    understood: str,
    unit: str,
) -> TorqueAnswer:
    """A tightening as an answer. `elsewhere`: the same torque in each condition; `compared`: in the one it is for,
    whose torque was `given` or is the dry one."""
    rules = compared.because if given and compared is not None else found.because
    return TorqueAnswer(
        thread=found.thread.designation,
        strength=_strength(found.strength),
        condition=_condition(found.friction),
        asked=asked,
        understood=understood,
        torque_nm=_figure(found.torque_nm),
        torque_lbf_ft=_figure(found.torque_lbf_ft),
        torque_lbf_in=_figure(12 * found.torque_lbf_ft),
        clamp_n=_clamp(found),
        proof_load_n=_figure(found.proof_load_n),
        proof_load_printed=found.proof.printed,
        ultimate_load_n=_figure(found.ultimate_load_n),
        stress_mpa=_figure(found.stress_mpa),
        share_of_proof=_part(found),
        overloaded=found.overloaded,
        may_overload=found.may_overload,
        too_loose=found.too_loose,
        overload=None if compared is None else _overload(compared, given=given),
        conditions=tuple(map(_in_condition, elsewhere)),
        hexes=tuple(map(hex_of, fasteners.wrench.hexes(found.thread))),
        warnings=found.warnings,
        proof=reasons_of((found.proof.because,))[0],
        because=reasons_of(rules),
        caution=found.caution,
        unit=unit,
    )


def _strength(grade: graded.Strength) -> Strength:
    return Strength(
        name=grade.name,
        label=grade.label,
        standard=grade.standard,
        limit=grade.limit.value,
        proof_mpa=round(grade.proof_mpa, 2),
        yield_mpa=round(grade.yield_mpa, 2),
        tensile_mpa=round(grade.tensile_mpa, 2),
        note=grade.note,
        source=grade.source,
        standing=grade.standing.value,
    )


def _condition(friction: NutFactor) -> Condition:
    return Condition(
        key=friction.key,
        name=friction.condition,
        nut_factor=Scatter(friction.low, friction.typical, friction.high),
        source=friction.source,
        standing=friction.standing.value,
        note=friction.note,
    )


def _clamp(found: Tightening) -> Scatter:
    return Scatter(_figure(found.clamp_low_n), _figure(found.clamp_n), _figure(found.clamp_high_n))


def _part(found: Tightening) -> Scatter:
    low = found.clamp_low_n / found.proof_load_n
    return Scatter(_figure(low), _figure(found.fraction_of_proof), _figure(found.fraction_high))


def _figure(value: float) -> float:
    """A figure without the last bits of its arithmetic, exact enough to be rounded once more as it is shown."""
    return float(f"{value:.14g}")


def _in_condition(one: ElsewhereOverload) -> InCondition:
    return InCondition(
        condition=_condition(one.got.friction),
        clamp_n=_clamp(one.got),
        share_of_proof=_part(one.got),
        percent=round(one.percent, 2),
        as_meant=one.got.friction == one.meant.friction,
        overloaded=one.got.overloaded,
        may_overload=one.got.may_overload,
        too_loose=one.got.too_loose,
        tighter=one.tighter,
        looser=one.looser,
        warnings=one.got.warnings,
    )


def _overload(compared: ElsewhereOverload, *, given: bool) -> Overload:
    return Overload(
        meant_for=compared.meant.friction.key,
        figure_nm=_figure(compared.meant.torque_nm),
        figure_was_given=given,
        percent=round(compared.percent, 2),
        percent_most=round(compared.percent_high, 2),
        right_torque_nm=_figure(compared.right_torque_nm),
        tighter=compared.tighter,
        looser=compared.looser,
        text=compared.sentence,
    )
