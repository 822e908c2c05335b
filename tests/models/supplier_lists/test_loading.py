"""A list taken over: added, changed, withdrawn, refused; twice changes nothing; stopped leaves all as it was."""

from __future__ import annotations

import csv
import random
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import text

from models.database import Workshop, open_workshop
from models.errors import InvalidInputError, WorkshopUnavailableError
from models.search.searching import search
from models.storage.check import check
from models.supplier_lists.changes import changes
from models.supplier_lists.export import layout_for, write_csv
from models.supplier_lists.listing import prices, versions
from models.supplier_lists.merge_walk import _NEXT
from models.supplier_lists.progress import CancelledError, Progress
from models.supplier_lists.proposal import propose
from models.supplier_lists.scratch import Scratch
from models.supplier_lists.source import open_source
from models.supplier_lists.staging import stage
from models.supplier_lists.words import Does, Field, ReadingState
from tests.models.shop import act
from tests.models.supplier_lists.lists import listed, supplier, take_over, written

FIRST = [
    "A-1,\"ORING 24,99X3,53 N70\",0.45,100",
    "A-2,HYD OIL 5GAL,89.90,5 gal",
    "A-3,Cap screw M10x40,0.12,50",
]  # fmt: skip


def everything(workshop: Workshop) -> list[tuple[object, ...]]:
    """Every row of the tables an import writes, and what the search finds."""
    with workshop.read() as session:
        tables = ("suppliers", "supplier_lists", "list_rows", "old_prices")
        kept = [
            tuple(row)
            for table in tables
            for row in session.connection().execute(text(f"SELECT * FROM {table} ORDER BY id")).all()
        ]
        found = [search(session, word).rows for word in ("oring", "oil", "a", "a-2", "screw 10")]
        return [*kept, *[(rows,) for rows in found]]


def test_a_first_list_is_added_and_says_what_it_did(workshop: Workshop, tmp_path: Path) -> None:
    who = supplier(workshop)
    done = take_over(workshop, who, written(tmp_path / "a.csv", FIRST))
    assert (done.added, done.changed, done.withdrawn, done.unchanged, done.refused) == (3, 0, 0, 0, 0)
    with workshop.read() as session:
        rows = listed(session, who)
        assert [(row.number, row.price_minor, row.price_per, row.currency) for row in rows] == [
            ("A-1", 45, 1, "EUR"),
            ("A-2", 8990, 1, "EUR"),
            ("A-3", 12, 1, "EUR"),
        ]
        # SAE AS568: size 214 is 24.99 × 3.53 mm. NIST SP 811: the US gallon is 3.785 411 784 L.
        assert (rows[0].size_key, rows[0].rubber, rows[0].hardness_shore_a) == ("as568:214", "NBR", 70)
        assert rows[0].reading_state is ReadingState.READ
        assert rows[1].pack_quantity == round(5 * 3_785_411.784)
        assert versions(session, who)[0].listed == 3
        assert check(session).ok


def test_the_same_list_twice_changes_nothing(workshop: Workshop, tmp_path: Path) -> None:
    who = supplier(workshop)
    file = written(tmp_path / "a.csv", FIRST)
    take_over(workshop, who, file)
    before = everything(workshop)
    again = take_over(workshop, who, file)
    assert (again.list_id, again.unchanged) == (None, 3)
    assert everything(workshop) == before


def test_a_second_try_under_the_same_key_answers_as_the_first(workshop: Workshop, tmp_path: Path) -> None:
    who = supplier(workshop)
    first = take_over(workshop, who, written(tmp_path / "a.csv", FIRST), key="once")
    before = everything(workshop)
    assert take_over(workshop, who, written(tmp_path / "a.csv", FIRST[:1]), key="once") == first
    assert everything(workshop) == before


