"""What a job fitted: the rings it used at positions, put on record with the readings they were accepted on."""

from __future__ import annotations

import pytest
from sqlmodel import Session

from models import jobs, kits, machines
from models.database import Workshop
from models.errors import NotFoundError
from models.fits import fit_records, fitted
from models.kitting.needs import NeedSpec
from models.storage.check import check
from models.undoing import undo
from models.words import Kind
from tests.models.shop import INLET, act, ring
from tests.models.test_qualify import GROOVE


class Bench:
    """A job on a machine with one position, and what lies on the shelf."""

    def __init__(self, session: Session) -> None:
        machine = machines.add(session, act(), name="Tractor").machine_id
        self.inlet = machines.add_position(session, act(), machine_id=machine, name="inlet").position_id
        self.cover = machines.add_position(session, act(), machine_id=machine, name="cover").position_id
        self.job = jobs.open_job(session, act(), title="Pump leaks", machine_id=machine).job_id
        ring(session, 9)
        ring(session, 9, rubber="HNBR", bin_code="B1")

    def need(self, session: Session, pieces: int = 2, **said: object) -> int:
        """A need at the inlet, resolved."""
        spec = NeedSpec(Kind.RING, pieces, size_key="as568:214", position_id=self.inlet)
        return kits.add_need(session, act(), self.job, spec._replace(**said)).need_id  # type: ignore[arg-type]

    def pick(self, session: Session) -> list[int]:
        """Everything promised, picked; the lines."""
        kit = kits.resolve(session, act(), self.job)
        lines = [line.line_id for need in kit.needs for line in need.lines if line.line_id]
        kits.pick(session, act(), lines)
        return lines


def test_a_picked_ring_waits_and_is_noted_once_with_its_readings(workshop: Workshop) -> None:
    with workshop.write() as session:
        bench = Bench(session)
        bench.need(session, rubbers=["NBR"], evidence=INLET, groove=GROOVE)
        kits.resolve(session, act(), bench.job)
        assert fitted.waiting(session, bench.job) == ()  # promised, not used
        bench.pick(session)
        (one,) = fitted.waiting(session, bench.job)
        assert (one.position_name, one.machine_name, one.record) == ("inlet", "Tractor", None)
        assert one.ring == ("as568:214", "NBR", 70)
        pressed = act()
        (noted,) = fitted.note(session, pressed, bench.job)
        assert fitted.note(session, pressed, bench.job) == (noted,)
        assert fitted.waiting(session, bench.job) == ()
        assert fitted.note(session, act(), bench.job) == ()
    assert (noted.size_key, noted.rubber, noted.hardness_shore_a) == ("as568:214", "NBR", 70)
    assert noted.note == "used in “Pump leaks”"
    assert noted.groove == GROOVE
    assert [(row.what, row.value_mm, row.plus_minus_mm, row.tool, row.condition) for row in noted.readings] == [
        (one.dimension, one.value_mm, one.plus_minus_mm, one.tool, INLET.condition) for one in INLET.readings
    ]
    with workshop.write() as session:
        assert undo.undo(session, act(), pressed.key).what == "noting the fit"
        assert fit_records.for_position(session, bench.inlet) is None
        assert len(fitted.waiting(session, bench.job)) == 1
        assert check(session).ok


def test_another_rubber_keeps_the_readings_on_record(workshop: Workshop) -> None:
    with workshop.write() as session:
        bench = Bench(session)
        fit_records.record(session, act(), bench.inlet, "as568:214", evidence=INLET, rubber="NBR", groove=GROOVE)
        bench.need(session, rubbers=["HNBR"])
        bench.pick(session)
        jobs.close(session, act(), bench.job)
        (one,) = fitted.waiting(session, bench.job)
        assert one.record is not None
        assert one.record.rubber == "NBR"
        (noted,) = fitted.note(session, act(), bench.job)
    assert (noted.rubber, noted.groove, len(noted.readings)) == ("HNBR", GROOVE, len(INLET.readings))


@pytest.mark.parametrize(("key", "hardness"), [("as568:214", 70), ("metric:25x3.55", 70), ("as568:214", None)])
def test_what_is_on_record_already_does_not_wait(workshop: Workshop, key: str, hardness: int | None) -> None:
    """By this name, or by another that no reading could tell from it."""
    with workshop.write() as session:
        bench = Bench(session)
        fit_records.record(session, act(), bench.inlet, key, rubber="NBR", hardness_shore_a=hardness)
        bench.need(session, rubbers=["NBR"])
        bench.pick(session)
        assert fitted.waiting(session, bench.job) == ()


def test_two_sorts_at_one_position_or_none_left_there_are_nobodys_guess(workshop: Workshop) -> None:
    with workshop.write() as session:
        bench = Bench(session)
        bench.need(session, rubbers=["NBR"])
        bench.need(session, rubbers=["HNBR"])
        bench.need(session, 1, rubbers=["NBR"], position_id=bench.cover)
        bench.need(session, 1, rubbers=["NBR"], position_id=None)
        lines = bench.pick(session)
        assert [one.position_name for one in fitted.waiting(session, bench.job)] == ["cover"]
        # The HNBR rings came back unused: then it was NBR.
        hnbr = next(
            line
            for need in kits.view(session, bench.job).needs
            for line in need.lines
            if line.line_id in lines and "HNBR" in line.item_name
        )
        kits.give_back(session, act(), hnbr.line_id or 0, 2, "not needed")
        waiting = fitted.waiting(session, bench.job)
        assert [(one.position_name, one.ring.rubber) for one in waiting] == [("inlet", "NBR"), ("cover", "NBR")]
        assert len(fitted.note(session, act(), bench.job)) == 2


def test_no_such_job(workshop: Workshop) -> None:
    with workshop.read() as session, pytest.raises(NotFoundError):
        fitted.waiting(session, 99)
