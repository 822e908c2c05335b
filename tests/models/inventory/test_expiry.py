"""What is past its day is told: by the lot's last day, or by how long rubber keeps since it came in."""

from __future__ import annotations

from datetime import UTC, date, datetime

from models import kits, shelf
from models.database import Workshop
from models.inventory import expiry
from models.kitting import kit_offers
from models.kitting.needs import NeedSpec
from models.words import Kind
from tests.models.shop import NOON, act, job, ring, ring_spec
from tests.statements import counted


def test_expired_stock_is_told_and_never_among_what_serves(workshop: Workshop) -> None:
    with workshop.write() as session:
        good = ring(session, 3, bin_code="A1")
        last_day = ring(session, 3, bin_code="A2", lot="L1", expires_on=NOON.date())
        gone = ring(session, 3, bin_code="A3", lot="L2", expires_on=date(2026, 3, 1))
        empty = ring(session, 3, bin_code="A4", lot="L3", expires_on=date(2026, 3, 1))
        shelf.scrap(session, act(), stock_id=empty.stock_id, quantity=3, reason="old")
        told = expiry.expired(session, NOON.date())
        assert told == {gone.stock_id: "lot L2 expired on 2026-03-01"}
        assert expiry.expired(session, NOON.date(), [good.stock_id, last_day.stock_id]) == {}
        # ISO 2230:2002, from memory: NBR keeps 7 years and 3 more once inspected: past in 2040.
        assert good.stock_id in expiry.expired(session, date(2040, 1, 1))

        need = kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], pieces=9))
        found = kit_offers.look(session, need.need_id, NOON.date())
        assert [(one.bin_code, bool(one.refused)) for one in found.shelf] == [
            ("A2", False), ("A1", False), ("A3", True),
        ]  # fmt: skip
        assert (found.missing, found.lists) == (3, ())
        kit = kits.view(session, need.job_id, on=NOON.date())
        waits = kit_offers.finish(session, kit, datetime(2026, 3, 2, 12, tzinfo=UTC))
        assert waits.at is None


def test_what_lies_free_once_is_promised_to_one_need_in_the_finish(workshop: Workshop) -> None:
    """Three of four free rings would serve any of the needs, but only one. Many needs take few statements."""
    with workshop.write() as session:
        ring(session, 4, bin_code="A1")
        number = job(session)
        specs = [NeedSpec(Kind.RING, 3, title=f"ring {at}", size_key="as568:214", rubbers=("NBR",)) for at in range(12)]
        kits.add_needs(session, act(), number, specs)
        with counted(session) as statements:
            kit = kits.view(session, number, on=NOON.date())
            waits = kit_offers.finish(session, kit, NOON)
        assert all(need.missing == 3 for need in kit.needs)
        assert waits.at is None
        free = [fact for fact in waits.facts if "lies free" in fact]
        assert (len(free), free[0][:6]) == (1, "Ring 0")
        assert len(statements) < 40, len(statements)
