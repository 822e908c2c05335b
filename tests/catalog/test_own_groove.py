"""A shop's own table of grooves: read from CSV, held to the rules, told against ours, judged beside ours."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.orings import outcomes as kept
from catalog.orings.decide import decide
from catalog.orings.evidence import Condition, Dimension, Evidence, Tool
from catalog.orings.groove import GrooveKind, Motion
from catalog.orings.groove_book import GrooveBook, built_in, with_own
from catalog.orings.groove_rules import faults
from catalog.orings.instruments import reading
from catalog.orings.joint_kind import JointKind
from catalog.orings.match import rank
from catalog.orings.outcomes import is_of_a_port, outcomes
from catalog.orings.own_csv import OwnTableError
from catalog.orings.own_groove import OwnGrooves, own_grooves, told
from catalog.orings.own_groove_csv import read_own_grooves, written
from catalog.orings.own_table import Word
from catalog.orings.seats import are_ours, seats
from catalog.orings.size_book import with_own as sizes_with
from catalog.orings.sizes import RingSize, by_key
from catalog.orings.span import between
from catalog.orings.standard_grooves import GrooveRow, groove_for, groove_rows, rows_for
from catalog.standing import Standing

HEAD = "use,motion,section_mm,depth_min_mm,depth_max_mm,width_min_mm,width_max_mm\n"
TABLES = list(dict.fromkeys(row.table for row in groove_rows()))


def groove(
    table: str = "Press list", section: float = 3.53, depth: tuple[float, float] = (2.9, 2.95), **more: Any
) -> GrooveRow:
    width = between(1.35 * section, 1.4 * section)
    row = GrooveRow(
        table, "radial", (Motion.STATIC,), "", "", section, None, between(*depth), width, None, None, None, None, None,
        "", Standing.SHOP, "",
    )  # fmt: skip
    return row._replace(**more)


def book(*tables: OwnGrooves) -> GrooveBook:
    return with_own(own_grooves(tables))


def size(key: str) -> RingSize:
    found = by_key(key)
    assert found is not None
    return found


def refusals(text: str, series: str = "Press list") -> tuple[str, ...]:
    with pytest.raises(OwnTableError) as raised:
        read_own_grooves(text, series=series)
    return raised.value.problems


# The rules ----------------------------------------------------------------------------------------------------------


def test_our_own_tables_keep_the_rules_that_a_shops_is_held_to() -> None:
    assert faults(groove_rows()) == ()


@given(st.sampled_from(range(len(groove_rows()))), st.sampled_from(["depth", "width"]), st.sampled_from([10.0, 0.1]))
def test_a_decimal_point_out_of_place_is_told(at: int, what: str, factor: float) -> None:
    rows = list(groove_rows())
    wrong = getattr(rows[at], what).scaled(factor)
    rows[at] = rows[at]._replace(**{what: wrong})
    assert [fault.at for fault in faults(rows)] == [at]


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"use": "face", "motions": (Motion.RECIPROCATING,)}, "a face groove stands still"),
        ({"section_tol_mm": 3.0}, "no ring is made so loosely"),
        ({"clearance_max_mm": 2.0}, "a few hundredths of the ring"),
        ({"width_one_backup_mm": 4.0}, "with back-up rings a groove is wider"),
        ({"section_tol_mm": 0.1, "printed_squeeze_mm": (0.2, 0.3)}, "the ring less the depth leaves 0.48 to 0.73"),
        ({"depth": between(2.0, 3.5)}, "limits so wide"),
    ],
)
def test_a_row_that_cant_be_right_is_told(change: dict[str, Any], why: str) -> None:
    (fault,) = faults([groove()._replace(**change)])
    assert why in fault.why


def test_a_thicker_ring_never_has_the_shallower_groove() -> None:
    rows = [groove(section=2.62, depth=(2.2, 2.25)), groove(section=2.65, depth=(2.1, 2.15))]
    assert [fault.at for fault in faults(rows)] == [1]
    assert faults([rows[0], rows[1]._replace(motions=(Motion.RECIPROCATING,))]) == (), "another motion is another run"
    assert "stands there twice" in faults([rows[0], rows[0]])[0].why


# Reading ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        HEAD + "radial,,3.53,2.9,2.95,4.7655,4.942\n",
        "Use;Motion;ring section (mm);depth min (mm);depth max (mm);groove width min (mm);max width (mm)\n"
        "Radial;static;3,53;2,9;2,95;4,7655;4,942\n",
    ],
)
def test_a_list_is_read_however_it_is_parted(text: str) -> None:
    (table,) = read_own_grooves(text, series="Press list", source="list 7")
    assert (table.title, table.source) == ("Press list", "list 7")
    assert table.rows[0][:6] == groove()[:6]
    assert table.rows[0].depth == pytest.approx((2.9, 2.925, 2.95))
    assert table.rows[0].width == pytest.approx((4.7655, 4.85375, 4.942))


@pytest.mark.parametrize(
    ("row", "problem"),
    [
        ("piston,,3.53,2.9,2.95,4.8,4.9", "“piston” is not a use. Type radial"),
        ("radial,rotating,3.53,2.9,2.95,4.8,4.9", "“rotating” is not a motion. Type static, reciprocating"),
        ("radial,,thick,2.9,2.95,4.8,4.9", "radial groove, section: “thick” is not a number. Type one such as 2.65."),
        ("radial,,3.53,2.9,,4.8,4.9", "depth max: it is empty."),
        ("radial,,3.53,2.95,2.9,4.8,4.9", "depth: min 2.95 mm is more than max 2.9 mm. Swap the two."),
        ("radial,,0.139,2.9,2.95,4.8,4.9", "rings have 0.3 to 30 mm; is the unit right?"),
        ("radial,,3.53,4.8,4.9,2.9,2.95", "a groove has 1.94 to 3.53. Depth is to the mating surface."),
        ("face,reciprocating,3.53,2.9,2.95,4.8,4.9", "a face groove stands still"),
    ],
)
def test_a_row_that_cant_be_read_is_told_with_its_line_and_column(row: str, problem: str) -> None:
    (said,) = refusals(f"{HEAD}{row}\n")
    assert said.startswith("Line 2: ")
    assert problem in said


CELLS = st.sampled_from(
    ["radial", "face", "static", "reciprocating or pneumatic", "3,53", "2.9", "2.95", "4.8", "4.9", "0", "1e9", "", "½",
     "\"", "'=1", "9" * 40, "-1"]
)  # fmt: skip


@given(st.lists(st.lists(CELLS, max_size=8), max_size=4), st.sampled_from([",", ";", "\t"]))
def test_any_file_is_a_table_or_refused_in_sentences(rows: list[list[str]], parted: str) -> None:
    text = HEAD.replace(",", parted) + "".join(parted.join(row) + "\n" for row in rows)
    refused: tuple[str, ...] = ()
    said: list[Word] = []
    try:
        said = [one.word for table in read_own_grooves(text, series="JIS B 2401-2") for one in told(table)]
    except OwnTableError as problem:
        refused = problem.problems
    assert bool(said) != bool(refused)
    assert [one for one in refused if not one.startswith(("Line ", "The file has"))] == []


def test_where_only_the_sizes_tell_which_of_ours_it_is_they_are_asked_for() -> None:
    (said,) = refusals(f"{HEAD}face,static,5.7,4.55,4.65,7.5,7.75\n", "JIS B 2401-2")
    assert said.startswith("Line 2: ")
    assert "which sizes is it for? Type P48A..P150 or G150..G300 as its sizes." in said


@pytest.mark.parametrize("name", TABLES)
def test_each_of_our_tables_goes_out_and_comes_in_and_confirms_ours(name: str) -> None:
    ours = [row for row in groove_rows() if row.table == name]
    out = io.StringIO()
    csv.writer(out).writerows(written([OwnGrooves(name.partition(" (")[0], "the standard", tuple(ours))]))
    (table,) = read_own_grooves(out.getvalue())
    said = told(table)
    assert [one.ours for one in said] == ours
    assert {one.word for one in said} == {Word.CONFIRMS}
    for one in said:
        assert one.ours is not None
        expected = Standing.SHOP if one.ours.standing is Standing.MEMORY else one.ours.standing
        assert (one.row[:9], one.row.standing) == (one.ours[:9], expected)


# What a table says of ours, and what comes of it --------------------------------------------------------------------


def test_a_row_of_a_table_named_as_ours_corrects_it_and_any_other_is_new() -> None:
    ours = next(row for row in groove_rows() if row.table.startswith("GB/T") and row.section_mm == 3.55)
    deeper = ours._replace(table="ISO 3601-2", depth=ours.depth.scaled(1.02), source="", printed_squeeze_mm=None)
    (said,) = told(OwnGrooves("ISO 3601-2", "2016", (deeper,)))
    assert (said.word, said.ours) == (Word.CORRECTS, ours)
    assert (said.row.table, said.row.source, said.row.standing) == (ours.table, "ISO 3601-2: 2016", Standing.SHOP)
    assert said.row.note.startswith("corrected by a table of this shop; ours has depth ")
    assert said.row.width_one_backup_mm == ours.width_one_backup_mm, "what the table does not say stays ours"
    (new,) = told(OwnGrooves("Press list", "", (deeper._replace(table="Press list"),)))
    assert (new.word, new.ours, new.row.table) == (Word.NEW, None, "Press list")


def test_own_grooves_come_before_ours_and_a_corrected_one_in_its_place() -> None:
    assert book() is built_in()
    ring = size("as568:214")
    own = book(OwnGrooves("Press list", "list 7", (groove(),)))
    assert len(own.rows) == len(groove_rows()) + 1
    found = groove_for(ring, GrooveKind.PISTON, among=own.rows)
    assert found is not None
    assert (found.label.partition(",")[0], found.source) == ("Press list", "Press list: list 7")
    assert rows_for(ring, GrooveKind.PISTON, among=own.rows)[0].table == "Press list"
    jis = rows_for(size("jis:P25"), GrooveKind.PISTON, among=book(OwnGrooves("L", "", (groove("L", 3.5),))).rows)
    assert [row.table for row in jis][:2] == ["JIS B 2401-2", "L"], "a ring's own standard goes first"


def test_a_row_of_a_standards_own_table_that_names_no_sizes_serves_every_ring_of_that_standard() -> None:
    new = groove("JIS B 2401-2", 3.5, motions=(Motion.PNEUMATIC,))
    own = book(OwnGrooves("JIS B 2401-2", "2012", (new,)))
    found = [rows_for(size(key), GrooveKind.ROD, Motion.PNEUMATIC, own.rows) for key in ("jis:P25", "as568:214")]
    assert [[row.table for row in rows if row.standing is Standing.SHOP] for rows in found] == [["JIS B 2401-2"], []]


def test_a_ring_is_judged_in_the_shops_grooves_by_the_gland_and_elsewhere_by_the_table() -> None:
    ring, other = size("as568:214"), size("as568:116")
    own = book(OwnGrooves("Press list", "", (groove(depth=(3.28, 3.33)),)))
    assert {one.groove.label.partition(",")[0] for one in seats(ring, JointKind.PLUG, own)} > {"Press list"}
    assert not are_ours(ring, JointKind.PLUG, own)
    assert are_ours(ring, JointKind.COVER, own)
    assert are_ours(other, JointKind.PLUG, own)
    reckoned = outcomes(ring, ring, JointKind.PLUG, None, own)
    assert len(reckoned) == len(seats(ring, JointKind.PLUG, own))
    assert reckoned != outcomes(ring, ring, JointKind.PLUG, None, None)
    for kind in (JointKind.COVER, JointKind.BORE, JointKind.SHAFT, JointKind.PLUG):
        assert outcomes(other, other, kind, None, own) == outcomes(other, other, kind, None, None)


def test_the_ring_to_fit_goes_by_the_shops_grooves() -> None:
    """A shop whose grooves for 3.5 mm are cut so deep that only the thicker of two rings seals."""
    evidence = Evidence(
        (reading(Dimension.ID, 24.85, Tool.CALIPER), reading(Dimension.WIDTH, 3.51, Tool.CALIPER)), Condition.NEW
    )
    deep = tuple(groove("Deep", section, (3.28, 3.33)) for section in (3.5, 3.53))
    plain = decide(rank(evidence))
    own = decide(rank(evidence, own=sizes_with((), book(OwnGrooves("Deep", "", deep)))))
    assert own.wanted.tables is not None
    assert plain.wanted.tables is None
    assert own.best is not None
    assert plain.best is not None
    assert own.best.chance != plain.best.chance
    assert sum(own.best.chance) == pytest.approx(1)


def test_a_ring_that_a_port_of_the_shops_takes_is_of_a_port() -> None:
    ring = size("as568:214")
    assert not is_of_a_port(ring)
    assert is_of_a_port(ring, with_own((), frozenset({ring.key})))
    assert is_of_a_port(size("as568:904"), with_own((), frozenset({ring.key})))
    assert kept.kept(ring) == kept.reckoned(ring), "and the table that is kept is as it was"
