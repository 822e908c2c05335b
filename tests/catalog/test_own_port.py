"""A shop's own table of ports: read from CSV, held to the rules, told against ours, matched beside ours."""

from __future__ import annotations

import csv
import io
from itertools import groupby
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.fasteners.thread import Measured, Reading
from catalog.orings.joints import Port, PortSeal, Seen, ports, ports_of_tube
from catalog.orings.own_csv import OwnTableError
from catalog.orings.own_port import OwnPorts, PortRow, as_port, own_ports, told
from catalog.orings.own_port_csv import read_own_ports, written
from catalog.orings.own_table import Word
from catalog.orings.port import ports_for
from catalog.orings.port_book import PortBook, built_in, with_own
from catalog.orings.port_rules import faults
from catalog.standing import Standing

HEAD = "thread,seal,tube,ring,ring_id_mm,ring_id_tol_mm,ring_section_mm,ring_section_tol_mm,chamfer_deg\n"
STANDARDS = sorted({one.standard for one in ports()})
# Of ISO 6149-1 our M12x1.5 has a ring of 9.3 × 2.2 mm, unchecked.
M12 = PortRow("M12x1.5", PortSeal.CHAMFER, ring_mm=(9.4, 0.2, 2.2, 0.08), chamfer_deg=15.0)


def own_row(port: Port) -> PortRow:
    """One of our rows as a shop would have it in its own table."""
    ring = port.ring
    figures = None if ring is None else (ring.id_mm, ring.id_tol_mm, ring.cross_section_mm, ring.cross_section_tol_mm)
    return PortRow(
        port.thread, port.seal, port.standard, port.tube, "", figures, port.chamfer_deg,
        note=port.note if "not in the tables" in port.note else "",
    )  # fmt: skip


def book(*tables: OwnPorts) -> PortBook:
    return with_own(own_ports(tables))


def refusals(text: str, series: str = "Valve list") -> tuple[str, ...]:
    with pytest.raises(OwnTableError) as raised:
        read_own_ports(text, series=series)
    return raised.value.problems


# The rules ----------------------------------------------------------------------------------------------------------


def test_our_own_tables_keep_the_rules_that_a_shops_is_held_to() -> None:
    assert faults(ports()) == ()


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"seal": PortSeal.CONE_37}, "a chamfer is of a port whose O-ring sits in it"),
        ({"chamfer_deg": 75.0}, "ports have 5 to 45°"),
        ({"tube": "3"}, "tube 3 is no smaller than the thread"),
        ({"ring": None}, "no ring is said"),
        ({"chamfer_deg": None, "seal": PortSeal.CONE_37}, "has a ring, but is sealed by a 37° flare"),
    ],
)
def test_a_row_of_ours_made_wrong_is_told(change: dict[str, Any], why: str) -> None:
    rows = [one for one in ports() if one.standard == "SAE J1926-1"]
    rows[3] = rows[3]._replace(**change)
    (fault,) = faults(rows)
    assert fault.at == 3
    assert why in fault.why


@given(st.integers(0, 17))
def test_rings_that_change_places_are_told(at: int) -> None:
    """The larger thread would have the smaller ring."""
    rows = [one for one in ports() if one.standard == "SAE J1926-1"]
    rows[at], rows[at + 1] = rows[at]._replace(ring=rows[at + 1].ring), rows[at + 1]._replace(ring=rows[at].ring)
    assert {fault.at for fault in faults(rows)} & {at, at + 1}


# Reading ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text",
    [
        HEAD + "M12x1.5,chamfer,,,9.4,0.2,2.2,0.08,15\n",
        "Thread;Sealed by;O-ring ID (mm);O-ring ID tol (mm);width (mm);width ±(mm);Chamfer\n"
        "M12x1.5;Chamfer;9,4;±0,2;2,2;0,08;15\n",
        "thread\tseal\tid mm\tid tol mm\tcs mm\tcs tol mm\tangle\nM12x1.5\tchamfer\t9.4\t0.2\t2.2\t0.08\t15\n",
    ],
)
def test_a_list_is_read_however_it_is_parted(text: str) -> None:
    (table,) = read_own_ports(text, series="Valve list", source="list 7")
    assert table == OwnPorts("Valve list", "list 7", (M12,))