def test_a_new_list_adds_changes_and_withdraws_and_keeps_old_prices(workshop: Workshop, tmp_path: Path) -> None:
    who = supplier(workshop)
    take_over(workshop, who, written(tmp_path / "a.csv", FIRST))
    new = ["A-1,\"ORING 24,99X3,53 V75\",0.50,100", "A-3,Cap screw M10x40,0.12,100", "A-4,Rags,7,1"]  # fmt: skip
    file = written(tmp_path / "b.csv", new)
    source = open_source(file)
    with stage(source, propose(source).layout, "EUR") as staged, workshop.read() as session:
        seen = [(change.does, change.number, change.what) for change in changes(session, staged, who)]
    assert seen == [
        (Does.CHANGED, "A-1", ("name", "price_minor")),
        (Does.WITHDRAWN, "A-2", ()),
        (Does.CHANGED, "A-3", ("pack_quantity",)),
        (Does.ADDED, "A-4", ()),
    ]
    done = take_over(workshop, who, file)
    assert (done.added, done.changed, done.withdrawn, done.unchanged) == (1, 2, 1, 0)
    with workshop.read() as session:
        rows = {row.number: row for row in listed(session, who)}
        assert list(rows) == ["A-1", "A-3", "A-4"]
        assert rows["A-1"].rubber == "FKM"
        assert [(span.price_minor, span.until is None) for span in prices(session, rows["A-1"].row_id)] == [
            (50, True),
            (45, False),
        ]
        assert len(prices(session, rows["A-3"].row_id)) == 1
        assert [hit.number for hit in search(session, "oil").rows] == []
        assert [hit.number for hit in search(session, "rags").rows] == ["A-4"]
        assert check(session).ok
    back = take_over(workshop, who, written(tmp_path / "c.csv", [*new, "A-2,HYD OIL 5GAL,95.00,5 gal"]))
    assert (back.added, back.changed, back.withdrawn, back.unchanged) == (1, 0, 0, 3)
    with workshop.read() as session:
        hit = search(session, "oil").rows[0]
        assert [span.price_minor for span in prices(session, hit.row_id)] == [9500, 8990]
        assert versions(session, who)[0].listed == 4


def test_suppliers_do_not_touch_each_other(workshop: Workshop, tmp_path: Path) -> None:
    one, two = supplier(workshop, "One"), supplier(workshop, "Two")
    take_over(workshop, one, written(tmp_path / "a.csv", FIRST))
    take_over(workshop, two, written(tmp_path / "b.csv", FIRST[:1]))
    with workshop.read() as session:
        assert len(listed(session, one)) == 3
        assert [hit.supplier for hit in search(session, "A-1", limit=2).rows] == ["One", "Two"]
        assert [hit.supplier for hit in search(session, "A-1", supplier_id=two).rows] == ["Two"]


def test_a_refused_line_leaves_the_old_row_and_none_is_lost(workshop: Workshop, tmp_path: Path) -> None:
    who = supplier(workshop)
    take_over(workshop, who, written(tmp_path / "a.csv", FIRST))
    lines = [
        "A-1,ring,free of charge,100",
        ",no number,1.00,1",
        "A-2,HYD OIL 5GAL,89.90,5 gal",
        "A-2,twice,1.00,1",
        "A-5,zero in a pack,1.00,0",
        "A-6,below zero,-1.00,1",
        "A-3,Cap screw M10x40,0.12,50",
    ]
    file = written(tmp_path / "b.csv", lines)
    source = open_source(file)
    layout = propose(open_source(tmp_path / "a.csv")).layout
    with stage(source, layout, "EUR") as staged:
        refused = [(one.line, one.number) for one in staged.refused()]
        assert staged.entries + len(refused) == len(lines)
        assert all(one.reason and one.cells for one in staged.refused())
    assert refused == [(2, "A-1"), (3, ""), (5, "A-2"), (6, "A-5"), (7, "A-6")]
    done = take_over(workshop, who, file, layout=layout)
    assert (done.list_id, done.unchanged, done.refused) == (None, 2, 5)
    with workshop.read() as session:
        assert [row.number for row in listed(session, who)] == ["A-1", "A-2", "A-3"]


def test_a_file_without_a_usable_line_withdraws_nothing(workshop: Workshop, tmp_path: Path) -> None:
    who = supplier(workshop)
    take_over(workshop, who, written(tmp_path / "a.csv", FIRST))
    layout = propose(open_source(tmp_path / "a.csv")).layout
    with pytest.raises(InvalidInputError, match="No line of"):
        take_over(workshop, who, written(tmp_path / "b.csv", ["A-1,x,?,1"]), layout=layout)
    with workshop.read() as session:
        assert len(listed(session, who)) == 3


