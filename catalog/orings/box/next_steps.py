"""What to do next with each ring of a box: `next_step.next_step` for many rings at once.

The formulas are those of that module, where they are explained; a test holds the two together. Where more is known of
the place than the kind of joint, each ring is asked about by itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

import numpy as np

from catalog.orings.box.normal import Flags, Floats, Places
from catalog.orings.box.pairs import JOINTS, MOST_STRANGERS, Pairs, best, pairs
from catalog.orings.by_look import LEAST_GAIN, look_shares
from catalog.orings.condition import FREE_FACE_DOUBT, LOOKS, WEAR
from catalog.orings.decide import PECULIAR, Before, Decision
from catalog.orings.evidence import Evidence, Reading
from catalog.orings.joint_kind import JointKind
from catalog.orings.likelihood import Terms, pressed_in, terms
from catalog.orings.next_step import (
    GROOVE_WORTH,
    HALF,
    HERMITE,
    NextStep,
    Rival,
    Step,
    foreseen,
    hint_of,
    look_worth,
    next_step,
    readings,
    rivals_of,
    worth_it,
)
from catalog.orings.outcomes import KINDS
from catalog.orings.size_book import SizeBook
from catalog.uncertainty import limit_variance

BLOCK: Final = MOST_STRANGERS
"""Rings worked out together: a reading's expectation takes 50 × 20 numbers a ring. Each may be of no standard."""

_NODES: Final = np.array([node for node, _ in HERMITE])
_SHARES: Final = np.array([share for _, share in HERMITE])
_PORT: Final = JOINTS.index(JointKind.PORT)
_GROOVES: Final = tuple(JOINTS.index(kind) for kind in KINDS)
_WEAR: Final = np.array(
    [
        [
            one
            for change in (WEAR[look].scale, WEAR[look].set, WEAR[look].spread)
            for one in (change.mean, change.deviation)
        ]
        for look in LOOKS
    ]
)
"""By look: mean and deviation of scale, set and spread."""
_LOOK_AT: Final = {look: at for at, look in enumerate(LOOKS)}


def next_steps(decisions: Sequence[Decision]) -> list[NextStep | None]:
    """The step that is worth most for each decision, or None where none is worth taking."""
    found: list[NextStep | None] = [None] * len(decisions)
    groups: dict[tuple[SizeBook, JointKind | None, bool], list[int]] = {}
    for at, decision in enumerate(decisions):
        if decision.best is None or decision.ranking.called is not None or not decision.before:
            continue
        if _is_plain(decision):
            wanted = decision.wanted
            groups.setdefault((decision.ranking.posterior.book, wanted.joint, wanted.critical), []).append(at)
        else:
            found[at] = next_step(decision)
    for (book, joint, critical), places in groups.items():
        known = pairs(book, joint, critical)
        for start in range(0, len(places), BLOCK):
            part = places[start : start + BLOCK]
            for at, step in zip(part, _steps([decisions[at] for at in part], known), strict=True):
                found[at] = step
    return found


def _is_plain(decision: Decision) -> bool:
    """Whether the chances of pairs of sizes are all there is to it."""
    wanted = decision.wanted
    return wanted.groove is None and wanted.service is None and wanted.tables is None and not wanted.here


class _Table(NamedTuple):
    """Decisions as arrays: what may have been in along the second axis, what could go in along the third.

    `row`: of each pair (0 beyond the last); `old`: places in the book; `share`: of 1, 0 beyond the last; `there`: 0, or
    -inf where no ring is.
    """

    row: Places
    old: Places
    share: Floats
    there: Floats


class _Olds:
    """The places of what may have been in: those of the sizes, and of each decision's ring of no standard."""

    def __init__(self, decisions: Sequence[Decision], known: Pairs) -> None:
        strange = {at: one.ring for at, decision in enumerate(decisions) for one in decision.before if one.size is None}
        self._sizes, self._strange = known.at, dict(zip(strange, known.strangers(list(strange.values())), strict=True))

    def of(self, at: int, before: Before) -> int:
        """The place of what may have been in, of the decision at this place."""
        return self._strange[at] if before.size is None else self._sizes[before.ring.key]


def _table(decisions: Sequence[Decision], olds: _Olds, known: Pairs) -> _Table:
    count = len(decisions)
    before = max(len(one.before) for one in decisions)
    rings = max(len(one.to_fit) for one in decisions)
    old, share = np.zeros((count, before), dtype=np.int64), np.zeros((count, before))
    new, there = np.zeros((count, rings), dtype=np.int64), np.full((count, rings), -np.inf)
    for at, decision in enumerate(decisions):
        last, fits = len(decision.before), len(decision.to_fit)
        old[at, :last] = [olds.of(at, one) for one in decision.before]
        share[at, :last] = [one.probability for one in decision.before]
        new[at, :fits] = [known.at[one.size.key] for one in decision.to_fit]
        there[at, :fits] = 0.0
    return _Table(_rows(old, share > 0.0, new, there, known), old, share, there)


