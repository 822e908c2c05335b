"""`check` finds what a program or a hand outside the rules has done to the file."""

from __future__ import annotations

import shutil
import sqlite3
from datetime import date
from pathlib import Path

import pytest

from models import jobs, kits, machines, shelf, templates
from models.database import Session, open_workshop
from models.fits import fit_records
from models.kits import NeedSpec
from models.storage.check import check
from models.templates import TemplateNeedRow
from models.words import Kind
from tests.models.shop import act, job, ring, ring_spec
from tests.models.supplier_lists.lists import supplier, take_over, written
from tests.models.test_qualify import GROOVE, HEAD


def _more(session: Session) -> None:
    """A lot with its cure, a groove, a template, and a picked line of three of which two came back."""
    row = ring(session, 3, size_key="as568:222", bin_code="B2")
    shelf.receive(
        session, act(), item_id=row.item_id, bin_id=row.bin_id, quantity=1, lot_code="L1", cured_on=date(2025, 1, 1)
    )
    need = kits.accept_match(
        session, act(), job(session, "other"), ring_spec("as568:222", ["NBR"], pieces=3, groove=GROOVE)
    )
    kits.pin(session, act(), need.need_id, row.stock_id)
    line_id = next(line.line_id for one in kits.view(session, need.job_id).needs for line in one.lines)
    assert line_id is not None
    kits.pick(session, act(), [line_id])
    kits.give_back(session, act(), line_id, 2)
    templates.add(session, act(), "Rags", [TemplateNeedRow(NeedSpec(Kind.CONSUMABLE, spec_class="rags"))])
    machine_id = machines.add(session, act(), name="Mower").machine_id
    spindle = machines.add_position(session, act(), machine_id=machine_id, name="spindle").position_id
    fit_records.record(session, act(), spindle, "as568:214")
    number = jobs.open_job(session, act(), title="Spindle", machine_id=machine_id).job_id
    kits.add_need(session, act(), number, NeedSpec(Kind.RING, 1, size_key="as568:214", position_id=spindle))
    head = machines.add_position(session, act(), machine_id=machine_id, name="head", takes=Kind.FILTER)
    machines.set_housing(session, act(), head.position_id, HEAD)


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workshop in which all is well, closed, to copy and damage."""
    file = tmp_path_factory.mktemp("sound") / "w.sqlite3"
    workshop = open_workshop(file)
    with workshop.write() as session:
        ring(session, 5)
        number = job(session)
        kits.accept_match(session, act(), number, ring_spec("as568:214", ["NBR"], pieces=2))
        _more(session)
    take_over(workshop, supplier(workshop), written(file.with_name("list.csv"), ["R214,O-RING 214,0.50,1"]))
    with workshop.read() as session:
        assert check(session).ok
    workshop.close()
    return file


@pytest.mark.parametrize(
    ("damage", "found"),
    [
        ("DELETE FROM suppliers", "1 rows name suppliers that are not there"),
        ("UPDATE list_rows SET priced_list_id = 9", "1 rows name supplier_lists that are not there"),
        (
            "UPDATE machines SET withdrawn_at = '2026-03-02' WHERE name = 'Mower'",
            "was undone but has a position that stands",
        ),
        (
            "UPDATE machines SET withdrawn_at = '2026-03-02' WHERE name = 'Mower'",
            "has an open job",
        ),
        (
            "UPDATE positions SET withdrawn_at = '2026-03-02' WHERE name = 'spindle'",
            "was undone but has a need that stands",
        ),
        (
            "UPDATE positions SET withdrawn_at = '2026-03-02' WHERE name = 'spindle'",
            "was undone but has a fit on record",
        ),
        (
            "UPDATE positions SET withdrawn_at = '2026-03-02' WHERE name = 'head'",
            "was undone but has a measured housing",
        ),
        (
            "UPDATE stock SET on_hand = on_hand + 1 WHERE id = 1",
            "stored 6 on hand and 2 promised",
        ),
        ("UPDATE kit_lines SET quantity = 1 WHERE state = 'have'", "2 promised, but kit lines hold 1"),
        ("UPDATE kit_lines SET state = 'picked'", "2 promised, but kit lines hold 0"),
        ("UPDATE jobs SET closed_at = opened_at", "still holds a promise"),
        ("UPDATE needs SET withdrawn_at = '2026-03-02 12:00:00'", "still holds a promise"),
        ("DELETE FROM bins", "3 rows name bins that are not there"),
        ("DROP TRIGGER movements_no_delete; DELETE FROM movements WHERE kind = 'received'", "after movement"),
        (
            "INSERT INTO movements (action_id, position_in_action, stock_id, kind, on_hand_change, promised_change,"
            " reason, reverses_id) VALUES (1, 9, 1, 'received', -4, 0, '', 1); UPDATE stock SET on_hand = 1,"
            " promised = 0 WHERE id = 1",
            "is not the opposite of movement 1",
        ),
        ("UPDATE kit_lines SET quantity = 1 WHERE state = 'picked'", "took 1 and gave back 2"),
        ("UPDATE lots SET expires_on = '2020-01-01'", "expires on 2020-01-01, cured only on 2025-01-01"),
        ("PRAGMA foreign_keys = OFF; UPDATE stock SET item_id = 1 WHERE lot_id IS NOT NULL", "of another item"),
        ("UPDATE needs SET groove = '{'", "holds a groove that can't be read"),
        ('UPDATE template_needs SET spec = \'{"kind": "spanner"}\'', "holds a needspec that can't be read"),
        ("UPDATE template_versions SET number = 3", "has 1 versions, the last is number 3"),
        ("DELETE FROM items WHERE id = 2", "rows name items that are not there"),
    ],
)
def test_damage_is_found_and_named(sound: Path, tmp_path: Path, damage: str, found: str) -> None:
    file = Path(shutil.copy(sound, tmp_path / "w.sqlite3"))
    by_hand = sqlite3.connect(file)
    by_hand.execute("PRAGMA ignore_check_constraints = ON")
    by_hand.executescript(damage)
    by_hand.close()
    workshop = open_workshop(file)
    with workshop.read() as session:
        report = check(session)
    assert not report.ok
    assert any(found in one.what for one in report.findings), report.findings
    workshop.close()
