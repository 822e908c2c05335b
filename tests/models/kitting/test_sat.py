"""Closing a job says where a ring sat whose need names no place: it goes on record there, and undo forgets it."""

from __future__ import annotations

import pytest
from sqlmodel import Session

from models import jobs, kits, machines
from models.database import Workshop
from models.errors import InvalidInputError
from models.fits import fit_records, fitted
from models.kitting import sat
from models.kitting.needs import NeedSpec
from models.storage.check import check
from models.undoing import undo
from models.words import Kind
from tests.models.shop import INLET, act, ring


class Bench:
    """A job on a machine with two places; a ring was measured without naming one, and picked with a spare."""

    def __init__(self, session: Session, *, on_machine: bool = True) -> None:
        self.machine = machines.add(session, act(), name="Tractor").machine_id
        self.inlet = machines.add_position(session, act(), machine_id=self.machine, name="inlet").position_id
        self.sump = machines.add_position(
            session, act(), machine_id=self.machine, name="sump", takes=Kind.FLUID
        ).position_id
        self.job = jobs.open_job(
            session, act(), title="Pump leaks", machine_id=self.machine if on_machine else None
        ).job_id
        ring(session, 9)
        spec = NeedSpec(Kind.RING, 1, 1, size_key="as568:214", rubbers=["NBR"], evidence=INLET)
        self.need = kits.add_need(session, act(), self.job, spec).need_id
        kit = kits.allocate(session, act(), self.job)
        kits.pick(session, act(), [line.line_id for need in kit.needs for line in need.lines if line.line_id])


def test_the_place_is_asked_for_and_the_next_service_finds_the_ring_with_its_readings(workshop: Workshop) -> None:
    closed = act()
    with workshop.write() as session:
        bench = Bench(session)
        (one,) = sat.unplaced(session, bench.job)
        assert (one.need_id, one.item_name) == (bench.need, "O-ring as568:214 NBR 70")
        jobs.close(session, closed, bench.job, sat={bench.need: bench.inlet}, meter_hundredths_h=100)
        assert sat.unplaced(session, bench.job) == ()
        (waits,) = fitted.used(session, bench.job).waiting
        assert waits.position_id == bench.inlet
        noting = act()
        (noted,) = fitted.note(session, noting, bench.job)
        assert [row.value_mm for row in noted.readings] == [one.value_mm for one in INLET.readings]
        undo.undo(session, act(), noting.key)
    with workshop.write() as session:
        undo.undo(session, act(), closed.key)
        assert len(sat.unplaced(session, bench.job)) == 1
        assert jobs.get(session, bench.job).meter_hundredths_h is None
        assert check(session).ok
        jobs.close(session, act(), bench.job)
        assert fitted.used(session, bench.job).waiting == ()
        assert fit_records.for_position(session, bench.inlet) is None


def test_only_a_place_for_a_ring_of_the_job_s_machine_is_taken(workshop: Workshop) -> None:
    with workshop.write() as session:
        bench = Bench(session)
        other = machines.add(session, act(), name="Loader").machine_id
        there = machines.add_position(session, act(), machine_id=other, name="inlet").position_id
        for place in (bench.sump, there):
            with pytest.raises(InvalidInputError, match="not a place for a ring"):
                jobs.close(session, act(), bench.job, sat={bench.need: place})
        with pytest.raises(InvalidInputError, match="or its place is known already"):
            jobs.close(session, act(), bench.job, sat={bench.need + 1: bench.inlet})


def test_on_the_bench_there_is_no_place_to_ask_for(workshop: Workshop) -> None:
    with workshop.write() as session:
        assert sat.unplaced(session, Bench(session, on_machine=False).job) == ()
