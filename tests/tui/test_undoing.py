"""What undo takes back in a session: the last change; what has no effect is passed over, what has no undo is said."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from models import kits, shelf
from models.errors import CannotUndoError
from models.inventory import bar_codes, reorder_rules
from models.inventory.reorder_rules import RuleRow
from models.kitting import fluid_tally
from models.kitting.needs import NeedSpec
from models.supplier_lists import suppliers
from models.supplier_lists.loading import load
from models.supplier_lists.proposal import propose
from models.supplier_lists.source import open_source
from models.supplier_lists.staging import stage
from models.undoing import last_change, undo
from models.undoing.undoable import FINAL, UNDOABLE
from models.words import Kind
from tests.models.shop import act, ring
from tests.models.supplier_lists.lists import written
from tui.fields.fills import Volume
from tui.kitting import Kitting
from tui.workshop import Workshop

GTIN = "6291041500213"
"""The example of the GS1 General Specifications' check digit table."""


def _load(workshop: Workshop, file: Path) -> None:
    """A list of a supplier of Bench 2, taken over by this bench."""
    with workshop.open().write() as session:
        supplier_id = suppliers.add(session, act("Bench 2"), name="Northfield", currency="EUR").supplier_id
    source = open_source(file)
    with stage(source, propose(source).layout, "EUR") as staged:
        workshop.change(lambda session, by: load(session, by, supplier_id, staged))


def rules(workshop: Workshop) -> tuple[RuleRow, ...]:
    return workshop.read(lambda session: reorder_rules.rules(session, workshop.today()))


def test_undo_takes_back_the_last_change_or_says_why_not(where: str, tmp_path: Path) -> None:
    workshop = Workshop(where, demo=False, who="Bench 1")
    kitting = Kitting(workshop)
    with workshop.open().write() as session:
        item = ring(session, 3)
    job_id = workshop.open_job("Pump leaks").job_id
    spec = NeedSpec(Kind.FLUID, spec_class="UTTO", low_ul=9 * 10**6, full_ul=10**7, title="oil")
    need_id = workshop.change(lambda session, by: kits.add_need(session, by, job_id, spec)).need_id

    # The last change has no undo: said, and the one before stays until F9 is pressed again.
    workshop.change(lambda session, by: reorder_rules.set_rule(session, by, item.item_id, order_at=2, up_to=5))
    _load(workshop, written(tmp_path / "list.csv", ["R214,O-RING 214,0.50,1"]))
    with pytest.raises(CannotUndoError) as refused:
        workshop.undo()
    said = "Taking the list over can't be taken back: load the list before it again; "
    assert str(refused.value) == said + "F9 again goes on to the change before it."
    assert len(rules(workshop)) == 1
    assert workshop.undo() == "setting the reorder point"
    assert rules(workshop) == ()
    assert len(workshop.kit(job_id).needs) == 1

    # A tally's entry and its taking back, both undone; a window takes back only its own.
    since = workshop.done
    kitting.note(need_id, "poured", (Volume(Fraction(10**6), "1 L"),))
    kitting.take_back(need_id)
    assert (workshop.undo(since), workshop.undo(since), workshop.undo(since)) == (
        "taking it back",
        "the noted pour",
        "",
    )
    # What another bench took back meanwhile has no effect left, and what changed nothing never had one.
    for _ in range(2):
        workshop.change(lambda session, by: bar_codes.tie(session, by, GTIN, item.item_id))
    kitting.note(need_id, "poured", (Volume(Fraction(10**6), "1 L"),))
    with workshop.open().write() as session:
        fluid_tally.take_back(session, act("Bench 2"), need_id)
    workshop.change(lambda session, by: kits.allocate(session, by, job_id))
    found = workshop.read(lambda session: last_change.last_change(session, "Bench 1"))
    assert found is not None
    assert found.what == "the bar code"
    assert workshop.undo() == "the bar code"
    assert workshop.read(lambda session: bar_codes.codes_of(session, item.item_id)) == ()

    # The need and the job it stood on; a job with a need of another bench stays.
    assert workshop.undo() == "the need"
    with workshop.open().write() as session:
        other = kits.add_need(session, act("Bench 2"), job_id, spec).need_id
    found = workshop.read(lambda session: last_change.last_change(session, "Bench 1"))
    assert found is not None
    assert found.what == "receiving"
    with pytest.raises(CannotUndoError, match="stays: more was done for it since"):
        workshop.undo()
    with workshop.open().write() as session:
        kits.withdraw_need(session, act("Bench 2"), other)
    assert workshop.undo() == "opening the job"
    assert workshop.jobs() == ()
    assert workshop.undo() == ""
    workshop.close()


def test_what_stays_in_the_way_is_passed_by_when_tried_again(where: str) -> None:
    workshop = Workshop(where, demo=False, who="Bench 1")
    with workshop.open().write() as session:
        row = ring(session, 3)
    workshop.count(row.stock_id, 4)
    workshop.count(row.stock_id, 9)
    with workshop.open().write() as session:
        shelf.use(session, act("Bench 2"), stock_id=row.stock_id, quantity=8)
    with pytest.raises(CannotUndoError, match="has moved on"):
        workshop.undo()
    with pytest.raises(CannotUndoError, match="It stays as it is; F9 again goes on to the change before it"):
        workshop.undo()
    assert workshop.undo() == "the count"
    assert not set(UNDOABLE) & set(FINAL)
    workshop.close()


def keep_two(workshop: Workshop, item_id: int) -> None:
    workshop.change(
        lambda session, act: reorder_rules.set_rule(session, act, item_id, order_at=2, up_to=5, lead_days=None)
    )


def test_undo_asked_for_in_several_threads_at_once_takes_each_change_back_once(where: str) -> None:
    workshop = Workshop(where, demo=False, who="Bench 1")
    with workshop.open().write() as session:
        items = [ring(session, 3) for _ in range(4)]
    for item in items:
        keep_two(workshop, item.item_id)
    with ThreadPoolExecutor(6) as threads:
        said = [one.result() for one in [threads.submit(workshop.undo) for _ in range(6)]]
    assert sorted(said) == ["", "", *["setting the reorder point"] * 4]
    assert workshop.read(lambda session: reorder_rules.rules(session, act().at.date())) == ()
    assert workshop.done == 0


def test_a_change_made_while_another_is_taken_back_stays_to_be_undone(
    where: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    workshop = Workshop(where, demo=False, who="Bench 1")
    with workshop.open().write() as session:
        item = ring(session, 3)
    keep_two(workshop, item.item_id)
    plain = undo.undo

    def slowly(*given: Any) -> Any:
        undone = plain(*given)
        workshop._done.append("made meanwhile")
        return undone

    monkeypatch.setattr(undo, "undo", slowly)
    assert workshop.undo() == "setting the reorder point"
    assert workshop._done == ["made meanwhile"]
