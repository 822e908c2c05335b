"""What `check` says of the computer and terminal it runs on. The limits are our own rules, no source."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.database import open_workshop
from models.inventory import bins
from tests.models.shop import act
from tests.tui.command_line import CommandLine
from tui.surroundings import FOR_WHAT, Surroundings, advice, look

NOON = datetime(2026, 6, 1, 12, tzinfo=UTC)
WELL = Surroundings(10**12, 10**6, NOON, NOON, 80, 24, "xterm-256color", "utf-8", frozenset(FOR_WHAT))


def test_where_nothing_lacks_nothing_is_said() -> None:
    assert advice(WELL) == ()
    assert advice(WELL._replace(free=None, size=None, newest=None, columns=None, lines=None)) == ()


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"free": 40_000_000}, "40 MB are free where the data lies; backups and imports need 50 MB."),
        ({"free": 2 * 10**9, "size": 10**9}, "2000 MB are free where the data lies; backups and imports need 3000 MB."),
        ({"newest": NOON + timedelta(days=1)}, "which this computer's clock has not reached. Set the clock"),
        ({"columns": 79}, "79 columns and 24 lines"),
        ({"lines": 20}, "80 columns and 20 lines"),
        ({"kind": "dumb"}, "TERM is empty or dumb"),
        ({"encoding": "iso-8859-1"}, "written to as iso-8859-1; Ø, µ and ± become question marks."),
        ({"libraries": frozenset(FOR_WHAT) - {"highspy"}}, "what order plans need. Where you want that, install the"),
        ({"libraries": frozenset(FOR_WHAT) - {"segno", "reportlab"}}, "what PDF sheets and QR codes on labels need."),
    ],
)
def test_what_lacks_is_said_with_a_way_out(change: dict[str, object], says: str) -> None:
    (sentence,) = advice(WELL._replace(**change))  # type: ignore[arg-type]
    assert says in sentence
    assert sentence.endswith(".")


@given(st.integers(0, 10**12), st.integers(0, 10**10), st.integers(1, 10**12))
def test_more_room_never_brings_a_warning(free: int, size: int, more: int) -> None:
    before, after = advice(WELL._replace(free=free, size=size)), advice(WELL._replace(free=free + more, size=size))
    assert len(after) <= len(before)


def test_a_clock_that_is_a_little_off_is_no_matter() -> None:
    assert advice(WELL._replace(newest=NOON + timedelta(minutes=5))) == ()


def test_this_computer_is_looked_at(tmp_path: Path) -> None:
    file = tmp_path / "workshop.sqlite3"
    file.write_bytes(b"x" * 1000)
    here = look(file, NOON, None)
    assert here.size == 1000
    assert here.free
    assert here.libraries == frozenset(FOR_WHAT)  # the tests' extra brings them all


def test_check_tells_of_a_booking_from_the_future(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kitwright = CommandLine(capsys, monkeypatch)
    file = tmp_path / "shop.sqlite3"
    later = datetime.now(UTC) + timedelta(days=400)
    workshop = open_workshop(file)
    with workshop.write() as session:
        bins.add(session, act(at=later), code="Box 1")
    workshop.close()
    plain = kitwright("check", "--data", str(file))
    assert (plain.code, "Set the clock before anything is booked" in plain.out) == (0, True)
    (sentence,) = kitwright("check", "--data", str(file), "--json").json["advice"]
    assert f"{later.astimezone():%Y-%m-%d %H:%M}" in sentence
