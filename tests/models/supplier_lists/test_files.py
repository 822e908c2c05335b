"""Files as suppliers send them: kinds, alphabets, columns in any order, and files that are broken."""

from __future__ import annotations

import random
import sys
import zipfile
from importlib import import_module
from itertools import permutations
from pathlib import Path

import pytest

from models.database import Workshop
from models.errors import InvalidInputError
from models.supplier_lists import suppliers
from models.supplier_lists.layout import Layout, checked
from models.supplier_lists.parts import parts
from models.supplier_lists.progress import Progress
from models.supplier_lists.proposal import propose
from models.supplier_lists.source import open_source
from models.supplier_lists.staging import stage
from models.supplier_lists.words import Field
from tests.models.shop import act
from tests.models.supplier_lists.lists import listed, supplier, take_over

HEADERS = ("Artikel-Nr.", "Bezeichnung", "Preis EUR", "VPE", "EAN", "Lieferzeit")
# The GTIN is the example of the GS1 General Specifications' check digit table.
ROWS = [
    ("RD-1", "Dichtung für Gehäuse, groß", "1,25", "10", "6291041500213", "3"),
    ("RD-2", "O-Ring 24,99x3,53 NBR 70", "0,45", "100", "", "5"),
    ("RD-3", "Hydrauliköl 20 L", "89,90", "1", "", "2"),
]


def proposed(file: Path) -> dict[Field, int]:
    return {guess.field: guess.at for guess in propose(open_source(file)).guesses}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
@pytest.mark.parametrize("delimiter", [";", "\t", "|"])
def test_every_alphabet_and_delimiter_reads_alike(tmp_path: Path, encoding: str, delimiter: str) -> None:
    file = tmp_path / "list.csv"
    file.write_bytes("\r\n".join(delimiter.join(row) for row in (HEADERS, *ROWS)).encode(encoding))
    source = open_source(file)
    assert source.delimiter == delimiter
    assert [tuple(line.cells) for line in source.lines()] == [HEADERS, *ROWS]
    assert propose(source).mark == ","


