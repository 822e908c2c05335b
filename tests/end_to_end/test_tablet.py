"""An hour's work at a tablet, lying and standing, by fingers and its own keyboard alone: a job from open to closed.

Needs Chromium, as `test_browser.py`. Left out by name: `pytest --deselect tests/end_to_end/test_tablet.py`.
"""

from __future__ import annotations

import json
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from tests.end_to_end.browser import Tablet, browser
from tests.end_to_end.terminal import clean_environment
from tests.signals import heeding_ctrl_c

MOVES_MS = 250
"""A finger's way from one place to the next, which no hand goes quicker."""
JOB = "Loader weeps"
RINGS = (("24.99", "3.53", "AS568-214"), ("18.64", "3.53", "AS568-210"), ("44.04", "3.53", "JIS P44"))


class Fingers:
    """What two hands do at a tablet: touch what is written, and type on glass what has to be typed."""

    def __init__(self, tablet: Tablet) -> None:
        self.tablet = tablet

    def tap(self, text: str, at: int | None = None) -> None:
        """What is written on the screen."""
        self.tablet.wait_for(text)
        self.tablet.page.wait_for_timeout(MOVES_MS)
        self.tablet.tap(text, at)

    def tap_until(self, text: str, shows: str) -> None:
        """The same, again where nothing came of it: the line of keys may be drawn anew beneath the finger."""
        for _ in range(3):
            self.tap(text)
            for _ in range(25):
                if shows in self.tablet.text:
                    return
                self.tablet.page.wait_for_timeout(200)
        self.tablet.wait_for(shows)

    def bar(self, name: str) -> None:
        """A key of the bar beneath the screen."""
        self.tablet.page.wait_for_timeout(MOVES_MS)
        self.tablet.page.click(f'#keys >> text="{name}"')

    def glass(self, text: str) -> None:
        """The tablet's own keyboard, which puts words together before it hands them over (a phone's camera too)."""
        self.tablet.page.wait_for_timeout(MOVES_MS)
        hand = self.tablet.context.new_cdp_session(self.tablet.page)
        hand.send("Input.imeSetComposition", {"text": text, "selectionStart": len(text), "selectionEnd": len(text)})
        hand.send("Input.insertText", {"text": text})
        hand.detach()

    def menu(self, words: str, title: str) -> None:
        """Something else that can be done here, by *All actions*."""
        self.bar("All actions")
        self.tablet.wait_for("Search for commands")
        self.glass(words)
        self.tablet.wait(lambda: any(line.strip() == title for line in self.tablet.lines), title)
        self.bar("Enter")

    def goes_to(self, area: str, *shows: str) -> None:
        """An area by the words of the top line."""
        self.tap(area)
        self.tablet.wait_for(f"▐{area}▌", *shows)


@pytest.mark.parametrize("size", [(1024, 768), (800, 1280)])
def test_an_hour_at_the_lift(tmp_path: Path, size: tuple[int, int]) -> None:
    command = [sys.executable, "-m", "tui", "serve", "--demo", "--pair", "--json", "--port", "0"]
    server = subprocess.Popen(
        command, env=clean_environment(tmp_path, PYTHONPATH=str(Path(__file__).parents[2])), cwd=tmp_path, text=True,
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, preexec_fn=heeding_ctrl_c,
    )  # fmt: skip
    assert server.stdout is not None
    with server, browser() as opened:
        try:
            address, code = (json.loads(server.stdout.readline())[name] for name in ("address", "code"))
            tablet = Tablet(opened, touch=True, size=size)
            tablet.page.goto(address)
            tablet.enter(code)
            tablet.wait_for("F2 Measure", "inside diameter")
            works(Fingers(tablet))
            assert tablet.faults == []
        finally:
            server.send_signal(signal.SIGINT)
            try:
                _, said = server.communicate(timeout=30)
            finally:
                server.kill()
    assert said.endswith("kitwright serve: stopped. What was booked in a browser is kept.\n")


def works(hands: Fingers) -> None:
    """The hour."""
    tablet = hands.tablet
    # A job.
    hands.goes_to("F4 Kits", "Open jobs", "Ram drips")
    hands.tap("New job")
    tablet.wait_for("Open a job")
    hands.glass(JOB)
    tablet.wait_for(JOB)
    hands.tap("Enter opens it")
    tablet.wait(lambda: "Open a job" not in tablet.text and JOB in tablet.text, "the job")

    # Three rings, each by its field's name, and onto the kit.
    hands.goes_to("F2 Measure", "inside diameter")
    for at, (inside, width, ring) in enumerate(RINGS):
        if at:
            hands.menu("new ring", "New ring")
            tablet.wait_for("inside diameter")
        hands.tap("inside diameter")
        hands.glass(inside)
        tablet.wait_for(f"= {inside} mm")
        hands.tap("thickness of the cord")
        hands.glass(width)
        tablet.wait_for(f"= {width} mm")
        hands.tap("used flat", at=1)
        tablet.wait_for("[used]", f"Fit {ring}")
        hands.bar("Enter")
        tablet.wait_for("for which job?")
        hands.tap(JOB)
        hands.tap("Enter accepts")
        tablet.wait_for(f"{ring} on “{JOB}”")

    # Off the shelf. Where a finger was, nothing is said over the screen.
    hands.goes_to("F4 Kits", JOB)
    hands.tap(JOB)
    tablet.wait_for(f"SHORT 1  {JOB}", "AS568-210")
    hands.tap("P picks all", at=3)
    tablet.wait_for("✓ picked")
    tablet.page.wait_for_timeout(1000)  # longer than a mouse has to rest
    assert "Take what is promised off the shelf" not in tablet.text

    # A fluid as it goes in.
    hands.tap("Gearbox oil")
    tablet.wait_for("Gearbox oil on Row sprayer")
    hands.menu("pours", "Log pours")
    tablet.wait_for("Log pours", "Nothing noted yet")
    hands.glass("2 L")
    hands.tap("Enter notes it")
    tablet.wait_for("At the low mark.")
    hands.tap("Esc closes")
    tablet.wait(lambda: "Log pours" not in tablet.text, "the kit")

    # What is short is ordered, and comes.
    hands.goes_to("^Y Buy", "O Work out plan")
    hands.tap_until("O Work out plan", "is the lowest possible")
    hands.bar("Enter")
    tablet.wait_for("Place as planned orders?")
    hands.tap("Enter: yes")
    tablet.wait_for("Enter on an order marks it as sent")
    hands.bar("Enter")
    tablet.wait_for("is marked as sent", "○ ordered")
    hands.bar("Enter")
    tablet.wait_for("Receive all of order")
    hands.glass("Box 7")
    hands.tap("Enter does it")
    tablet.wait_for("Booked in.")

    # The job is done: what became of each part by touch, and closed.
    hands.goes_to("F4 Kits", JOB)
    hands.tap(JOB)
    tablet.wait_for(f"SHORT 1  {JOB}", "✓ picked")
    hands.tap("X closes it", at=4)
    tablet.wait_for(f"Close “{JOB}”?", "✓ used")
    hands.tap("B back", at=3)
    tablet.wait_for("↩ back")
    hands.tap("Enter: as planned")
    tablet.wait_for(f"Closed “{JOB}”")
