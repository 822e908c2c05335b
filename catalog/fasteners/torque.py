"""Torque and clamp load: T = K · d · F, with the spread that friction gives, and what oil on the thread does to it.

K is the nut factor. It differs from bolt to bolt by a quarter or more, so every answer is a range, and every answer
carries the caution that the machine's manual has the last word.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from catalog.because import Because
from catalog.compare import at_most, over, same, under
from catalog.fasteners.sizes import Thread, rows
from catalog.fasteners.strength import ProofLoad, Strength, proof_load, proof_load_n, strength, stress_area
from catalog.publications import named
from catalog.quantity import display
from catalog.quantity.display import format_force, format_torque
from catalog.quantity.errors import excerpt
from catalog.standing import Standing, weakest

NM_PER_LBF_FT = float(display.NM_PER_LBF_FT)  # 1 lbf·ft = 1.3558179483314004 N·m, NIST SP 811
N_PER_LBF = float(display.N_PER_LBF)
USUAL_FRACTION = 0.75  # of the proof load, for a joint that is taken apart again (common handbook figure)
LOOSE_FRACTION = 0.4  # below it a joint of plain steel is hardly clamped (common practice, no source)
TOLD_PERCENT = 0.5  # a clamp load this much off is the one that was meant: nobody reads a torque wrench closer
HANDBOOK = named("K-MECH")

CAUTION = (
    "The machine's manual has the last word on torque. This is a figure for a plain bolt in sound steel: not for "
    "aluminium, plated or prevailing-torque nuts, torque-to-yield bolts, or joints the manual gives a sequence for."
)


class NutFactor(NamedTuple):
    """Friction of a condition as the nut factor K: typical, low and high; where it is from."""

    key: str
    condition: str
    typical: float
    low: float
    high: float
    source: str
    standing: Standing
    note: str


# Conditions that keep stainless threads from seizing. All others are dry metal on metal.
SLIPPERY = frozenset({"oiled", "anti-seize", "light-oil", "waxed"})
GALLING = (
    "Dry stainless threads gall: they can seize for good on the way in, and their friction is anybody's guess. "
    "Use anti-seize paste and the torque for it, and turn slowly by hand."
)


class Tightening(NamedTuple):
    """A torque and the clamp load it gives. `clamp_low_n` is at the highest friction, `clamp_high_n` at the lowest.

    Fractions are of the proof load (`proof.limit` says whether it is one). `stress_mpa`: of the clamp load over the
    stress area; `ultimate_load_n`: the least load that breaks such a bolt. `warnings` are sentences, worst first;
    `caution` always stands. `usual`: the torque is the one for the usual share of the proof load.
    """

    thread: Thread
    strength: Strength
    friction: NutFactor
    torque_nm: float
    clamp_n: float
    clamp_low_n: float
    clamp_high_n: float
    proof: ProofLoad
    stress_mpa: float
    ultimate_load_n: float
    warnings: tuple[str, ...]
    caution: str
    usual: bool

    @property
    def because(self) -> tuple[Because, ...]:
        """The rules that the answer rests on."""
        note = f" ({self.friction.note})" if self.friction.note else ""
        k = self.friction
        share_rule = (
            f"Tightened to {share(USUAL_FRACTION)} of the {self.proof.limit.load}: usual for a joint that is taken "
            "apart again"
        )
        return (
            self.proof.because,
            *((Because(share_rule, HANDBOOK, Standing.PUBLISHED),) if self.usual else ()),
            Because(
                f"Nut factor {k.typical:.2f}, from {k.low:.2f} to {k.high:.2f}: {k.condition}{note}",
                k.source,
                k.standing,
            ),
            Because(
                f"Torque = nut factor × diameter × clamp load: {k.typical:.2f} × {self.thread.diameter_mm:.4g} mm × "
                f"{format_force(self.clamp_n)} = {format_torque(self.torque_nm)}",
                HANDBOOK,
                Standing.PUBLISHED,
            ),
        )

    @property
    def proof_load_n(self) -> float:
        """What the bolt bears without lasting stretch, N."""
        return self.proof.newtons

    @property
    def overloaded(self) -> bool:
        """Whether the clamp load at typical friction is over the proof load."""
        return over(self.clamp_n, self.proof_load_n)

    @property
    def may_overload(self) -> bool:
        """Whether it is over the proof load at the lowest friction of the condition."""
        return over(self.clamp_high_n, self.proof_load_n)

    @property
    def too_loose(self) -> bool:
        """Whether it hardly clamps: a twelfth, as where lbf·in are read for lbf·ft, always is."""
        return under(self.clamp_n, LOOSE_FRACTION * self.proof_load_n)

    @property
    def fraction_of_proof(self) -> float:
        """Clamp load over proof load, typical friction."""
        return self.clamp_n / self.proof_load_n

    @property
    def fraction_high(self) -> float:
        """Clamp load over proof load at the lowest friction of the range."""
        return self.clamp_high_n / self.proof_load_n

    @property
    def torque_lbf_ft(self) -> float:
        """The torque in lbf·ft."""
        return self.torque_nm / NM_PER_LBF_FT


class Overload(NamedTuple):
    """A torque meant for one condition put on a thread in another. Percent more clamp load, and fractions of proof."""

    meant: Tightening
    got: Tightening
    percent: float
    percent_high: float
    right_torque_nm: float
    sentence: str

    @property
    def because(self) -> tuple[Because, ...]:
        """The rules that the comparison rests on."""
        meant, got = self.meant.friction, self.got.friction
        rule = (
            f"At one torque the clamp load goes as 1 / nut factor: {meant.typical:.2f} / {got.typical:.2f} = "
            f"{meant.typical / got.typical:.2f} of what was meant"
        )
        sources = "; ".join(dict.fromkeys((meant.source, got.source)))
        return (Because(rule, sources, weakest((meant.standing, got.standing))), *self.got.because)

    @property
    def tighter(self) -> bool:
        """Whether it clamps more than was meant, by more than a wrench can tell."""
        return over(self.percent, TOLD_PERCENT)

    @property
    def looser(self) -> bool:
        """Whether it clamps less than was meant, by more than a wrench can tell."""
        return under(self.percent, -TOLD_PERCENT)


@cache
def nut_factors() -> tuple[NutFactor, ...]:
    """The conditions of the table: dry, oiled, anti-seize and others."""
    return tuple(
        NutFactor(
            row["key"],
            row["condition"],
            float(row["typical"]),
            float(row["low"]),
            float(row["high"]),
            named(row["source"]),
            Standing(row["standing"]),
            row["note"],
        )
        for row in rows("nut_factors.csv")
    )


def nut_factor(key: str) -> NutFactor:
    """The condition of this key (`dry`, `oiled`, `anti-seize`); ValueError names the others."""
    wanted = "-".join(key.strip().lower().replace("_", " ").split())
    for factor in nut_factors():
        if factor.key == wanted:
            return factor
    keys = ", ".join(factor.key for factor in nut_factors())
    raise ValueError(f"No thread condition {excerpt(key)}: type one of {keys}.")


def torque_nm(nut_factor_k: float, diameter_mm: float, clamp_n: float) -> float:
    """Torque in N·m for a clamp load in N: T = K · d · F (d in mm)."""
    return nut_factor_k * diameter_mm / 1000 * clamp_n


def clamp_n(nut_factor_k: float, diameter_mm: float, torque: float) -> float:
    """Clamp load in N from a torque in N·m: F = T / (K · d) (d in mm)."""
    return torque / (nut_factor_k * diameter_mm / 1000)


def share(fraction: float) -> str:
    """A share of the proof load as text, with enough digits that one near 100 % is seen to be over or under it."""
    percent = 100 * fraction
    for decimals in range(4):
        said = f"{percent:.{decimals}f}"
        if float(said) != 100 or same(percent, 100):
            break
    return f"{said} %"


def _warnings(clamp: float, high: float, proof: ProofLoad, grade: Strength, friction: NutFactor) -> tuple[str, ...]:
    found = []
    load = proof.limit.load
    if over(clamp, proof.newtons):
        advice = (
            "Do not use this torque."
            if grade.standing is Standing.PUBLISHED
            else "That load is not from print: where the manual prints a torque for this bolt, go by it."
        )
        found.append(
            f"The clamp load is {share(clamp / proof.newtons)} of the {load}: the bolt stretches for good and may "
            f"snap. {advice}"
        )
    elif over(high, proof.newtons):
        found.append(
            f"With the slipperiest thread of this condition the clamp load reaches {share(high / proof.newtons)} of "
            f"the {load}: clean the thread, use a fresh bolt, or tighten less."
        )
    if under(clamp, LOOSE_FRACTION * proof.newtons):
        found.append(
            f"The clamp load is only {share(clamp / proof.newtons)} of the {load}, where {share(USUAL_FRACTION)} is "
            "usual: the joint is far too loose and works itself free. Check the unit: 1 lbf·ft is 12 lbf·in."
        )
    if grade.stainless and friction.key not in SLIPPERY:
        found.append(GALLING)
    return tuple(found)


def _tightening(
    thread: Thread, grade: Strength, friction: NutFactor, torque: float, *, usual: bool = False
) -> Tightening:
    proof = proof_load(grade.name, thread)
    typical = clamp_n(friction.typical, thread.diameter_mm, torque)
    low = clamp_n(friction.high, thread.diameter_mm, torque)
    high = clamp_n(friction.low, thread.diameter_mm, torque)
    area = stress_area(thread)
    return Tightening(
        thread,
        grade,
        friction,
        torque,
        typical,
        low,
        high,
        proof,
        typical / area,
        area * grade.tensile_mpa,
        _warnings(typical, high, proof, grade, friction),
        CAUTION,
        usual,
    )


def _positive(name: str, value: float, unit: str) -> None:
    if not 0 < value < 1e7:
        raise ValueError(f"A {name} of {value:g} {unit} cannot be: type a number above 0.")


def tighten_to(
    thread: Thread, property_class: str, condition: str = "dry", fraction: float = USUAL_FRACTION
) -> Tightening:
    """The torque that loads the bolt to `fraction` of its proof load, in this condition of thread.

    Raises ValueError for an unknown class or condition, or a fraction outside 0 to 1.
    """
    if not (fraction > 0 and at_most(fraction, 1)):
        raise ValueError(f"A fraction of {fraction:g} of the proof load cannot be: type 0.5 to 0.9, usually 0.75.")
    grade, friction = strength(property_class, thread), nut_factor(condition)
    target = fraction * proof_load_n(property_class, thread)
    torque = torque_nm(friction.typical, thread.diameter_mm, target)
    return _tightening(thread, grade, friction, torque, usual=same(fraction, USUAL_FRACTION))


def clamp_at(thread: Thread, property_class: str, torque: float, condition: str = "dry") -> Tightening:
    """The clamp load that a torque in N·m gives, in this condition of thread."""
    _positive("torque", torque, "N·m")
    return _tightening(thread, strength(property_class, thread), nut_factor(condition), torque)


def at_figure_meant_for(
    thread: Thread, property_class: str, torque: float, condition: str, meant_for: str = "dry", *, first: str = "N·m"
) -> Overload:
    """What a torque in N·m meant for one condition (usually dry) does to a thread in another (oiled, anti-seize).

    `percent` is the extra clamp load at typical friction, `percent_high` at the lowest of the range (negative: too
    loose); `right_torque_nm` gives the clamp load that was meant. `first`: the unit that the sentence has first.
    """
    meant = clamp_at(thread, property_class, torque, meant_for)
    got = clamp_at(thread, property_class, torque, condition)
    percent = 100 * (got.clamp_n / meant.clamp_n - 1)
    percent_high = 100 * (got.clamp_high_n / meant.clamp_n - 1)
    right = torque_nm(got.friction.typical, thread.diameter_mm, meant.clamp_n)
    figure = f"{format_torque(torque, first=first)} is the figure for a {meant.friction.condition}"
    here = f"On this one ({got.friction.condition})"
    if over(percent, TOLD_PERCENT):
        sentence = (
            f"{figure}. {here} it pulls the bolt {percent:.0f} % tighter than was meant "
            f"(up to {percent_high:.0f} %), to {share(got.fraction_of_proof)} of the {got.proof.limit.load}. About "
            f"{format_torque(right, first=first)} gives the clamp load that was meant; ask the manual first."
        )
    elif under(percent, -TOLD_PERCENT):
        sentence = (
            f"{figure}. {here} it leaves the joint {-percent:.0f} % looser than meant. "
            "Clean the thread rather than pull harder."
        )
    else:
        sentence = f"{figure}, and so it is."
    return Overload(meant, got, percent, percent_high, right, sentence)
