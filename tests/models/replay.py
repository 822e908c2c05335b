"""What happened, told from the raw rows alone: no code of the models', only the driver and plain Python."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from typing import Any, NamedTuple

import psycopg

from tests.postgres import is_address


class Sums(NamedTuple):
    """On hand and promised of one stock row."""

    on_hand: int
    promised: int


def rows(where: str, statement: str) -> list[tuple[Any, ...]]:
    """What a query says, straight from the database."""
    if is_address(where):
        with psycopg.connect(where) as connection:
            return connection.execute(statement.encode()).fetchall()
    file = sqlite3.connect(where)
    try:
        return file.execute(statement).fetchall()
    finally:
        file.close()


def by_key(where: str) -> dict[str, Sums]:
    """Every action that was done, by its key, with what its movements did in all."""
    found: dict[str, Sums] = {}
    for key, on_hand, promised in rows(
        where,
        "SELECT a.key, coalesce(m.on_hand_change, 0), coalesce(m.promised_change, 0)"
        " FROM actions a LEFT JOIN movements m ON m.action_id = a.id",
    ):
        before = found.get(key, Sums(0, 0))
        found[key] = Sums(before.on_hand + on_hand, before.promised + promised)
    return found


def replayed(where: str) -> dict[int, Sums]:
    """Walk the ledger from its first entry and compare the end with what is stored. Answers with the end.

    Fails where a sum was below zero on the way, more was promised than there was, or the end differs.
    """
    sums: defaultdict[int, Sums] = defaultdict(lambda: Sums(0, 0))
    entries = rows(where, "SELECT id, stock_id, on_hand_change, promised_change FROM movements ORDER BY id")
    for number, stock_id, on_hand, promised in entries:
        now = Sums(sums[stock_id].on_hand + on_hand, sums[stock_id].promised + promised)
        assert 0 <= now.promised <= now.on_hand, f"after movement {number}, stock {stock_id} has {now}"
        sums[stock_id] = now
    stored = {row: Sums(*both) for row, *both in rows(where, "SELECT id, on_hand, promised FROM stock")}
    assert {row: sums.get(row, Sums(0, 0)) for row in stored} == stored
    held = dict(rows(where, "SELECT stock_id, sum(quantity) FROM kit_lines WHERE state = 'have' GROUP BY stock_id"))
    assert {row: one.promised for row, one in stored.items() if one.promised} == held
    return dict(sums)


def received_of_orders(where: str) -> dict[int, int]:
    """Packs that came, by order line, less deliveries that were undone; each delivery is in the ledger as it stands."""
    undone = {row for (row,) in rows(where, "SELECT undoes_id FROM actions WHERE undoes_id IS NOT NULL")}
    packs: defaultdict[int, int] = defaultdict(int)
    came: defaultdict[tuple[int, int], int] = defaultdict(int)
    for action_id, line_id, count, quantity, stock_id in rows(
        where, "SELECT action_id, order_line_id, packs, quantity, stock_id FROM order_receipts"
    ):
        came[action_id, stock_id] += quantity
        if action_id not in undone:
            packs[line_id] += count
    taken_in: defaultdict[tuple[int, int], int] = defaultdict(int)
    for action_id, stock_id, change in rows(
        where,
        "SELECT m.action_id, m.stock_id, m.on_hand_change FROM movements m JOIN actions a ON a.id = m.action_id"
        " WHERE a.what = 'orders.receive' AND m.kind = 'received'",
    ):
        taken_in[action_id, stock_id] += change
    assert taken_in == came
    ordered = dict(rows(where, "SELECT id, packs FROM order_lines"))
    assert all(count <= ordered[line_id] for line_id, count in packs.items())
    return dict(packs)
