"""A shop's own table of ring sizes: read from CSV, held to the rules, told against ours, matched and judged."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.orings.decide import Wanted, chance, decide, near_keys
from catalog.orings.evidence import Condition, Dimension, Evidence, Tool
from catalog.orings.gland import assess
from catalog.orings.instruments import reading
from catalog.orings.joint_kind import JointKind
from catalog.orings.match import rank
from catalog.orings.on_shelf import ShelfRing
from catalog.orings.outcomes import outcomes
from catalog.orings.own_table import OwnRow, OwnTable, Word, own_sizes, told
from catalog.orings.own_table_csv import OwnTableError, read_own_tables, written
from catalog.orings.prior import Prior, rows_of_series
from catalog.orings.seats import seats
from catalog.orings.size_book import SizeBook, built_in, with_own
from catalog.orings.sizes import STANDARDS, RingSize, Series, all_sizes, by_key, load
from catalog.standing import Standing

HEAD = "designation,id_mm,id_tol_mm,cross_section_mm,cross_section_tol_mm\n"
X7 = OwnRow("X7", 33.3, 0.3, 4.3, 0.12)  # invented: no standard has a width of 4.3 mm


def own_row(size: RingSize) -> OwnRow:
    return OwnRow(size.designation, size.id_mm, size.id_tol_mm, size.cross_section_mm, size.cross_section_tol_mm)


def book(*tables: OwnTable) -> SizeBook:
    return with_own(own_sizes(tables))


def measured(id_mm: float, width_mm: float) -> Evidence:
    return Evidence(
        (reading(Dimension.ID, id_mm, Tool.CALIPER), reading(Dimension.WIDTH, width_mm, Tool.CALIPER)), Condition.NEW
    )


# Reading ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        (HEAD + "X7,33.3,0.3,4.3,0.12\n", ""),
        ("Size;ID (mm);ID ±;Cross-section (mm);Tolerance\r\n\r\nX7;33,3;±0,3;4,3;+/-0,12\r\n", "mm"),
        ("\ufeffcode\td1\td1 tol\td2\td2 tol\nX7\t33.3\t0.3\t4.3\t0.12\n", "mm"),
        ("no,id in,id tol in,width in,tol in\nX7,1.31102,0.01181,0.16929,0.00472\n", ""),
        ("no,id,id tol,width,tol\nX7,1.31102,0.01181,0.16929,0.00472\n", "in"),
        ("no,id in,id mm,id tol mm,width mm,tol mm\nX7,1.3,33.3,0.3,4.3,0.12\n", "mm"),
    ],
)
def test_a_list_is_read_in_either_unit_however_it_is_parted(text: str, unit: str) -> None:
    (table,) = read_own_tables(text, series="Maker list", source="list 7", unit=unit)
    assert (table.title, table.source, len(table.rows), table.rows[0].designation) == ("Maker list", "list 7", 1, "X7")
    assert table.rows[0][1:] == pytest.approx(X7[1:], abs=2e-4)


def test_an_inch_is_kept_exactly() -> None:
    text = "no,id_in,id_tol_in,cross_section_in,cross_section_tol_in\n214,0.984,0.010,0.139,0.004\n"
    (table,) = read_own_tables(text, series="AS568")
    ours = by_key("as568:214")
    assert ours is not None
    assert table.rows == (own_row(ours),)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("", "The file is empty."),
        (HEAD, "no row below its first line"),
        ("designation,id_mm,id_tol_mm,tolerance\n", "Line 1: no column is named cross-section."),
        ("designation,id,id tol,cs,tol\n", "Line 1: no unit is said."),
        ("designation,size,id_mm,id_tol_mm,cs_mm,tol_mm\n", "two columns are named designation"),
        (HEAD + ",33.3,0.3,4.3,0.12\n", "Line 2: the designation is empty."),
        (HEAD + "X7,wide,0.3,4.3,0.12\n", "Line 2: X7, ID: “wide” is not a number."),
        (HEAD + "X7,33.3,0.3,4.3\n", "Line 2: X7, tolerance (of the cross-section): it is empty."),
        (HEAD + "X7,33.3,0.3,4.3,0.12,9\n", "Line 2: there are 6 columns, but the first line names 5."),
        (HEAD + "X7,33.3,0.3,4.3,0.12\n\nX7,34.3,0.3,4.3,0.12\n", "Line 4: X7: the name stands there twice."),
        (HEAD + f"{'X' * 60},33.3,0.3,4.3,0.12\n", "longer than 50 characters"),
        (HEAD + "X7,1.311,0.012,0.169,0.005\n", "Line 2: X7: width 0.169 mm: rings have 0.3 to 30 mm"),
    ],
)
def test_a_list_that_cant_be_right_is_told_by_its_line(text: str, problem: str) -> None:
    with pytest.raises(OwnTableError) as raised:
        read_own_tables(text, series="Maker list")
    assert len(raised.value.problems) == 1
    assert problem in raised.value.problems[0]


def test_every_bad_row_gets_its_own_sentence() -> None:
    rows = "A,10,0.2,2,0.1\nB,no,0.2,2,0.1\nC,9,0.2,2,0.1\nD,11,0.2,2,0.1\n"
    with pytest.raises(OwnTableError) as raised:
        read_own_tables(HEAD + rows, series="Maker list")
    assert [one.split(",")[0].split(":")[0] for one in raised.value.problems] == ["Line 3", "Line 4"]


def test_a_table_without_a_name_is_refused_and_a_column_may_name_several() -> None:
    with pytest.raises(OwnTableError, match="has no name"):
        read_own_tables(HEAD + "X7,33.3,0.3,4.3,0.12\n")
    named = f"series,{HEAD}One,A,10,0.2,2,0.1\nTwo,A,10,0.2,2,0.1\n"
    assert [one.title for one in read_own_tables(named)] == ["One", "Two"]


@pytest.mark.parametrize("series", STANDARDS)
def test_each_of_our_tables_goes_out_and_comes_in_unchanged(series: Series) -> None:
    table = OwnTable(series.value, "ours", tuple(map(own_row, load(series))))
    out = io.StringIO()
    csv.writer(out).writerows(written([table]))
    assert read_own_tables(out.getvalue()) == (table,)


# What a table says of ours --------------------------------------------------------------------------------------


@pytest.mark.parametrize("series", STANDARDS)
def test_a_table_that_says_what_ours_says_confirms_every_row(series: Series) -> None:
    said = told(OwnTable(series.value, "the standard", tuple(map(own_row, load(series)))))
    assert [one.word for one in said] == [Word.CONFIRMS] * len(load(series))
    for one, ours in zip(said, load(series), strict=True):
        assert one.size[:6] == ours[:6]
        # A row that was compared with print before keeps its source; one that nobody saw is the shop's word now.
        expected = Standing.SHOP if ours.standing is Standing.MEMORY else ours.standing
        assert one.size.standing is expected


@pytest.mark.parametrize(
    ("title", "designation", "word", "key"),
    [
        ("jis", "V950", Word.CORRECTS, "jis:V950"),
        ("JIS B 2401", "V950", Word.CORRECTS, "jis:V950"),
        ("Maker list", "JIS V950", Word.CORRECTS, "jis:V950"),
        ("Maker list", "V950", Word.NEW, "own:Maker list V950"),
        ("jis", "V9500", Word.NEW, "own:JIS B 2401 V9500"),
        ("jis", "-214", Word.NEW, "own:JIS B 2401 -214"),  # a dash number is no JIS size
    ],
)
def test_a_row_speaks_of_ours_only_where_it_names_its_standard(
    title: str, designation: str, word: Word, key: str
) -> None:
    (said,) = told(OwnTable(title, "bought", (OwnRow(designation, 944.0, 6.0, 10.0, 0.3),)))
    assert (said.word, said.size.key) == (word, key)
    assert said.size.standing is Standing.SHOP
    assert said.size.source == f"{title}: bought"


def test_a_metric_size_is_confirmed_by_its_figures() -> None:
    ours = by_key("metric:25x3.55")
    assert ours is not None
    assert ours.standing is Standing.MEMORY
    said = told(OwnTable("Maker list", "list 7", (own_row(ours)._replace(designation="M25"),)))
    assert [(one.word, one.size.key, one.size.standing) for one in said] == [
        (Word.CONFIRMS, "metric:25x3.55", Standing.SHOP)
    ]
    # With another tolerance it is a size of the maker's, not ours.
    loose = own_row(ours)._replace(designation="M25", id_tol_mm=0.5)
    assert told(OwnTable("Maker list", "", (loose,)))[0].word is Word.NEW


def test_a_confirmed_row_counts_as_much_as_a_published_one() -> None:
    ours = by_key("metric:25x3.55")
    assert ours is not None
    confirmed = book(OwnTable("metric", "bought", (own_row(ours),)))
    now = confirmed.by_key(ours.key)
    assert now is not None
    prior = Prior()
    assert prior.weight(now) == 2 * prior.weight(ours)
    assert rows_of_series(confirmed)[Series.METRIC] == rows_of_series(built_in())[Series.METRIC] + 0.5
    evidence = measured(25.0, 3.55)
    before, after = (rank(evidence, own=one).posterior.chances[ours.key] for one in (None, confirmed))
    assert after > before


def test_of_two_tables_the_later_word_holds() -> None:
    first = OwnTable("jis", "old", (OwnRow("V950", 943.0, 6.0, 10.0, 0.3),))
    later = OwnTable("JIS B 2401", "new", (OwnRow("V950", 944.0, 6.0, 10.0, 0.3),))
    found = book(first, later).by_key("jis:V950")
    assert found is not None
    assert found.id_mm == 944.0


# A book of sizes ------------------------------------------------------------------------------------------------


def test_without_own_rows_the_book_is_the_built_in_one() -> None:
    assert with_own(()) is built_in()
    assert built_in().sizes == all_sizes()


@settings(max_examples=30)
@given(
    st.lists(
        st.tuples(st.floats(1.0, 900.0), st.floats(0.6, 10.0)), min_size=1, max_size=20, unique_by=lambda one: one[0]
    ),
    st.sets(st.sampled_from(all_sizes()), max_size=20),
)
def test_a_book_has_each_key_once_and_stays_in_order(new: list[tuple[float, float]], changed: set[RingSize]) -> None:
    rows = [RingSize(Series.OWN, f"T {i}", a, 0.1, b, 0.1, "", Standing.SHOP, "") for i, (a, b) in enumerate(new)]
    rows += [size._replace(id_mm=size.id_mm + 0.5, standing=Standing.SHOP) for size in changed]
    found = with_own(rows)
    assert len({size.key for size in found.sizes}) == len(found.sizes) == len(all_sizes()) + len(new)
    places = [(size.id_mm, size.cross_section_mm) for size in found.sizes]
    assert places == sorted(places)
    assert all(found.by_key(row.key) is row for row in rows)
    ours = {size.key for size in changed}
    assert all(found.by_key(size.key) is size for size in all_sizes() if size.key not in ours)


# Matching and judging -------------------------------------------------------------------------------------------

OWN = book(OwnTable("Maker list", "list 7", (X7,)))


def test_an_own_size_is_named_where_none_of_ours_fits() -> None:
    evidence = measured(33.3, 4.3)
    assert not rank(evidence).found
    ranking = rank(evidence, own=OWN)
    assert ranking.matches[0].size.label == "Maker list X7"
    assert ranking.matches[0].probability > 0.9
    assert "Maker list: list 7" in {one.source for one in ranking.because}


def test_only_own_sizes_may_be_asked_for_and_nothing_is_then_denied() -> None:
    assert rank(measured(33.3, 4.3), series=[Series.OWN], own=OWN).found
    for own in (OWN, None):
        nothing = rank(measured(25.0, 3.53), series=[Series.OWN], own=own)
        assert not nothing.found
        assert nothing.denial is not None
        assert not nothing.denial.complete


def test_a_standard_name_leads_where_an_own_size_is_the_same_ring() -> None:
    ours = by_key("as568:214")
    assert ours is not None
    twin = book(OwnTable("Maker list", "", (own_row(ours)._replace(designation="Z1"),)))
    first = rank(measured(24.99, 3.53), own=twin).matches[0]
    assert first.size.key == "as568:214"
    assert "own:Maker list Z1" in {size.key for size in first.also}


def test_an_own_ring_is_judged_in_each_groove_by_the_gland_itself() -> None:
    (ring,) = OWN.own
    for kind in (JointKind.PLUG, JointKind.BORE, JointKind.COVER, JointKind.SHAFT):
        places = seats(ring, kind)
        found = outcomes(ring, ring, kind, None, None)
        assert places
        assert len(found) == len(places)
        assert all(one.as_good for one in found)
        other = by_key("as568:219")  # 32.92 × 3.53: too thin for a groove of 4.3 mm
        assert other is not None
        judged = [assess(other, seat.groove).verdict.rank <= seat.own.rank for seat in places]
        assert [one.as_good for one in outcomes(other, ring, kind, None, None)] == judged


def test_a_corrected_row_is_not_judged_by_the_table_of_the_old_one() -> None:
    ours = by_key("as568:214")
    assert ours is not None
    thin = ours._replace(cross_section_mm=2.62, standing=Standing.SHOP)
    assert all(one.as_good for one in outcomes(ours, ours, JointKind.PLUG, None, None))
    assert not any(one.as_good for one in outcomes(thin, ours, JointKind.PLUG, None, None))
    for joint in (None, JointKind.PLUG, JointKind.COVER):
        assert chance(ours, ours, Wanted(joint)).seals == pytest.approx(1.0)
        assert chance(thin, ours, Wanted(joint)).seals < 0.1


def test_the_ring_to_fit_is_the_own_one_and_the_shelf_has_it() -> None:
    ranking = rank(measured(33.3, 4.3), own=OWN)
    assert "own:Maker list X7" in near_keys(ranking)
    lies = ShelfRing("own", "Maker list X7", 33.3, 4.3, "NBR", 70, "Box 1", 5, 1)
    decision = decide(ranking, Wanted(shelf=(lies,)))
    assert decision.best is not None
    assert (decision.best.size.key, decision.best.free) == ("own:Maker list X7", 5)
    assert decision.best.chance.seals > 0.9
