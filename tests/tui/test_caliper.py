"""A caliper on a serial port, played by the other end of a pair of terminals: what it sends, where that goes."""

from __future__ import annotations

import asyncio
import os
import tty
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.widgets import Input

from tests.tui.command_line import CommandLine
from tests.tui.counter import keys, make_app, settle, shown, toasts
from tui import caliper
from tui.app import KitwrightApp


class Instrument:
    """The caliper's end of the line, and the port's name at the other end."""

    def __init__(self) -> None:
        self._own, self._far = os.openpty()
        tty.setraw(self._far)
        self.port = os.ttyname(self._far)
        self._plugged = True

    def send(self, sent: bytes) -> None:
        os.write(self._own, sent)

    def unplug(self) -> None:
        if self._plugged:
            os.close(self._own)
            os.close(self._far)
        self._plugged = False


@pytest.fixture
def instrument() -> Iterator[Instrument]:
    made = Instrument()
    yield made
    made.unplug()


async def until(app: KitwrightApp, told: str, seen: object) -> None:
    """Wait until a field has this, or a message says it: the reading comes by a thread."""
    for _ in range(500):
        if told in (seen() if callable(seen) else ""):
            return
        await asyncio.sleep(0.01)
    raise AssertionError(f"{told!r} never came; the screen has {app.focused}")


async def test_readings_go_into_the_field_in_hand_and_the_next_takes_the_focus(
    tmp_path: Path, instrument: Instrument
) -> None:
    app = make_app(tmp_path)
    app.caliper = caliper.Caliper(caliper.port_named(f"{instrument.port},9600"))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)

        def fields() -> str:
            return " | ".join(one.value for one in app.screen.query(Input))

        def said() -> str:
            return toasts(pilot)

        instrument.send(b"01A+00024.9")
        instrument.send(b"90\r")
        await until(app, "24.990", fields)
        await settle(pilot)
        assert "24.99 mm" in shown(pilot)
        first = app.screen.query(Input).first()
        assert first.value == "24.990"
        assert app.focused is not first
        # Back to the first field: measured again, the new reading stands in place of the old one.
        first.focus()
        instrument.send(b"01A+00025.010\r\n")
        await until(app, "25.010", fields)
        assert "24.990" not in fields()
        instrument.send(b"911\r")
        await until(app, "no reading to send (911)", said)
        instrument.send(b"garbage\r")
        await until(app, "'garbage', which is not a reading", said)
        # Where no field has the focus no letter of it may act as a key.
        await keys(pilot, "f3")
        app.screen.set_focus(None)
        instrument.send(b"01A+00003.530\r")
        await until(app, "The caliper says 3.530. Put the cursor into a field", said)
        assert app.current_mode == "catalog"
        instrument.unplug()
        await until(app, "The caliper is gone", said)


@pytest.mark.parametrize(
    ("named", "port"),
    [
        ("COM3", caliper.Port("COM3", 9600)),
        (" /dev/ttyUSB0 , 2400 ", caliper.Port("/dev/ttyUSB0", 2400)),
        ("COM3,115200", caliper.Port("COM3", 115_200)),
    ],
)
def test_a_port_is_named_with_its_speed(named: str, port: caliper.Port) -> None:
    assert caliper.port_named(named) == port


@pytest.mark.parametrize(
    "named", ["", ",", "COM3,", "COM3,fast", ",9600", "COM3,7", "COM3,99999999999", "COM3,９６００"]
)
def test_what_names_no_port_is_refused(named: str) -> None:
    with pytest.raises(caliper.CaliperError, match="type the port, as COM3"):
        caliper.port_named(named)


def test_no_such_port_or_no_library_is_one_sentence(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    kitwright = CommandLine(capsys, monkeypatch)
    monkeypatch.setattr("tui.commands.app.is_drawable", lambda: True)
    ended = kitwright("--caliper", str(tmp_path / "none"), "--data", str(tmp_path / "x.sqlite3"))
    assert (ended.code, ended.out, len(ended.err.splitlines())) == (2, "", 1)
    assert "can't be opened: is the caliper plugged in" in ended.err
    monkeypatch.setitem(__import__("sys").modules, "serial", None)
    ended = kitwright("--caliper", "COM3", "--data", str(tmp_path / "x.sqlite3"))
    assert (ended.code, "kitwright[instruments]" in ended.err) == (2, True)


@given(st.lists(st.binary(max_size=90), max_size=8))
def test_whatever_comes_down_the_line_is_a_number_or_a_sentence(pieces: list[bytes]) -> None:
    rest, found = b"", []
    for piece in pieces:
        lines, rest = caliper.lines_in(rest + piece)
        found += lines
        assert len(rest) <= caliper.LONGEST + 1
    for said in map(caliper.said_by, found):
        assert bool(said.number) != bool(said.trouble)
        assert said.trouble.isprintable()


def test_a_line_cut_anywhere_is_one_line() -> None:
    sent = b"01A+00024.990\r\n01A+00003.530\r"
    for cut in range(len(sent)):
        first, rest = caliper.lines_in(sent[:cut])
        then, rest = caliper.lines_in(rest + sent[cut:])
        assert [*first, *then] == ["01A+00024.990", "01A+00003.530"]
        assert rest == b""
