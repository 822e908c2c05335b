"""Fit records as CSV between two shops, and the question a differing reading raises."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlmodel import Session

from catalog.orings.evidence import Condition, Dimension, Evidence, Reading, Tool
from catalog.orings.groove import Groove, Guiding
from catalog.orings.prior import Built, prior_for
from catalog.orings.sizes import by_key
from catalog.orings.span import span
from models import machines
from models.csv_cells import neutral, plain
from models.database import Workshop, open_workshop
from models.errors import InvalidInputError
from models.fits import fit_records
from models.fits.fit_csv import COLUMNS, from_csv, to_csv
from models.fits.fit_import import Choice, import_fits, plan
from models.fits.fit_question import compare
from models.fits.written import as_written
from models.stored_text import from_text, to_text
from models.words import Kind
from tests.models.shop import INLET, act
from tests.models.test_qualify import GROOVE


def _place(session: Session, machine: str = "Orchard tractor 3", name: str = "pump inlet flange ring") -> int:
    known = next((row for row in machines.listed(session) if row.name == machine), None)
    made = known or machines.add(session, act(), name=machine)
    return machines.add_position(session, act(), machine_id=made.machine_id, name=name).position_id


def _fill(session: Session) -> int:
    inlet = _place(session)
    fit_records.record(session, act(), inlet, "as568:213", note="seeped")
    fit_records.record(
        session, act("Bench 2"), inlet, "as568:214", evidence=INLET, rubber="HNBR", hardness_shore_a=70, groove=GROOVE,
        note="=cmd|' /C calc'!A1 is what the old label said,\nin two lines",
    )  # fmt: skip
    fit_records.record(session, act(), _place(session, "Shop press", "ram ring"), "as568:222")
    return inlet


def test_the_groove_is_kept_and_every_position_that_holds_is_listed(workshop: Workshop) -> None:
    with workshop.write() as session:
        inlet = _fill(session)
    with workshop.read() as session:
        holds = fit_records.for_position(session, inlet)
        assert holds is not None
        assert (holds.groove, holds.imported_by) == (GROOVE, "")
        assert [row.size_key for row in fit_records.all_holding(session)] == ["as568:214", "as568:222"]
        tractor = machines.listed(session)[0].machine_id
        assert fit_records.at_machine(session, tractor) == (holds,)


def test_confirmed_sizes_weigh_the_next_match(workshop: Workshop) -> None:
    with workshop.write() as session:
        inlet = _fill(session)
        fit_records.record(session, act(), inlet, "as568:214")
        counts = fit_records.confirmed_counts(session)
    # -213 was superseded by another size: it did not hold, so it counts for nothing.
    assert counts == {"as568:214": 2, "as568:222": 1}
    size = by_key("as568:214")
    assert size is not None
    assert prior_for(Built.JAPAN, counts).weight(size) == prior_for(Built.JAPAN).weight(size) + 2


def test_the_file_is_plain_csv_that_no_spreadsheet_runs(workshop: Workshop) -> None:
    with workshop.write() as session:
        _fill(session)
        text = to_csv(fit_records.all_holding(session))
    # Read by the standard library alone, as any other program would.
    first, second = csv.DictReader(io.StringIO(text, newline=""))
    assert tuple(first) == COLUMNS
    assert (first["machine"], first["size"], first["rubber"], first["hardness_shore_a"]) == (
        "Orchard tractor 3", "as568:214", "HNBR", "70",
    )  # fmt: skip
    assert first["readings"] == "id 24.9 0.1 caliper; width 3.5 0.05 caliper"
    assert first["note"].startswith("'=cmd")
    assert (second["size"], second["readings"], second["groove_kind"]) == ("as568:222", "", "")
    assert first["at"] == "2026-03-02T12:00:00+00:00"


def test_what_one_shop_exports_another_has_whole(workshop: Workshop, tmp_path: Path) -> None:
    with workshop.write() as session:
        _fill(session)
        rows = fit_records.all_holding(session)
        text = to_csv(rows)
        again = plan(session, from_csv(text).fits)
    assert (len(again.known), again.new, again.conflicts) == (2, (), ())
    other = open_workshop(tmp_path / "other.sqlite3")
    pressed = act("Stores", key="take in")
    with other.write() as session:
        done = import_fits(session, pressed, from_csv(text).fits)
        assert (done.added, done.open, done.refused) == (2, (), ())
        theirs = fit_records.all_holding(session)
        assert import_fits(session, pressed, from_csv(text).fits).known == 2
    keep = ("size_key", "rubber", "hardness_shore_a", "readings", "note", "who", "at", "machine_name")
    assert [row.groove for row in theirs] == [as_written(row.groove) for row in rows]
    assert [[getattr(row, name) for name in keep] for row in theirs] == [
        [getattr(row, name) for name in keep] for row in rows
    ]
    assert {row.imported_by for row in theirs} == {"Stores"}
    with other.read() as session:
        assert to_csv(fit_records.all_holding(session)) == text
    other.close()


@pytest.mark.parametrize(
    ("cell", "play", "centred"), [("", None, False), ("0.12", 0.12, False), ("0", 0.0, False), ("centred", None, True)]
)
def test_a_grooves_play_goes_into_the_file_and_back(cell: str, play: float | None, centred: bool) -> None:
    header = "machine,position,size,groove_kind,groove,groove_clearance,groove_play"
    (one,) = from_csv(
        f"{header}\nM,p,as568:214,piston,inner 25 25 25; outer 31 31 31; width 4.8 4.8 4.8,0.2,{cell}"
    ).fits
    assert one.fit.groove is not None
    assert (one.fit.groove.clearance, one.fit.groove.play, one.fit.groove.centred) == (0.2, play, centred)
    assert from_text(Groove, to_text(one.fit.groove)) == one.fit.groove


def test_a_groove_kept_before_play_was_asked_for_is_of_unknown_play() -> None:
    """A text as it was stored: no clearance, no play. It reads, and is taken as centred."""
    sizes = ('"inner":', 22), ('"outer":', 28), ('"width":', 4.7)
    spans = ",".join(f'{name}{{"minimum":{at},"nominal":{at},"maximum":{at}}}' for name, at in sizes)
    groove = from_text(Groove, f'{{"kind":"rod","motion":"static","depth":null,{spans}}}')
    assert (groove.play, groove.centred, groove.guiding) == (None, False, Guiding.UNKNOWN)


def test_a_play_that_can_not_be_is_refused_with_its_line() -> None:
    header = "machine,position,size,groove_kind,groove,groove_play"
    read = from_csv(f"{header}\nM,p,as568:214,piston,inner 1 2 3,-1\nM,p,as568:214,piston,inner 1 2 3,loose")
    assert [line for line, _ in read.refused] == [2, 3]


def test_a_conflict_waits_for_a_person_and_nothing_is_lost(workshop: Workshop) -> None:
    with workshop.write() as session:
        inlet = _fill(session)
        ours = fit_records.for_position(session, inlet)
        assert ours is not None
        header = "machine,position,size,rubber,who,at\r\n"
        line = "Orchard tractor 3,pump inlet flange ring,metric:25x3.55,FKM,Other shop,2025-01-02T03:04:05+00:00\r\n"
        fits = from_csv(header + line).fits
        waiting = import_fits(session, act(), fits)
        (conflict,) = waiting.open
        assert (waiting.added, conflict.ours) == (0, ours)
        assert "size: theirs metric:25x3.55, ours as568:214; rubber: theirs FKM, ours HNBR" in conflict.what
        assert fit_records.for_position(session, inlet) == ours

        kept = import_fits(session, act(), fits, {conflict.theirs.line: Choice.OURS})
        assert (kept.settled, kept.open) == (1, ())
        holds, imported, first, *_ = fit_records.history(session, inlet)
        assert (holds.size_key, holds.readings, holds.groove, holds.note, holds.who, holds.at) == (
            ours.size_key, ours.readings, ours.groove, ours.note, ours.who, ours.at,
        )  # fmt: skip
        assert (imported.size_key, imported.who, first) == ("metric:25x3.55", "Other shop", ours)
        assert len(import_fits(session, act(), fits).open) == 0  # it is on record now

        more = from_csv(header + line.replace("FKM", "EPDM")).fits
        import_fits(session, act(), more, {more[0].line: Choice.THEIRS})
        now = fit_records.for_position(session, inlet)
        assert now is not None
        assert (now.size_key, now.rubber) == ("metric:25x3.55", "EPDM")
    with pytest.raises(InvalidInputError, match="Line 99 is in no conflict"), workshop.write() as session:
        import_fits(session, act(), more, {99: Choice.OURS})


def test_rows_that_can_not_be_read_are_refused_one_by_one(workshop: Workshop) -> None:
    rows = [
        "machine,position,size,hardness_shore_a,readings,groove_kind,groove,groove_clearance",
        "M,good,as568:214,,,,,",
        "M,unknown size,as568:999,,,,,",
        "M,bad hardness,as568:214,soft,,,,",
        "M,bad reading,as568:214,,id 24.9 caliper,,,",
        "M,no tool,as568:214,,id 24.9 0.1 eye,,,",
        "M,not a number,as568:214,,id nan 0.1 caliper,,,",
        "M,bad groove,as568:214,,,piston,depth 3 2 1,",
        "M,bad gap,as568:214,,,piston,depth 1 2 3,nan",
        ",no machine,as568:214,,,,,",
        "M,good,as568:215,,,,,",
    ]
    read = from_csv("\n".join(rows))
    assert [line for line, _ in read.refused] == [3, 4, 5, 6, 7, 8, 9, 10]
    with workshop.write() as session:
        mine = machines.add(session, act(), name="M")
        machines.add_position(session, act(), machine_id=mine.machine_id, name="sump", takes=Kind.FLUID)
        done = import_fits(session, act(), read.fits)
        assert (done.added, [line for line, _ in done.refused]) == (1, [11])
        sump = from_csv("machine,position,size\nM,sump,as568:214").fits
        assert "takes a fluid" in import_fits(session, act(), sump).refused[0][1]
    with pytest.raises(InvalidInputError, match="no column size"):
        from_csv("machine,position\nM,good")
    with pytest.raises(InvalidInputError, match="is not CSV"):
        from_csv('machine,position,size\nM,"half')


@given(st.text(max_size=30))
def test_a_neutral_cell_reads_back_as_it_was(cell: str) -> None:
    # OWASP, "CSV Injection": a cell must not begin with = + - @, tab or carriage return.
    assert not neutral(cell).startswith(("=", "+", "-", "@", "\t", "\r"))
    assert plain(neutral(cell)) == cell


def _used(id_mm: float, width_mm: float) -> Evidence:
    return Evidence(
        (Reading(Dimension.ID, id_mm, 0.1, Tool.CALIPER), Reading(Dimension.WIDTH, width_mm, 0.05, Tool.CALIPER)),
        Condition.USED,
    )


def test_a_differing_reading_asks_and_an_agreeing_one_does_not(workshop: Workshop) -> None:
    with workshop.write() as session:
        inlet = _fill(session)
        holds = fit_records.for_position(session, inlet)
    assert holds is not None
    # AS568-214 is 24.99 × 3.53 mm, AS568-216 is 28.17 × 3.53 mm (SAE AS568, 0.984 and 1.109 × 0.139 in).
    assert compare(holds, evidence=_used(24.9, 3.5)) is None
    assert compare(holds, size_key="metric:25x3.55") is None  # the same ring by another name
    assert compare(holds) is None
    asked = compare(holds, evidence=_used(28.4, 3.5))
    assert asked is not None
    assert (asked.recorded, asked.found, asked.position_id) == ("as568:214", "as568:216", inlet)
    assert "On record at pump inlet flange ring: AS568-214 HNBR, by Bench 2 on 2026-03-02." in asked.text
    assert "The readings now say AS568-216" in asked.text
    chosen = compare(holds, size_key="as568:215")
    assert chosen is not None
    assert chosen.found == "as568:215"
    nothing = compare(holds, evidence=_used(24.9, 9.7))
    assert nothing is not None
    assert (nothing.found, "no size in our tables" in nothing.text) == (None, True)


def test_a_groove_that_reads_otherwise_asks_too(workshop: Workshop) -> None:
    with workshop.write() as session:
        inlet = _fill(session)
        holds = fit_records.for_position(session, inlet)
    assert holds is not None
    assert holds.groove is not None
    assert compare(holds, groove=holds.groove._replace(inner=span(25.36, 0.05))) is None
    asked = compare(holds, groove=holds.groove._replace(inner=span(25.9, 0.05)))
    assert asked is not None
    assert "The groove's inner diameter reads 25.9 mm and was 25.3 mm." in asked.text


def test_any_note_survives_the_journey(tmp_path: Path) -> None:
    opened = open_workshop(tmp_path / "w.sqlite3")
    with opened.write() as session:
        place = _place(session)

    @settings(max_examples=25, deadline=None)
    @given(st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=40))
    def survives(note: str) -> None:
        with opened.write() as session:
            made = fit_records.record(session, act(), place, "as568:214", note=note)
            (back,) = from_csv(to_csv([made])).fits
        assert back.fit.note == made.note

    survives()
    opened.close()
