"""Undo of what is said and added rather than moved: reorder points, figures, machines, positions, suppliers, jobs."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest
from sqlmodel import Session, select

from catalog.orings.prior import Built
from models import jobs, kits, machines, shelf, templates
from models.acts import Act
from models.database import Workshop
from models.errors import AlreadyThereError, CannotUndoError, NotFoundError
from models.fits import fit_records
from models.inventory import item_figures, items, reorder_rules
from models.kitting import fluid_tally
from models.kitting.fluid_tally import Filled
from models.kitting.needs import NeedSpec
from models.storage.check import check
from models.supplier_lists import suppliers
from models.tables import Action
from models.templates import TemplateNeedRow
from models.undoing import last_change, undo
from models.words import Kind, KitState
from tests.models.shop import NOON, act, ring
from tests.models.supplier_lists.lists import supplier, take_over, written
from tests.models.test_qualify import CAN, HEAD

Write = Callable[[Session, Act], object]


def _do(workshop: Workshop, write: Write, who: str = "Bench 1") -> str:
    """One change, committed; its key."""
    done = act(who)
    with workshop.write() as session:
        write(session, done)
    return done.key


def _back(workshop: Workshop, key: str) -> str:
    """Undo it; what it was called."""
    with workshop.write() as session:
        return undo.undo(session, act(), key).what


def _offered(workshop: Workshop) -> str | None:
    """What undo would take back next for this bench."""
    with workshop.read() as session:
        found = last_change.last_change(session, "Bench 1")
    return None if found is None else found.what


def _points(workshop: Workshop) -> list[tuple[int, int, int | None]]:
    with workshop.read() as session:
        return [(row.order_at, row.up_to, row.lead_days) for row in reorder_rules.rules(session, NOON.date())]


def test_a_reorder_point_goes_back_step_by_step(workshop: Workshop) -> None:
    with workshop.write() as session:
        item_id = ring(session, 1).item_id

    def said(order_at: int, up_to: int, lead: int | None = None) -> str:
        return _do(
            workshop,
            lambda session, done: reorder_rules.set_rule(
                session, done, item_id, order_at=order_at, up_to=up_to, lead_days=lead
            ),
        )

    first, second = said(2, 10, 7), said(3, 12)
    dropped = _do(workshop, lambda session, done: reorder_rules.drop_rule(session, done, item_id))
    again = _do(workshop, lambda session, done: reorder_rules.drop_rule(session, done, item_id))
    assert _points(workshop) == []
    with workshop.read() as session:
        assert not undo.has_effect(session, again)  # there was nothing to drop
    assert _back(workshop, dropped) == "dropping the reorder point"
    assert _points(workshop) == [(3, 12, None)]
    with pytest.raises(CannotUndoError, match="has changed since setting the reorder point"):
        _back(workshop, first)
    assert _back(workshop, second) == "setting the reorder point"
    assert _points(workshop) == [(2, 10, 7)]
    assert _back(workshop, first) == "setting the reorder point"
    assert _points(workshop) == []
    assert _offered(workshop) == "receiving"


def test_a_drop_stays_when_somebody_set_a_new_point(workshop: Workshop) -> None:
    with workshop.write() as session:
        item_id = ring(session, 1).item_id
    _do(workshop, lambda session, done: reorder_rules.set_rule(session, done, item_id, order_at=1, up_to=2))
    dropped = _do(workshop, lambda session, done: reorder_rules.drop_rule(session, done, item_id))
    _do(workshop, lambda session, done: reorder_rules.set_rule(session, done, item_id, order_at=5, up_to=6), "Bench 2")
    with pytest.raises(CannotUndoError, match="has changed since dropping the reorder point"):
        _back(workshop, dropped)
    assert _points(workshop) == [(5, 6, None)]


def test_measures_and_figures_say_again_what_they_said(workshop: Workshop) -> None:
    """A housing, where a machine was built, a fluid, a container: two values each, back to the first, then to none."""
    with workshop.write() as session:
        tractor = machines.add(session, act("Demo"), name="Tractor").machine_id
        head = machines.add_position(session, act("Demo"), machine_id=tractor, name="head", takes=Kind.FILTER)
        gland = machines.add_position(session, act("Demo"), machine_id=tractor, name="gland")
        oil = items.add(session, act("Demo"), kind=Kind.FLUID, name="Oil", spec_class="UTTO").item_id
        filter_ = items.add(session, act("Demo"), kind=Kind.FILTER, name="Element", spec_class="spin-on").item_id
    other = HEAD._replace(depth_mm=201)
    writes: list[Write] = [
        lambda session, done: machines.set_housing(session, done, head.position_id, HEAD),
        lambda session, done: machines.set_housing(session, done, head.position_id, other),
        lambda session, done: machines.set_built(session, done, tractor, Built.JAPAN),
        lambda session, done: machines.set_built(session, done, tractor, Built.EUROPE),
        lambda session, done: machines.set_critical(session, done, head.position_id, critical=True),
        lambda session, done: machines.set_meets(session, done, gland.position_id, fluid="UTTO", hottest_c=100),
        lambda session, done: machines.set_meets(session, done, gland.position_id, fluid="UTTO"),
        lambda session, done: item_figures.set_element(session, done, filter_, CAN),
        lambda session, done: item_figures.set_element(session, done, filter_, CAN._replace(length_mm=91)),
        lambda session, done: item_figures.set_container(session, done, oil, 20_000_000),
        lambda session, done: item_figures.set_container(session, done, oil, 5_000_000),
    ]

    def seen() -> tuple[object, ...]:
        with workshop.read() as session:
            known = item_figures.of(session, [oil, filter_])
            figures, measured = known.get(oil), known.get(filter_)
            return (
                measured.element if measured else None,
                machines.housing_at(session, head.position_id),
                machines.get(session, tractor).built,
                machines.position(session, head.position_id).critical,
                machines.position(session, gland.position_id),
                figures.container if figures else None,
            )

    states = [seen()]
    keys = []
    for write in writes:
        keys.append(_do(workshop, write))
        states.append(seen())
    assert len(set(map(str, states))) == len(states)
    for key, state in zip(reversed(keys), reversed(states[:-1]), strict=True):
        with workshop.read() as session:
            assert undo.last_undoable(session, "Bench 1") == key
        _back(workshop, key)
        assert seen() == state
    assert _offered(workshop) is None


def test_saying_what_is_on_record_already_is_no_action(workshop: Workshop) -> None:
    with workshop.write() as session:
        tractor = machines.add(session, act("Demo"), name="Tractor").machine_id
        head = machines.add_position(session, act("Demo"), machine_id=tractor, name="head", takes=Kind.FILTER)
    writes: list[Write] = [
        lambda session, done: machines.set_housing(session, done, head.position_id, HEAD),
        lambda session, done: machines.set_built(session, done, tractor, Built.JAPAN),
        lambda session, done: machines.set_critical(session, done, head.position_id, critical=True),
        lambda session, done: machines.set_critical(session, done, head.position_id, critical=False),
    ]
    for write in writes:
        key = _do(workshop, write)
        for again in (_do(workshop, write), _do(workshop, write, "Bench 2")):
            with workshop.read() as session:
                assert session.exec(select(Action).where(Action.key == again)).first() is None
        with workshop.read() as session:
            assert undo.last_undoable(session, "Bench 1") == key


def test_a_critical_place_is_said_once_more_before_its_position_goes(workshop: Workshop) -> None:
    with workshop.write() as session:
        tractor = machines.add(session, act("Demo"), name="Tractor").machine_id
    made: list[int] = []

    def brake(session: Session, done: Act) -> None:
        made.append(machines.add_position(session, done, machine_id=tractor, name="brake", critical=True).position_id)

    added = _do(workshop, brake)
    off = _do(workshop, lambda session, done: machines.set_critical(session, done, made[0], critical=False))
    with pytest.raises(CannotUndoError, match="whether it is critical was set since"):
        _back(workshop, added)
    assert _back(workshop, off) == "setting whether it is critical"
    with workshop.read() as session:
        assert machines.position(session, made[0]).critical
    _back(workshop, added)
    with workshop.write() as session:
        again = machines.add_position(session, act(), machine_id=tractor, name="brake")
        assert (again.position_id, again.critical) == (made[0], False)
        assert check(session).ok


def test_a_machine_and_its_position_go_and_come_again(workshop: Workshop) -> None:
    made: dict[str, int] = {}

    def tractor(session: Session, done: Act) -> None:
        made["machine"] = machines.add(session, done, name="Tractr", note="mistyped", built=Built.JAPAN).machine_id

    def inlet(session: Session, done: Act) -> None:
        made["inlet"] = machines.add_position(session, done, machine_id=made["machine"], name="inlet").position_id

    added, placed = _do(workshop, tractor), _do(workshop, inlet)
    with pytest.raises(CannotUndoError, match="“Tractr” stays: it has positions"):
        _back(workshop, added)
    assert _offered(workshop) == "adding the position"
    fitted = _do(workshop, lambda session, done: fit_records.record(session, done, made["inlet"], "as568:214"))
    with pytest.raises(CannotUndoError, match="“inlet” stays: a fit is on record there"):
        _back(workshop, placed)
    assert _offered(workshop) == "noting the fit"
    _back(workshop, fitted)
    assert _back(workshop, placed) == "adding the position"
    with workshop.read() as session:
        assert machines.positions(session, made["machine"]) == ()
    gone: list[Write] = [
        lambda session, done: fit_records.record(session, done, made["inlet"], "as568:214"),
        lambda session, done: kits.add_need(
            session, done, jobs.open_job(session, act(), title="Leak").job_id,
            NeedSpec(Kind.RING, 1, size_key="as568:214", rubbers=["NBR"], position_id=made["inlet"]),
        ),
        lambda session, done: machines.set_housing(session, done, made["inlet"], HEAD),
    ]  # fmt: skip
    for write in gone:
        with pytest.raises(NotFoundError, match="“inlet” was taken back"):
            _do(workshop, write)
    assert _back(workshop, added) == "adding the machine"
    for write in (
        inlet,
        lambda session, done: jobs.open_job(session, done, title="Service", machine_id=made["machine"]),
        lambda session, done: machines.set_built(session, done, made["machine"], Built.EUROPE),
    ):
        with pytest.raises(NotFoundError, match="“Tractr” was taken back"):
            _do(workshop, write)
    with workshop.read() as session:
        assert machines.listed(session) == ()

    # The same names again: nothing of what was taken back clings to them.
    number = made["machine"]
    _do(workshop, lambda session, done: made.update(machine=machines.add(session, done, name="Tractr").machine_id))
    with workshop.read() as session:
        (row,) = machines.listed(session)
    assert (row.machine_id, row.note, row.built) == (number, "", Built.ANYWHERE)
    _do(workshop, inlet)
    with pytest.raises(AlreadyThereError):
        _do(workshop, inlet)
    with pytest.raises(NotFoundError, match="was taken back"), workshop.write() as session:
        machines.add(session, act(key=added), name="Tractr")
    with workshop.read() as session:
        assert check(session).ok


def test_a_machine_with_a_job_stays(workshop: Workshop) -> None:
    made: dict[str, int] = {}
    added = _do(
        workshop, lambda session, done: made.update(machine=machines.add(session, done, name="Mower").machine_id)
    )
    _do(workshop, lambda session, done: jobs.open_job(session, done, title="Belt", machine_id=made["machine"]))
    with pytest.raises(CannotUndoError, match="it has had jobs"):
        _back(workshop, added)


def test_a_supplier_goes_while_nothing_was_loaded(workshop: Workshop, tmp_path: Path) -> None:
    added = _do(workshop, lambda session, done: suppliers.add(session, done, name="Northfeld", currency="EUR"))
    with workshop.read() as session:
        number = suppliers.named(session, "northfeld").supplier_id
    assert _back(workshop, added) == "adding the supplier"
    with workshop.read() as session, pytest.raises(NotFoundError):
        suppliers.named(session, "Northfeld")
    file = written(tmp_path / "list.csv", ["R214,O-RING 214,0.50,1"])
    with pytest.raises(NotFoundError, match="“Northfeld” was taken back"):
        take_over(workshop, number, file)
    assert supplier(workshop, "Northfeld", "USD") == number
    take_over(workshop, number, file, currency="USD")
    with workshop.read() as session:
        assert suppliers.named(session, "Northfeld").currency == "USD"
    third = _do(workshop, lambda session, done: suppliers.add(session, done, name="Third", currency="EUR"))
    with workshop.read() as session:
        take_over(workshop, suppliers.named(session, "Third").supplier_id, file)
    with pytest.raises(CannotUndoError, match="“Third” stays: a list of theirs was loaded"):
        _back(workshop, third)


OIL = TemplateNeedRow(NeedSpec(Kind.FLUID, spec_class="UTTO", low_ul=41, full_ul=45, title="oil"))
RING = TemplateNeedRow(NeedSpec(Kind.RING, 2, size_key="as568:214", rubbers=("NBR",), title="ring"))


def _template(workshop: Workshop, number: int) -> tuple[int, list[str], bool]:
    with workshop.read() as session:
        row = templates.get(session, number)
    return row.number, [need.spec.title for need in row.needs], row.retired


def test_a_template_goes_back_version_by_version(workshop: Workshop) -> None:
    made: dict[str, int] = {}
    added = _do(
        workshop,
        lambda session, done: made.update(row=templates.add(session, done, "Service", [OIL]).template_id),
    )
    number = made["row"]
    second = _do(workshop, lambda session, done: templates.edit(session, done, number, [OIL, RING]))
    third = _do(workshop, lambda session, done: templates.edit(session, done, number, [RING]))
    off = _do(workshop, lambda session, done: templates.retire(session, done, number))
    back = _do(workshop, lambda session, done: templates.retire(session, done, number, back=True))
    with pytest.raises(CannotUndoError, match="“Service” has changed since"):
        _back(workshop, off)
    with pytest.raises(CannotUndoError, match="“Service” has changed since the template's new version"):
        _back(workshop, second)
    _back(workshop, back)
    assert _template(workshop, number) == (3, ["ring"], True)
    _back(workshop, off)
    assert _template(workshop, number) == (3, ["ring"], False)
    _back(workshop, third)
    assert _template(workshop, number) == (4, ["oil", "ring"], False)
    _back(workshop, second)
    assert _template(workshop, number) == (5, ["oil"], False)
    assert _offered(workshop) == "the template"
    assert _back(workshop, added) == "the template"
    assert _template(workshop, number) == (5, ["oil"], True)
    # Kept again under its name, it goes on from there, and can be taken back again.
    again = _do(workshop, lambda session, done: templates.add(session, done, "Service", [RING]))
    assert _template(workshop, number) == (6, ["ring"], False)
    assert _back(workshop, again) == "the template"
    assert _template(workshop, number) == (6, ["ring"], True)


def test_a_template_taken_off_by_hand_keeps_its_name(workshop: Workshop) -> None:
    with workshop.write() as session:
        number = templates.add(session, act(), "Service", [OIL]).template_id
    first = _do(workshop, lambda session, done: templates.retire(session, done, number))
    with pytest.raises(AlreadyThereError, match="off the list") as refused:
        _do(workshop, lambda session, done: templates.add(session, done, "Service", [OIL]))
    assert "job template retire --back" in refused.value.to_do
    # Once more, by another bench: that had no effect, so there is nothing of it to take back.
    nothing = _do(workshop, lambda session, done: templates.retire(session, done, number), "Bench 2")
    with workshop.read() as session:
        assert not undo.has_effect(session, nothing)
    with pytest.raises(CannotUndoError, match="has changed since"):
        _back(workshop, nothing)
    assert _back(workshop, first) == "taking the template off the list"
    assert _template(workshop, number) == (1, ["oil"], False)


def test_what_was_done_to_a_template_that_was_taken_back_is_over(workshop: Workshop) -> None:
    made: dict[str, int] = {}

    def add(session: Session, done: Act) -> None:
        made["id"] = templates.add(session, done, "Service", [OIL]).template_id

    added = _do(workshop, add)
    number = made["id"]
    off = _do(workshop, lambda session, done: templates.retire(session, done, number), "Bench 2")
    back = _do(workshop, lambda session, done: templates.retire(session, done, number, back=True), "Bench 2")
    _back(workshop, added)
    for key in (back, off):
        with pytest.raises(CannotUndoError, match="“Service” has changed since"):
            _back(workshop, key)
    _do(workshop, add)
    assert made["id"] == number
    for key in (back, off):
        with workshop.read() as session:
            assert not undo.has_effect(session, key)
    assert _template(workshop, number) == (2, ["oil"], False)


def test_a_template_put_back_and_taken_off_by_hand_is_not_taken_up_again(workshop: Workshop) -> None:
    made: dict[str, int] = {}
    added = _do(
        workshop, lambda session, done: made.update(id=templates.add(session, done, "Service", [OIL]).template_id)
    )
    _back(workshop, added)
    back = _do(workshop, lambda session, done: templates.retire(session, done, made["id"], back=True))
    assert _offered(workshop) == "putting the template back"
    _back(workshop, back)
    assert _template(workshop, made["id"])[2]
    _do(workshop, lambda session, done: templates.retire(session, done, made["id"], back=True))
    _do(workshop, lambda session, done: templates.retire(session, done, made["id"]))
    with pytest.raises(AlreadyThereError, match="off the list"):
        _do(workshop, lambda session, done: templates.add(session, done, "Service", [RING]))


def test_a_copied_template_goes_off_the_list(workshop: Workshop) -> None:
    with workshop.write() as session:
        source = templates.add(session, act("Demo"), "Service", [OIL]).template_id
    copied = _do(workshop, lambda session, done: templates.copy(session, done, source, "Winter service"))
    assert _back(workshop, copied) == "the template's copy"
    with workshop.read() as session:
        assert [row.name for row in templates.listed(session)] == ["Service"]


def test_opening_a_job_from_a_template_goes_back_whole(workshop: Workshop) -> None:
    with workshop.write() as session:
        stock = ring(session, 5)
        template = templates.add(session, act("Demo"), "Service", [RING, OIL]).template_id
    opened = _do(workshop, lambda session, done: templates.open_job(session, done, template))
    with workshop.write() as session:
        (job,) = jobs.listed(session)
        kits.allocate(session, act("Bench 2"), job.job_id)
        assert shelf.stock_row(session, stock.stock_id).promised == 2
    assert _offered(workshop) == "opening the job"
    assert _back(workshop, opened) == "opening the job"
    with workshop.read() as session:
        assert jobs.listed(session) == ()
        assert jobs.get(session, job.job_id).state is KitState.DONE
        assert shelf.stock_row(session, stock.stock_id).promised == 0
        assert check(session).ok


@pytest.mark.parametrize("taken_back", [False, True])
@pytest.mark.parametrize("more", ["picked", "poured", "pinned", "asked"])
def test_a_job_that_was_worked_on_stays_open_until_that_is_taken_back(
    workshop: Workshop, more: str, taken_back: bool
) -> None:
    done = act("Bench 2")
    with workshop.write() as session:
        stock = ring(session, 5)
        template = templates.add(session, act("Demo"), "Service", [RING, OIL]).template_id
    opened = _do(workshop, lambda session, done: templates.open_job(session, done, template))
    with workshop.write() as session:
        (job,) = jobs.listed(session)
        kit = kits.allocate(session, act("Bench 2"), job.job_id)
        seal, oil = kit.needs
        if more == "picked":
            kits.pick(session, done, [line.line_id for line in seal.lines if line.line_id])
        elif more == "poured":
            fluid_tally.note(session, done, oil.need_id, Filled.POURED, Fraction(40), "40 µl")
        elif more == "pinned":
            kits.pin(session, done, seal.need_id, stock.stock_id)
        else:
            kits.add_need(session, done, job.job_id, RING.spec)
    if taken_back:
        _back(workshop, done.key)
        assert _offered(workshop) == "opening the job"
        assert _back(workshop, opened) == "opening the job"
        return
    assert _offered(workshop) == "receiving"  # the ring's, before the job
    with pytest.raises(CannotUndoError, match="more was done for it"):
        _back(workshop, opened)


def test_what_was_done_for_a_job_that_was_taken_back_is_not_in_the_way(workshop: Workshop) -> None:
    """The look on the shelf after the opening went with it: the next undo goes on to what came before."""
    with workshop.write() as session:
        ring(session, 5)
        template = templates.add(session, act("Demo"), "Service", [RING]).template_id
    opened = _do(workshop, lambda session, done: templates.open_job(session, done, template))
    with workshop.read() as session:
        (job,) = jobs.listed(session)
    looked = _do(workshop, lambda session, done: kits.allocate(session, done, job.job_id))
    with workshop.read() as session:
        (need,) = kits.view(session, job.job_id).needs
    struck = _do(workshop, lambda session, done: kits.withdraw_need(session, done, need.need_id))
    _back(workshop, opened)
    with workshop.read() as session:
        assert not undo.has_effect(session, looked)
        assert not undo.has_effect(session, struck)
    assert _offered(workshop) == "receiving"
    with pytest.raises(CannotUndoError, match="“Service” is closed"):
        _back(workshop, struck)


def test_a_need_is_not_put_back_where_its_place_is_gone(workshop: Workshop) -> None:
    made: dict[str, int] = {}

    def place(session: Session, done: Act) -> None:
        made["place"] = machines.add_position(session, done, machine_id=made["machine"], name="inlet").position_id

    _do(workshop, lambda session, done: made.update(machine=machines.add(session, done, name="Mower").machine_id))
    placed = _do(workshop, place)
    with workshop.write() as session:
        job = jobs.open_job(session, act("Bench 2"), title="Leak").job_id
        spec = NeedSpec(Kind.RING, 1, size_key="as568:214", rubbers=["NBR"], position_id=made["place"], title="ring")
        need = kits.add_need(session, act("Bench 2"), job, spec)
    struck = _do(workshop, lambda session, done: kits.withdraw_need(session, done, need.need_id), "Bench 2")
    _back(workshop, placed)
    with pytest.raises(CannotUndoError, match=r"“ring” stays removed\. Adding the position “inlet” was taken back"):
        _back(workshop, struck)
    with workshop.write() as session:
        machines.add_position(session, act(), machine_id=made["machine"], name="inlet", takes=Kind.FILTER)
    with pytest.raises(CannotUndoError, match="“inlet” takes a filter now"):
        _back(workshop, struck)


def test_a_machine_whose_only_job_was_taken_back_goes_too(workshop: Workshop) -> None:
    made: dict[str, int] = {}
    added = _do(workshop, lambda session, done: made.update(id=machines.add(session, done, name="Balr").machine_id))
    opened = _do(workshop, lambda session, done: jobs.open_job(session, done, title="Knots", machine_id=made["id"]))
    _back(workshop, opened)
    built = _do(workshop, lambda session, done: machines.set_built(session, done, made["id"], Built.EUROPE), "Bench 2")
    with pytest.raises(CannotUndoError, match="“Balr” stays: where it was built was set since"):
        _back(workshop, added)
    _back(workshop, built)
    assert _back(workshop, added) == "adding the machine"
    with workshop.read() as session:
        assert check(session).ok


def test_what_another_bench_dropped_last_stays_dropped(workshop: Workshop) -> None:
    with workshop.write() as session:
        item_id = ring(session, 1).item_id

    def said(who: str, order_at: int) -> None:
        _do(
            workshop,
            lambda session, done: reorder_rules.set_rule(session, done, item_id, order_at=order_at, up_to=9),
            who,
        )

    said("Bench 1", 1)
    dropped = _do(workshop, lambda session, done: reorder_rules.drop_rule(session, done, item_id))
    said("Bench 2", 5)
    _do(workshop, lambda session, done: reorder_rules.drop_rule(session, done, item_id), "Bench 2")
    assert _offered(workshop) == "receiving"
    with pytest.raises(CannotUndoError, match="has changed since dropping"):
        _back(workshop, dropped)
    assert _points(workshop) == []
