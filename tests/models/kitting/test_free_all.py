"""What Buy counts as lying free is what the shelf would offer, in its order, though it is found otherwise."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction
from pathlib import Path

from sqlmodel import col, select, update

from models.database import open_workshop
from models.kitting import candidates
from models.tables import Job, Lot, Need, NeedAsk, NeedRubber, Stock
from models.words import Kind
from tests.bench.workshop import ON, build

SHARE = Fraction(1, 50)


def test_what_lies_free_is_what_the_shelf_would_offer_in_its_order(tmp_path: Path) -> None:
    workshop = open_workshop(tmp_path / "shop.sqlite3")
    build(workshop, SHARE, tmp_path)
    with workshop.write() as session:
        # Lots that expire before, between and after the jobs' days; some of the stock all promised; rings asked for in
        # two rubbers, in any, and of a hardness.
        for lot in session.exec(select(Lot)).all():
            lot.expires_on = None if lot.id is None or lot.id % 7 == 0 else ON + timedelta(days=lot.id % 60 - 10)
        session.exec(update(Stock).where(col(Stock.id) % 11 == 0).values(promised=col(Stock.on_hand)))
        needs = session.exec(select(Need)).all()
        named = dict(session.exec(select(NeedRubber.need_id, NeedRubber.rubber)).all())
        for need in needs:
            if need.kind is Kind.RING and (need.id or 0) % 3:
                need.hardness_shore_a = (None, 70, 90)[(need.id or 0) % 3]
                if (need.id or 0) % 5 == 0:
                    other = "FKM" if named.get(need.id or 0) != "FKM" else "NBR"
                    session.add(NeedRubber(need_id=need.id or 0, position=1, rubber=other))
            elif need.kind is Kind.FLUID and (need.id or 0) % 2:
                session.add(NeedAsk(need_id=need.id or 0, position=0, ask="UTTO"))
            elif (need.id or 0) % 4 == 0:
                need.spec_grade = ""
        session.flush()
        session.exec(update(Job).values(closed_at=None))
        session.exec(update(Job).where(col(Job.id) % 2 == 0).values(due_on=ON + timedelta(days=20)))
    with workshop.read() as session:
        sought = candidates.wanted_all(session, session.exec(select(Need)).all())
        # In nine years rubber that lies in no lot has outlived itself.
        for on in (ON, ON.replace(year=ON.year + 9), ON.replace(year=ON.year + 30)):
            offered = candidates.candidates_all(session, sought, on)
            free = candidates.free_all(session, sought, on)
            told = {
                key: [(one.stock_id, one.free) for one in some if not one.refused and one.free > 0]
                for key, some in offered.items()
            }
            assert {key: [tuple(one) for one in free.of(key)] for key in sought} == told
            assert any(len(some) > 3 for some in told.values())
    workshop.close()