def _rows(old: Places, is_one: Flags, new: Places, there: Floats, known: Pairs) -> Places:
    at, was, ring = np.nonzero(is_one[:, :, None] & (there[:, None, :] == 0.0))
    row = np.zeros((*old.shape, new.shape[1]), dtype=np.int64)
    row[at, was, ring] = known.of(old[at, was], new[at, ring])
    return row


def _steps(decisions: Sequence[Decision], known: Pairs) -> Iterator[NextStep | None]:
    olds = _Olds(decisions, known)
    table = _table(decisions, olds, known)
    now = [one.to_fit[0].chance.seals for one in decisions]
    offers: list[list[_Offer]] = [[] for _ in decisions]
    if known.wanted.joint is None:
        _offer(offers, now, Step.JOINT, _joint_said(table, known), 1.0)
    own = _by_row(table, known)
    if known.wanted.joint is not JointKind.PORT:
        _offer(offers, now, Step.GROOVE, _groove_measured(table, own, known), GROOVE_WORTH)
    by_size = (table.share * own).sum(axis=1).tolist()
    changes = [at for at, then in enumerate(by_size) if then >= now[at] + LEAST_GAIN or decisions[at].waits is not None]
    if changes:
        _offer_readings(changes, decisions, now, olds, table, known, offers)
    for at, (decision, several) in enumerate(zip(decisions, offers, strict=True)):
        if not several:
            yield None
            continue
        chosen = max(several, key=lambda one: (one.gain, -one.order))
        blind = sum(one.probability for one in decision.before) < HALF
        was = [olds.of(at, one.before) for one in chosen.rivals]
        yield chosen.step._replace(blind=blind, hint=chosen.hint(decision, was, known))


class _Asked(NamedTuple):
    """A reading that can still be taken of a ring (its place among those asked), and what was read so far."""

    ring: int
    order: int
    step: Step
    reading: Reading
    worth: float
    evidence: Evidence
    base: Terms


class _Offer(NamedTuple):
    """A step that is worth the walk, with its gain less its trouble; of equals the first in `order` is taken.

    For a reading: what it would show by each rival, as mean and standard deviation in mm.
    """

    gain: float
    order: int
    step: NextStep
    reading: Reading | None = None
    rivals: Sequence[Rival] = ()
    views: Sequence[tuple[float, float]] = ()

    def hint(self, decision: Decision, was: Sequence[int], known: Pairs) -> str:
        """What the reading would show for two rings to put in. `was`: the places of the rivals' rings."""
        if self.reading is None:
            return ""
        rings = [one.size for one in decision.to_fit]
        new = np.array([known.at[one.key] for one in rings])
        row = known.of(np.array(was)[:, None], new[None, :])
        worths = (known.seals[row, 0] + 0.5 * known.marginal[row, 0]).tolist()
        return hint_of(self.rivals, self.views, worths, rings, pressed_in(self.reading))


def _offer(offers: Sequence[list[_Offer]], now: Sequence[float], step: Step, then: Floats, worth: float) -> None:
    """Offer a step where it is worth the walk."""
    for several, before, after in zip(offers, now, then.tolist(), strict=True):
        several += (_Offer(gain, 0, one) for gain, one in worth_it(NextStep(step, None, None, before, after), worth))


def _by_row(table: _Table, known: Pairs) -> Floats:
    """What the best ring would seal where each size was, were that known."""
    return best(known.seals[table.row, 0], known.marginal[table.row, 0], table.there[:, None, :])


def _joint_said(table: _Table, known: Pairs) -> Floats:
    then = np.zeros(len(table.share))
    for column in range(len(JOINTS)):
        weight = table.share * known.joints[table.old, column]
        seals, marginal = (
            (weight[:, :, None] * one[table.row, column + 1]).sum(axis=1) for one in (known.seals, known.marginal)
        )
        then += best(seals, marginal, table.there)
    return then


