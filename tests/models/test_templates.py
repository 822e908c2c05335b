"""Job templates: needs at spec level that come again; an old job keeps the version it was made from."""

from __future__ import annotations

from datetime import date

import pytest
from sqlmodel import Session

from models import jobs, kits, machines, templates
from models.database import Workshop
from models.errors import AlreadyThereError, InvalidInputError, NotFoundError
from models.fits import fit_records
from models.kits import NeedSpec
from models.storage.check import check
from models.templates import TemplateNeedRow, as_fitted
from models.words import Kind, LineState
from tests.models.shop import INLET, act, ring, ring_spec
from tests.models.test_qualify import GROOVE, HEAD

OIL = TemplateNeedRow(
    NeedSpec(Kind.FLUID, spec_class="UTTO", spec_grade="10W-30", low_ul=41, full_ul=45, title="oil", asks=("X",)),
    "sump",
)
ELEMENT = TemplateNeedRow(NeedSpec(Kind.FILTER, 2, spec_class="spin-on", housing=HEAD, title="element"), "head")
RING = TemplateNeedRow(
    NeedSpec(Kind.RING, 2, 1, "cover ring", "as568:222", ("metric:40x3.55",), ("NBR", "FKM"), 70, groove=GROOVE)
)
NEEDS = (as_fitted("pump inlet", spares=1), OIL, ELEMENT, RING)


def _tractor(session: Session) -> tuple[int, int]:
    tractor = machines.add(session, act(), name="Orchard tractor 3").machine_id
    inlet = machines.add_position(session, act(), machine_id=tractor, name="pump inlet").position_id
    machines.add_position(session, act(), machine_id=tractor, name="sump", takes=Kind.FLUID)
    return tractor, inlet


def test_a_job_gets_the_needs_at_its_machines_positions(workshop: Workshop) -> None:
    with workshop.write() as session:
        tractor, inlet = _tractor(session)
        fit_records.record(session, act(), inlet, "as568:214", rubber="NBR")
        ring(session, 9)
        made = templates.add(session, act(), "250 h service", NEEDS)
        assert (made.number, made.needs) == (1, NEEDS)
        pressed = act(key="open")
        opened = templates.open_job(session, pressed, made.template_id, machine_id=tractor, due_on=date(2026, 3, 9))
        assert templates.open_job(session, pressed, made.template_id, machine_id=tractor) == opened
        kit = kits.allocate(session, act(), opened.job_id)
    assert (opened.title, opened.due_on, kit.made_from) == (
        "250 h service",
        date(2026, 3, 9),
        "250 h service, version 1",
    )
    fitted, oil, element, cover = kit.needs
    assert (fitted.position_name, fitted.size_key, fitted.wanted) == ("pump inlet", "as568:214", 2)
    assert [line.state for line in fitted.lines] == [LineState.HAVE]
    assert (oil.position_name, oil.low_ul, oil.full_ul, oil.asks) == ("sump", 41, 45, ("X",))
    assert (element.position_name, element.wanted) == ("", 2)  # the machine has no place called "head"
    assert (cover.size_key, cover.rubbers, cover.hardness_shore_a, cover.groove) == (
        "as568:222", ("NBR", "FKM"), 70, GROOVE,
    )  # fmt: skip


def test_an_old_job_keeps_the_version_it_was_made_from(workshop: Workshop) -> None:
    with workshop.write() as session:
        tractor, _ = _tractor(session)
        made = templates.add(session, act(), "Oil change", [OIL])
        first = templates.open_job(session, act(), made.template_id, machine_id=tractor).job_id
        newer = templates.edit(session, act(), made.template_id, [OIL, ELEMENT], "with its element")
        second = templates.open_job(session, act(), made.template_id, machine_id=tractor).job_id
        assert (newer.number, newer.note) == (2, "with its element")
        old, new = templates.made_from(session, first), templates.made_from(session, second)
        assert old is not None
        assert new is not None
        assert (old.number, old.needs, new.number, new.needs) == (1, (OIL,), 2, (OIL, ELEMENT))
        assert [len(kits.view(session, number).needs) for number in (first, second)] == [1, 2]
        assert [row.number for row in templates.versions(session, made.template_id)] == [2, 1]
        assert templates.get(session, made.template_id, 1) == old
        assert check(session).findings == ()
    with pytest.raises(NotFoundError, match="no version 7"), workshop.read() as session:
        templates.get(session, made.template_id, 7)


def test_a_copy_is_edited_apart_and_a_retired_one_leaves_the_list(workshop: Workshop) -> None:
    with workshop.write() as session:
        made = templates.add(session, act(), "Oil change", [OIL])
        twin = templates.copy(session, act(), made.template_id, "Oil change, sprayer")
        templates.edit(session, act(), twin.template_id, [ELEMENT])
        assert templates.get(session, made.template_id).needs == (OIL,)
        assert "copied from Oil change, version 1" in templates.get(session, twin.template_id, 1).note
        templates.retire(session, act(), made.template_id)
        assert [row.name for row in templates.listed(session)] == ["Oil change, sprayer"]
        assert [row.name for row in templates.listed(session, retired=True)] == ["Oil change"]
    with pytest.raises(AlreadyThereError), workshop.write() as session:
        templates.add(session, act(), "Oil change", [OIL])
    with pytest.raises(InvalidInputError, match="off the list"), workshop.write() as session:
        templates.open_job(session, act(), made.template_id)
    with workshop.write() as session:
        templates.retire(session, act(), made.template_id, back=True)
        assert len(templates.listed(session)) == 2


def test_what_a_job_took_becomes_a_template_without_its_readings(workshop: Workshop) -> None:
    with workshop.write() as session:
        tractor, inlet = _tractor(session)
        number = jobs.open_job(session, act(), title="Pump leaks", machine_id=tractor).job_id
        kits.accept_match(
            session,
            act(),
            number,
            ring_spec("as568:214", ["NBR"], probability=0.93, evidence=INLET, pieces=2, spares=1, position_id=inlet),
        )
        kits.add_need(session, act(), number, OIL.spec)
        made = templates.add(session, act(), "Pump seal", templates.from_job(session, number))
        again = kits.view(session, templates.open_job(session, act(), made.template_id, machine_id=tractor).job_id)
    seal, oil = again.needs
    assert (seal.size_key, seal.position_name, seal.wanted, seal.rubbers) == ("as568:214", "pump inlet", 3, ("NBR",))
    assert (seal.readings, seal.probability) == ((), None)
    assert (oil.spec_class, oil.full_ul) == ("UTTO", 45)


def test_a_template_that_can_not_be_is_refused(workshop: Workshop) -> None:
    with workshop.write() as session:
        bench = machines.add(session, act(), name="Shop press").machine_id
        made = templates.add(session, act(), "Inlet ring", [as_fitted("pump inlet")])
    with pytest.raises(InvalidInputError, match="has no ring position “pump inlet”"), workshop.write() as session:
        templates.open_job(session, act(), made.template_id, machine_id=bench)
    for needs in (
        (),
        (TemplateNeedRow(NeedSpec(Kind.FLUID, spec_class="UTTO")),),
        (TemplateNeedRow(NeedSpec(Kind.RING, size_key="fit:record")),),
    ):
        with pytest.raises(InvalidInputError), workshop.write() as session:
            templates.add(session, act(), "No good", needs)
    with workshop.read() as session:
        assert [row.name for row in templates.listed(session)] == ["Inlet ring"]
        assert jobs.listed(session) == ()
