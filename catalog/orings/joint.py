"""Ring and groove measured both: the groove is evidence too.

Whoever built the machine fitted a ring that seals in its groove. So a size that will not seal there is unlikely to be
the one that was fitted, however well it fits the readings; the groove does not wear as the ring does. By Bayes' rule
each match's probability is multiplied by how likely a maker is to fit a ring that judges so (`fitted`).
"""

from __future__ import annotations

from typing import NamedTuple

from catalog.orings.figures import Service
from catalog.orings.fitted import FITTED, FITTED_NONE
from catalog.orings.gland import Sealing, assess
from catalog.orings.groove import Groove
from catalog.orings.match import Match, Ranking
from catalog.orings.verdict import Verdict


class Joint(NamedTuple):
    """One match beside its judgement in the groove. `probability` is given the readings and the groove."""

    match: Match
    sealing: Sealing
    probability: float


class JointRanking(NamedTuple):
    """Identity and sealing side by side, likeliest first; `told_apart` says in words what the groove decided."""

    joints: tuple[Joint, ...]
    none_probability: float
    told_apart: str


def with_groove(ranking: Ranking, groove: Groove, *, service: Service | None = None) -> JointRanking:
    """Weigh a ranking's matches by whether they seal in the groove the ring came from."""
    judged = [(match, assess(match.size, groove, service=service)) for match in ranking.matches]
    weights = [match.probability * FITTED[sealing.verdict] for match, sealing in judged]
    none = ranking.none_probability * FITTED_NONE
    total = sum(weights) + none
    joints = [Joint(match, sealing, weight / total) for (match, sealing), weight in zip(judged, weights, strict=True)]
    joints.sort(key=lambda joint: (-joint.probability, joint.match.size.key))
    return JointRanking(tuple(joints), none / total if total else 1.0, _told_apart(joints))


def _told_apart(joints: list[Joint]) -> str:
    """Which of the likely sizes seal here and which do not, in a sentence or two."""
    likely = [joint for joint in joints if joint.match.probability >= 0.05]
    seals = [joint.match.size.label for joint in likely if joint.sealing.verdict is Verdict.SEALS]
    marginal = [joint for joint in likely if joint.sealing.verdict is Verdict.MARGINAL]
    not_here = [joint for joint in likely if joint.sealing.verdict is Verdict.WILL_NOT]
    if not likely:
        return "No likely size to judge in this groove."
    parts = []
    if len(seals) == len(likely) > 1:
        return f"{_and(seals)} all seal in this groove: any of them keeps it dry."
    if seals:
        parts.append(f"{_and(seals)} {'seals' if len(seals) == 1 else 'seal'} in this groove.")
    if marginal:
        names = _and([joint.match.size.label for joint in marginal])
        parts.append(f"{names} {'is' if len(marginal) == 1 else 'are'} marginal: {marginal[0].sealing.reasons[0].text}")
    if not_here:
        names = _and([joint.match.size.label for joint in not_here])
        parts.append(f"{names} will not: {not_here[0].sealing.reasons[0].text}")
    return " ".join(parts)


def _and(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
