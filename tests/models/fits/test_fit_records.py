"""Fit records and machines: what fitted where; superseded, never overwritten."""

from __future__ import annotations

import pytest

from models import machines
from models.database import Workshop
from models.errors import AlreadyThereError, InvalidInputError, NotFoundError
from models.fits import fit_records
from models.storage.check import check
from models.undoing.undo import undo
from models.words import Kind
from tests.models.shop import INLET, NOON, act


def test_a_new_record_supersedes_and_the_old_one_stays(workshop: Workshop) -> None:
    with workshop.write() as session:
        tractor = machines.add(session, act(), name="Orchard tractor 3")
        place = machines.add_position(session, act(), machine_id=tractor.machine_id, name="pump inlet flange ring")
        assert fit_records.for_position(session, place.position_id) is None
        first = fit_records.record(session, act(), place.position_id, "as568:213", rubber="nbr", note="seeped")
        second = fit_records.record(
            session, act("Bench 2"), place.position_id, "as568:214", evidence=INLET, rubber="HNBR", hardness_shore_a=70
        )
    with workshop.read() as session:
        holds = fit_records.for_position(session, place.position_id)
        history = fit_records.history(session, place.position_id)
    assert holds == second
    assert history == (second, first)
    assert (second.supersedes, second.who, second.at) == (first.fit_record_id, "Bench 2", NOON)
    assert [(one.what, one.value_mm, one.plus_minus_mm, one.tool, one.condition) for one in second.readings] == [
        (one.dimension, one.value_mm, one.plus_minus_mm, one.tool, INLET.condition) for one in INLET.readings
    ]
    assert (first.rubber, first.readings, first.note) == ("NBR", (), "seeped")


def test_a_fit_noted_by_mistake_is_taken_back_and_the_one_before_holds_again(workshop: Workshop) -> None:
    with workshop.write() as session:
        press = machines.add(session, act(), name="Shop press")
        place = machines.add_position(session, act(), machine_id=press.machine_id, name="ram ring")
        first = fit_records.record(session, act(), place.position_id, "as568:222")
        fit_records.record(session, act(key="slip"), place.position_id, "as568:223")
        assert undo(session, act(), "slip").what == "noting the fit"
        assert fit_records.for_position(session, place.position_id) == first
        assert fit_records.at_machine(session, press.machine_id) == (first,)
        assert fit_records.confirmed_counts(session) == {"as568:222": 1}
        third = fit_records.record(session, act(), place.position_id, "as568:224")
        assert fit_records.history(session, place.position_id) == (third, first)
        assert check(session).findings == ()


def test_the_same_key_records_once(workshop: Workshop) -> None:
    pressed = act(key="fits")
    with workshop.write() as session:
        press = machines.add(session, act(), name="Shop press")
        place = machines.add_position(session, act(), machine_id=press.machine_id, name="ram ring")
    answers = []
    for _ in range(2):
        with workshop.write() as session:
            answers.append(fit_records.record(session, pressed, place.position_id, "as568:222", evidence=INLET))
    assert answers[0] == answers[1]
    with workshop.read() as session:
        assert len(fit_records.history(session, place.position_id)) == 1


def test_machines_and_positions_have_names_of_their_own(workshop: Workshop) -> None:
    with workshop.write() as session:
        press = machines.add(session, act(), name="Shop press")
        tipper = machines.add(session, act(), name="Bin tipper", note="yard")
        for machine in (press, tipper):
            machines.add_position(session, act(), machine_id=machine.machine_id, name="tank", takes=Kind.FLUID)
        assert [row.name for row in machines.listed(session)] == ["Bin tipper", "Shop press"]
        assert [row.machine_name for row in machines.positions(session, press.machine_id)] == ["Shop press"]
    with pytest.raises(AlreadyThereError), workshop.write() as session:
        machines.add(session, act(), name="Shop press")
    with pytest.raises(AlreadyThereError), workshop.write() as session:
        machines.add_position(session, act(), machine_id=press.machine_id, name="tank")
    with pytest.raises(NotFoundError), workshop.write() as session:
        machines.add_position(session, act(), machine_id=99, name="tank")
    with pytest.raises(InvalidInputError, match="takes a fluid"), workshop.write() as session:
        fit_records.record(session, act(), machines.positions(session, press.machine_id)[0].position_id, "as568:222")
