"""Rename, retire, merge: what hangs on a thing stays with it, and undo restores every row's figures."""

from __future__ import annotations

from typing import Any

import pytest
import sqlalchemy as sa
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlmodel import col, select

from models import jobs, machines, shelf
from models.database import Session, Workshop
from models.errors import AlreadyThereError, CannotUndoError, InvalidInputError
from models.inventory import assortments, bar_codes, bins, history, items
from models.rows import in_use
from models.search.searching import search
from models.storage.check import check
from models.supplier_lists import suppliers
from models.tables import Action, Table
from models.undoing import undo
from models.upkeep.merge import merge
from models.upkeep.named import TABLES, What, alike, names
from models.upkeep.rename import rename
from models.upkeep.retire import retire
from models.words import Kind
from tests.models.shop import act, ring
from tests.models.supplier_lists.lists import take_over, written

APPENDED = {"actions", "movements", "row_snapshots", "alembic_version"}


def figures(session: Session) -> dict[str, list[Any]]:
    """Every row of every table that is not append-only; of stock those with something in them, and no empty lots."""
    session.flush()
    found: dict[str, list[Any]] = {}
    for name, table in Table.metadata.tables.items():
        if name in APPENDED:
            continue
        query = sa.select(table).order_by(*table.primary_key.columns)
        rows = [tuple(row) for row in session.connection().execute(query)]
        if name == "stock":
            rows = [row for row in rows if row[-2] or row[-1]]
        found[name] = rows if name != "lots" else []
    return found


def shop(session: Session) -> dict[str, int]:
    """Two of each: items of one ring, bins, machines with positions and jobs, suppliers."""
    old = items.add(session, act(), kind=Kind.RING, name="Oring 214 nitrile", size_key="as568:214", rubber="NBR")
    bar_codes.tie(session, act(), "2012345678903", old.item_id)
    row = ring(session, 5, lot="L1")
    place = bins.add(session, act(), code="A-1").bin_id
    for at, quantity in ((row.bin_id, 3), (place, 4)):
        shelf.receive(session, act(), item_id=old.item_id, bin_id=at, quantity=quantity, lot_code="L1")
    shelf.receive(session, act(), item_id=row.item_id, bin_id=place, quantity=2)
    assortments.set_model(session, act(), place, {row.item_id: 10})
    first, second = (machines.add(session, act(), name=name).machine_id for name in ("Loader", "Loader 2"))
    machines.add_position(session, act(), machine_id=first, name="lift ring")
    machines.add_position(session, act(), machine_id=second, name="lift ring")
    jobs.open_job(session, act(), title="Leaks", machine_id=first)
    one, two = (
        suppliers.add(session, act(), name=name, currency="EUR").supplier_id
        for name in ("Seal Co (invented)", "Sealco (invented)")
    )
    return {"item": old.item_id, "item2": row.item_id, "bin": place, "bin2": row.bin_id, "machine": first,
            "machine2": second, "supplier": one, "supplier2": two}  # fmt: skip


@pytest.mark.parametrize("what", list(What))
def test_each_can_be_renamed_and_merged_and_undo_restores_every_figure(workshop: Workshop, what: What) -> None:
    with workshop.write() as session:
        there = shop(session)
        before = figures(session)
        named, merged = act(), act()
        assert rename(session, named, what, there[what], "  Another   name ").name == "Another name"
        assert "Another name" in names(session, what)
        undo.undo(session, act(), named.key)
        assert figures(session) == before
        merge(session, merged, what, there[what], there[f"{what}2"])
        assert check(session).ok
        assert len(names(session, what)) == len(set(names(session, what)))
        assert figures(session) != before
        assert undo.last_undoable(session, "Bench 1") == merged.key
        undo.undo(session, act(), merged.key)
        assert figures(session) == before
        assert check(session).ok


def test_what_lay_under_the_old_name_lies_under_the_other_with_its_history(workshop: Workshop) -> None:
    with workshop.write() as session:
        there = shop(session)
        merge(session, act(), What.ITEM, there["item"], there["item2"])
        rows = [row for row in shelf.rows_of(session, item_id=there["item2"]) if row.on_hand]
        assert sum(row.on_hand for row in rows) == 5 + 3 + 4 + 2
        assert shelf.rows_of(session, item_id=there["item"]) == ()
        with_lot = next(row for row in rows if row.bin_id == there["bin2"])
        told = history.movements(session, with_lot.stock_id)
        assert sum(one.on_hand_change for one in told) == with_lot.on_hand == 8
        assert {"merged into O-ring as568:214 NBR 70", "merged from Oring 214 nitrile"} <= {one.reason for one in told}
        assert [one.on_hand_change for one in told if not one.reason] == [3, 5]
        assert bar_codes.look(session, "2012345678903").item_id == there["item2"]
        assert items.named(session, "Oring 214 nitrile") is None
        assert "Oring 214 nitrile" not in {hit.name for hit in search(session, "oring").rows}


def test_a_merged_machine_keeps_its_jobs_and_positions_under_the_other(workshop: Workshop) -> None:
    with workshop.write() as session:
        there = shop(session)
        merge(session, act(), What.MACHINE, there["machine"], there["machine2"])
        assert [one.name for one in machines.positions(session, there["machine2"])] == [
            "lift ring",
            "lift ring (Loader)",
        ]
        assert [one.machine_name for one in jobs.listed(session)] == ["Loader 2"]
        assert [one.name for one in machines.listed(session)] == ["Loader 2"]