def _groove_measured(table: _Table, own: Floats, known: Pairs) -> Floats:
    if known.wanted.joint is None:
        kinds = known.joints[table.old]
    else:
        kinds = np.zeros((*table.old.shape, len(JOINTS)))
        kinds[:, :, JOINTS.index(known.wanted.joint)] = 1.0
    then = table.share * kinds[:, :, _PORT] * own
    as_good = np.bitwise_or.reduce(known.as_good[table.row], axis=2)
    bits = np.arange(known.grooves.shape[2])
    for column, joint in enumerate(_GROOVES):
        grooves = known.grooves[table.old, column]
        seals = (as_good[:, :, column, None] >> bits & 1).astype(np.float64)
        whole = (grooves * ((1.0 - PECULIAR) * seals + PECULIAR * own[:, :, None])).sum(axis=2)
        then += table.share * kinds[:, :, joint] * np.where(grooves[:, :, 0] > 0.0, whole, own)
    found: Floats = then.sum(axis=1)
    return found


class _Rivals(NamedTuple):
    """Rivals as arrays, likeliest first along the second axis: `share` of 1 (0 beyond the last), `look`, the ring's
    dimensions and tolerances in mm; `row`: of the pairs with what could go in; `there` as in `_Table`.
    """

    share: Floats
    look: Places
    id_mm: Floats
    id_tol_mm: Floats
    width_mm: Floats
    width_tol_mm: Floats
    row: Places
    there: Floats

    def only(self, at: Sequence[int]) -> _Rivals:
        """Those of these rings."""
        return _Rivals._make(one[at] for one in self)


def _as_arrays(
    places: Sequence[int],
    decisions: Sequence[Decision],
    rivals: Sequence[Sequence[Rival]],
    olds: _Olds,
    known: Pairs,
) -> _Rivals:
    count, most = len(rivals), max(map(len, rivals))
    share, made = np.zeros((count, most)), np.ones((count, most, 4))
    look, old = np.zeros((count, most), dtype=np.int64), np.zeros((count, most), dtype=np.int64)
    rings = max(len(one.to_fit) for one in decisions)
    new, there = np.zeros((count, rings), dtype=np.int64), np.full((count, rings), -np.inf)
    for at, (decision, several) in enumerate(zip(decisions, rivals, strict=True)):
        last, fits = len(several), len(decision.to_fit)
        share[at, :last] = [one.probability for one in several]
        look[at, :last] = [_LOOK_AT[one.look] for one in several]
        old[at, :last] = [olds.of(places[at], one.before) for one in several]
        made[at, :last] = [_made(one.before) for one in several]
        new[at, :fits] = [known.at[one.size.key] for one in decision.to_fit]
        there[at, :fits] = 0.0
    row = _rows(old, share > 0.0, new, there, known)
    id_mm, id_tol, width, width_tol = np.moveaxis(made, 2, 0)
    return _Rivals(share, look, id_mm, id_tol, width, width_tol, row, there)


def _made(before: Before) -> tuple[float, float, float, float]:
    """ID, width and their tolerances, mm; of a ring of no standard they are known by the readings alone."""
    ring = before.ring
    if before.size is None:
        return ring.id_mm, 8.0 * ring.id_mm, ring.cross_section_mm, 8.0 * ring.cross_section_mm
    return ring.id_mm, ring.id_tol_mm, ring.cross_section_mm, ring.cross_section_tol_mm


def _offer_readings(
    places: Sequence[int],
    decisions: Sequence[Decision],
    now: Sequence[float],
    olds: _Olds,
    table: _Table,
    known: Pairs,
    offers: Sequence[list[_Offer]],
) -> None:
    """What could be learned of these rings, offered where it is worth the walk."""
    asked = [decisions[at] for at in places]
    rivals = [rivals_of(one) for one in asked]
    arrays = _as_arrays(places, asked, rivals, olds, known)
    unsaid = [at for at in places if not decisions[at].ranking.evidence.look_said]
    if unsaid:
        looked = _looked(unsaid, [decisions[at] for at in unsaid], table, known).tolist()
        for at, then in zip(unsaid, looked, strict=True):
            offers[at] += (_Offer(gain, 0, one) for gain, one in look_worth(decisions[at], now[at], then))
    by_step: dict[tuple[object, ...], list[_Asked]] = {}
    for nth, (decision, several) in enumerate(zip(asked, rivals, strict=True)):
        evidence = decision.ranking.evidence
        base = terms(evidence)
        shape = base.per_id, base.per_width, base.set_sign, base.spread_sign
        for order, (step, reading, worth) in enumerate(readings(evidence, several[0].before.ring), start=1):
            one = _Asked(nth, order, step, reading, worth, evidence, base)
            by_step.setdefault((step, reading.dimension, reading.tool, shape), []).append(one)
    for alike in by_step.values():
        part = arrays.only([one.ring for one in alike])
        mean, deviation = _views(alike, part)
        then = _expected(part, mean, deviation, known).tolist()
        for nth, one in enumerate(alike):
            at, of_ring = places[one.ring], rivals[one.ring]
            told = NextStep(one.step, one.reading.dimension, one.reading.tool, now[at], then[nth])
            for gain, _ in worth_it(told, one.worth):
                last = len(of_ring)
                views = zip(mean[nth, :last].tolist(), deviation[nth, :last].tolist(), strict=True)
                offers[at].append(_Offer(gain, one.order, told, one.reading, of_ring, list(views)))


