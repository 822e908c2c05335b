"""Search as you type: what is found, in which order, alike on both databases, whatever a person types."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.database import Workshop, open_workshop
from models.inventory import items
from models.search.found import Hit, How, Where
from models.search.searching import WINDOW, search
from models.search.sizes import in_inches, near, sizes_near
from models.search.terms import compact, words
from models.words import Kind
from tests.models.shop import act
from tests.models.supplier_lists.lists import supplier, take_over, written

LINES = [
    'HX-4626/A,"ORING 24,99X3,53 N70",0.45,100',
    'HX-4626/B,"O-Ring 25X3,55 FKM 75",0.85,50',
    "4626,Bush for shaft,3.00,1",
    "ZZ-14626,Seal kit HX,7.00,1",
    "OIL-5,HYD OIL 5GAL,89.90,5 gal",
    "M10-40,Cap screw M10x40,0.12,50",
    "É-1,Joint d'étanchéité Ø 12,1.00,1",
]


@pytest.fixture(scope="module")
def stocked(lasting: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    """A workshop with two items and a list on each database, made once: nothing here changes it."""
    workshop = open_workshop(lasting)
    with workshop.write() as session:
        for name, size, rubber in (
            ("O-ring 214 black", "as568:214", "NBR"),
            ("O-ring 25 green", "metric:25x3.55", "FKM"),
        ):
            items.add(session, act(), kind=Kind.RING, name=name, size_key=size, rubber=rubber)
    take_over(workshop, supplier(workshop), written(tmp_path_factory.mktemp("list") / "a.csv", LINES))
    yield workshop
    workshop.close()


def found(workshop: Workshop, text: str, **options: Any) -> list[tuple[str, How]]:
    with workshop.read() as session:
        return [(hit.number or hit.name, hit.how) for hit in search(session, text, **options).rows]


@pytest.mark.parametrize(
    ("text", "first", "how"),
    [
        ("hx4626a", "HX-4626/A", How.EXACT),
        ("HX 4626 / a", "HX-4626/A", How.EXACT),
        ("4626", "4626", How.EXACT),
        ("hx-46", "HX-4626/A", How.PREFIX),
        ("hyd oi", "OIL-5", How.WORDS),
        ("oil hyd", "OIL-5", How.WORDS),
        ("24.9", "O-ring 214 black", How.WORDS),
        ("14626", "ZZ-14626", How.WORDS),
        ("462", "4626", How.PREFIX),
        ("0-40", "M10-40", How.PART),
        ("etanch", "É-1", How.WORDS),
        ("o-ring 214 BLACK", "O-ring 214 black", How.EXACT),
        ("O-RING 25", "O-ring 25 green", How.PREFIX),
    ],
)
def test_the_best_row_comes_first(stocked: Workshop, text: str, first: str, how: How) -> None:
    assert found(stocked, text)[0] == (first, how)


def test_exact_comes_before_prefix_before_words_before_part(stocked: Workshop) -> None:
    assert found(stocked, "4626") == [
        ("4626", How.EXACT),
        ("HX-4626/A", How.WORDS),
        ("HX-4626/B", How.WORDS),
        ("ZZ-14626", How.PART),
    ]


@pytest.mark.parametrize("text", ["oring", "o-ring", "o ring", "O-RING", "ring"])
def test_an_o_ring_is_found_however_it_is_written(stocked: Workshop, text: str) -> None:
    assert {name for name, _ in found(stocked, text)} >= {
        "HX-4626/A",
        "HX-4626/B",
        "O-ring 214 black",
        "O-ring 25 green",
    }


# SAE AS568 214 is 24.99 × 3.53 mm; ISO 3601-1:1988 has 25 × 3.55.
@pytest.mark.parametrize("text", ["3.5 x 25 nbr", "25x3,5 NBR", "25 × 3.5mm nbr", "0.984 in x 0.139 in nbr"])
def test_dimensions_find_rings_near_them_of_that_rubber(stocked: Workshop, text: str) -> None:
    hits = [one for one in found(stocked, text) if one[1] is How.SIZE]
    assert hits == [("O-ring 214 black", How.SIZE), ("HX-4626/A", How.SIZE)]


def test_the_nearest_ring_comes_first(stocked: Workshop) -> None:
    sizes = [name for name, how in found(stocked, "25x3.55") if how is How.SIZE]
    assert sizes == ["O-ring 25 green", "HX-4626/B", "O-ring 214 black", "HX-4626/A"]


def test_windows_put_together_are_the_whole(stocked: Workshop) -> None:
    for text in ("", "o", "1", "4626"):
        whole = found(stocked, text, limit=100)
        assert whole
        parts = [row for at in range(0, len(whole) + 2, 2) for row in found(stocked, text, limit=2, offset=at)]
        assert parts == whole


def test_scrolling_on_from_a_row_is_the_next_window(stocked: Workshop) -> None:
    with stocked.read() as session:
        whole = search(session, "", limit=100).rows
        for at, row in enumerate(whole):
            if row.where is Where.LIST:
                assert search(session, "", limit=2, after=row).rows == whole[at + 1 : at + 3]


def test_a_page_says_whether_there_is_more(stocked: Workshop) -> None:
    with stocked.read() as session:
        page = search(session, "4626", limit=2)
        assert (len(page.rows), page.total, page.more) == (2, 2, True)
        page = search(session, "4626", limit=4)
        assert (page.total, page.more) == (4, False)
        assert search(session, "", limit=3).total == 9


def test_items_and_lists_can_be_left_out(stocked: Workshop) -> None:
    with stocked.read() as session:
        assert {hit.where for hit in search(session, "oring", items=False).rows} == {Where.LIST}
        assert {hit.where for hit in search(session, "oring", lists=False).rows} == {Where.ITEM}


HOSTILE = [
    '"', "'", "*", "a*", '3/8"', "AND", "a AND", "NOT oil", "NEAR(oil)", "words:oil", "oil OR", "(", ")", "^oil",
    "-oil",
    "oil -", "%", "_", "\\", "a\\", "\0", "oil\0hyd", "a" * 10_000, "1 " * 10_000, "' OR 1=1 --", "{oil}", "+oil", ":*",
    "'oil':*", "oil & hyd", "!oil", "<->", "\ud800", "💥", "\u200b", "é" * 500, "9" * 300, "25x", "x25", "0x0",
    "1e9x1e9",
    "99999x99999", "☃ oil", "ﬁlter", "Ⅷ", "\x1b[31m", "\n\t", "$1", "%s", "?", "oil;drop table list_rows",
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
def test_nothing_that_is_typed_breaks_it(stocked: Workshop, text: str) -> None:
    with stocked.read() as session:
        page = search(session, text)
        assert len(page.rows) <= 50


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=30), st.integers(0, 5), st.integers(0, 5))
def test_any_text_gives_a_page(stocked: Workshop, text: str, limit: int, offset: int) -> None:
    with stocked.read() as session:
        assert len(search(session, text, limit=limit, offset=offset).rows) <= limit


def _shop(where: str, folder: Path) -> Workshop:
    """A shop big enough that the databases take different ways, and changed so that row order is not age."""
    rng = random.Random(8)
    nouns = ("Bearing", "Hose", "ORING", "O-ring", "Filter", "Bolt", "Screw M8x20", "HYD OIL 20 L", "Čep", "Seal")
    workshop = open_workshop(where)
    with workshop.write() as session:
        for at in range(30):
            items.add(session, act(), kind=Kind.CONSUMABLE, name=f"{rng.choice(nouns)} {rng.randrange(100)} item {at}")
    lines = [
        f"{rng.choice('ABH')}{rng.choice('XYZ')}-{at * 37 % 20011:05},"
        f'"{rng.choice(nouns)} {rng.randrange(3, 60)},{rng.randrange(100):02}X{rng.choice(("1,78", "3,53"))}",1.00,1'
        for at in range(2000)
    ]
    one, two = supplier(workshop, "One"), supplier(workshop, "Two")
    take_over(workshop, one, written(folder / "a.csv", lines[:1700]))
    take_over(workshop, two, written(folder / "b.csv", lines[1300:]))
    changed = [line.replace("ORING", "Ring, rubber") if at % 3 else line for at, line in enumerate(lines[170:1700])]
    take_over(workshop, one, written(folder / "c.csv", changed))
    take_over(workshop, one, written(folder / "d.csv", lines[:1500]))
    return workshop


def _alike(hits: tuple[Hit, ...]) -> list[Hit]:
    return [hit._replace(row_id=0) for hit in hits]


def test_both_databases_give_the_same_rows_in_the_same_order(
    tmp_path: Path, empty_postgres: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    # So that two thousand rows go every way that PostgreSQL is asked: the first rows, the index, and all in turn.
    monkeypatch.setattr("models.search.list_queries._PROBE", 300)
    monkeypatch.setattr("models.search.list_queries._FURTHEST", 900)
    monkeypatch.setattr("models.search.list_queries._DENSE", 500)
    monkeypatch.setattr("models.search.list_queries._OFTEN", 1)
    shops = [_shop(where, tmp_path) for where in (str(tmp_path / "w.sqlite3"), empty_postgres)]
    rng = random.Random(2)
    typed = ["oring 2", "o-ring 24.9", "hx", "hx-0", "a", "1", "12", "123", "0123", "bear", "hyd oil", "čep", "cep",
             "screw m8", "25x3.5", "3.5 x 25", "oring 17,2x1,78", "xx", "l", "filter 4", "item", "", "x-1"]  # fmt: skip
    asked: tuple[dict[str, Any], ...] = ({}, {"limit": 7, "offset": 5}, {"supplier_id": 2})
    every = [(text, options) for text in typed for options in asked]
    for at in range(120):
        drawn = "".join(rng.choice("ahxyz0123456789 -.,ors") for _ in range(rng.randrange(1, 7)))
        every.append((drawn, asked[at % len(asked)]))
    with shops[0].read() as on_sqlite, shops[1].read() as on_postgresql:
        for text, options in every:
            first, second = (search(session, text, **options) for session in (on_sqlite, on_postgresql))
            assert _alike(first.rows) == _alike(second.rows), (text, options)
            assert (first.total, first.more) == (second.total, second.more), (text, options)
    for shop in shops:
        shop.close()


def test_what_is_found_is_what_reading_every_row_finds(workshop: Workshop, tmp_path: Path) -> None:
    """Beside a plain reading of all rows in Python, with none of the indexes."""
    rng = random.Random(5)
    names = ("Bearing", "Hose clamp", "O-ring", "Filter", "Hex bolt")
    rows = sorted(
        {(f"{rng.choice('AB')}{rng.randrange(3000)}-{rng.randrange(9)}", rng.choice(names)) for _ in range(800)}
    )
    numbers = dict(rows)
    take_over(
        workshop, supplier(workshop), written(tmp_path / "a.csv", [f"{n},{m},1.00,1" for n, m in numbers.items()])
    )
    for text in ("a1", "hose", "ring", "12", "29-", "be 1", "b2 bolt", "0-1", "filter a", "999"):
        squeezed, wanted = compact(text), words(text)
        expected = set()
        for number, name in numbers.items():
            own = [*words(f"{number} {name}"), *(["ring"] if name == "O-ring" else [])]
            by_words = all(any(word.startswith(one) for word in own) for one in wanted)
            part = len(squeezed) >= 3 and squeezed in compact(number)
            if compact(number).startswith(squeezed) or by_words or part:
                expected.add(number)
        with workshop.read() as session:
            assert {hit.number for hit in search(session, text, limit=WINDOW).rows} == expected, text


@pytest.mark.parametrize("typed", ["1in x 1/8in", "1 x 1/8", "1 x 1-1/4 x 1/8 in"])
def test_trade_fractions_are_the_size_that_they_name(typed: str) -> None:
    # AS568 size chart: -214 is sold as 1 × 1-1/4 × 1/8 in and measures 0.984 × 0.139 in.
    wanted = near(typed)
    assert wanted is not None
    found = sizes_near(wanted)
    assert min(found, key=found.__getitem__) == "as568:214"
    assert near("9/16-18") is None


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("0.984 x 0.139", "0.984 x 0.139 in"),
        ("o-ring .984x.139 nbr", "o-ring .984x.139 in nbr"),
        ("25 mm x 3.5", "25 mm x 3.5"),
        ('0.984" x 0.139', '0.984" x 0.139'),
        ("214 nbr", "214 nbr"),
    ],
)
def test_a_bare_pair_is_in_inches_where_a_bare_number_is(typed: str, read: str) -> None:
    assert in_inches(typed) == read
    # AS568-214 is 0.984 × 0.139 in (AS568).
    if "984" in typed:
        wanted = near(in_inches(typed))
        assert wanted is not None
        assert "as568:214" in sizes_near(wanted)