SECOND = [
    "A-1,\"ORING 24,99X3,53 N70\",0.55,100",
    "A-2,HYD OIL 20L,89.90,20 L",
    "A-4,Čep M10,1.00,1",
]  # fmt: skip


def as_if_long(monkeypatch: pytest.MonkeyPatch) -> None:
    """SQLite sorts its indexes at the end and fills its search tables often; little is looked at in one go."""
    monkeypatch.setattr("models.supplier_lists.merge_walk.PAGE", 7)
    monkeypatch.setattr("models.supplier_lists.loading.SIZE", 11)
    monkeypatch.setattr("models.supplier_lists.bulk.SORT_FROM", 1)
    monkeypatch.setattr("models.supplier_lists.bulk.INDEX_EVERY", 1)


def schema_of(workshop: Workshop) -> set[tuple[str, str]]:
    """Every table and index in the file."""
    with workshop.read() as session:
        rows = session.connection().exec_driver_sql("SELECT name, coalesce(sql, '') FROM sqlite_master").all()
    return {(str(name), str(sql)) for name, sql in rows if not name.startswith("sqlite_stat")}


def test_a_list_in_many_small_pieces_is_the_same(
    workshop: Workshop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    more = [f"N{at:05},Nut M8 plate {at},1.00,10" for at in range(650)]
    dearer = [line.replace("1.00", "1.10") if at % 50 == 0 else line for at, line in enumerate(more) if at % 70]
    files = enumerate((FIRST + more, SECOND + dearer))
    first, second = (written(tmp_path / f"{at}.csv", lines) for at, lines in files)
    one, two = supplier(workshop, "One"), supplier(workshop, "Two")
    for who in (one, two):
        take_over(workshop, who, first)
    in_one_go = take_over(workshop, one, second)
    as_if_long(monkeypatch)
    in_pieces = take_over(workshop, two, second)
    assert in_pieces == in_one_go._replace(list_id=in_pieces.list_id)
    dropped = len(more) - len(dearer)
    assert (in_pieces.added, in_pieces.changed, in_pieces.withdrawn) == (
        1,
        2 + sum("1.10" in line for line in dearer),
        1 + dropped,
    )
    with workshop.read() as session:
        pages = [
            search(session, word, items=False, supplier_id=who) for word in ("oring", "a", "oil") for who in (one, two)
        ]
        rows = [
            [(*tuple(row)[2:-3], row.withdrawn_list_id is None) for row in listed(session, who)] for who in (one, two)
        ]
        assert check(session).findings == ()
    assert rows[0] == rows[1] != []
    found = [[(hit.number, hit.how) for hit in page.rows] for page in pages]
    assert found[::2] == found[1::2]
    assert all(found)


def test_the_rows_come_in_the_order_of_their_numbers(
    workshop: Workshop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Search shows what it finds in the order of the rows, on either database and however long the list was."""
    as_if_long(monkeypatch)
    who = supplier(workshop)
    lines = [f"N{at:05},Nut M8 plate {at},1.00,10" for at in range(1_600)]
    random.Random(3).shuffle(lines)
    assert take_over(workshop, who, written(tmp_path / "a.csv", lines)).added == 1_600
    with workshop.read() as session:
        numbers = session.connection().execute(text("SELECT number FROM list_rows ORDER BY id")).scalars().all()
    assert numbers == sorted(numbers)


def test_what_is_read_of_a_list_is_given_in_order_without_sorting_it_again(workshop: Workshop) -> None:
    with Scratch() as scratch:
        scratch.settle()
        plan = scratch._run("EXPLAIN QUERY PLAN SELECT entries FROM blocks WHERE run = 0 ORDER BY at").fetchall()
        assert [row[3] for row in plan] == ["SEARCH blocks USING INDEX sqlite_autoindex_blocks_1 (run=?)"]
    with workshop.read() as session:
        connection = session.connection()
        ahead = "EXPLAIN" if connection.dialect.name == "postgresql" else "EXPLAIN QUERY PLAN"
        if ahead == "EXPLAIN":
            connection.exec_driver_sql("SET LOCAL enable_seqscan = off")  # it prefers that for a few rows
            connection.exec_driver_sql("SET LOCAL enable_sort = off")
        page = _NEXT.params(who=1, after="a").compile(connection, compile_kwargs={"literal_binds": True})
        shown = str(connection.exec_driver_sql(f"{ahead} {page}").all())
    assert "uq_list_rows_supplier_id_number" in shown or "sqlite_autoindex_list_rows_1" in shown
    assert "Sort" not in shown
    assert "TEMP B-TREE" not in shown


def test_an_import_that_is_stopped_leaves_indexes_and_memory_as_they_were(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    workshop = open_workshop(tmp_path / "w.sqlite3")
    who = supplier(workshop)
    take_over(workshop, who, written(tmp_path / "a.csv", FIRST))
    before, schema = everything(workshop), schema_of(workshop)
    as_if_long(monkeypatch)
    file = written(tmp_path / "b.csv", [f"N{at:05},Ring {at},1.00,1" for at in range(700)])
    with pytest.raises(CancelledError):
        take_over(workshop, who, file, watch=lambda at: at.step == "writing" and at.rows > 0)
    with workshop.read() as session:  # on the connection that was writing
        assert session.connection().exec_driver_sql("PRAGMA cache_size").scalar() == -2000
    assert (everything(workshop), schema_of(workshop)) == (before, schema)
    assert take_over(workshop, who, file).added == 700
    assert schema_of(workshop) == schema
    workshop.close()


class _Refusing:
    """Says stop after so many questions about this step and this part; counts its questions there."""

    def __init__(self, step: str, part: float | None, patience: int) -> None:
        self._about = (step, part)
        self._patience = patience
        self.asked = 0

    def __call__(self, at: Progress) -> bool:
        self.asked += (at.step, at.part) == self._about
        return self.asked > self._patience


# What is asked without it: the end of reading, the end of writing.
@pytest.mark.parametrize(("step", "part", "asked"), [("reading", 1.0, 1), ("writing", 1.0, 1)])
def test_a_long_statement_is_broken_off(
    workshop: Workshop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, part: float | None, asked: int
) -> None:
    """Sorting and building indexes have no rows to count by: there the statement itself is stopped."""
    monkeypatch.setattr("models.supplier_lists.progress.LOOK_SECONDS", 0.001)
    monkeypatch.setattr("models.supplier_lists.progress._STEPS", 100)
    who = supplier(workshop)
    file = written(tmp_path / "new.csv", [f"N{at:05},Ring {at},1.00,1" for at in range(6000)])
    take_over(workshop, who, written(tmp_path / "old.csv", FIRST))
    before = everything(workshop)
    watch = _Refusing(step, part, asked)
    with pytest.raises(CancelledError, match="The import was stopped"):
        take_over(workshop, who, file, watch=watch)
    assert watch.asked == asked + 1
    assert everything(workshop) == before
    assert take_over(workshop, who, file).listed == 6000


def test_stopped_at_any_moment_the_list_is_as_it_was(workshop: Workshop, tmp_path: Path) -> None:
    who = supplier(workshop)
    header = "Part no;Description;Price;Pack"
    old = written(tmp_path / "old.csv", FIRST)
    take_over(workshop, who, old)
    before = everything(workshop)
    lines = [f"N{at:05};Ring {at % 90 + 3},5X2,62 N70;{at % 7},{at % 100:02};10" for at in range(5_000)]
    file = written(tmp_path / "new.csv", lines, header)
    moments: list[Progress] = []
    chance = random.Random(4)

    def count(at: Progress) -> None:
        moments.append(at)

    source = open_source(file)
    with stage(source, propose(source).layout, "EUR", watch=count) as staged, workshop.read() as session:
        list(changes(session, staged, who, watch=count))
    assert {moment.step for moment in moments} == {"reading", "comparing"}
    assert [moment.rows for moment in moments if moment.step == "reading"] == [1999, 3999, 5000, 5000]
    for _ in range(4):
        left = chance.randrange(len(moments))

        def stop(_at: Progress) -> bool:
            nonlocal left
            left -= 1
            return left < 0

        with pytest.raises(CancelledError):
            take_over(workshop, who, file, watch=stop)
        assert everything(workshop) == before
    assert take_over(workshop, who, file).added == 5_000


def test_a_cell_that_looks_like_a_formula_goes_out_neutral_and_comes_in_again(
    workshop: Workshop, tmp_path: Path
) -> None:
    who = supplier(workshop)
    # The openings that OWASP's page on CSV injection lists, and the same signs in their wide forms.
    names = ["=1+1", "+1", "-1+2", "@SUM(A1)", "'=x", "''@y", "%0A", "|calc", "＝1", "'plain"]
    file = tmp_path / "a.csv"
    with file.open("w", newline="", encoding="utf-8") as out:
        cells = csv.writer(out)
        cells.writerow(["Part no", "Description", "Price"])
        cells.writerows([(f"={at}-N", name, "1.00") for at, name in enumerate(names)])
    take_over(workshop, who, file)
    exported = tmp_path / "out.csv"
    with workshop.read() as session, exported.open("w", newline="", encoding="utf-8") as out:
        rows = listed(session, who)
        write_csv(rows, layout_for(rows), out)
    with exported.open(newline="", encoding="utf-8") as back:
        for cells_out in list(csv.reader(back))[1:]:
            for cell in cells_out:
                assert cell[:1] not in {"=", "+", "-", "@", "\t", "\r", "|", "%", "＝", "＋", "－", "＠"}
    assert take_over(workshop, who, exported, layout=layout_for(rows)).list_id is None


WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), max_size=30)
ROWS = st.lists(
    st.tuples(
        st.from_regex(r"[A-Z=+'][A-Z0-9./-]{0,8}", fullmatch=True),
        WORDS,
        st.none() | st.decimals(min_value=0, max_value=10**7, places=4),
        st.integers(1, 1000),
    ),
    min_size=1,
    max_size=12,
    unique_by=lambda row: row[0],
)


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(ROWS)
def test_what_goes_out_comes_in_again_the_same(
    workshop: Workshop, tmp_path: Path, rows: list[tuple[str, str, object, int]]
) -> None:
    who, second = (supplier(workshop, f"Supplier {act().key}") for _ in range(2))
    file, out_file = tmp_path / "in.csv", tmp_path / "out.csv"
    with file.open("w", newline="", encoding="utf-8") as out:
        cells = csv.writer(out)
        cells.writerow(["Part no", "Description", "Price", "Pack"])
        cells.writerows([(n, name, "" if price is None else f"{price:f}", pack) for n, name, price, pack in rows])
    layout = propose(open_source(file)).layout.with_field(0, Field.NUMBER).with_field(1, Field.NAME)
    layout = layout.with_field(2, Field.PRICE).with_field(3, Field.PACK)._replace(mark=".", header_line=1)
    take_over(workshop, who, file, layout=layout)
    assert take_over(workshop, who, file, layout=layout).list_id is None
    with workshop.read() as session:
        first = listed(session, who)
    exported = layout_for(first)
    with out_file.open("w", newline="", encoding="utf-8") as out:
        write_csv(first, exported, out)
    take_over(workshop, second, out_file, layout=exported)
    with workshop.read() as session:
        again = listed(session, second)
    assert [row[2:22] for row in again] == [row[2:22] for row in first]


FULL = """
CREATE FUNCTION no_room() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN IF NEW.number = 'A-2' THEN RAISE 'no space left' USING ERRCODE = '53100'; END IF; RETURN NEW; END $$;
CREATE TRIGGER no_room BEFORE INSERT ON list_rows FOR EACH ROW EXECUTE FUNCTION no_room();
"""


@pytest.mark.parametrize("before", [[], FIRST[:1]])
def test_what_a_server_refuses_while_rows_are_copied_is_told_in_words(
    empty_postgres: str, tmp_path: Path, before: list[str]
) -> None:
    workshop = open_workshop(empty_postgres)
    who = supplier(workshop)
    if before:
        take_over(workshop, who, written(tmp_path / "a.csv", before))
    with workshop.write() as session:
        session.connection().exec_driver_sql(FULL)
    stood = everything(workshop)
    with pytest.raises(WorkshopUnavailableError, match="is out of room"):
        take_over(workshop, who, written(tmp_path / "b.csv", FIRST))
    assert everything(workshop) == stood
    workshop.close()
