"""`kitwright kit`: show, offers, promise, release, pick, use, give back, put back, pin, unpin, scrap, strike."""

from __future__ import annotations

import shutil
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from models import jobs, kits, shelf
from models.database import open_workshop
from models.inventory import bins, items
from models.inventory.item_figures import ItemFigures
from models.kits import NeedSpec
from models.kitting.kit_offers import finish
from models.storage.check import check
from models.words import Kind
from tests.models.shop import act, ring
from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms
from tui.fields.units import Units, keep

LITRE = 1_000_000


@pytest.fixture(scope="module")
def pattern(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Job 1 wants rings, rags, sealant and oil; nothing is promised yet. Some rings have expired."""
    file = tmp_path_factory.mktemp("kit") / "workshop.sqlite3"
    workshop = open_workshop(file)
    with workshop.write() as session:
        for code, pieces in (("A1", 5), ("A2", 4)):
            ring(session, pieces, bin_code=code)
        ring(session, 9, bin_code="A3", lot="OLD", expires_on=date(2020, 1, 31))
        ring(session, 6, rubber="FKM", bin_code="A4", hardness=75)
        place = bins.add(session, act(), code="Shelf O").bin_id
        oil = items.add(
            session, act(), kind=Kind.FLUID, name="UTTO, pail", spec_class="UTTO", spec_grade="10W-30",
            figures=ItemFigures(container=20 * LITRE),
        )  # fmt: skip
        glue = items.add(session, act(), kind=Kind.SEALANT, name="Sealant", spec_class="oil-proof", cure_minutes=1440)
        rags = items.add(session, act(), kind=Kind.CONSUMABLE, name="Rags", spec_class="rags")
        for item, pieces in ((oil, 40 * LITRE), (glue, 1), (rags, 10)):
            shelf.receive(session, act(), item_id=item.item_id, bin_id=place, quantity=pieces)
        job = jobs.open_job(session, act(), title="Pump leaks").job_id
        kits.add_needs(
            session,
            act(),
            job,
            [
                NeedSpec(Kind.RING, 6, 0, "flange ring", "as568:214", rubbers=("NBR",)),
                NeedSpec(Kind.FLUID, spec_class="UTTO", spec_grade="10W-30", low_ul=LITRE, full_ul=12 * LITRE,
                         title="oil"),
                NeedSpec(Kind.SEALANT, spec_class="oil-proof", title="sealant"),
                NeedSpec(Kind.CONSUMABLE, 4, spec_class="rags", title="rags"),
            ],
        )  # fmt: skip
        jobs.open_job(session, act(), title="Nothing yet")
    workshop.close()
    return file


@pytest.fixture
def file(pattern: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(pattern, tmp_path / "workshop.sqlite3"))


@pytest.fixture
def kit(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, file: Path) -> Any:
    """`kitwright kit …` on the pattern workshop; JSON is held against the schema and given as it is."""
    command = CommandLine(capsys, monkeypatch)

    def run(*words: str, code: int, json: bool = True) -> Any:
        ended = command("kit", *words, "--data", str(file), *(("--json",) if json else ()))
        assert ended.code == code, ended.err
        if not json or code == 2:
            return ended
        conforms("kit", ended.json)
        return ended.json

    return run


def lines(told: Any, need: str) -> list[tuple[str, int, str | None]]:
    found = next(one for one in told["needs"] if one["title"] == need)
    return [(line["state"], line["quantity"], line["bin"]) for line in found["lines"]]


def whole(file: Path) -> bool:
    workshop = open_workshop(file)
    with workshop.read() as session:
        found = check(session)
    workshop.close()
    return found.ok


def test_a_number_alone_and_show_are_the_same(kit: Any) -> None:
    bare, shown = kit("1", code=0), kit("show", "1", code=0)  # nothing is short: all of it lies free
    for told in (bare, shown):
        told.pop("finish")
    assert bare == shown
    assert bare["kit"] == "draft"


def test_from_promise_to_rest(kit: Any, file: Path) -> None:
    told = kit("promise", "1", code=0)
    # The expired nine in A3 are left where they are.
    assert lines(told, "flange ring") == [("have", 5, "A1"), ("have", 1, "A2")]
    # Cure from now: 24 h (its item says 1440 minutes).
    at = datetime.fromisoformat(told["finish"]["at"])
    assert abs(at - datetime.now(UTC) - timedelta(days=1)) < timedelta(minutes=2)
    assert "Sealant: if sealed today" in told["finish"]["facts"][0]
    assert "may be filled tomorrow" in told["finish"]["facts"][0]

    part = kit("pick", "1", "oil", "--quantity", "3 L", code=0)
    assert lines(part, "oil") == [("picked", 3 * LITRE, "Shelf O"), ("have", 9 * LITRE, "Shelf O")]
    kit("pick", "1", "rags", code=0)
    used = kit("use", "1", "oil", "--quantity", "2.5 L", code=0, json=False)
    assert used.out.startswith("Used 2.50 L; 0.50 L UTTO, pail is back in bin Shelf O.")
    assert "Type what the job used" in kit("use", "1", "rags", code=2).err
    assert "Only 4 is out" in kit("use", "1", "rags", "--quantity", "5", code=2).err
    back = kit("give-back", "1", "rags", "--quantity", "1", code=0)
    assert next(one for one in back["needs"] if one["title"] == "rags")["lines"][0]["given_back"] == 1

    several = kit("release", "1", "flange ring", code=2)
    assert "--line" in several.err
    line = told["needs"][0]["lines"][1]["line"]
    freed = kit("release", "1", "--line", str(line), "--reason", "other job", code=0)
    assert lines(freed, "flange ring") == [("have", 5, "A1"), ("free", 1, "A2")]
    assert "Flange ring lies free on the shelf: look for it there." in freed["finish"]["facts"]

    done = kit("pick", "1", code=0)
    assert [need["lines"][0]["state"] for need in done["needs"]] == ["picked"] * 4
    wrong = kit("put-back", "1", "sealant", code=0)
    assert lines(wrong, "sealant") == [("free", 1, "Shelf O")]
    struck = kit("strike", "1", "Sealant", code=0)
    assert "sealant" not in [need["title"] for need in struck["needs"]]
    assert whole(file)


def test_offers_name_what_does_not_serve_and_why(kit: Any) -> None:
    told = kit("offers", "1", "flange ring", code=0)
    assert [(one["bin"], one["free"], one["serves"]) for one in told["shelf"]] == [
        ("A1", 5, True), ("A2", 4, True), ("A3", 9, False), ("A4", 6, False),
    ]  # fmt: skip
    assert told["shelf"][2]["reason"] == "lot OLD expired on 2020-01-31"
    text = kit("offers", "1", "1", code=0, json=False).out
    assert text.index("On the shelf:") < text.index("expired on 2020-01-31") < text.index("On suppliers' lists:")


def test_a_pin_is_marked_with_what_speaks_against_it_and_stays(kit: Any, file: Path) -> None:
    kit("promise", "1", code=0)
    old = next(one for one in kit("offers", "1", "1", code=0)["shelf"] if one["bin"] == "A3")["stock"]
    pinned = kit("pin", "1", "flange ring", "--stock", str(old), "--quantity", "2", "--reason", "to try", code=0)
    line = next(one for one in pinned["needs"][0]["lines"] if one["bin"] == "A3")
    assert (line["pinned"], line["quantity"]) == (True, 2)
    assert "to try; against: lot OLD expired on 2020-01-31" in line["reason"]
    assert ", pinned by hand (line " in kit("1", code=0, json=False).out
    again = kit("promise", "1", "--afresh", code=0)
    assert ("have", 2, "A3") in lines(again, "flange ring")
    loose = kit("unpin", "1", "flange ring", code=0)
    assert lines(loose, "flange ring") == [("have", 4, "A1"), ("have", 1, "A1"), ("have", 1, "A2")]
    assert "not pinned" not in kit("unpin", "1", "flange ring", code=2).err
    by_name = ("--item", "O-ring as568:214 fkm 75")
    assert ("have", 6, "A4") in lines(kit("pin", "1", "1", *by_name, code=0), "flange ring")
    assert whole(file)


def test_a_fluids_tally_is_kept_with_its_need(kit: Any) -> None:
    empty = kit("fill", "1", "oil", code=1)
    assert (empty["entries"], empty["held_ul"], empty["to_low_ul"]) == ([], 0, LITRE)
    told = kit("fill", "1", "oil", "--drained", "10 L", "--poured", "4 L", "--poured", "2 qt", code=0)
    # 1 US quart is 57.75 in³ of 25.4³ mm³ (NIST SP 811).
    held = 4 + 2 * 57.75 * 25.4**3 / 1e6
    assert (told["held_ul"], told["to_full_ul"]) == (round(held * 1e6), round((12 - held) * 1e6))
    assert [(one["what"], one["typed"]) for one in told["entries"]] == [
        ("drained", "10 L = 10.567 US qt"), ("poured", "4 L = 4.227 US qt"), ("poured", "2 US qt = 1.893 L"),
    ]  # fmt: skip
    assert kit("fill", "1", "oil", "--take-back", code=0)["held_ul"] == 4 * LITRE
    over = kit("fill", "1", "oil", "--poured", "9 L", code=1, json=False)
    assert "OVER-FILLED by 1" in over.out
    assert kit("fill", "1", "oil", "--take-back", code=0)["held_ul"] == 4 * LITRE
    # A bare number is in the bench's unit, whatever lengths are read in.
    keep(Units(length="in"))
    assert kit("fill", "1", "oil", "--poured", "1", code=0)["held_ul"] == 5 * LITRE
    keep(Units(volume="US qt"))
    told = kit("fill", "1", "oil", "--poured", "1", code=0)
    assert told["held_ul"] == 5 * LITRE + round(57.75 * 25.4**3)
    assert told["entries"][-1]["typed"] == "1 US qt = 0.946 L"
    assert "6.28 US qt, 1.57 US gal (5.95 L)" in kit("fill", "1", "oil", code=0, json=False).out
    assert "no low and full mark" in kit("fill", "1", "rags", code=2).err


def test_a_cure_counts_from_when_the_joint_was_sealed(
    kit: Any, file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    kit("promise", "1", code=0)
    assert "“sealant” is not picked yet" in kit("sealed", "1", "sealant", code=2).err
    kit("pick", "1", code=0)
    workshop = open_workshop(file)
    with workshop.write() as session:  # the job is younger than its pattern: opened the day before yesterday
        session.connection().exec_driver_sql(
            "UPDATE jobs SET opened_at = ?", ((datetime.now(UTC) - timedelta(days=2)).strftime("%Y-%m-%d %H:%M:%S.%f"),)
        )
    workshop.close()
    told = kit("sealed", "1", "sealant", code=0)
    sealed = next(one for one in told["needs"] if one["title"] == "sealant")["sealed"]
    begun, cured = (datetime.fromisoformat(sealed[name]) for name in ("at", "cured_at"))
    assert abs(begun - datetime.now(UTC)) < timedelta(minutes=2)
    assert cured - begun == timedelta(minutes=1440)
    poured = kit("fill", "1", "oil", "--poured", "4 L", code=0)
    assert poured["curing"] == [f"Sealant cures until tomorrow {cured:%H:%M}; the sealant's own data sheet decides."]
    assert kit("fill", "1", "oil", code=0, json=False).out.startswith("! Sealant cures until tomorrow")
    # The pattern's clock is the wall's: a day and two hours ago is cured, and so may be filled.
    before = (datetime.now() - timedelta(hours=26)).strftime("%Y-%m-%d %H:%M")
    again = kit("sealed", "1", "sealant", "--at", before, code=0)
    assert "cured since" in again["finish"]["facts"][0]
    assert kit("fill", "1", "oil", code=0)["curing"] == []
    text = kit("1", code=0, json=False).out
    assert f"sealed {before}, noted by" in text
    sheet = CommandLine(capsys, monkeypatch)("sheet", "job", "1", "--data", str(file)).out
    assert f"Sealant: sealed {before}, may be filled" in " ".join(sheet.split())
    assert kit("sealed", "1", "sealant", "--take-back", code=0)["finish"]["facts"] == told["finish"]["facts"]
    for words, said in (
        (("--at", "25:00"), "“25:00” is not a time. Type it as now"),
        (("--at", "2999-01-01 8:00"), "2999-01-01 08:00 is still to come"),
        (("--at", "9999-12-31 23:59"), "The year 9999 can't be reckoned with"),
        (("--at", "0001-01-01 0:00"), "The year 0001 can't be reckoned with"),
        (("--at", "2020-01-01 8:00"), "before the job was opened"),
        (("--at", "now", "--take-back"), "--take-back stands alone"),
    ):
        assert said in kit("sealed", "1", "sealant", *words, code=2).err
    assert "is not a sealant" in kit("sealed", "1", "oil", code=2).err
    closed = CommandLine(capsys, monkeypatch)("job", "close", "1", "--as-planned", "--data", str(file), "--json")
    conforms("job", closed.json)
    assert closed.json["curing"] == poured["curing"]
    assert whole(file)


def test_what_is_bad_is_scrapped_and_other_looked_for(kit: Any, file: Path) -> None:
    kit("promise", "1", code=0)
    refused = kit("scrap", "1", "rags", "--quantity", "5", "--reason", "oily", code=2)
    assert "More can't be scrapped" in refused.err
    told = kit("scrap", "1", "rags", "--quantity", "3", "--reason", "oily", code=0)
    assert lines(told, "rags") == [("have", 1, "Shelf O"), ("have", 3, "Shelf O")]
    workshop = open_workshop(file)
    with workshop.read() as session:
        assert shelf.stock_rows(session, "rags").rows[0].on_hand == 7
        view = kits.view(session, 1)
        assert finish(session, view, datetime(2026, 3, 2, 16, 0, tzinfo=UTC)).facts == (
            "Sealant: if sealed today 16:00, may be filled tomorrow 16:00.",
        )
    workshop.close()
    assert whole(file)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "WHAT"),
        (("x",), "is not known"),
        (("pcik", "1"), "did you mean pick?"),
        (("99",), "job"),
        (("offers", "1", "flang ring"), "did you mean 'flange ring'?"),
        (("offers", "2", "ring"), "kitwright job need"),
        (("pick", "1"), "kitwright kit promise 1"),
        (("pick", "1", "rags", "--quantity", "2"), "no line"),
        (("release", "1"), "say which"),
        (("release", "1", "--line", "77"), "no line 77"),
        (("pin", "1", "rags"), "--stock"),
        (("pin", "1", "rags", "--stock", "1"), "consumable"),
        (("pin", "1", "rags", "--item", "Rag"), "kitwright shelf list"),
        (("pin", "1", "oil", "--item", "UTTO, pail", "--quantity", "3 ft"), "is a unit of length"),
        (("unpin", "1"), "pinned by hand"),
        (("use", "1", "rags"), "no line that is “picked”"),
        (("scrap", "1", "rags"), "--reason"),
    ],
)
def test_what_cannot_be_is_told(kit: Any, words: tuple[str, ...], said: str) -> None:
    ended = kit(*words, code=2)
    assert said in ended.err
    assert (ended.out, "Traceback" in ended.err) == ("", False)
