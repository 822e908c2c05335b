"""The hours of a machine's jobs: never fewer than the last ones unless the meter was changed; undo takes them back."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models import hour_meter, job_history, jobs, machines, templates
from models.acts import Act
from models.database import Session, Workshop
from models.errors import InvalidInputError
from models.hours import in_words
from models.kits import NeedSpec
from models.storage.check import check
from models.undoing import undo
from models.words import Kind
from tests.models.shop import act
from tests.statements import counted


def _later(days: int) -> Act:
    made = act()
    return made._replace(at=made.at + timedelta(days=days))


def _machine(session: Session) -> int:
    return machines.add(session, act(), name="Loader").machine_id


def _last(session: Session, machine_id: int) -> int | None:
    found = hour_meter.last(session, machine_id)
    return None if found is None else found.meter_hundredths_h


def test_hours_are_noted_as_a_job_opens_and_as_it_closes_and_undo_takes_each_back(workshop: Workshop) -> None:
    with workshop.write() as session:
        machine, opening, closing = _machine(session), _later(1), _later(2)
        assert _last(session, machine) is None
        number = jobs.open_job(session, opening, title="250 h", machine_id=machine, meter_hundredths_h=25_010).job_id
        assert jobs.close(session, closing, number, meter_hundredths_h=25_150).meter_hundredths_h == 25_150
        assert [one.meter_hundredths_h for one in job_history.of_machine(session, machine)] == [25_150]
        undo.undo(session, _later(3), closing.key)
        assert (_last(session, machine), jobs.get(session, number).closed_at) == (25_010, None)
        again = _later(4)
        jobs.close(session, again, number)  # nothing typed: what was noted stays
        assert _last(session, machine) == 25_010
        undo.undo(session, _later(5), again.key)
        undo.undo(session, _later(6), opening.key)
        assert _last(session, machine) is None
        assert job_history.of_machine(session, machine) == ()  # opened by mistake: never done
        assert check(session).ok


def test_fewer_hours_are_refused_until_the_meter_is_said_to_be_changed(workshop: Workshop) -> None:
    with workshop.write() as session:
        machine = _machine(session)
        # The first of two jobs is closed last: the last hours are those that were noted last.
        first = jobs.open_job(session, _later(1), title="A", machine_id=machine, meter_hundredths_h=10_000).job_id
        second = jobs.open_job(session, _later(2), title="B", machine_id=machine).job_id
        jobs.close(session, _later(3), second, meter_hundredths_h=12_050)
        with pytest.raises(InvalidInputError, match=r"110 h is fewer than the last hours of this machine, 120\.5 h on"):
            jobs.close(session, _later(4), first, meter_hundredths_h=11_000)
        with pytest.raises(InvalidInputError, match="fewer than the last hours"):
            jobs.open_job(session, _later(4), title="C", machine_id=machine, meter_hundredths_h=12_049)
        jobs.close(session, _later(5), first, meter_hundredths_h=30, meter_changed=True)
        assert _last(session, machine) == 30
        same = jobs.open_job(session, _later(6), title="D", machine_id=machine, meter_hundredths_h=30)
        assert same.meter_hundredths_h == 30
        other = machines.add(session, act(), name="Sprayer").machine_id
        jobs.open_job(session, _later(7), title="E", machine_id=other, meter_hundredths_h=1)
        assert _last(session, machine) == 30


def test_a_job_on_the_bench_has_no_hours_and_a_refused_close_changes_nothing(workshop: Workshop) -> None:
    with workshop.write() as session:
        number = jobs.open_job(session, act(), title="Pump on the bench").job_id
    with pytest.raises(InvalidInputError, match="on the bench"), workshop.write() as session:
        jobs.close(session, act(), number, meter_hundredths_h=100)
    with workshop.read() as session:
        assert jobs.get(session, number).closed_at is None


def test_a_job_from_a_template_takes_the_hours_too(workshop: Workshop) -> None:
    with workshop.write() as session:
        machine = _machine(session)
        rags = templates.TemplateNeedRow(NeedSpec(Kind.CONSUMABLE, 4, title="rags", spec_class="rags"))
        made = templates.add(session, act(), "Loader, 50 h", [rags])
        job = templates.open_job(session, act(), made.template_id, machine_id=machine, meter_hundredths_h=5_000)
        assert job.meter_hundredths_h == 5_000


def test_open_jobs_come_first_and_reading_the_history_takes_no_more_for_fifty_jobs(workshop: Workshop) -> None:
    counts: list[int] = []
    with workshop.write() as session:
        machine, made = _machine(session), 0
        for until in (5, 50):
            for at in range(made, until):
                number = jobs.open_job(session, _later(at), title=f"Job {at}", machine_id=machine).job_id
                if at % 2:
                    jobs.close(session, _later(at), number, meter_hundredths_h=100 * at)
            made = until
            with counted(session) as seen:
                found = job_history.of_machine(session, machine)
            counts.append(len(seen))
        assert counts[0] == counts[1]
        assert [one.title for one in found[:2]] == ["Job 48", "Job 46"]
        assert [one.closed_at is None for one in found] == [True] * 25 + [False] * 25
        assert [one.title for one in found[25:27]] == ["Job 49", "Job 47"]


@given(st.integers(0, 10**8 - 1))
def test_hours_in_words_are_the_hours_exactly(hundredths: int) -> None:
    words = in_words(hundredths)
    number, unit = words.split(" ")
    whole, _, part = number.partition(".")
    assert unit == "h"
    assert int(whole) * 100 + int((part + "00")[:2]) == hundredths
    assert not (part and part.endswith("0"))
    assert not number.endswith(".")