def test_a_supplier_hands_over_its_list_and_undo_gives_it_back(workshop: Workshop, tmp_path: Any) -> None:
    with workshop.write() as session:
        there = shop(session)
    file = written(tmp_path / "list.csv", ["R214,O-RING AS568-214 NBR 70,0.50,1"])
    take_over(workshop, there["supplier"], file)
    merged = act()
    with workshop.write() as session:
        before = figures(session)
        merge(session, merged, What.SUPPLIER, there["supplier"], there["supplier2"])
        assert {one.name: one.listed for one in suppliers.page(session)} == {"Sealco (invented)": 1}
        undo.undo(session, act(), merged.key)
        assert figures(session) == before


def test_what_is_retired_is_offered_nowhere_and_can_be_brought_back(workshop: Workshop, tmp_path: Any) -> None:
    with workshop.write() as session:
        there = shop(session)
    take_over(workshop, there["supplier"], written(tmp_path / "l.csv", ["R214,O-RING AS568-214 NBR 70,0.50,1"]))
    with workshop.write() as session:
        empty = items.add(session, act(), kind=Kind.CONSUMABLE, name="Rags").item_id
        spare = bins.add(session, act(), code="Z9").bin_id
        assert any(hit.name.startswith("O-RING") for hit in search(session, "R214").rows)
        before = figures(session)
        done = []
        for what, number, hidden in (
            (What.ITEM, empty, "Rags"),
            (What.BIN, spare, "Z9"),
            (What.MACHINE, there["machine2"], "Loader 2"),
            (What.SUPPLIER, there["supplier"], "Seal Co (invented)"),
        ):
            did = act()
            assert retire(session, did, what, number).retired
            assert hidden not in names(session, what)
            done.append(did)
        assert not any(hit.name.startswith("O-RING") for hit in search(session, "R214").rows)
        assert items.named(session, "Rags") is None
        assert bins.named(session, "Z9") is None
        with pytest.raises(AlreadyThereError, match="retired"):
            items.add(session, act(), kind=Kind.CONSUMABLE, name="Rags")
        with pytest.raises(AlreadyThereError, match="retired"):
            bins.add(session, act(), code="Z9")
        back = act()
        assert not retire(session, back, What.ITEM, empty, back=True).retired
        assert items.named(session, "Rags") is not None
        for did in (back, *reversed(done)):
            undo.undo(session, act(), did.key)
        assert figures(session) == before
        assert check(session).ok


def test_what_is_in_use_is_not_retired_and_what_differs_is_not_merged(workshop: Workshop) -> None:
    with workshop.write() as session:
        there = shop(session)
        other = items.add(session, act(), kind=Kind.RING, name="Viton-like", size_key="as568:214", rubber="FKM").item_id
        for what in (What.ITEM, What.BIN, What.MACHINE):
            with pytest.raises(InvalidInputError, match="is in use"):
                retire(session, act(), what, there[what])
        with pytest.raises(InvalidInputError, match="another size, rubber"):
            merge(session, act(), What.ITEM, other, there["item"])
        with pytest.raises(InvalidInputError, match="into itself"):
            merge(session, act(), What.BIN, there["bin"], there["bin"])
        with pytest.raises(AlreadyThereError, match="merge the two"):
            rename(session, act(), What.MACHINE, there["machine"], "Loader 2")


def test_undo_of_a_rename_is_refused_where_the_old_name_was_given_away(workshop: Workshop) -> None:
    with workshop.write() as session:
        there = shop(session)
        named = act()
        rename(session, named, What.BIN, there["bin"], "Drawer 4")
        bins.add(session, act(), code="A-1")
    with pytest.raises(CannotUndoError, match="already a bin"), workshop.write() as session:
        undo.undo(session, act(), named.key)


def test_names_that_look_alike_are_offered_and_sizes_that_differ_are_not(workshop: Workshop) -> None:
    with workshop.write() as session:
        there = shop(session)
        assert there
        assert alike(session, What.SUPPLIER, "Seal Co (invented)") == ["Sealco (invented)"]
        assert alike(session, What.BIN, "A-1") == ["A1"]
        items.add(session, act(), kind=Kind.RING, name="O-ring as568:214 nbr 70", size_key="as568:214", rubber="NBR")
        items.add(session, act(), kind=Kind.RING, name="O-ring as568:215 NBR 70", size_key="as568:215", rubber="NBR")
        assert alike(session, What.ITEM, "O-ring as568:214 NBR 70") == ["O-ring as568:214 nbr 70"]


STEPS = st.lists(
    st.tuples(st.sampled_from(["rename", "merge", "retire"]), st.sampled_from(list(What)), st.booleans()),
    min_size=1,
    max_size=6,
)


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(steps=STEPS)
def test_undoing_all_of_any_such_changes_restores_all_figures(workshop: Workshop, steps: list[Any]) -> None:
    with workshop.write() as session:
        if session.exec(select(Action.id)).first() is None:
            shop(session)
            bins.add(session, act(), code="Empty")
        before = figures(session)
        done = []
        for number, (how, what, turned) in enumerate(steps):
            table = TABLES[what]
            ids = [one or 0 for one in session.exec(select(table.id).where(in_use(table)).order_by(col(table.id)))]
            if len(ids) < 2:
                continue
            first, second = (ids[-1], ids[0]) if turned else (ids[0], ids[1])
            did = act()
            nested = session.begin_nested()
            try:
                if how == "rename":
                    rename(session, did, what, first, f"New {number}")
                elif how == "merge":
                    merge(session, did, what, first, second)
                else:
                    retire(session, did, what, first)
            except InvalidInputError:
                nested.rollback()
                continue
            nested.commit()
            done.append(did)
        for did in reversed(done):
            undo.undo(session, act(), did.key)
        assert figures(session) == before
        assert check(session).ok
