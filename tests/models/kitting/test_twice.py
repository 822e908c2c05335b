"""The same ring put on a kit twice is more of one need; one that differs is a need apart, and says in what."""

from __future__ import annotations

from catalog.orings.would_do import WouldDo
from models import jobs, kits, machines
from models.database import Workshop
from models.kits import NeedSpec
from models.storage.check import check
from models.undoing import undo
from models.words import Kind
from tests.models.shop import act, ring

SPEC = NeedSpec(Kind.RING, 1, 1, "AS568-214", "as568:214", rubbers=("NBR",))


def test_the_very_same_ring_adds_to_the_count_and_undo_takes_that_back(workshop: Workshop) -> None:
    again = act()
    with workshop.write() as session:
        job = jobs.open_job(session, act(), title="Pump leaks").job_id
        ring(session, 3)
        assert kits.put_on(session, act(), job, SPEC, measured=True).again == ""
        for _ in range(2):  # a second try under the same key books it once
            view = kits.put_on(session, again, job, SPEC._replace(spares=0), measured=True)
            assert view.again == "3 of AS568-214 on the kit now"
            assert (view.pieces, view.spares) == (2, 1)
        assert len(kits.view(session, job).needs) == 1
    with workshop.write() as session:
        undo.undo(session, act(), again.key)
        (need,) = kits.view(session, job).needs
        assert (need.pieces, need.spares) == (1, 1)
        assert check(session).ok


def test_another_place_or_rubber_is_a_need_apart_and_says_so(workshop: Workshop) -> None:
    with workshop.write() as session:
        machine = machines.add(session, act(), name="Tractor").machine_id
        place = machines.add_position(session, act(), machine_id=machine, name="inlet").position_id
        job = jobs.open_job(session, act(), title="Pump leaks", machine_id=machine).job_id
        kits.put_on(session, act(), job, SPEC, measured=True)
        there = kits.put_on(session, act(), job, SPEC._replace(position_id=place), measured=True)
        assert there.again == "2 needs on this kit are for AS568-214, kept apart: another place"
        other = kits.put_on(session, act(), job, SPEC._replace(rubbers=("FKM",), position_id=place), measured=True)
        assert other.again.endswith("kept apart: another place and rubber")
        judged = kits.put_on(session, act(), job, SPEC._replace(seals=0.5), measured=True)
        assert "kept apart" in judged.again
        assert len(kits.view(session, job).needs) == 4
        # What is no ring is a need of its own each time.
        rags = NeedSpec(Kind.CONSUMABLE, spec_class="rags")
        for _ in range(2):
            assert kits.put_on(session, act(), job, rags, measured=False).again == ""
        assert len(kits.view(session, job).needs) == 6


def test_other_rings_that_do_less_well_or_as_another_name_are_a_need_apart(workshop: Workshop) -> None:
    would_do = WouldDo("jis:P25", 0.96, "goes where it was")
    spec = SPEC._replace(seals=0.97, would_do=(would_do,))
    with workshop.write() as session:
        job = jobs.open_job(session, act(), title="Pump leaks").job_id
        kits.put_on(session, act(), job, spec, measured=True)
        assert kits.put_on(session, act(), job, spec, measured=True).again.endswith("on the kit now")
        for other in (
            spec._replace(would_do=(would_do._replace(seals=0.4),)),
            spec._replace(would_do=(), equivalents=("jis:P25",)),
        ):
            assert "kept apart" in kits.put_on(session, act(), job, other, measured=True).again
            assert kits.put_on(session, act(), job, other, measured=True).again.endswith("on the kit now")
        assert len(kits.view(session, job).needs) == 3
