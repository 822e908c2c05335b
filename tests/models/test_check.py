"""`check` finds what a program or a hand outside the rules has done to the file."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from models import kits
from models.check import check
from models.database import open_workshop
from tests.models.shop import act, job, ring


@pytest.mark.parametrize(
    ("damage", "found"),
    [
        ("UPDATE stock SET on_hand = on_hand + 1", "stored 6 on hand and 2 promised, the movements say 5 and 2"),
        ("UPDATE kit_lines SET quantity = 1", "2 promised, but kit lines hold 1"),
        ("UPDATE kit_lines SET state = 'picked'", "2 promised, but kit lines hold 0"),
        ("UPDATE jobs SET closed_at = opened_at", "still holds a promise"),
        ("UPDATE needs SET withdrawn_at = '2026-03-02 12:00:00'", "still holds a promise"),
        ("DELETE FROM bins", "1 rows name bins that are not there"),
        ("DROP TRIGGER movements_no_delete; DELETE FROM movements WHERE kind = 'received'", "after movement"),
        (
            "INSERT INTO movements (action_id, position_in_action, stock_id, kind, on_hand_change, promised_change,"
            " reason, reverses_id) VALUES (1, 9, 1, 'received', -4, 0, '', 1); UPDATE stock SET on_hand = 1,"
            " promised = 0",
            "is not the opposite of movement 1",
        ),
    ],
)
def test_damage_is_found_and_named(tmp_path: Path, damage: str, found: str) -> None:
    file = tmp_path / "w.sqlite3"
    workshop = open_workshop(file)
    with workshop.write() as session:
        ring(session, 5)
        kits.accept_match(session, act(), job(session), "as568:214", 0.9, None, ["NBR"], pieces=2)
    with workshop.read() as session:
        assert check(session).ok
    workshop.close()
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
