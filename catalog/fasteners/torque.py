"""Torque and clamp load: T = K · d · F, with the spread that friction gives, and what oil on the thread does to it.

K is the nut factor. It differs from bolt to bolt by a quarter or more, so every answer is a range, and every answer
carries the caution that the machine's manual has the last word.
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from catalog.fasteners.sizes import Thread, rows
from catalog.fasteners.strength import Strength, proof_load_n, strength
from catalog.publications import named
from catalog.quantity.errors import excerpt
from catalog.standing import Standing

NM_PER_LBF_FT = 1.3558179483314004  # exact: 0.3048 m × 4.4482216152605 N, NIST SP 811
N_PER_LBF = 4.4482216152605  # exact: 0.45359237 kg × 9.80665 m/s², NIST SP 811
USUAL_FRACTION = 0.75  # of the proof load, for a joint that is taken apart again (common handbook figure)

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


class Tightening(NamedTuple):
    """A torque and the clamp load it gives. `clamp_low_n` is at the highest friction, `clamp_high_n` at the lowest.

    Fractions are of the proof load. `warnings` are sentences, worst first; `caution` always stands.
    """

    thread: Thread
    strength: Strength
    friction: NutFactor
    torque_nm: float
    clamp_n: float
    clamp_low_n: float
    clamp_high_n: float
    proof_load_n: float
    warnings: tuple[str, ...]
    caution: str

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


def _warnings(clamp: float, high: float, proof: float) -> tuple[str, ...]:
    found = []
    if clamp > proof:
        found.append(
            f"The clamp load is {100 * clamp / proof:.0f} % of the proof load: the bolt stretches for good and may "
            "snap. Do not use this torque."
        )
    elif high > proof:
        found.append(
            f"With the slipperiest thread of this condition the clamp load reaches {100 * high / proof:.0f} % of the "
            "proof load: clean the thread, use a fresh bolt, or tighten less."
        )
    return tuple(found)


def _tightening(thread: Thread, grade: Strength, friction: NutFactor, torque: float) -> Tightening:
    proof = proof_load_n(grade.name, thread)
    typical = clamp_n(friction.typical, thread.diameter_mm, torque)
    low = clamp_n(friction.high, thread.diameter_mm, torque)
    high = clamp_n(friction.low, thread.diameter_mm, torque)
    warnings = _warnings(typical, high, proof)
    return Tightening(thread, grade, friction, torque, typical, low, high, proof, warnings, CAUTION)


def _positive(name: str, value: float, unit: str) -> None:
    if not 0 < value < 1e7:
        raise ValueError(f"A {name} of {value:g} {unit} cannot be: type a number above 0.")


def tighten_to(
    thread: Thread, property_class: str, condition: str = "dry", fraction: float = USUAL_FRACTION
) -> Tightening:
    """The torque that loads the bolt to `fraction` of its proof load, in this condition of thread.

    Raises ValueError for an unknown class or condition, or a fraction outside 0 to 1.
    """
    if not 0 < fraction <= 1:
        raise ValueError(f"A fraction of {fraction:g} of the proof load cannot be: type 0.5 to 0.9, usually 0.75.")
    grade, friction = strength(property_class, thread), nut_factor(condition)
    target = fraction * proof_load_n(property_class, thread)
    return _tightening(thread, grade, friction, torque_nm(friction.typical, thread.diameter_mm, target))


def clamp_at(thread: Thread, property_class: str, torque: float, condition: str = "dry") -> Tightening:
    """The clamp load that a torque in N·m gives, in this condition of thread."""
    _positive("torque", torque, "N·m")
    return _tightening(thread, strength(property_class, thread), nut_factor(condition), torque)


def at_figure_meant_for(
    thread: Thread, property_class: str, torque: float, condition: str, meant_for: str = "dry"
) -> Overload:
    """What a torque in N·m meant for one condition (usually dry) does to a thread in another (oiled, anti-seize).

    `percent` is the extra clamp load at typical friction, `percent_high` at the lowest of the range (negative: too
    loose); `right_torque_nm` gives the clamp load that was meant.
    """
    meant = clamp_at(thread, property_class, torque, meant_for)
    got = clamp_at(thread, property_class, torque, condition)
    percent = 100 * (got.clamp_n / meant.clamp_n - 1)
    percent_high = 100 * (got.clamp_high_n / meant.clamp_n - 1)
    right = torque_nm(got.friction.typical, thread.diameter_mm, meant.clamp_n)
    figure = f"{torque:.0f} N·m is the figure for a {meant.friction.condition}"
    here = f"On this one ({got.friction.condition})"
    if percent > 0.5:
        sentence = (
            f"{figure}. {here} it overloads the bolt by {percent:.0f} % "
            f"(up to {percent_high:.0f} %), to {100 * got.fraction_of_proof:.0f} % of the proof load. About "
            f"{right:.0f} N·m gives the clamp load that was meant; ask the manual first."
        )
    elif percent < -0.5:
        sentence = (
            f"{figure}. {here} it leaves the joint {-percent:.0f} % looser than meant. "
            "Clean the thread rather than pull harder."
        )
    else:
        sentence = f"{figure}, and so it is."
    return Overload(meant, got, percent, percent_high, right, sentence)
