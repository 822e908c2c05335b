"""The commands on the workshop's database: shelf, jobs, kit, check."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms

RING = "O-ring AS568 214 NBR 70"


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch, makes_demo=True)


@pytest.fixture
def data(tmp_path: Path) -> tuple[str, str]:
    return ("--data", str(tmp_path / "workshop.sqlite3"))


def test_an_empty_shelf_lists_nothing_and_ends_with_1(kitwright: CommandLine, data: tuple[str, str]) -> None:
    ended = kitwright("shelf", "list", *data, "--json")
    assert (ended.code, ended.json) == (1, {"schema": "kitwright.stock/2", "total": 0, "stock": []})


def test_what_is_received_lies_on_the_shelf(kitwright: CommandLine, data: tuple[str, str]) -> None:
    booked = kitwright("shelf", "receive", RING, "--bin", "Box 1", "--quantity", "20", *data, "--json").json["stock"][0]
    assert (booked["on_hand"], booked["free"], booked["bin"]) == (20, 20, "Box 1")
    assert kitwright("shelf", "list", "214", "box", *data, "--json").json["stock"] == [booked]


def test_receiving_twice_adds_up(kitwright: CommandLine, data: tuple[str, str]) -> None:
    for _ in range(2):
        ended = kitwright("shelf", "receive", RING, "--bin", "Box 1", "--quantity", "20", *data)
    assert "40 on hand" in ended.out


def test_a_count_sets_the_bin_right(kitwright: CommandLine, data: tuple[str, str]) -> None:
    kitwright("shelf", "receive", RING, "--bin", "Box 1", "--quantity", "20", *data)
    ended = kitwright("shelf", "count", RING.lower(), "--bin", "box 1", "--quantity", "0", *data, "--json")
    assert (ended.code, ended.json["stock"][0]["on_hand"]) == (0, 0)


def test_a_count_never_takes_a_near_name(kitwright: CommandLine, data: tuple[str, str]) -> None:
    kitwright("shelf", "receive", RING, "--bin", "Box 1", "--quantity", "20", *data)
    ended = kitwright("shelf", "count", "O-ring AS568 214", "--bin", "Box 1", "--quantity", "3", *data)
    assert ended.code == 2
    assert "20" in kitwright("shelf", "list", "214", *data).out


def test_a_fluids_bare_amount_is_a_volume_in_the_benchs_unit_never_pieces(kitwright: CommandLine) -> None:
    stock = kitwright("shelf", "list", "--demo", "--json").json["stock"]
    fluid = next(row for row in stock if row["counted_in"] == "ul" and row["free"] > 5_000_000)
    for what in ("use", "receive"):
        words = ("shelf", what, fluid["item"], "--bin", fluid["bin"], "--demo", "--quantity")
        assert kitwright(*words, "5 pieces").code == 2
        assert kitwright(*words, "5", "--json").json["amount"] == 5_000_000


@pytest.mark.parametrize("quantity", ["-1", "1.5", "many", "1e3", "", "9999999999", "²"])
def test_a_quantity_is_a_whole_number(kitwright: CommandLine, data: tuple[str, str], quantity: str) -> None:
    ended = kitwright("shelf", "receive", RING, "--bin", "Box 1", f"--quantity={quantity}", *data)
    assert ended.code == 2
    assert "--quantity" in ended.err


def test_shelf_asks_for_what_to_do_and_corrects_a_typo(kitwright: CommandLine) -> None:
    assert kitwright("shelf").code == 2
    assert "did you mean receive?" in kitwright("shelf", "recieve").err


def test_jobs_of_the_demo_workshop_each_have_a_kit(kitwright: CommandLine) -> None:
    jobs = kitwright("jobs", "--demo", "--json").json["jobs"]
    assert jobs
    for job in jobs:
        kit = kitwright("kit", str(job["job"]), "--demo", "--json").json
        assert (kit["title"], kit["kit"]) == (job["title"], job["kit"])


def test_a_kit_that_is_short_ends_with_1_and_says_so(kitwright: CommandLine) -> None:
    jobs = kitwright("jobs", "--demo", "--json").json["jobs"]
    short = next(job["job"] for job in jobs if job["kit"] == "short")
    ended = kitwright("kit", str(short), "--demo")
    assert ended.code == 1
    assert "short" in ended.out


def test_a_kit_that_has_all_ends_with_0_and_names_the_bin(kitwright: CommandLine) -> None:
    jobs = kitwright("jobs", "--demo", "--json").json["jobs"]
    ready = next(job["job"] for job in jobs if job["kit"] == "ready")
    ended = kitwright("kit", str(ready), "--demo")
    assert ended.code == 0
    assert "have " in ended.out
    assert ", bin " in ended.out


@pytest.mark.parametrize("job", ["99999", "x", "1.0", "-1", "²"])
def test_a_job_that_is_not_there_is_told(kitwright: CommandLine, job: str) -> None:
    ended = kitwright("kit", "--demo", job)
    assert (ended.code, ended.out) == (2, "")


def test_no_job_open_ends_with_1(kitwright: CommandLine, data: tuple[str, str]) -> None:
    assert kitwright("jobs", *data).code == 1


def test_the_demo_workshop_checks_out(kitwright: CommandLine) -> None:
    ended = kitwright("check", "--demo", "--json")
    assert (ended.code, ended.json["ok"], ended.json["findings"]) == (0, True, [])
    assert ended.json["movements"] > 0
    conforms("check", ended.json)


def test_what_a_killed_backup_left_is_named_and_is_no_fault(kitwright: CommandLine, data: tuple[str, str]) -> None:
    kitwright("jobs", *data)
    left = Path(data[1]).with_name(f".kitwright-{'a' * 32}.part")
    left.write_text("half a backup")
    ended = kitwright("check", *data, "--json")
    conforms("check", ended.json)
    assert (ended.code, ended.json["leftovers"]) == (0, [str(left)])
    assert f"{left}: a backup or import is writing it, or was killed" in kitwright("check", *data).out


def test_a_tampered_database_is_found_out(kitwright: CommandLine, data: tuple[str, str]) -> None:
    kitwright("shelf", "receive", RING, "--bin", "Box 1", "--quantity", "20", *data)
    with sqlite3.connect(data[1]) as database:
        database.execute("UPDATE stock SET on_hand = on_hand + 1")
    database.close()
    ended = kitwright("check", *data)
    assert ended.code == 1
    assert RING in ended.out


def test_demo_and_data_exclude_each_other(kitwright: CommandLine, data: tuple[str, str]) -> None:
    assert kitwright("--demo", "jobs", *data).code == 2


def test_the_workshop_may_be_named_before_the_command(kitwright: CommandLine, data: tuple[str, str]) -> None:
    kitwright(*data, "shelf", "receive", RING, "--bin", "Box 1", "--quantity", "20")
    assert kitwright("shelf", "list", *data).code == 0


def test_a_workshop_may_be_called_as_a_command_is(
    kitwright: CommandLine, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert kitwright("--data", "ring", "shelf", "receive", RING, "--bin", "1", "--quantity", "2").code == 0
    assert kitwright("--data", "ring", "shelf", "list").code == 0


@pytest.mark.parametrize(
    "where", ["{folder}", "{folder}/none/x.sqlite3", "{folder}/text.txt", "postgresql://nowhere.invalid/x"]
)
def test_a_workshop_that_cannot_be_opened_is_told_in_a_sentence(
    kitwright: CommandLine, tmp_path: Path, where: str
) -> None:
    (tmp_path / "text.txt").write_text("no database, only words\n" * 100, encoding="utf-8")
    ended = kitwright("jobs", "--data", where.format(folder=tmp_path))
    assert (ended.code, ended.out) == (2, "")
    assert ended.err.startswith("kitwright jobs: ")
    assert "Traceback" not in ended.err