def test_figures_in_inches_and_a_ring_by_its_name() -> None:
    inch = "thread,seal,tube,ring_id_in,ring_id_tol_in,ring_section_in,ring_section_tol_in\n"
    (table,) = read_own_ports(f"{inch}7/16-20,chamfer,1/4,0.351,0.005,0.072,0.003\n", series="J1926-1")
    (said,) = told(table)
    assert (said.word, said.port) == (Word.CONFIRMS, said.ours)
    (named,) = read_own_ports("thread,seal,ring\n7/16-20,chamfer,AS568-904\n", series="SAE J1926-1")
    assert named.rows[0].ring_key == "as568:904"
    assert told(named)[0].word is Word.CONFIRMS


@pytest.mark.parametrize(
    ("row", "problem"),
    [
        (",chamfer,,,9.4,0.2,2.2,0.08,15", "Line 2: the thread is empty."),
        ("M12x1.3,chamfer,,,9.4,0.2,2.2,0.08,15", "No thread called 'M12x1.3'"),
        ("M12x1.5,bevel,,,9.4,0.2,2.2,0.08,15", "Line 2: M12x1.5: “bevel” is not a seal. Type one of: chamfer,"),
        ("M12x1.5,,,,9.4,0.2,2.2,0.08,15", "the seal is empty."),
        ("M12x1.5,chamfer,,,9.4,,2.2,0.08,15", "M12x1.5, ring ID tolerance: it is empty."),
        ("M12x1.5,chamfer,,,wide,0.2,2.2,0.08,15", "M12x1.5, ring ID: “wide” is not a number. Type one such as 3.53."),
        ("M12x1.5,chamfer,,JIS P11,9.4,0.2,2.2,0.08,15", "by its name and by ring ID. Give one of the two."),
        ("M12x1.5,chamfer,,JIS 25,,,,,15", "no ring is called “JIS 25”. Type JIS P25 or JIS G25"),
        ("M12x1.5,chamfer,,,,,,,15", "but no ring is said. Type its name, or its ID and width."),
        ("M12x1.5,chamfer,,,2.2,0.2,9.4,0.08,15", "are the two in each other's column?"),
        ("M12x1.5,chamfer,,,19.4,0.2,2.2,0.08,15", "so it has more than 9 mm and less than 12."),
        ("M12x1.5,cone-24,8,,,,,,", "tube “8” is not clear. Type it like 3/8 (inches), 10 mm or 10 mm L."),
        ("M12x1.5,cone-37,3/0,,,,,,", "tube “3/0” is not clear."),
        ("M12x1.5,cone-37,1 4 in,,,,,,", "tube “1 4 in” is not clear."),
        ("M12x1.5,cone-24,0 mm,,,,,,", "tube “0 mm” is not clear."),
        ("M12x1.5,chamfer,,,9.4,0.2,2.2,0.08,45.1", "chamfer 45.1°: ports have 5 to 45°"),
    ],
)
def test_a_row_that_cant_be_right_is_told_with_its_line_and_column(row: str, problem: str) -> None:
    (said,) = refusals(f"{HEAD}{row}\n")
    assert said.startswith("Line 2: ")
    assert problem in said


CELLS = st.sampled_from(
    ["M12x1.5", "G 1/4", "chamfer", "cone-24", "thread", "9,4", "0.2", "2.2", "15", "0", "1e9", "", "P11", "AS568-904",
     "3/8", "10 mm L", "none", "\"", "'=1", "½", "9" * 40, "-1"]
)  # fmt: skip


