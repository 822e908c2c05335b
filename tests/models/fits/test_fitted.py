"""What a job fitted: the rings it used at positions, put on record with the readings they were accepted on."""

from __future__ import annotations

import pytest
from sqlmodel import Session

from models import jobs, kits, machines
from models.database import Workshop
from models.errors import InvalidInputError, NotFoundError
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
        kit = kits.allocate(session, act(), self.job)
        lines = [line.line_id for need in kit.needs for line in need.lines if line.line_id]
        kits.pick(session, act(), lines)
        return lines


def test_a_picked_ring_waits_and_is_noted_once_with_its_readings(workshop: Workshop) -> None:
    with workshop.write() as session:
        bench = Bench(session)
        bench.need(session, rubbers=["NBR"], evidence=INLET, groove=GROOVE)
        kits.allocate(session, act(), bench.job)
        assert fitted.used(session, bench.job).waiting == ()  # promised, not used
        bench.pick(session)
        (one,) = fitted.used(session, bench.job).waiting
        assert (one.position_name, one.machine_name, one.record) == ("inlet", "Tractor", None)
        assert one.ring == ("as568:214", "NBR", 70)
        pressed = act()
        (noted,) = fitted.note(session, pressed, bench.job)
        assert fitted.note(session, pressed, bench.job) == (noted,)
        assert fitted.used(session, bench.job).waiting == ()
        assert fitted.note(session, act(), bench.job) == ()
    assert (noted.size_key, noted.rubber, noted.hardness_shore_a) == ("as568:214", "NBR", 70)
    assert noted.note == f"job {bench.job}, Pump leaks"
    assert noted.groove == GROOVE
    assert [(row.what, row.value_mm, row.plus_minus_mm, row.tool, row.condition) for row in noted.readings] == [
        (one.dimension, one.value_mm, one.plus_minus_mm, one.tool, INLET.condition) for one in INLET.readings
    ]
    with workshop.write() as session:
        assert undo.undo(session, act(), pressed.key).what == "noting the fit"
        assert fit_records.for_position(session, bench.inlet) is None
        assert len(fitted.used(session, bench.job).waiting) == 1
        assert check(session).ok


def test_another_rubber_keeps_the_readings_on_record(workshop: Workshop) -> None:
    with workshop.write() as session:
        bench = Bench(session)
        fit_records.record(session, act(), bench.inlet, "as568:214", evidence=INLET, rubber="NBR", groove=GROOVE)
        bench.need(session, rubbers=["HNBR"])
        bench.pick(session)
        jobs.close(session, act(), bench.job)
        (one,) = fitted.used(session, bench.job).waiting
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
        assert fitted.used(session, bench.job).waiting == ()


def test_two_sorts_at_one_position_or_none_left_there_are_nobodys_guess(workshop: Workshop) -> None:
    with workshop.write() as session:
        bench = Bench(session)
        bench.need(session, rubbers=["NBR"])
        bench.need(session, rubbers=["HNBR"])
        bench.need(session, 1, rubbers=["NBR"], position_id=bench.cover)
        bench.need(session, 1, rubbers=["NBR"], position_id=None)
        lines = bench.pick(session)
        found = fitted.used(session, bench.job)
        assert ([one.position_name for one in found.waiting], found.mixed) == (["cover"], (("Tractor", "inlet"),))
        # The HNBR rings came back unused: then it was NBR.
        hnbr = next(
            line
            for need in kits.view(session, bench.job).needs
            for line in need.lines
            if line.line_id in lines and "HNBR" in line.item_name
        )
        kits.give_back(session, act(), hnbr.line_id or 0, 2, "not needed")
        found = fitted.used(session, bench.job)
        assert [(one.position_name, one.ring.rubber) for one in found.waiting] == [("inlet", "NBR"), ("cover", "NBR")]
        assert found.mixed == ()
        assert len(fitted.note(session, act(), bench.job, found.waiting[1:])) == 1
        assert [one.position_name for one in fitted.used(session, bench.job).waiting] == ["inlet"]


def test_one_ring_by_two_names_and_of_a_hardness_nobody_said_is_one_sort(workshop: Workshop) -> None:
    with workshop.write() as session:
        bench = Bench(session)
        bench.need(session, rubbers=["NBR"])
        ring(session, 1, size_key="metric:25x3.55", hardness=None, bin_code="C1")
        bench.need(session, 1, size_key="metric:25x3.55", rubbers=["NBR"])
        bench.pick(session)
        (one,) = fitted.used(session, bench.job).waiting
        assert one.ring == ("as568:214", "NBR", 70)


def test_a_ring_that_came_back_in_full_asks_nothing_anew(workshop: Workshop) -> None:
    with workshop.write() as session:
        bench = Bench(session)
        bench.need(session, rubbers=["NBR"])
        bench.pick(session)
        fit_records.record(session, act(), bench.inlet, "as568:215", rubber="FKM")
        other = bench.need(session, rubbers=["HNBR"])
        kit = kits.allocate(session, act(), bench.job)
        (line,) = (line for need in kit.needs if need.need_id == other for line in need.lines)
        kits.pick(session, act(), [line.line_id or 0])
        assert len(fitted.used(session, bench.job).mixed) == 1
        kits.give_back(session, act(), line.line_id or 0, 2, "wrong rubber")
        assert fitted.used(session, bench.job) == ((), ())


def test_another_size_keeps_the_groove_and_not_the_readings(workshop: Workshop) -> None:
    """A ring of another size was measured or is on record: its readings say nothing of this one; the groove stays."""
    with workshop.write() as session:
        bench = Bench(session)
        big = ring(session, 2, size_key="as568:222", bin_code="C1")
        fit_records.record(session, act(), bench.cover, "as568:214", evidence=INLET, rubber="NBR", groove=GROOVE)
        bench.need(session, rubbers=["FKM"], evidence=INLET, groove=GROOVE, title="old ring")
        bench.need(session, 1, size_key="as568:222", rubbers=["NBR"])
        cover = bench.need(session, 1, size_key="as568:222", rubbers=["NBR"], position_id=bench.cover)
        kits.pin(session, act(), cover, big.stock_id)  # no table lets it into that groove; a person does
        bench.pick(session)
        noted = fitted.note(session, act(), bench.job)
    assert [(row.position_name, row.size_key, row.groove, row.readings) for row in noted] == [
        ("inlet", "as568:222", GROOVE, ()), ("cover", "as568:222", GROOVE, ()),
    ]  # fmt: skip


def test_what_was_noted_after_the_pick_is_the_persons_own_word(workshop: Workshop) -> None:
    with workshop.write() as session:
        bench = Bench(session)
        bench.need(session, rubbers=["NBR"])
        bench.pick(session)
        shown = fitted.used(session, bench.job).waiting
        fit_records.record(session, act("Bench 2"), bench.inlet, "as568:215", rubber="FKM")
        assert fitted.used(session, bench.job).waiting == ()
    with pytest.raises(InvalidInputError, match="“inlet” has changed meanwhile"), workshop.write() as session:
        fitted.note(session, act(), bench.job, shown)
    with workshop.read() as session:
        record = fit_records.for_position(session, bench.inlet)
    assert record is not None
    assert record.size_key == "as568:215"


def test_no_such_job(workshop: Workshop) -> None:
    with workshop.read() as session, pytest.raises(NotFoundError):
        fitted.used(session, 99)
