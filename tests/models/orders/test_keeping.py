"""Which sizes to keep, from positions and jobs."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest

from models import kits, machines
from models.database import Workshop
from models.errors import InvalidInputError
from models.fits import fit_records
from models.orders.keeping import History, answer, history
from models.words import Kind
from tests.models.orders.buying import rings, short_job
from tests.models.shop import act, ring


def test_positions_and_jobs_are_counted(workshop: Workshop) -> None:
    with workshop.write() as session:
        machine = machines.add(session, act(), name="Press").machine_id
        place = machines.add_position(session, act(), machine_id=machine, name="ram", takes=Kind.RING).position_id
        for size in ("as568:214", "as568:222"):
            fit_records.record(session, act(), place, size)
        ring(session, 4)
        job_id = short_job(session, rings(3, rubbers=()), rings(1, "as568:222"))
        struck = short_job(session, rings(9, "as568:116"))
        kits.withdraw_need(session, act(), kits.view(session, struck).needs[0].need_id)
        found = history(session)
    assert job_id
    # The position counts with its last fit; a job counts a size once, however many rings.
    assert (found.needs, found.on_hand) == ({"as568:222": 2, "as568:214": 1}, {"as568:214": 4})
    half = answer(found, share=Fraction(1, 2))
    assert (half.kept.packs, half.kept.is_proven) == (("as568:222",), True)
    assert [(row.size_key, row.kept) for row in half.sizes] == [("as568:222", True), ("as568:214", False)]


def test_the_answer_is_the_smallest_by_trying_every_set() -> None:
    needs = {"as568:214": 7, "as568:222": 4, "as568:116": 3, "jis:P22": 2, "jis:G40": 1}
    for tenths in range(11):
        kept = answer(History(needs, {}, {}), share=Fraction(tenths, 10)).kept
        # Every set of sizes tried: no smaller one covers the share.
        least = min(
            len(some)
            for count in range(len(needs) + 1)
            for some in combinations(needs, count)
            if sum(needs[one] for one in some) * 10 >= tenths * sum(needs.values())
        )
        assert len(kept.packs) == least


def test_a_box_can_stand_for_its_sizes() -> None:
    needs = {"as568:214": 1, "as568:222": 1, "as568:116": 1}
    found = History(needs, {}, {"box 1": frozenset({"as568:214", "as568:222"})})
    assert answer(found, share=Fraction(1), boxes=True).kept.packs == ("as568:116", "box 1")
    assert len(answer(found, share=Fraction(1)).kept.packs) == 3


def test_without_history_it_says_what_to_do(workshop: Workshop) -> None:
    with workshop.read() as session, pytest.raises(InvalidInputError, match="No position has a fit record"):
        answer(history(session))