@given(st.lists(st.lists(CELLS, max_size=10), max_size=4), st.sampled_from([",", ";", "\t"]))
def test_any_file_is_a_table_or_refused_in_sentences(rows: list[list[str]], parted: str) -> None:
    text = HEAD.replace(",", parted) + "".join(parted.join(row) + "\n" for row in rows)
    refused: tuple[str, ...] = ()
    said: list[Word] = []
    try:
        said = [one.word for table in read_own_ports(text, series="Valve list") for one in told(table)]
    except OwnTableError as problem:
        refused = problem.problems
    assert bool(said) != bool(refused)
    assert [one for one in refused if not one.startswith(("Line ", "The file has"))] == []


def test_every_bad_row_gets_its_own_sentence_and_then_nothing_counts() -> None:
    rows = (
        "M10x1,chamfer,,,8.1,0.2,1.6,0.08,12\nM12x1.5,no,,,,,,,\nM14x1.5,flat-washer,,,,,,,15\nM10x1,chamfer,,P8,,,,,\n"
    )
    lines = [one.partition(":")[0] for one in refusals(HEAD + rows)]
    assert lines == ["Line 3", "Line 4"]
    (twice,) = refusals(HEAD + "M10x1,chamfer,,,8.1,0.2,1.6,0.08,12\nm 10x1,chamfer,,,8.1,0.2,1.6,0.08,\n")
    assert "Line 3: m 10x1 chamfer: the joint stands there twice." in twice


def test_where_only_the_tube_tells_which_of_ours_it_is_the_tube_is_asked_for() -> None:
    (said,) = refusals("thread,seal\nM18x1.5,cone-24\n", "DIN 2353")
    assert said == "Line 2: M18x1.5 cone-24: which tube is it for? Type 12 mm L or 10 mm S."
    (table,) = read_own_ports("thread,seal,tube\nM18x1.5,cone-24,12mm l\n", series="DIN 2353")
    assert [(one.word, one.port.tube) for one in told(table)] == [(Word.CONFIRMS, "12 mm L")]


@pytest.mark.parametrize("standard", STANDARDS)
def test_each_of_our_tables_goes_out_and_comes_in_unchanged_and_confirms_ours(standard: str) -> None:
    rows = [one for one in ports() if one.standard == standard]
    for (_, seal), some in groupby(rows, lambda one: (one.plug, one.seal)):
        ours = list(some)
        table = OwnPorts("ours", "the standard", tuple(map(own_row, ours)))
        out = io.StringIO()
        csv.writer(out).writerows(written([table]))
        (back,) = read_own_ports(out.getvalue())
        assert [row[:5] for row in back.rows] == [row[:5] for row in table.rows], seal
        said = told(back)
        assert {one.word for one in said} == {Word.CONFIRMS}
        assert [one.ours for one in said] == ours
        for one in said:
            expected = Standing.SHOP if one.ours and one.ours.standing.trust > Standing.SHOP.trust else one.ours
            assert expected in (one.port.standing, one.port)


# What a table says of ours ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("title", "standard", "word"),
    [
        ("ISO 6149-1", "", Word.CORRECTS),
        ("iso 6149 - 1", "", Word.CORRECTS),
        ("6149-1", "", Word.CORRECTS),
        ("Valve list", "ISO 6149-1", Word.CORRECTS),
        ("Valve list", "", Word.NEW),
        ("ISO 6149", "", Word.NEW),
    ],
)
def test_a_row_speaks_of_ours_only_where_it_names_its_standard(title: str, standard: str, word: Word) -> None:
    (said,) = told(OwnPorts(title, "2017", (M12._replace(standard=standard),)))
    assert said.word is word
    if word is Word.CORRECTS:
        assert said.ours is not None
        assert said.port.title == said.ours.title == "ISO 6149-1 M12x1.5"
        assert said.port.note.startswith("corrected by a table of this shop; ours has ring 9.3 ± 0.2 × 2.2 ± 0.08 mm")
        assert "a ridge around the spot face" in said.port.note
    else:
        assert said.port.title == f"{title} M12x1.5"
    assert said.port.ring is not None
    assert (said.port.ring.id_mm, said.port.standing, said.port.source) == (9.4, Standing.SHOP, f"{title}: 2017")


