"""`kitwright ring --photo`: a picture's readings go into the evidence with their ±, or why not is said."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from catalog import photo
from tests.catalog.photo.rendered import encoded, render
from tests.catalog.photo.test_measure import PLAIN
from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms
from tui import answers
from tui.operations import ring_photo

UNTRIED = "not yet tried on a real photograph"


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


@pytest.fixture(scope="module")
def picture(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("pictures") / "ring.jpg"
    file.write_bytes(encoded(render(PLAIN)))
    return file


def test_a_picture_gives_the_readings(kitwright: CommandLine, picture: Path) -> None:
    ended = kitwright("ring", "--photo", str(picture), "--bar", "99.6mm", "--json")
    conforms("ring", ended.json)
    by_name = {one["what"]: one for one in ended.json["readings"]}
    assert set(by_name) == {"id", "width"}
    for what, true in (("id", PLAIN.inside), ("width", PLAIN.width)):
        assert abs(by_name[what]["value_mm"] - true) < by_name[what]["plus_minus_mm"]
        assert by_name[what]["tool"] == "stated"
    assert UNTRIED in ended.json["photo"]
    assert "AS568-214" in [one["name"] for one in ended.json["matches"]]

    # In inches the bar is the same bar; its own ± makes the ring's wider.
    text = kitwright("ring", "--photo", str(picture), "--bar", "3.921±0.02in")
    assert (text.code, text.err) == (0, "")
    assert UNTRIED in text.out
    assert "By the picture ring.jpg: ID 24." in text.out


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("--photo", "ring.jpg"), "needs --bar: measure the sheet's bar"),
        (("--photo", "ring.jpg", "--bar", "99.6", "--id", "24"), "--id: the picture says what the ring measures"),
        (("--bar", "99.6", "--id", "24"), "name the picture with --photo"),
        (("--photo", "ring.jpg", "--batch", "box.csv"), "--photo: is of one ring; leave out --batch"),
        (("--photo", "ring.jpg", "--bar", "80"), "can't measure 80 mm"),
        (("--photo", "none.jpg", "--bar", "99.6"), "none.jpg can't be read."),
        (("--photo", ".", "--bar", "99.6"), "is a folder"),
        (("--photo", "/dev/zero", "--bar", "99.6"), "is a device"),
        (("--photo", __file__, "--bar", "99.6"), "that is not a JPEG or PNG picture"),
    ],
)
def test_what_cannot_be_measured_is_refused(kitwright: CommandLine, words: tuple[str, ...], why: str) -> None:
    ended = kitwright("ring", *words)
    assert ended.code == 2
    assert why in ended.err
    assert ended.err.count("\n") == 1
    assert ended.out == ""


@pytest.mark.parametrize("level", ["DEBUG", "INFO"])
def test_what_opencv_says_when_asked_to_stays_out_of_the_answer(
    kitwright: CommandLine, picture: Path, monkeypatch: pytest.MonkeyPatch, level: str
) -> None:
    monkeypatch.setenv("OPENCV_LOG_LEVEL", level)
    ended = kitwright("ring", "--photo", str(picture), "--bar", "99.6mm", "--json")
    assert (ended.code, ended.err) == (0, "")
    assert {one["what"] for one in ended.json["readings"]} == {"id", "width"}


def test_lower_limits_of_the_system_are_kept(picture: Path) -> None:
    words = [sys.executable, "-P", "-m", "catalog.photo", "99.6", "0.05"]
    with picture.open("rb") as file:
        done = subprocess.run(
            ["sh", "-c", 'ulimit -t 20; exec "$@"', "sh", *words],
            stdin=file,
            capture_output=True,
            text=True,
            check=True,
        )
    assert '{"measured": [' in done.stdout


def test_without_opencv_it_says_what_to_install(kitwright: CommandLine, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ring_photo, "find_spec", lambda _: None)
    assert "install the extra “photo”" in kitwright("ring", "--photo", "ring.jpg", "--bar", "99.6").err


def test_what_is_to_be_known_is_said() -> None:
    found = photo.reading.Measured(30.0, 0.1, 3.5, 0.06, 0.45, 12.0, 0.1, 2)
    (said,) = answers.ring_photo.ring_photo("/somewhere/ring.jpg", found).words()
    assert "its ID differs by 0.5 mm" in said or "its ID differs by 0.4 mm" in said
    assert "2 of 12 marks were not seen" in said
    assert said.endswith(answers.ring_photo.UNTRIED)
    assert "/somewhere" not in said
