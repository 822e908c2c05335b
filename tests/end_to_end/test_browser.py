"""The app in two real browsers: let in by a code, a ring measured and taken, seen from the other, a connection lost.

Needs Chromium (`tests/end_to_end/browser.py` says how to get it). Without it this test fails; it is left out by name:
`pytest --deselect tests/end_to_end/test_browser.py`.
"""

from __future__ import annotations

import json
import signal
import subprocess
import sys
from datetime import date
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Page

from catalog.orings.sizes import all_sizes
from tests.end_to_end.browser import STRANGER, Tablet, browser, chromium
from tests.end_to_end.terminal import clean_environment
from tests.signals import heeding_ctrl_c
from tui.sheets import size_page

RING = "AS568-214"


def opens_a_socket(page: Page, address: str) -> bool:
    """Whether this page may open the app's socket."""
    opened: bool = page.evaluate(
        """address => new Promise(done => {
            const socket = new WebSocket(address + "/ws?width=80&height=24");
            socket.addEventListener("open", () => done(true));
            socket.addEventListener("error", () => done(false));
        })""",
        address.replace("http", "ws", 1),
    )
    return opened


def loses_its_socket(page: Page) -> str:
    """Cut the app's socket, and give what the page says of it."""
    said: str = page.evaluate(
        """() => new Promise(done => {
            socket.addEventListener("close", () => done(document.getElementById("told").innerText));
            socket.close();
        })"""
    )
    return said


def test_two_browsers_of_the_shop(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "tui", "serve", "--demo", "--pair", "--json", "--port", "0"]
    server = subprocess.Popen(
        command, env=clean_environment(tmp_path, PYTHONPATH=str(Path(__file__).parents[2])), cwd=tmp_path, text=True,
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, preexec_fn=heeding_ctrl_c,
    )  # fmt: skip
    assert server.stdin is not None
    assert server.stdout is not None
    with server, browser() as opened:
        try:
            address = json.loads(server.stdout.readline())["address"]
            bench, lift = Tablet(opened, touch=True), Tablet(opened, touch=True)

            # Without a code: no app. From a stranger's page or by a stranger's name: not even that page.
            bench.page.goto(address)
            assert bench.page.locator("#terminal").count() == 0
            assert not opens_a_socket(bench.page, address)
            stranger = Tablet(opened)
            misdirected = stranger.page.goto(address.replace("127.0.0.1", STRANGER))
            assert misdirected is not None
            assert misdirected.status == 421
            assert not opens_a_socket(stranger.page, address)

            # The bench is let in; the code opens once.
            code = json.loads(server.stdout.readline())["code"]
            bench.enter(code)
            bench.wait_for("F2 Measure", "ID")
            lift.page.goto(address)
            lift.enter(code)
            lift.page.wait_for_selector("text=That is not the code")
            server.stdin.write("\n")
            server.stdin.flush()
            lift.enter(json.loads(server.stdout.readline())["code"])
            # A foreign page can't use the bench's cookie either.
            foreign = bench.context.new_page()
            foreign.goto(address.replace("127.0.0.1", STRANGER))
            assert not opens_a_socket(foreign, address)
            foreign.close()

            # At the lift the shelf is looked at by touch alone; its rows are tapped, its search is typed on glass.
            lift.wait_for("F5 Shelf", "Type an ID and a width")
            lift.tap("F5 Shelf")
            lift.wait_for("rows")
            first = lift.lines[3]
            lift.draw_up(10)
            lift.wait(lambda: lift.lines[3] != first, "the list to follow the finger")
            lift.page.click("text=Keyboard")
            lift.page.keyboard.insert_text("214 NBR 70")
            lift.wait_for("2 rows", "O-ring AS568 214 NBR 70")
            before, at = row_of(lift), at_cursor(lift)

            # At the bench the ring is measured. The connection goes, and comes back to what was typed.
            bench.type("24.99")
            bench.press("Tab", "Tab")
            bench.type("3.53")
            bench.wait_for("= 3.53 mm", RING)
            with bench.page.expect_event("load"):
                assert "The connection is lost" in loses_its_socket(bench.page)
            bench.wait_for("= 24.99 mm", "= 3.53 mm", RING)
            bench.tap("used flat", at=1)  # browsers keep the key for it
            bench.wait_for("[used]", f"Fit {RING}")
            bench.press("Enter")
            bench.wait_for("for which job?")
            bench.press("Enter")
            bench.wait_for("9 free in Box 1")

            # The lift sees it, without a key: the row is marked, and the cursor stays where it was.
            lift.wait(lambda: row_of(lift) not in ("", before), f"other than {before}")
            assert "•" in next(line for line in rows(lift) if "AS568 214 NBR 70" in line)[:3]
            assert at_cursor(lift) == at

            # Left by the app's own key, the page says so and begins anew.
            bench.press("F10")
            bench.page.wait_for_selector("text=Kitwright was left")
            bench.page.click("text=Start again")
            bench.wait(lambda: "F2 Measure" in bench.text and "24.99" not in bench.text, "a new app")

            for tablet in (bench, lift):
                assert {urlsplit(url).hostname for url in tablet.asked} == {"127.0.0.1"}
                assert [
                    fault for fault in tablet.faults if "status of 403" not in fault and "WebSocket" not in fault
                ] == []
        finally:
            server.send_signal(signal.SIGINT)
            try:
                _, said = server.communicate(timeout=30)
            finally:
                server.kill()  # else it would be waited for, for ever
    assert server.returncode == 130
    assert "A wrong code came from 127.0.0.1." in said
    assert said.endswith("kitwright serve: stopped. What was booked in a browser is kept.\n")
    assert code not in said


def at_cursor(tablet: Tablet) -> int:
    """The line that the list's cursor stands on."""
    return next(number for number, line in enumerate(tablet.lines) if line.startswith("▸"))


def rows(tablet: Tablet) -> list[str]:
    """The list's lines: below the areas and the answer, which has the ring's name too."""
    return tablet.lines[4:]


def row_of(tablet: Tablet) -> str:
    """The shelf's row of the ring as it is shown; "" while it is not."""
    found = (line.strip(" ▸•") for line in rows(tablet) if "AS568 214 NBR 70" in line and "in bin" not in line)
    return next(found, "")


def test_without_chromium_it_is_said_how_to_get_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    monkeypatch.delenv("KITWRIGHT_CHROMIUM", raising=False)
    with pytest.raises(AssertionError, match=r"apt-get install chromium-headless-shell.*--deselect"):
        chromium()


def test_the_page_of_sizes_finds_a_ring_by_its_readings(tmp_path: Path) -> None:
    """What is typed there is read off a caliper: 7.6 is 7.59 mm, and not the last letters of 67.6."""
    file = tmp_path / "sizes.html"
    file.write_text(size_page.as_html(all_sizes(), date(2026, 11, 29)), encoding="utf-8")
    with browser() as opened:
        page = opened.new_page()
        page.goto(file.as_uri())
        for typed, first, told in (
            ("7.6 2.6", "AS568-109", "Nearest, in mm"),
            ("24,9 3,5", RING, "Nearest, in mm"),
            ("20 x 3", "20 × 3", "With these figures or nearest"),
            ("0.984 0.139", RING, "1 size"),
            (RING, RING, "1 size"),
        ):
            page.fill("#sought", typed)
            assert page.locator("li b").first.inner_text() == first
            assert told in page.inner_text("#told")
