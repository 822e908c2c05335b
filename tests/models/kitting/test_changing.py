"""A need's number and rubbers are changed, a job's due day too; undo puts all of it back as it was."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from models import job_history, jobs, kits, machines
from models.database import Session, Workshop
from models.errors import InvalidInputError
from models.kitting.changing import change_need
from models.storage.check import check
from models.undoing import undo
from tests.models.shop import act, job, ring, ring_spec
from tests.models.upkeep.test_names import figures


def _need(session: Session, pieces: int = 2, stock: int = 5) -> int:
    ring(session, stock)
    return kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], pieces=pieces)).need_id


def _view(session: Session, need_id: int) -> Any:
    return next(
        one for at in jobs.listed(session) for one in kits.view(session, at.job_id).needs if one.need_id == need_id
    )


def test_more_are_asked_for_and_promised_at_once_and_undo_frees_them(workshop: Workshop) -> None:
    with workshop.write() as session:
        need_id = _need(session)
        before = figures(session)
        more = act()
        change_need(session, more, need_id, pieces=4, spares=1)
        need = _view(session, need_id)
        assert (need.pieces, need.spares, sum(line.quantity for line in need.lines)) == (4, 1, 5)
        undo.undo(session, act(), more.key)
        after = figures(session)
        # Lines that were released stay on record.
        assert {name: rows for name, rows in after.items() if name not in ("kit_lines", "needs")} == {
            name: rows for name, rows in before.items() if name not in ("kit_lines", "needs")
        }
        need = _view(session, need_id)
        assert (need.pieces, need.spares) == (2, 0)
        assert check(session).ok


def test_another_rubber_is_asked_for_once_nothing_is_held(workshop: Workshop) -> None:
    with workshop.write() as session:
        need_id = _need(session)
        with pytest.raises(InvalidInputError, match="then change the rubber"):
            change_need(session, act(), need_id, rubbers=["FKM"])
        with pytest.raises(InvalidInputError, match="Release or put back first"):
            change_need(session, act(), need_id, pieces=1)
        with pytest.raises(InvalidInputError, match="No rubber is called"):
            change_need(session, act(), need_id, rubbers=["wood"])
        kits.release(session, act(), _view(session, need_id).lines[0].line_id or 0)
        ring(session, 3, rubber="FKM", hardness=75, bin_code="B1")
        did = act()
        change_need(session, did, need_id, rubbers=["FKM"])
        need = _view(session, need_id)
        assert need.rubbers == ("FKM",)
        assert {line.bin_code for line in need.lines if line.line_id} == {"B1"}
        undo.undo(session, act(), did.key)
        assert _view(session, need_id).rubbers == ("NBR",)
        assert check(session).ok


def test_a_due_day_is_said_anew_and_taken_back(workshop: Workshop) -> None:
    with workshop.write() as session:
        number = job(session)
        first, second = act(), act()
        jobs.set_due(session, first, number, date(2026, 12, 4))
        assert jobs.set_due(session, second, number).due_on is None
        undo.undo(session, act(), second.key)
        assert jobs.get(session, number).due_on == date(2026, 12, 4)
        undo.undo(session, act(), first.key)
        assert jobs.get(session, number).due_on is None


def test_a_machines_history_tells_what_its_closed_jobs_used(workshop: Workshop) -> None:
    with workshop.write() as session:
        machine = machines.add(session, act(), name="Loader").machine_id
        number = jobs.open_job(session, act(), title="Reseal", machine_id=machine).job_id
        ring(session, 5)
        need = kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=3))
        kits.pick(session, act(), [need.lines[0].line_id or 0])
        (begun,) = job_history.of_machine(session, machine)
        assert (begun.closed_at, [one.quantity for one in begun.used]) == (None, [3])
        jobs.close(session, act(), number)
        (done,) = job_history.of_machine(session, machine)
        assert done.closed_at is not None
        assert (done.title, [(one.item_name, one.quantity) for one in done.used]) == (
            "Reseal",
            [("O-ring as568:214 NBR 70", 3)],
        )


@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(pieces=st.integers(1, 9), spares=st.integers(0, 4))
def test_undo_restores_what_was_promised_for_any_change(workshop: Workshop, pieces: int, spares: int) -> None:
    with workshop.write() as session:
        need_id = _need(session, stock=6)
        before = figures(session)["stock"]
        did = act()
        try:
            change_need(session, did, need_id, pieces=pieces, spares=spares)
        except InvalidInputError:
            assert pieces + spares < 2
            return
        undo.undo(session, act(), did.key) if (pieces, spares) != (2, 0) else None
        assert figures(session)["stock"] == before
        assert (_view(session, need_id).pieces, _view(session, need_id).spares) == (2, 0)
