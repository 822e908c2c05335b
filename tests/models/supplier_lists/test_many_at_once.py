"""Many rows at once are read, and made ready to write, as one row after another is."""

from __future__ import annotations

import csv
from operator import itemgetter
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from models.search import many_terms, terms
from models.supplier_lists.delimited import blocks
from models.supplier_lists.entries import EntryReader, RefusedLine, kept
from models.supplier_lists.layout import Layout
from models.supplier_lists.line import Line, gathered
from models.supplier_lists.many_lines import LinesReader
from models.supplier_lists.read_fluid import fluids_in
from models.supplier_lists.recognise import NOTHING, recognise
from models.supplier_lists.says_nothing import say_nothing
from models.supplier_lists.scratch import Scratch
from models.supplier_lists.words import Field

TOKENS = (
    *("O-RING", "o ring", "Quad-ring", "washer", "AS568", "568", "-214", "JIS", "P21", "4518", "0200-30", "214"),
    *("24,99X3,53", "24.99 x 3.53", "1/2", '"', "M8x20", "M10", "G 3/8", "3/8 BSP", "1/4-20 UNC", "NPT", "ID 12 CS 2"),
    *("N70", "NBR 70", "FKM", "nitrile", "5GAL", "20 L", "4 x 5L", "500ml", "CK-4", "API", "ISO VG 46", "HLP", "50/50"),
    *(
        "ethylene",
        "glycol",
        "AUS 32",
        "DOT 5.1",
        "Seal",
        "moto-ring",
        "Ring",
        "type",
        "12",
        "1,5",
        "1.5",
        "7",
        "x",
        "/",
    ),
    *(
        "Č",
        "ö",
        "ß",
        "½",
        "²",
        "٣",
        "İ",
        "\xa0",
        "\u200b",
        "\ufffd",
        "'",
        "'=1",
        "=1+1",
        "\\",
        "\t",
        "568 1",
        "ORING214",
    ),
)
ANY = st.one_of(st.sampled_from(TOKENS), st.text(max_size=6))
TEXTS = st.lists(ANY, max_size=6).map(" ".join) | st.lists(ANY, max_size=4).map("".join)
PRICES = st.sampled_from(
    (
        "1.00",
        "12.5",
        "3",
        "0,99",
        "1,234.50",
        "1.234,50",
        "",
        "poa",
        " 7.00 ",
        "€ 3",
        "3 USD",
        "1.234567",
        "9" * 17,
        "x",
        "٣.00",
    )
) | st.decimals(0, 10**6, places=2).map(str)
PACKS = st.sampled_from(("", "1", "100", "100 pcs", "10/pk", "5 gal", "4 x 5 L", "20", "0", "1.5", "box", "L", " 10 "))
OTHER = st.sampled_from(("", "3", "3 days", "-1", "4006381333931", "4006381333932", "EUR", "usd", "x", " "))
FIELDS = (Field.NUMBER, Field.NAME, Field.PRICE, Field.PACK)
MORE = (Field.UNIT, Field.MIN_PACKS, Field.LEAD_DAYS, Field.GTIN, Field.CURRENCY, Field.PRICE_PER)
ROWS = st.lists(
    st.tuples(TEXTS, TEXTS, PRICES, PACKS, OTHER, OTHER, OTHER, OTHER).map(list)
    | st.tuples(TEXTS, TEXTS, PRICES).map(list)
    | st.just([]),
    max_size=12,
)


@settings(max_examples=60)
@given(names=st.lists(TEXTS, max_size=8), numbers=st.lists(TEXTS, min_size=8, max_size=8))
def test_words_and_squeezed_numbers_are_those_of_each_row(names: list[str], numbers: list[str]) -> None:
    numbers = numbers[: len(names)]
    squeezed, words = many_terms.compact_many(numbers), many_terms.indexed_many(numbers, names)
    assert squeezed == [terms.compact(number) for number in numbers]
    assert words == [terms.indexed(number, name) for number, name in zip(numbers, names, strict=True)]
    assert many_terms.with_grams_many(words, squeezed) == list(map(terms.with_grams, words, squeezed))


@settings(max_examples=100)
@given(names=st.lists(TEXTS, min_size=1, max_size=8))
def test_where_a_text_is_said_to_say_nothing_nothing_is_read(names: list[str]) -> None:
    for name, nothing in zip(names, say_nothing(names), strict=True):
        if nothing:
            assert recognise(name, "24.99x3.53") is NOTHING
            assert fluids_in(name) is None


