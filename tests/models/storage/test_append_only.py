"""What the database itself refuses, whatever program asks: raw SQL past every rule of ours."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from catalog.orings.ran import Outcome
from models import kits, machines
from models.database import Workshop, open_workshop
from models.errors import WorkshopError
from models.fits import fit_csv, fit_import, fit_records, how_it_went
from tests.models.shop import INLET, act, job, ring, ring_spec
from tests.models.test_qualify import GROOVE


@pytest.fixture(scope="module")
def filled(lasting: str) -> Iterator[Workshop]:
    """Rows in every table asked about, on each database, made once: every change is refused."""
    workshop = open_workshop(lasting)
    with workshop.write() as session:
        ring(session, 5, lot="L1")
        kits.accept_match(session, act(), job(session), ring_spec("as568:214", ["NBR"], evidence=INLET, pieces=2))
        press = machines.add(session, act(), name="Shop press")
        place = machines.add_position(session, act(), machine_id=press.machine_id, name="ram ring")
        fit_records.record(session, act(), place.position_id, "as568:222", evidence=INLET, groove=GROOVE)
        how_it_went.say(session, act(), place.position_id, Outcome.DRY)
        text = "machine,position,size,who,at\nShop press,gland ring,as568:214,Other shop,2025-01-02T03:04:05Z"
        fit_import.import_fits(session, act(), fit_csv.from_csv(text).fits)
    yield workshop
    workshop.close()


def _refused(workshop: Workshop, statement: str, why: str) -> None:
    with pytest.raises(WorkshopError) as raised, workshop.write() as session:
        session.connection().execute(text(statement))
    cause = raised.value.__cause__
    assert isinstance(cause, DBAPIError)
    assert why.lower() in str(cause.orig).lower()


@pytest.mark.parametrize("table", ["actions", "movements", "fit_records", "fit_readings", "fit_outcomes"])
def test_the_ledger_is_never_changed_or_emptied(filled: Workshop, table: str) -> None:
    named = {"actions": "subject_id", "fit_readings": "position"}
    column = named.get(table, "action_id")
    _refused(filled, f"UPDATE {table} SET {column} = {column}", "append-only")
    _refused(filled, f"DELETE FROM {table}", "append-only")


def test_no_entry_is_replaced_on_sqlite_nor_truncated_on_postgresql(filled: Workshop) -> None:
    if filled.file is None:
        _refused(filled, "TRUNCATE movements CASCADE", "append-only")
    else:
        _refused(filled, "INSERT OR REPLACE INTO movements SELECT * FROM movements", "append-only")


@pytest.mark.parametrize(
    ("statement", "why"),
    [
        ("UPDATE stock SET promised = on_hand + 1", "free_not_negative"),
        ("UPDATE stock SET promised = -1", "promised_not_negative"),
        ("UPDATE stock SET item_id = 999", "foreign key"),
        ("UPDATE items SET kind = 'gasket'", "kind_word"),
        ("UPDATE items SET size_key = NULL", "ring_has_size"),
        ("UPDATE items SET size_key = '214'", "size_key_form"),
        ("UPDATE items SET name = ''", "name_not_blank"),
        ("UPDATE needs SET pieces = 0", "quantity"),
        ("UPDATE needs SET match_ppm = 1000001", "match_range"),
        ("UPDATE kit_lines SET quantity = 0", "quantity_positive"),
        ("UPDATE kit_lines SET state = 'short'", "only_what_is_held"),
        ("UPDATE need_readings SET value_tenth_um = 0", "value_positive"),
        ("DELETE FROM items", "foreign key"),
        ("DELETE FROM jobs", "foreign key"),
        (
            "INSERT INTO movements (action_id, position_in_action, stock_id, kind, on_hand_change, promised_change,"
            " reason) VALUES (1, 9, 1, 'received', -1, 0, '')",
            "signs",
        ),
        (
            "INSERT INTO movements (action_id, position_in_action, stock_id, kind, on_hand_change, promised_change,"
            " reason) VALUES (1, 9, 1, 'promised', 0, 1, '')",
            "promise_names_line",
        ),
        (
            "INSERT INTO stock (item_id, bin_id, lot_id, on_hand, promised)"
            " SELECT item_id, bin_id, lot_id, 0, 0 FROM stock",
            "unique",
        ),
        ("INSERT INTO actions (key, who, at, what, about) SELECT key, who, at, what, about FROM actions", "unique"),
    ],
)
def test_the_database_holds_the_rules_too(filled: Workshop, statement: str, why: str) -> None:
    _refused(filled, statement, why)
