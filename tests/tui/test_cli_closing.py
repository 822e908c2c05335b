"""On the command line: a draft kit, a pour from a named container, closing a job, a supplier's terms."""

from __future__ import annotations

from pathlib import Path

import pytest

from models import jobs, kits, shelf
from models.database import open_workshop
from models.inventory import bins, items
from models.inventory.item_figures import ItemFigures
from models.kits import NeedSpec
from models.storage.check import check
from models.supplier_lists import suppliers
from models.words import Kind
from tests.models.shop import act, ring
from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms

LITRE = 1_000_000


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    """`kitwright …`."""
    return CommandLine(capsys, monkeypatch)


@pytest.fixture
def data(tmp_path: Path) -> tuple[str, ...]:
    """Job 1 wants two rings and a spare, and 18 to 22 L of oil: ten rings lie free, 20 and 5 L in two pails."""
    file = tmp_path / "workshop.sqlite3"
    workshop = open_workshop(file)
    with workshop.write() as session:
        ring(session, 3, bin_code="Box 1")
        oil = items.add(
            session, act(), kind=Kind.FLUID, name="UTTO, pail", spec_class="UTTO",
            figures=ItemFigures(container=20 * LITRE),
        )  # fmt: skip
        for code, much in (("Pail 1", 20), ("Pail 2", 5)):
            place = bins.add(session, act(), code=code).bin_id
            shelf.receive(session, act(), item_id=oil.item_id, bin_id=place, quantity=much * LITRE)
        job = jobs.open_job(session, act(), title="Pump leaks").job_id
        fluid = NeedSpec(Kind.FLUID, spec_class="UTTO", low_ul=18 * LITRE, full_ul=22 * LITRE, title="oil")
        wanted = NeedSpec(Kind.RING, 2, 1, "flange ring", "as568:214", rubbers=("NBR",))
        kits.add_needs(session, act(), job, [wanted, fluid])
        suppliers.add(session, act(), name="First supplier (invented)", currency="EUR")
    workshop.close()
    return ("--data", str(file))


def test_a_draft_kit_says_what_lies_free_and_never_short(kitwright: CommandLine, data: tuple[str, ...]) -> None:
    shown = kitwright("kit", "1", *data)
    assert "kit draft" in shown.out
    assert "not looked yet, 3 free in Box 1: O-ring" in shown.out
    assert "SHORT" not in shown.out.upper().replace("SHORT OF", "")
    assert shown.code == 0
    answer = kitwright("kit", "1", *data, "--json").json
    conforms("kit", answer)
    first = answer["needs"][0]
    assert (first["short"], first["looked_for"], first["lines"][0]["state"]) == (0, False, "free")
    assert first["lines"][0]["line"] is None


def test_a_pour_says_its_container_and_closing_wants_to_know_of_the_rest(
    kitwright: CommandLine, data: tuple[str, ...]
) -> None:
    kitwright("kit", "promise", "1", *data)
    wrong = kitwright("kit", "fill", "1", "oil", "--poured", "2 L", "--from", "Pail 9", *data)
    assert wrong.code == 2
    assert "there is no container 'Pail 9'" in wrong.err
    poured = kitwright("kit", "fill", "1", "oil", "--poured", "2 L", "--from", "Pail 1", *data, "--json").json
    conforms("tally", poured)
    assert [(one["bin"], one["volume_ul"]) for one in poured["entries"][0]["taken"]] == [("Pail 1", 2 * LITRE)]
    assert (poured["picked_ul"], poured["from_packs_ul"], poured["unrecorded_ul"]) == (2 * LITRE, 2 * LITRE, 0)
    assert kitwright("kit", "pick", "1", *data).code == 0
    asked = kitwright("job", "close", "1", *data)
    assert asked.code == 2
    assert "oil: picked 22.00 L, poured 2.00 L; say --as-planned to put the rest back" in asked.err
    line = next(
        one["line"]
        for need in kitwright("kit", "1", *data, "--json").json["needs"]
        for one in need["lines"]
        if one["bin"] == "Box 1"
    )
    for text, said in ((f"{line}=9", "more than is out"), ("99=1", "is not out for this job"), ("x", "names no line")):
        refused = kitwright("job", "close", "1", "--as-planned", "--scrapped", text, *data)
        assert refused.code == 2
        assert said in refused.err
    closed = kitwright("job", "close", "1", "--as-planned", "--scrapped", f"{line}=1", *data, "--json").json
    conforms("job-closed", closed)
    rings = next(one for one in closed["became"] if one["bin"] == "Box 1")
    assert (rings["used"], rings["back"], rings["scrapped"]) == (2, 0, 1)
    assert sum(one["used"] for one in closed["became"] if one["counted_in"] == "ul") == 2 * LITRE
    left = kitwright("shelf", "list", *data, "--json").json["stock"]
    assert sum(one["on_hand"] for one in left if one["counted_in"] == "ul") == 23 * LITRE
    assert kitwright("undo", *data).code == 0
    left = kitwright("shelf", "list", *data, "--json").json["stock"]
    assert sum(one["on_hand"] for one in left if one["counted_in"] == "ul") == 3 * LITRE
    workshop = open_workshop(Path(data[1]))
    with workshop.read() as session:
        assert check(session).ok
    workshop.close()


def test_what_nobody_said_as_a_job_was_closed_is_told_with_the_options_that_say_it(
    kitwright: CommandLine, data: tuple[str, ...]
) -> None:
    kitwright("kit", "promise", "1", *data)
    kitwright("kit", "pick", "1", *data)
    kitwright("kit", "fill", "1", "oil", "--poured", "22 L", *data)
    closed = kitwright("job", "close", "1", *data).out
    planned = "What it picked counts as planned; where it was not so, take this back and say --back or --scrapped: "
    assert f"{planned}kitwright undo" in closed
    assert "as_planned" not in kitwright("undo", *data).out
    assert planned not in kitwright("job", "close", "1", "--as-planned", *data).out


def test_the_class_that_a_kit_waits_for_is_told_where_the_app_asks_for_it(
    kitwright: CommandLine, data: tuple[str, ...]
) -> None:
    kitwright("job", "need", "1", "--filter", "spin-on 1-12 UNF, 10 µm", *data)
    words = ("shelf", "receive", "Return filter, black", "--bin", "F1", "--quantity", "1", *data)
    asks = "A kit waits for “spin-on 1-12 UNF, 10 µm”"
    assert asks in kitwright(*words).out
    assert "asks" not in kitwright("undo", *data, "--json").out
    assert asks not in kitwright(*words, "--class", "spin-on 1-12 UNF, 10 µm").out


def test_a_suppliers_terms_are_not_known_until_they_are_said(kitwright: CommandLine, data: tuple[str, ...]) -> None:
    name = "First supplier (invented)"
    assert "not known" in kitwright("list", "suppliers", *data).out
    assert "say at least one of its terms" in kitwright("list", "terms", name, *data).err
    said = kitwright("list", "terms", name, "--freight", "9.90", "--free-from", "150", "--lead-days", "2", *data)
    assert said.out.startswith(f"{name}: freight 9.90 EUR, free from 150.00 EUR, 2 days.")
    answer = kitwright("list", "terms", name, "--minimum-order", "20", *data, "--json").json
    conforms("suppliers", answer)
    assert (answer["suppliers"][0]["freight"], answer["suppliers"][0]["minimum_order"]) == ("9.90", "20.00")
    assert kitwright("undo", *data).code == 0
    assert kitwright("list", "suppliers", *data, "--json").json["suppliers"][0]["minimum_order"] == "0.00"