def test_most_texts_of_other_goods_are_known_to_say_nothing() -> None:
    assert say_nothing(["Ball bearing 1234 type 56", "Hose clamp 9 type 2", "V-belt 17 x"]) == [True] * 3
    assert say_nothing(["O-ring 3", "HYD OIL 20 L", "Bolt M8", "Kit 568", "ATF", "Čep 3"]) == [False] * 6


@settings(max_examples=60)
@given(
    rows=ROWS,
    mark=st.sampled_from((".", ",")),
    currency=st.sampled_from(("EUR", "JPY", "KWD")),
    more=st.lists(st.sampled_from(MORE), unique=True, max_size=4),
    header_line=st.integers(0, 3),
)
def test_lines_read_at_once_are_read_as_each_alone(
    rows: list[list[str]], mark: str, currency: str, more: list[Field], header_line: int
) -> None:
    layout = Layout((), mark, header_line)
    for at, field in enumerate((*FIELDS, *more)):
        layout = layout.with_field(at, field)
    lines = [Line(at, cells, 0, "" if cells else "broken") for at, cells in enumerate(rows, 1)]
    entries, refused = LinesReader(layout, currency).read(gathered(lines))
    one = EntryReader(layout, currency)
    alone = [(line, one.read(line)) for line in lines if line.number > header_line and (any(line.cells) or line.broken)]
    assert refused == [found for _, found in alone if isinstance(found, RefusedLine)]
    expected = [kept(found, line.number) for line, found in alone if not isinstance(found, RefusedLine)]
    assert entries == expected
    assert list(map(repr, entries)) == list(map(repr, expected))  # 1 is no True, a word no StrEnum


def one_by_one(file: Path, mark: str) -> list[tuple[int, list[str], bool]]:
    """Every record that holds something, by one reader over all: its first line, its cells, whether it is broken."""
    found: list[tuple[int, list[str], bool]] = []
    with file.open(encoding="utf-8", newline="") as handle:
        rows = csv.reader(handle, delimiter=mark)
        number = 1
        while True:
            try:
                cells: list[str] | None = next(rows)
            except StopIteration:
                return found
            except csv.Error:
                cells = None
            if cells is None or any(cells):
                found.append((number, cells or [], cells is None))
            number = rows.line_num + 1


PIECES = ("a", '"', '""', ",", ";", "\n", "\r\n", "\r", "é", "\0", "b,c", '"x\ny"', "w" * 140_000, "\u2028", "\x0b")


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(pieces=st.lists(st.sampled_from(PIECES), max_size=30), every=st.integers(1, 5))
def test_records_are_the_same_however_many_are_taken_apart_at_once(
    tmp_path: Path, pieces: list[str], every: int
) -> None:
    file = tmp_path / "any.csv"
    file.write_text("".join(pieces), encoding="utf-8", newline="")
    found = [
        (line.number, list(line.cells), bool(line.broken))
        for some in blocks(file, "utf-8", ",", every)
        for line in map(some.line, range(len(some.numbers)))
        if any(line.cells) or line.broken
    ]
    assert found == one_by_one(file, ",")


@settings(max_examples=40)
@given(numbers=st.lists(st.sampled_from("abcdefgh") | st.text(min_size=1, max_size=2), max_size=40), data=st.data())
def test_what_was_read_comes_by_number_and_the_first_line_of_each(numbers: list[str], data: st.DataObject) -> None:
    lines = data.draw(st.permutations(range(len(numbers))))
    rows = [(number, line, f"name {line}", 1) for number, line in zip(numbers, lines, strict=True)]
    size = data.draw(st.integers(1, 9))
    with pytest.MonkeyPatch.context() as patch, Scratch() as scratch:
        patch.setattr("models.supplier_lists.scratch.RUN", 3 * size)
        patch.setattr("models.supplier_lists.scratch.BLOCK", data.draw(st.integers(1, 4)))
        for at in range(0, len(rows), size):
            scratch.add_entries(rows[at : at + size])
        scratch.settle()
        first: dict[str, tuple[str, int, str, int]] = {}
        for row in sorted(rows, key=itemgetter(1)):
            first.setdefault(row[0], row)
        assert [row for block in scratch.blocks() for row in block] == sorted(first.values())
        assert scratch.entries == len(first)
        said = [(one.line, one.reason, one.cells) for one in scratch.refused()]
    assert said == [
        (line, f"line {first[number][1]} has the same part number", (number, name))
        for number, line, name, _ in sorted(rows, key=itemgetter(1))
        if line != first[number][1]
    ]