def test_a_confirmed_row_loses_its_doubt_and_its_joints_note_stays() -> None:
    row = M12._replace(ring_mm=(9.3, 0.2, 2.2, 0.08), chamfer_deg=None)
    (said,) = told(OwnPorts("ISO 6149-1", "2017", (row,)))
    assert said.word is Word.CONFIRMS
    assert said.ours is not None
    assert "unchecked" in said.ours.note
    assert "unchecked" not in said.port.note
    assert said.port.note.startswith("confirmed by a table of this shop; a ridge around the spot face")
    assert said.port.ring is not None
    assert (said.port.standing, said.port.ring.standing) == (Standing.SHOP, Standing.SHOP)
    assert said.port.chamfer == said.ours.chamfer, "what the table does not say stays ours"


def test_a_book_has_the_shops_rows_in_place_of_ours_and_new_ones_last() -> None:
    assert book() is built_in()
    corrected = OwnPorts("ISO 6149-1", "", (M12,))
    new = OwnPorts("Valve list", "", (M12, PortRow("M12x1.5", PortSeal.CONE_24, tube="6 mm L")))
    found = book(corrected, new)
    assert len(found.ports) == len(ports()) + 2
    assert [one.standard for one in found.ports[-2:]] == ["Valve list", "Valve list"]
    assert sum(one.title == "ISO 6149-1 M12x1.5" for one in found.ports) == 1
    assert len(found.own) == 3
    later = book(corrected, OwnPorts("6149-1", "", (M12._replace(ring_mm=(9.2, 0.2, 2.2, 0.08)),)))
    (one,) = [one for one in later.ports if one.title == "ISO 6149-1 M12x1.5"]
    assert one.ring is not None
    assert one.ring.id_mm == 9.2, "of two tables the later word holds"
    assert {port.standard for port in ports_of_tube(6.0, found.ports)} >= {"Valve list"}


# Matching -----------------------------------------------------------------------------------------------------------


def test_the_port_answer_names_the_shops_ring() -> None:
    measured = Measured(Reading(11.9, 0.05), Reading(1.5, 0.03))
    ours = ports_for(measured, Seen.CHAMFER)
    own = ports_for(measured, Seen.CHAMFER, own=book(OwnPorts("ISO 6149-1", "2017", (M12,))))
    assert ours.ring is not None
    assert own.ring is not None
    assert (ours.ring.id_mm, own.ring.id_mm) == (9.3, 9.4)
    assert own.ring_certain
    assert "corrected by a table of this shop" in own.text
    assert own.because[0].standing is Standing.SHOP
    # The same joint in another list with another ring: the look does not tell the two apart, so neither ring is sure.
    both = ports_for(measured, Seen.CHAMFER, own=book(OwnPorts("Valve list", "", (M12,))))
    assert not both.ring_certain
    assert {one.port.standard for one in both.candidates[:2]} == {"ISO 6149-1", "Valve list"}


@given(
    st.sampled_from(["M10x1", "M12x1.5", "M14x1.5", "G 1/4", "7/16-20"]),
    st.sampled_from([PortSeal.CONE_60, PortSeal.FLAT_WASHER, PortSeal.CHAMFER]),
    st.sampled_from([None, Seen.CHAMFER, Seen.CONE, PortSeal.BANJO]),
)
def test_with_own_rows_all_still_sums_to_one(thread: str, seal: PortSeal, look: Seen | PortSeal | None) -> None:
    ring = "as568:010" if seal is PortSeal.CHAMFER else ""
    table = OwnPorts("Valve list", "", (PortRow(thread, seal, ring_key=ring),))
    screw = as_port(table, table.rows[0]).screw
    answer = ports_for(
        Measured(Reading(screw.diameter_mm - 0.1, 0.05), Reading(screw.pitch_mm, 0.02)), look, own=book(table)
    )
    listed = sum(one.probability for one in answer.candidates)
    assert listed + answer.other_probability + answer.none_probability == pytest.approx(1, abs=0.03)
    assert any(one.port.standard == "Valve list" for one in answer.candidates) or look is not None
