"""`check` finds what a program or a hand outside the rules has done to orders and what came of them."""

from __future__ import annotations

import shutil
import sqlite3
from pathlib import Path

import pytest

from models.database import open_workshop
from models.orders.booking import call_off
from models.orders.receiving import Came, receive
from models.storage.check import check
from models.undoing.undo import undo
from tests.models.orders.buying import FIRST, SECOND, oil, ordered, rings, short_job, supplier
from tests.models.shop import act


@pytest.fixture(scope="module")
def bought(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Order 1: five rings in parts, one part undone, the rest called off. Order 2: oil, come whole."""
    folder = tmp_path_factory.mktemp("orders")
    workshop = open_workshop(folder / "pattern.sqlite3")
    supplier(workshop, folder, FIRST[:1])
    with workshop.write() as session:
        short_job(session, rings(5))
    first = ordered(workshop)
    line_id = first.lines[0].line_id
    with workshop.write() as session:
        receive(session, act(key="two"), first.order_id, [Came(line_id, 2, "A1")])
        receive(session, act(key="taken back"), first.order_id, [Came(line_id, 1, "A1")])
        undo(session, act(), "taken back")
        receive(session, act(key="two ways"), first.order_id, [Came(line_id, 1, "A1"), Came(line_id, 1, "B2")])
        call_off(session, act(), first.order_id, "out of stock")
    supplier(workshop, folder, SECOND[1:], "Second supplier (invented)")
    with workshop.write() as session:
        job_id = short_job(session, oil(10))
    second = ordered(workshop, job_ids=[job_id])
    with workshop.write() as session:
        receive(session, act(key="drum"), second.order_id, [Came(second.lines[0].line_id, 1, "Drum")])
    with workshop.read() as session:
        report = check(session)
    assert (report.findings, report.orders) == ((), 2)
    workshop.close()
    return folder / "pattern.sqlite3"


KEY = "(SELECT id FROM actions WHERE key = '{}')"
TWO, BACK, DRUM = (KEY.format(key) for key in ("two", "taken back", "drum"))


@pytest.mark.parametrize(
    ("damage", "found"),
    [
        ("UPDATE orders SET goods_minor = 7 WHERE id = 1", "its goods are 7, its lines add up to 250"),
        ("UPDATE order_shares SET quantity = 6 WHERE order_line_id = 1", "brings 5, 6 of it are shared out"),
        (f"UPDATE order_receipts SET quantity = 3 WHERE action_id = {TWO}", "2 packs of 1 came, booked as 3"),
        (f"UPDATE order_receipts SET quantity = 3 WHERE action_id = {TWO}", "3 came to stock 1, the movements took in"),
        (f"DELETE FROM order_receipts WHERE action_id = {DRUM}", "0 came to stock 3, the movements took in"),
        (f"UPDATE order_receipts SET stock_id = 3 WHERE action_id = {TWO}", "came to stock 3, which is another item"),
        (f"UPDATE order_receipts SET stock_id = 2 WHERE action_id = {TWO}", "0 came to stock 1, the movements took in"),
        ("UPDATE order_lines SET packs = 3 WHERE order_id = 1", "3 packs were ordered, 4 have come"),
        (f"UPDATE actions SET undoes_id = NULL WHERE undoes_id = {BACK}", "which no undo of its action wrote"),
        (
            f"UPDATE actions SET undoes_id = {DRUM} WHERE undoes_id = {BACK}",
            "but it was not reversed",
        ),
        ("DELETE FROM order_steps WHERE step = 'ordered' AND order_id = 1", "something came before it was ordered"),
        (
            f"UPDATE order_steps SET action_id = {DRUM} WHERE step = 'ordered' AND order_id = 1",
            "something came before it was ordered",
        ),
        (
            "UPDATE order_steps SET action_id = 1 WHERE step = 'called off'",
            "something came after it was called off",
        ),
        (
            "INSERT INTO order_steps (action_id, order_id, step, note) VALUES (1, 1, 'ordered', '')",
            "was ordered 2 times",
        ),
        (
            "INSERT INTO order_steps (action_id, order_id, step, note) VALUES (1, 1, 'called off', '')",
            "was called off 2 times",
        ),
        ("DELETE FROM order_lines WHERE order_id = 2", "has no lines"),
        (
            "UPDATE actions SET undoes_id = (SELECT action_id FROM orders WHERE id = 2) WHERE undoes_id IS NOT NULL",
            "its plan was undone, but it was ordered or came",
        ),
    ],
)
def test_damage_to_orders_is_found_and_named(bought: Path, tmp_path: Path, damage: str, found: str) -> None:
    file = Path(shutil.copy(bought, tmp_path / "w.sqlite3"))
    by_hand = sqlite3.connect(file)
    by_hand.execute("PRAGMA ignore_check_constraints = ON")
    # The tables are append-only; whoever damages them has taken that away.
    for (name,) in by_hand.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        by_hand.execute(f"DROP TRIGGER {name}")
    by_hand.executescript(damage)
    by_hand.close()
    workshop = open_workshop(file)
    with workshop.read() as session:
        report = check(session)
    workshop.close()
    assert any(found in one.what for one in report.findings), report.findings
