"""Whatever a file or a scanner brings is read or refused in a sentence: no fault comes out of a reader."""

from __future__ import annotations

import csv
import io
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import openpyxl  # type: ignore[import-untyped]
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog.orings.own_csv import OwnTableError
from catalog.orings.own_groove_csv import read_own_grooves
from catalog.orings.own_port_csv import read_own_ports
from catalog.orings.own_table_csv import read_own_tables
from models.database import open_workshop
from models.errors import InvalidInputError, WorkshopError
from models.fits.fit_csv import COLUMNS, from_csv, streamed
from models.own_sizes import as_typed
from models.storage import restore
from models.supplier_lists.proposal import propose
from models.supplier_lists.source import open_source
from tui import scanning

QUICK = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
FEW = settings(QUICK, max_examples=12)
RESTORED = settings(QUICK, max_examples=3)

# Letters of the readers' own alphabets, so that what is tried comes further than the first look.
ODD = (
    *(
        "",
        "NaN",
        "inf",
        "-inf",
        "1e999",
        "1e-999",
        "9" * 400,
        "=1+1",
        "id 24.9 0.1 caliper",
        "as568:214",
        "depth 1 2 3",
    ),
    *("2026-02-30", "9999-12-31T23:59:59+23:59", "used", "piston", "rod", "M14x1.5", "\x00", "jis", "25 ± 0.1", "0"),
)
CELL = st.one_of(
    st.text(st.sampled_from("0123456789.,;:±+-/ \"'=abcdimnxT\t"), max_size=14),
    st.sampled_from(ODD),
    st.text(max_size=8),
)
TEXTS = st.lists(st.lists(CELL, min_size=1, max_size=8), max_size=6)
BYTES = st.one_of(
    st.binary(max_size=300),
    st.tuples(
        st.sampled_from([b"", b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff", b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b'"']),
        st.text(max_size=120),
        st.sampled_from(["utf-8", "utf-16-le", "utf-32-be", "cp1252"]),
    ).map(lambda one: one[0] + one[1].encode(one[2], "replace")),
)


def written(rows: list[list[str]], *head: str, delimiter: str = ",") -> str:
    """Rows as CSV beneath their titles."""
    out = io.StringIO(newline="")
    rows = [[one.encode("utf-8", "replace").decode() for one in row] for row in rows]
    csv.writer(out, delimiter=delimiter).writerows([list(head), *rows])
    return out.getvalue()


def sentence(problem: Exception) -> None:
    """It says something to a person."""
    assert len(str(problem)) > 10
    assert "Traceback" not in str(problem)


@QUICK
@given(st.one_of(st.text(max_size=60), st.from_regex(r"\A\]?[A-Za-z0-9]{0,3}\(?0?1?\)?[0-9]{0,20}.{0,6}\Z")))
def test_any_scan_is_a_bin_a_code_or_wrong_in_words(text: str) -> None:
    found = scanning.read(text)
    assert bool(found.bin_code) + bool(found.gtin) + bool(found.wrong) == 1
    scanning.could_be_code(text)


@pytest.mark.parametrize("reader", [read_own_tables, read_own_grooves, read_own_ports], ids=lambda one: one.__name__)
@QUICK
@given(rows=TEXTS, delimiter=st.sampled_from(",;\t"), raw=st.text(max_size=200), plainly=st.booleans())
def test_any_table_of_a_shops_own_is_read_or_refused(
    reader: Callable[..., object], rows: list[list[str]], delimiter: str, raw: str, plainly: bool
) -> None:
    heads = {
        "read_own_tables": ("designation", "id_mm", "id tolerance_mm", "cross-section_mm", "tolerance_mm"),
        "read_own_grooves": ("use", "section_mm", "depth min_mm", "depth max_mm", "width min_mm", "width max_mm"),
        "read_own_ports": ("thread", "joint", "ring", "tube_mm"),
    }
    text = raw if plainly else written(rows, *heads[reader.__name__], delimiter=delimiter)
    try:
        assert isinstance(reader(as_typed(text), series="jis", source="a test"), tuple)
    except OwnTableError as refused:
        for problem in refused.problems:
            sentence(ValueError(problem))


@QUICK
@given(rows=TEXTS, raw=BYTES, plainly=st.booleans())
def test_any_file_of_fit_records_is_read_or_refused_row_by_row(
    tmp_path: Path, rows: list[list[str]], raw: bytes, plainly: bool
) -> None:
    file = tmp_path / "fits.csv"
    text = written(rows, *COLUMNS[: max((len(row) for row in rows), default=3)], delimiter=",")
    file.write_bytes(raw if plainly else text.encode())
    refused: list[tuple[int, str]] = []
    try:
        list(streamed(file, refused.append))
        found = from_csv(text) if not plainly else None
    except InvalidInputError as problem:
        sentence(problem)
    else:
        assert all(line > 0 and why for line, why in (*refused, *(found.refused if found else ())))


@QUICK
@given(rows=TEXTS, raw=BYTES, delimiter=st.sampled_from(",;\t|"), plainly=st.booleans())
def test_any_suppliers_list_is_read_or_refused(
    tmp_path: Path, rows: list[list[str]], raw: bytes, delimiter: str, plainly: bool
) -> None:
    file = tmp_path / "list.csv"
    text = written(rows, "Part no", "Description", "Price", "Pack", delimiter=delimiter)
    file.write_bytes(raw if plainly else text.encode())
    _listed(file)


def _listed(file: Path) -> None:
    try:
        source = open_source(file)
        propose(source)
        for line in source.lines():
            assert all(isinstance(cell, str) for cell in line.cells)
    except InvalidInputError as problem:
        sentence(problem)


@pytest.fixture(scope="module")
def workbook(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    book = openpyxl.Workbook()
    for row in (("Part no", "Description", "Price"), ("A1", "O-ring 25 x 3.5", 1.25), ("A2", "UTTO", 19)):
        book.worksheets[0].append(row)
    file = tmp_path_factory.mktemp("book") / "list.xlsx"
    book.save(file)
    return file.read_bytes()


CHANGES = st.lists(st.tuples(st.floats(0, 1, exclude_max=True), st.integers(0, 255)), min_size=1, max_size=6)


def changed(data: bytes, changes: list[tuple[float, int]], keep: float) -> bytes:
    """The bytes with some of them changed, and the end cut off."""
    made = bytearray(data)
    for at, byte in changes:
        made[int(at * len(made))] = byte
    return bytes(made[: int(len(made) * keep)])


@FEW
@given(changes=CHANGES, keep=st.sampled_from([1.0, 1.0, 0.9, 0.3]))
def test_any_changed_workbook_is_read_or_refused(
    tmp_path: Path, workbook: bytes, changes: list[tuple[float, int]], keep: float
) -> None:
    file = tmp_path / "list.xlsx"
    file.write_bytes(changed(workbook, changes, keep))
    _listed(file)


@pytest.fixture(scope="module")
def backup(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    file = tmp_path_factory.mktemp("backup") / "workshop.sqlite3"
    open_workshop(file).close()
    with closing(sqlite3.connect(file)) as kept:
        kept.execute("PRAGMA journal_mode=DELETE")
    return file.read_bytes()


def test_a_broken_layout_that_quotes_no_text_is_refused(tmp_path: Path, backup: bytes) -> None:
    """What SQLite says of it quotes the byte, and Python can't read that sentence."""
    file, target = tmp_path / "backup.sqlite3", tmp_path / "again.sqlite3"
    assert backup.count(b"CREATE TABLE items") == 1
    file.write_bytes(backup.replace(b"CREATE TABLE items", b"CREATE \x80ABLE items"))
    with pytest.raises(WorkshopError) as refused:
        restore.restore(file, target)
    assert "damaged" in str(refused.value)
    assert not target.exists()


@RESTORED
@given(changes=CHANGES, keep=st.sampled_from([1.0, 0.7]))
def test_any_changed_backup_is_put_back_or_refused_and_then_nothing_is_left(
    tmp_path: Path, backup: bytes, changes: list[tuple[float, int]], keep: float
) -> None:
    file, target = tmp_path / "backup.sqlite3", tmp_path / "again.sqlite3"
    file.write_bytes(changed(backup, changes, keep))
    try:
        restore.restore(file, target)
    except WorkshopError as problem:
        sentence(problem)
        assert not target.exists()
    else:
        target.unlink()