def _looked(places: Sequence[int], decisions: Sequence[Decision], table: _Table, known: Pairs) -> Floats:
    """What the best ring would seal were the look known, of these rings."""
    row, there = table.row[places], table.there[places]
    weights = np.zeros((*row.shape[:2], len(LOOKS)))
    for at, decision in enumerate(decisions):
        for nth, before in enumerate(decision.before):
            for look, share in look_shares(before, decision.ranking.posterior).items():
                weights[at, nth, _LOOK_AT[look]] = before.probability * share
    seals, marginal = known.seals[row, 0], known.marginal[row, 0]
    then = np.zeros(len(places))
    for column in range(len(LOOKS)):
        weight = weights[:, :, column, None]
        then += best((weight * seals).sum(axis=1), (weight * marginal).sum(axis=1), there)
    return then


def _views(alike: Sequence[_Asked], rivals: _Rivals) -> tuple[Floats, Floats]:
    """Mean and standard deviation in mm of each ring's reading for each of its rivals, given the other readings."""
    first = alike[0]
    given = foreseen(first.evidence, first.step, first.reading)
    values = np.array([one.base.values for one in alike])
    variance = np.array([[*one.base.error_variance, limit_variance(one.reading.plus_minus_mm)] for one in alike])
    _, _, id_mm, id_tol, width, width_tol, _, _ = rivals
    by_id, by_width = (0.5 * id_tol) ** 2, (0.5 * width_tol) ** 2
    scale_mean, scale, set_mean, set_, spread_mean, spread = np.moveaxis(_WEAR[rivals.look], 2, 0)
    sides = list(zip(given.per_id, given.per_width, given.set_sign, given.spread_sign, strict=True))
    across = [h1 * id_mm + h2 * width for h1, h2, _, _ in sides]
    means = [
        part * (1.0 + scale_mean) + (sign * set_mean + other * spread_mean) * width
        for part, (_, _, sign, other) in zip(across, sides, strict=True)
    ]
    matrix: dict[tuple[int, int], Floats] = {}
    for i, (h1, h2, sign, other) in enumerate(sides):
        for j, (g1, g2, g_sign, g_other) in enumerate(sides):
            by_wear = (
                across[i] * across[j] * scale**2 + (sign * g_sign * set_**2 + other * g_other * spread**2) * width**2
            )
            matrix[i, j] = by_wear + h1 * g1 * by_id + h2 * g2 * by_width
        matrix[i, i] = matrix[i, i] + variance[:, i, None]
        if sign > 0.0:
            matrix[i, i] = matrix[i, i] + (FREE_FACE_DOUBT * (set_mean + set_) * width) ** 2
    last = len(sides) - 1
    for k in range(last):
        miss = values[:, k, None] - means[k]
        for i in range(k + 1, len(sides)):
            factor = matrix[i, k] / matrix[k, k]
            means[i] = means[i] + factor * miss
            for j in range(k + 1, len(sides)):
                matrix[i, j] = matrix[i, j] - factor * matrix[k, j]
    return means[last], np.sqrt(np.maximum(matrix[last, last], 1e-12))


def _expected(rivals: _Rivals, mean: Floats, deviation: Floats, known: Pairs) -> Floats:
    """The best ring's chance to seal after the reading, in the mean over what it may show."""
    shown = (mean[:, :, None] + _NODES * deviation[:, :, None]).reshape(len(mean), -1)
    z = (shown[:, :, None] - mean[:, None, :]) / deviation[:, None, :]
    weight = rivals.share[:, None, :] * np.where(np.abs(z) < 38.0, np.exp(-0.5 * z * z), 0.0) / deviation[:, None, :]
    total = weight.sum(axis=2)
    seals = best(weight @ known.seals[rivals.row, 0], weight @ known.marginal[rivals.row, 0], rivals.there[:, None, :])
    then = np.where(total > 0.0, seals / np.where(total > 0.0, total, 1.0), 0.0)
    share = (rivals.share[:, :, None] * _SHARES).reshape(len(mean), -1)
    found: Floats = (share * then).sum(axis=1)
    return found