def test_columns_are_proposed_in_any_order(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    fields = (Field.NUMBER, Field.NAME, Field.PRICE, Field.PACK, Field.GTIN, Field.LEAD_DAYS)
    for order in random.Random(1).sample(list(permutations(range(6))), 25):
        file.write_text("\n".join(";".join(row[at] for at in order) for row in (HEADERS, *ROWS)), encoding="utf-8")
        assert proposed(file) == {fields[at]: place for place, at in enumerate(order)}


def test_columns_without_headers_are_proposed_from_what_they_hold(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    lines = [f"A{at:04}X;Ring for pump {at};{at}.{at % 90 + 10};EUR" for at in range(30)]
    file.write_text("\n".join(lines), encoding="utf-8")
    proposal = propose(open_source(file))
    assert proposal.header_line == 0
    assert [guess.field for guess in proposal.guesses] == [Field.NUMBER, Field.NAME, Field.PRICE, Field.CURRENCY]
    assert all(0.5 <= guess.confidence < 0.9 for guess in proposal.guesses)


def test_lines_above_the_headers_are_skipped(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_text("Price list spring\n\nPart no,Description,Price\nA-1,Ring,1.00\n", encoding="utf-8")
    proposal = propose(open_source(file))
    assert proposal.header_line == 3
    with stage(open_source(file), proposal.layout, "EUR") as staged:
        assert (staged.entries, staged.refused_count) == (1, 0)


def test_price_breaks_are_read_from_their_headers(workshop: Workshop, tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_text("Part no,Description,Price,Price from 10,ab 50\nA-1,Ring,1.00,0.90,0.0855\n", encoding="utf-8")
    take_over(workshop, who := supplier(workshop), file)
    with workshop.read() as session:
        assert listed(session, who)[0].breaks == "10:90/1 50:855/100"


def test_a_layout_is_remembered_by_headers_not_by_place(workshop: Workshop, tmp_path: Path) -> None:
    who = supplier(workshop)
    file = tmp_path / "list.csv"
    file.write_text("Code;Text;Netto\nA;Ring;1,00\n", encoding="utf-8")
    proposal = propose(open_source(file))
    with workshop.write() as session:
        suppliers.remember_layout(session, act(), who, proposal.layout)
    with workshop.read() as session:
        again = suppliers.remembered_layout(session, who, ("Netto", "new", "TEXT", " code "), 1)
        assert again is not None
        assert {column.field: column.at for column in again.columns} == {
            Field.NUMBER: 3,
            Field.NAME: 2,
            Field.PRICE: 0,
        }
        assert again.mark == ","
        assert suppliers.remembered_layout(session, who, ("Netto", "Text"), 1) is None
        assert suppliers.remembered_layout(session, who, ("Code", "Code", "Text", "Netto"), 1) is None


def test_a_layout_that_can_not_be_used_is_refused(tmp_path: Path) -> None:
    layout = Layout((), ".", 1)
    with pytest.raises(InvalidInputError, match="part number"):
        checked(layout)
    with pytest.raises(InvalidInputError, match="no price"):
        checked(layout.with_field(0, Field.NUMBER).with_field(1, Field.PRICE_FROM, 10))


def workbook(file: Path) -> Path:
    book = import_module("openpyxl").Workbook()
    book.active.append([])
    book.active.append(["Part no", "Description", "Price", "Pack", "Lead"])
    book.active.append([4626, "Ring", 0.1 + 0.2, 10, 3])
    book.active.append(["A-1", "=1+1", 12.5, "5 gal", None])
    book.active.append(["A-2", "Seal", "free", 1, None])
    book.create_sheet("Other").append(["Part no", "Price"])
    book.save(file)
    return file


def test_a_workbook_is_read(workshop: Workshop, tmp_path: Path) -> None:
    who = supplier(workshop)
    done = take_over(workshop, who, workbook(tmp_path / "list.xlsx"))
    assert (done.added, done.refused) == (2, 1)
    with workshop.read() as session:
        rows = listed(session, who)
        # A formula that no spreadsheet has worked out yet has no value; it is never run.
        assert [(row.number, row.name, row.price_minor, row.price_per) for row in rows] == [
            ("4626", "Ring", 30, 1),
            ("A-1", "", 1250, 1),
        ]
    assert take_over(workshop, who, tmp_path / "list.xlsx").list_id is None


def test_another_sheet_can_be_named(tmp_path: Path) -> None:
    file = workbook(tmp_path / "list.xlsx")
    assert [tuple(line.cells) for line in open_source(file, sheet="Other").lines()] == [("Part no", "Price")]
    with pytest.raises(InvalidInputError, match="There are: Sheet, Other"):
        list(open_source(file, sheet="None").lines())


def test_files_that_are_no_list_are_refused_in_a_sentence(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "zip.xlsx", "w") as packed:
        packed.writestr("x", "y")
    (tmp_path / "cut.xlsx").write_bytes(workbook(tmp_path / "list.xlsx").read_bytes()[:900])
    (tmp_path / "empty.csv").write_bytes(b"")
    (tmp_path / "old.xls").write_bytes(b"\xd0\xcf\x11\xe0" + b"0" * 100)
    (tmp_path / "blank.csv").write_bytes(b"\n\n\n")
    for name in ("zip.xlsx", "cut.xlsx", "empty.csv", "old.xls", "blank.csv", "not-there.csv", "."):
        with pytest.raises(InvalidInputError) as raised:
            propose(open_source(tmp_path / name))
        assert raised.value.to_do


def test_a_quotation_mark_that_never_ends_is_told_with_its_line(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    long = "\n".join(f"B-{at},Ring,1.00" for at in range(12_000))
    file.write_text(f'Part no,Description,Price\nA-1,Ring,1.00\nA-2,"Ring,1.00\n{long}\n', encoding="utf-8")
    source = open_source(file)
    with stage(source, propose(source).layout, "EUR") as staged:
        refused = list(staged.refused())
        assert refused[0].line == 3
        assert "quotation mark" in refused[0].reason
        assert staged.entries >= 1


@pytest.mark.parametrize("seed", range(6))
def test_noise_is_refused_or_read_but_never_breaks(tmp_path: Path, seed: int) -> None:
    rng = random.Random(seed)
    file = tmp_path / "noise.csv"
    file.write_bytes(b"Part no,Description,Price\n" + bytes(rng.randrange(256) for _ in range(20_000)))
    source = open_source(file, delimiter=",")
    layout = Layout((), ".", 1).with_field(0, Field.NUMBER).with_field(1, Field.NAME).with_field(2, Field.PRICE)
    lines = sum(1 for line in source.lines() if any(line.cells) or line.broken)
    with stage(source, layout, "EUR") as staged:
        assert staged.entries + staged.refused_count == lines - 1
        for _ in staged.refused():
            pass


def test_the_wrong_column_taken_for_the_number_is_refused_without_delay(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_text("Part no,Description\n" + "EUR,Ring\n" * 20_000, encoding="utf-8")
    source = open_source(file)
    with stage(source, propose(source).layout, "EUR") as staged:
        assert (staged.entries, staged.refused_count) == (1, 19_999)
        assert next(staged.refused()).reason == "line 2 has the same part number"


def test_without_its_library_a_workbook_is_refused_in_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = workbook(tmp_path / "list.xlsx")
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    with pytest.raises(InvalidInputError, match="lists extra"):
        list(open_source(file).lines())


def test_a_workbook_that_would_unpack_without_end_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = workbook(tmp_path / "list.xlsx")
    monkeypatch.setattr("models.supplier_lists.workbook.MOST_BYTES", 1000)
    with pytest.raises(InvalidInputError, match="MB unpacked"):
        open_source(file)


def test_a_read_file_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "temporary"))
    (tmp_path / "temporary").mkdir()
    file = tmp_path / "list.csv"
    file.write_text("Part no,Price\nA,1.00\n", encoding="utf-8")
    source = open_source(file)
    with stage(source, propose(source).layout, "EUR") as staged:
        assert (staged.entries, list((tmp_path / "temporary").iterdir())) == (1, [])
    with pytest.raises(RuntimeError), stage(source, propose(source).layout, "EUR", watch=_broken):
        raise AssertionError
    assert list((tmp_path / "temporary").iterdir()) == []


def _broken(_at: object) -> bool:
    raise RuntimeError


@pytest.mark.parametrize("every", [1, 2, 3, 7, 100])
def test_no_line_is_lost_between_two_parts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, every: int) -> None:
    monkeypatch.setattr("models.supplier_lists.parts.EVERY", every)
    file = tmp_path / "list.csv"
    texts = [f"P-{at},Seal {at},{at}.50,1" for at in range(40)]
    texts[4] = 'P-4,"Seal\nof two lines",4.50,1'
    texts[9], texts[17], texts[23] = "P-9,Seal,free,1", "", ",no number,1.00,1"
    texts[30] = f'P-30,"{"x" * 140_000}",1.00,1'  # longer than a cell may be: it can't be taken apart
    file.write_text("\n".join(["Part no,Description,Price,Pack", *texts]), encoding="utf-8")
    source = open_source(file)
    found = list(parts(source, propose(source).layout, "EUR"))
    numbers = [number for part in found for number, *_ in part.entries]
    assert numbers == [f"P-{at}" for at in range(40) if at not in (9, 17, 23, 30)]
    assert [one.number for part in found for one in part.refused] == ["P-9", "", ""]


def test_a_file_written_to_while_it_is_read_is_not_taken(tmp_path: Path) -> None:
    file = tmp_path / "list.csv"
    file.write_text("Part no,Price\nA,1.00\n", encoding="utf-8")
    source = open_source(file)

    def write(_at: Progress) -> None:
        file.write_text("Part no,Price\nA,1.00\nB,2.00\n", encoding="utf-8")

    with pytest.raises(InvalidInputError, match=r"list\.csv was changed while it was read\. Load it again"):
        stage(source, propose(source).layout, "EUR", watch=write)


def test_how_far_a_workbook_is_read_is_not_known_until_its_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("models.supplier_lists.parts.EVERY", 1)
    told: list[Progress] = []
    source = open_source(workbook(tmp_path / "list.xlsx"))
    with stage(source, propose(source).layout, "EUR", watch=told.append):
        done = [at.part for at in told]
    assert done == [None] * (len(done) - 1) + [1.0]
    assert len(done) > 1
