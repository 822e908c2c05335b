"""`kitwright shelf` and `undo`: lots and days, scrap, the count round, reorder points, boxes, opened containers."""

from __future__ import annotations

import csv
import io
import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlmodel import col, select

from models import jobs, kits, shelf
from models.database import open_workshop
from models.inventory import bins, items
from models.inventory.arrivals import Called
from models.inventory.item_figures import ItemFigures
from models.kits import NeedSpec
from models.storage.check import check
from models.tables import Action
from models.words import Kind
from tests.models.shop import act, ring
from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms
from tui.fields.amounts import Came
from tui.fields.field import Asked, FieldError

LITRE = 1_000_000
RING = "O-ring as568:214 NBR 70"
PAIL = "UTTO, pail"


@pytest.fixture(scope="module")
def pattern(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Rings in two bins, some past their day; a pail; rags of which four are promised."""
    file = tmp_path_factory.mktemp("shelf") / "workshop.sqlite3"
    workshop = open_workshop(file)
    with workshop.write() as session:
        ring(session, 5, bin_code="A1")
        ring(session, 4, bin_code="A2", lot="L1", expires_on=date(2040, 1, 31))
        ring(session, 9, bin_code="A2", lot="OLD", expires_on=date(2020, 1, 31))
        place = bins.add(session, act(), code="Shelf O", note="=oils").bin_id
        oil = items.add(
            session, act(), kind=Kind.FLUID, name=PAIL, spec_class="UTTO", spec_grade="10W-30",
            figures=ItemFigures(container=20 * LITRE),
        )  # fmt: skip
        rags = items.add(session, act(), kind=Kind.CONSUMABLE, name="Rags", spec_class="rags")
        for item, pieces in ((oil, 40 * LITRE), (rags, 10)):
            shelf.receive(session, act(), item_id=item.item_id, bin_id=place, quantity=pieces)
        job = jobs.open_job(session, act(), title="Pump leaks").job_id
        kits.add_need(session, act(), job, NeedSpec(Kind.CONSUMABLE, 4, spec_class="rags", title="rags"))
        kits.allocate(session, act(), job)
    workshop.close()
    return file


@pytest.fixture
def file(pattern: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(pattern, tmp_path / "workshop.sqlite3"))


@pytest.fixture
def shelf_(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, file: Path) -> Any:
    """`kitwright shelf …`; JSON is held against its schema and given as it is."""
    command = CommandLine(capsys, monkeypatch)

    def run(*words: str, code: int, json: bool = True, stdin: str = "") -> Any:
        ended = command("shelf", *words, "--data", str(file), *(("--json",) if json else ()), stdin=stdin.encode())
        assert ended.code == code, ended.out + ended.err
        if not json or not ended.out:
            return ended
        conforms(words[0], ended.json)
        return ended.json

    return run


def whole(file: Path) -> bool:
    workshop = open_workshop(file)
    with workshop.read() as session:
        found = check(session)
    workshop.close()
    return found.ok


def test_what_is_expired_is_said_in_every_list(shelf_: Any) -> None:
    told = shelf_("list", "214", code=0)
    assert [(row["bin"], row["lot"], row["expired"]) for row in told["stock"]] == [
        ("A1", None, None), ("A2", "L1", None), ("A2", "OLD", "lot OLD expired on 2020-01-31"),
    ]  # fmt: skip
    assert [row["lot"] for row in shelf_("list", "--expired", code=0)["stock"]] == ["OLD"]
    text = shelf_("list", code=0, json=False).out
    assert "EXPIRED: lot OLD expired on 2020-01-31" in text
    assert "use by 2040-01-31" in text
    assert "2 full" in text


def test_a_lots_day_typed_wrong_is_put_right(shelf_: Any, file: Path) -> None:
    came = ("receive", RING, "--bin", "A1", "--quantity", "3", "--lot", "N1", "--expires")
    shelf_(*came, "2020-01-01", code=0)
    shelf_("undo", code=0)
    # All of it was taken back: the day that was typed holds nobody to it.
    assert shelf_(*came, "2030-01-01", code=0)["stock"][0]["expires_on"] == "2030-01-01"
    assert "kitwright shelf lot" in shelf_(*came, "2031-01-01", code=2, json=False).err
    words = ("lot", RING, "--lot", "N1", "--reason", "misread")
    assert shelf_(*words, "--expires", "2020-01-01", code=0)["stock"][0]["expired"]
    cured = shelf_(*words, "--cured", "2026-01-31", code=0)["stock"][0]
    # ISO 2230:2002, from memory: NBR keeps 7 years from cure.
    assert (cured["expires_on"], cured["expired"]) == ("2033-01-31", None)
    assert "no lot N2" in shelf_("lot", RING, "--lot", "N2", "--reason", "x", "--expires", "2030-01-01", code=2,
                                 json=False).err  # fmt: skip
    workshop = open_workshop(file)
    with workshop.read() as session:
        told = session.exec(select(Action).where(Action.what == "lots.correct").order_by(col(Action.id).desc())).all()
    workshop.close()
    assert told[0].about == f"{RING}, lot N1: 2033-01-31 in place of 2020-01-01: misread"
    assert whole(file)


def test_a_delivery_has_its_lot_its_days_and_its_packs(shelf_: Any, file: Path) -> None:
    words = ("receive", RING, "--bin", "A1", "--packs", "3", "--pack", "10", "--lot", "B7")
    cured = (datetime.now(UTC) - timedelta(days=30)).date()
    row = shelf_(*words, "--cured", cured.isoformat(), code=0)["stock"][0]
    # ISO 2230:2002, from memory: NBR keeps 7 years from cure.
    assert (row["on_hand"], row["lot"], row["expires_on"]) == (30, "B7", f"{cured.year + 7}{cured.isoformat()[4:]}")
    assert row["expired"] is None
    text = shelf_("receive", RING, "--bin", "New bin", "--quantity", "2", "--expires", "2019-01-01", code=0, json=False)
    assert "No kit is offered it" in text.out
    assert "New bin: New bin." in text.out
    # 1 US gallon is 231 in³ (NIST SP 811): 2 pails of 5 are 37.854 L on top of 40.
    oil = shelf_("receive", PAIL, "--bin", "Shelf O", "--packs", "2", "--pack", "5 gal", code=0)["stock"][0]
    assert oil["on_hand"] == 40 * LITRE + 2 * round(5 * 231 * 25.4**3)
    assert whole(file)


def test_a_partly_used_container_keeps_its_rest(shelf_: Any) -> None:
    assert shelf_("list", "--opened", code=1)["stock"] == []
    used = shelf_("use", PAIL, "--quantity", "3 L", "--reason", "press", code=0)["stock"][0]
    assert (used["full"], used["opened"], used["container"]) == (1, 17 * LITRE, 20 * LITRE)
    assert "1 full and one opened with 17.00 L" in shelf_("list", "--opened", code=0, json=False).out
    history = shelf_("history", PAIL, code=0)["movements"]
    assert [(move["what"], move["on_hand_change"], move["reason"]) for move in history] == [
        ("used", -3 * LITRE, "press"), ("received", 40 * LITRE, None),
    ]  # fmt: skip
    assert "−3.00 L" in shelf_("history", PAIL, code=0, json=False).out


def test_scrap_count_and_undo_name_what_they_did(shelf_: Any, file: Path) -> None:
    assert shelf_("undo", code=1) == {"schema": "kitwright.undo/2", "undone": False, "change": None}
    gone = shelf_("scrap", RING, "--bin", "A2", "--lot", "old", "--quantity", "9", "--reason", "expired", code=0)
    assert gone["stock"][0]["on_hand"] == 0
    counted = shelf_("count", RING, "--bin", "A1", "--quantity", "6", "--reason", "found one", code=0, json=False)
    assert "6 on hand" in counted.out
    would = shelf_("undo", "--dry-run", code=0, json=False).out
    assert would.startswith("Would undo: the count")
    assert f"{RING}, bin A1: 1 came in" in would
    undone = shelf_("undo", code=0)
    assert (undone["undone"], undone["change"]["what"]) == (True, "the count")
    again = shelf_("undo", code=0)
    assert (again["change"]["what"], again["change"]["moves"][0]["on_hand_change"]) == ("scrapping", -9)
    assert [row["on_hand"] for row in shelf_("list", "214", code=0)["stock"]] == [5, 4, 9]
    promised = shelf_("scrap", "Rags", "--quantity", "7", "--reason", "wet", code=2)
    assert "6 free (10 on hand, 4 promised)" in promised.err
    assert whole(file)


def test_a_change_that_can_not_be_undone_is_passed_by(shelf_: Any, file: Path) -> None:
    shelf_("count", RING, "--bin", "A1", "--quantity", "6", "--reason", "found one", code=0)
    shelf_("receive", "Rags", "--bin", "A1", "--quantity", "5", code=0)
    workshop = open_workshop(file)
    with workshop.write() as session:
        (here,) = [row for row in shelf.stock_rows(session, "Rags").rows if row.bin_code == "A1"]
        shelf.use(session, act("Bench 2"), stock_id=here.stock_id, quantity=4)
    workshop.close()
    refused = shelf_("undo", code=2).err
    number = shelf_("undo", "--dry-run", code=0)["change"]["number"]
    assert "has moved on" in refused
    assert f"To go on to the change before it: kitwright undo --before {number} --data {file}" in refused
    assert shelf_("undo", "--before", str(number), code=0)["change"]["what"] == "the count"
    assert "--before: 'x' is not a whole number" in shelf_("undo", "--before", "x", code=2).err
    assert whole(file)


def test_stock_is_moved_and_found_by_its_bar_code(
    shelf_: Any, file: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    moved = shelf_("move", "Rags", "--to", "a1", "--reason", "nearer", code=0)["stock"][0]
    assert (moved["bin"], moved["on_hand"]) == ("A1", 6)
    assert [move["reason"] for move in shelf_("history", "Rags", "--bin", "A1", code=0)["movements"]] == [
        "moved from bin Shelf O; nearer"
    ]
    stays = shelf_("move", "Rags", "--bin", "Shelf O", "--to", "A1", code=2)
    assert "nothing of Rags is free" in stays.err
    assert "the move" in shelf_("undo", code=0, json=False).out
    # The digits stand in the range that GS1 keeps for use within a company; the check digit is by GS1's rule.
    tied = CommandLine(capsys, monkeypatch)("item", "code", "Rags", "2000123456782", "--data", str(file))
    assert tied.code == 0, tied.err
    assert shelf_("use", "2000123456782", "--quantity", "1", code=0)["stock"][0]["item"] == "Rags"
    got = shelf_("receive", "2000123456782", "--bin", "A1", "--quantity", "5", code=0)["stock"][0]
    assert (got["item"], got["bin"]) == ("Rags", "A1")
    assert whole(file)


def filled(sheet: str, counts: dict[str, str], delimiter: str = ",") -> str:
    """A sheet as a spreadsheet saves it, with what was counted by (item, lot)."""
    rows = list(csv.DictReader(io.StringIO(sheet)))
    out = io.StringIO()
    writer = csv.DictWriter(out, rows[0], delimiter=delimiter)
    writer.writeheader()
    for row in rows:
        writer.writerow({**row, "counted": counts.get(row["item"] + row["lot"], "")})
    return out.getvalue()


def test_a_round_is_printed_filled_in_compared_and_booked(shelf_: Any, file: Path, tmp_path: Path) -> None:
    assert [stop["bin"] for stop in shelf_("round", code=0)["stops"]] == ["A1", "A2", "Shelf O"]
    text = shelf_("round", "--bin", "a2", code=0, json=False).out
    assert "______" in text
    assert "A1" not in text
    sheet = shelf_("round", "--as", "csv", code=0, json=False).out
    assert "," in sheet.splitlines()[0]
    counts = {RING: "5", f"{RING}L1": "3", "Rags": "10", PAIL: "39,5"}
    back = tmp_path / "round.csv"
    back.write_text(filled(sheet, counts, ";"), encoding="utf-8-sig")
    dry = shelf_("round", "--take", str(back), code=0)
    assert (dry["booked"], dry["counted"], dry["blank"]) == (False, 4, 1)
    assert [(gap["stock"]["item"], gap["difference"]) for gap in dry["gaps"]] == [(RING, -1), (PAIL, -LITRE // 2)]
    assert shelf_("list", "214", code=0)["stock"][1]["on_hand"] == 4, "a dry run changes nothing"
    shelf_("use", RING, "--bin", "A1", "--quantity", "1", code=0)
    booked = shelf_("round", "--take", str(back), "--book", code=1)
    assert (booked["booked"], booked["counted"], len(booked["moved"])) == (True, 3, 1)
    assert "moved since the sheet was printed, now 4 on record" in booked["moved"][0]["what"]
    assert [row["on_hand"] for row in shelf_("list", code=0)["stock"]] == [4, 3, 9, 10, 39 * LITRE + LITRE // 2]
    assert "the count" in shelf_("undo", "--dry-run", code=0, json=False).out
    assert whole(file)


def test_a_sheet_that_is_wrong_is_told_by_line_and_nothing_is_booked(shelf_: Any) -> None:
    sheet = shelf_("round", "--as", "csv", code=0, json=False).out
    for counts, said in (
        ({RING: "five"}, "line 2: counted: “five” is not a whole number"),
        ({RING: "5", "Rags": "3"}, "4 are promised to kits"),
        ({PAIL: "12,500"}, "may be 12.500 or 12500"),
        ({PAIL: "much"}, "counted: "),
        ({RING: "-1"}, "“-1” is not a whole number"),
    ):
        ended = shelf_("round", "--take", "-", "--book", code=2, json=False, stdin=filled(sheet, counts))
        assert said in ended.err
        assert "Nothing was booked" in ended.err
    other = sheet.replace("A1", "A9")
    assert "Leave the columns" in shelf_(
        "round", "--take", "-", code=2, json=False, stdin=filled(other, {RING: "5"})
    ).err  # fmt: skip
    assert "no column" in shelf_("round", "--take", "-", code=2, json=False, stdin="a,b\n1,2\n").err
    assert shelf_("round", "--take", "-", code=1, stdin=sheet)["counted"] == 0


def test_reorder_points_say_why_and_are_set_proposed_and_dropped(shelf_: Any) -> None:
    assert shelf_("reorder", code=1)["rules"] == []
    words = ("--order-at", "6", "--up-to", "50", "--lead-days", "4")
    rule = shelf_("reorder", "rags", *words, code=0)["rules"][0]
    assert (rule["due"], rule["free"], rule["to_order"], rule["lead_days"]) == (True, 6, 44, 4)
    assert "6 free, at or below the reorder point of 6" in shelf_("reorder", code=0, json=False).out
    oil = shelf_("reorder", PAIL, "--order-at", "10 L", "--up-to", "60 L", code=0)["rules"][0]
    assert (oil["order_at"], oil["due"]) == (10 * LITRE, False)
    assert len(shelf_("reorder", "--all", code=0)["rules"]) == 2
    assert [one["item"] for one in shelf_("reorder", code=0)["rules"]] == ["Rags"]
    shelf_("use", "Rags", "--quantity", "1", code=0)
    proposed = shelf_("reorder", "Rags", "--propose", "--lead-days", "365", "--service", "50", code=0)
    # At one half the safety stock is nothing: what is used in the lead time, 1 in a year.
    assert proposed["order_at"] == 1
    assert shelf_("reorder", "Rags", "--drop", code=0)["rules"] == []
    assert shelf_("reorder", "Rags", "--drop", code=1)["rules"] == []


def test_what_is_missing_from_a_box(shelf_: Any) -> None:
    assert shelf_("box", code=1)["boxes"] == []
    box = shelf_("box", "A1", "--full", f"{RING}=8", code=0)["boxes"][0]
    assert (box["missing"], box["sizes"][0]["missing"]) == (3, 3)
    told = shelf_("box", "a1", code=1, json=False).out
    assert "A1: 3 missing, of 1 sizes" in told
    assert RING in told
    shelf_("receive", RING, "--bin", "A1", "--quantity", "3", code=0)
    assert shelf_("box", "A1", code=0)["boxes"][0]["missing"] == 0
    shelf_("box", "A1", "--full", f"{RING}=0", code=0)
    assert shelf_("box", code=1)["boxes"] == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("receive", RING, "--bin", "A1"), "--quantity N, or --packs N"),
        (("receive", RING, "--bin", "A1", "--packs", "2"), "--pack 10"),
        (("receive", RING, "--bin", "A1", "--quantity", "2", "--pack", "2"), "--packs"),
        (("receive", RING, "--bin", "A1", "--quantity", "2", "--expires", "31.1.30"), "2029-06-30"),
        (("receive", RING, "--bin", "A1", "--quantity", "2", "--cured", "2990-01-01"), "lies ahead"),
        (
            ("receive", RING, "--bin", "A1", "--quantity", "2", "--cured", "2026-01-01", "--expires", "2026-01-01"),
            "not after the day of cure",
        ),
        (("receive", RING, "--bin", "A2", "--quantity", "2", "--lot", "L1", "--expires", "2030-01-01"), "Lot L1"),
        (("receive", "New rags", "--bin", "A1", "--quantity", "5 gal"), "counted volume"),
        (("receive", "O-ring, big", "--bin", "A1", "--quantity", "5"), "names no ring size"),
        (("receive", "P22", "--rubber", "wood", "--bin", "A1", "--quantity", "5"), "no rubber is called"),
        (("receive", RING, "--rubber", "FKM 75", "--bin", "A1", "--quantity", "5"), "There is an item"),
        (("use", RING, "--quantity", "1"), "--bin: 'A1', 'A2'"),
        (("use", RING, "--bin", "A2", "--quantity", "1"), "--lot"),
        (("use", "Rag", "--quantity", "1"), "kitwright shelf list"),
        (("scrap", "Rags", "--quantity", "1"), "--reason"),
        (("scrap", "Rags", "--quantity", "1", "--reason", " "), "reason"),
        (("move", "Rags", "--to", "Z9"), "there is no bin 'Z9'"),
        (("round", "--book"), "--take FILE"),
        (("round", "--take", "nowhere.csv"), "can't be read"),
        (("round", "--bin", "A9"), "there are: 'A1', 'A2', 'Shelf O'"),
        (("reorder", "--propose"), "name the item first"),
        (("reorder", "Rags", "--propose"), "--lead-days 10"),
        (("reorder", "Rags", "--order-at", "5"), "--up-to"),
        (("reorder", "Rags", "--order-at", "5", "--up-to", "5"), "larger"),
        (("reorder", "Raggs"), "did you mean 'Rags'?"),
        (("box", "A9"), "--full ITEM=N"),
        (("box", "--full", "x=1"), "name the box"),
        (("box", "A1", "--full", "x"), "is not ITEM=N"),
        (("box", "A1", "--full", f"{PAIL}=2"), "not counted in pieces"),
    ],
)
def test_what_cannot_be_is_told(shelf_: Any, words: tuple[str, ...], said: str) -> None:
    ended = shelf_(*words, code=2)
    assert said in ended.err
    assert (ended.out, "Traceback" in ended.err) == ("", False)


def test_the_way_back_names_the_workshop_that_was_changed(shelf_: Any, file: Path) -> None:
    """Seen: typed as it stood, it undid the last change of another workshop."""
    told = shelf_("count", RING, "--bin", "A1", "--quantity", "6", "--reason", "found one", code=0, json=False).out
    assert told.splitlines()[-1] == f"To take it back: kitwright undo --data {file}"


def test_packs_are_received_as_a_delivery_note_says_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kitwright, data = CommandLine(capsys, monkeypatch), ("--data", str(tmp_path / "workshop.sqlite3"))
    words = ("shelf", "receive", "UTTO oil, pail 20 L", "--bin", "Rack")
    for much, there in (("2 pails of 20 L", 40), ("3 x", 100), ("1 x 5 L", 105)):
        answer = kitwright(*words, "--quantity", much, *data, "--json").json
        assert answer["stock"][0]["on_hand"] == there * 1_000_000
    rings = kitwright(
        "shelf", "receive", "AS568-116 NBR 70", "--bin", "Z1", "--quantity", "2 boxes of 50", *data, "--json"
    )
    assert rings.json["stock"][0]["on_hand"] == 100
    refused = kitwright("shelf", "receive", "AS568-116 NBR 70", "--bin", "Z1", "--quantity", "2 boxes", *data)
    assert "does not say how many pieces one of them holds" in refused.err
    assert "type 2 where each is one piece, or 2 boxes of 10" in refused.err


@pytest.mark.parametrize(
    ("name", "typed", "pieces"),
    [
        ("Return element, 60 × 120", "12 cartridges", 12),
        ("Flange sealant", "3 tubes", 3),
        ("Parts cleaner", "6 cans", 6),
        ("Wipes, pail", "2 pails", 2),
        ("Rags, lint-free", "2 bags of 50", 100),
        ("Rags, lint-free", "4 x", 4),
        ("Rags, lint-free", "2 bags", None),
        ("Return element", "2 pails", None),
        ("Hex bolts M10 × 30, box of 50", "2 boxes", None),
        ("Cable ties, 100/bag", "2 bags", None),
    ],
)
def test_what_is_a_piece_by_itself_is_counted_as_one(name: str, typed: str, pieces: int | None) -> None:
    asked = Asked(values={"item": Called(name)})
    field = Came("quantity", "How much")
    if pieces is not None:
        assert field.from_text(typed, asked) == pieces
        return
    with pytest.raises(FieldError, match=f"{name} is counted in pieces; type 2 where each is one piece"):
        field.from_text(typed, asked)


def test_a_word_that_another_program_wrote_is_told_in_a_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kitwright, file = CommandLine(capsys, monkeypatch), tmp_path / "workshop.sqlite3"
    data = ("--data", str(file))
    kitwright("shelf", "receive", "O-ring AS568-214 NBR 70", "--bin", "B1", "--quantity", "3", *data)
    with closing(sqlite3.connect(file)) as connection, connection:
        connection.execute("PRAGMA ignore_check_constraints = 1")
        connection.execute("UPDATE items SET kind = 'rings'")
    ended = kitwright("shelf", "list", *data)
    assert ended.code not in (0, 1)
    assert "holds “rings” where one of ring, filter, fluid, sealant, fastener, consumable belongs" in ended.err
    assert ended.err.count("\n") == 1
