"""A day in the demo workshop, played by keys alone on a real terminal; the next service starts from the fit record."""

from __future__ import annotations

import re

from tests.end_to_end.conftest import Opener
from tests.end_to_end.terminal import Terminal

RING = "JIS G40"
"""JIS B 2401: 39.4 × 3.1 mm. The demo's shelf has none, and one of its suppliers sells it."""
PLACE = "suction strainer"
JOB = "Tractor, 250 h"


def highlighted(terminal: Terminal, what: str) -> bool:
    """Whether a list's highlighted row begins with what the pattern says."""
    return re.search(rf"▸\s*{what}", terminal.text) is not None


def go_to(terminal: Terminal, what: str) -> None:
    """Move down in the list until the highlighted row is as the pattern says; once more from the top if need be."""
    for key in ("down", "home", "down"):
        for _ in range(1 if key == "home" else 15):
            if highlighted(terminal, what):
                return
            terminal.press(key)
            while terminal.read(0.3):
                pass
    raise AssertionError(f"{what} was not reached:\n{terminal.text}")


def measure_for_the_place(app: Terminal) -> None:
    app.wait_for("F2 Measure", "which machine is it from", "Accept")
    app.press("ctrl+o")
    app.wait_for("type a machine or a position")
    app.type(PLACE)
    app.wait(lambda shown: highlighted(shown, PLACE), PLACE)


def send_and_book(app: Terminal, order: str, bin_code: str) -> None:
    """Mark an order as sent; then book in all of it, new things into this bin."""
    go_to(app, rf"· planned.*{order}")
    app.press("enter")
    app.wait(lambda shown: highlighted(shown, rf"○ ordered.*{order}"), f"{order} to be ordered")
    app.press("enter")
    app.wait_for("the code on the bin")
    app.type(bin_code)
    app.press("enter")
    app.wait_for("Booked in.")


def test_measure_kit_buy_receive_pick_tally_close_and_remember(open_app: Opener) -> None:
    app = open_app("--demo")
    # Measure the strainer cover's old ring: nothing is on record there.
    measure_for_the_place(app)
    app.wait_for("Nothing is on record here yet.")
    app.press("enter")
    app.wait_for("At: suction strainer cover ring")
    app.type("39.3")
    app.wait_for("= 39.3 mm")
    app.press("tab", "tab")
    app.type("3.1")
    app.wait_for("= 3.1 mm")
    app.press("ctrl+n", "ctrl+n")
    app.wait_for("[used]", f"Fit {RING}", "Shelf: none")
    # It goes on the kit of the machine's open job: short.
    app.press("enter")
    app.wait_for(f"{RING}: for which job?")
    app.wait(lambda shown: highlighted(shown, "Pump inlet leaks"), "the machine's own most urgent job to stand first")
    app.type("250")
    app.wait(lambda shown: highlighted(shown, JOB), JOB)
    app.press("enter")
    app.wait_for("SHORT", "2. F9 takes it back")
    # What is short of all jobs, bought at the least cost.
    app.press("ctrl+y")
    app.wait_for("Short 6")
    app.press("o")
    app.wait_for("lowest possible (proven)", "O-RING JIS G40 NBR 70")
    # Four rings: two for this job, two for the pump that lacks them.
    assert re.search(r" 4 O-RING JIS G40", app.text)
    app.press("enter")
    app.wait_for("Place as planned orders?", "1-G040N")
    app.press("enter")
    app.wait_for("Orders 3")
    send_and_book(app, "Third supplier", "Shelf O")
    app.wait_for("Orders 2")
    send_and_book(app, "First supplier", "Box 5")
    app.wait_for("Orders 1")
    app.wait(lambda shown: f"{JOB}: ready" in " ".join(shown.text.split()), "the message over its two lines")
    # The kit is ready; pick all of it.
    app.press("f4")
    app.wait_for("Open jobs")
    go_to(app, JOB)
    app.wait_for("READY", f"{JOB} on Orchard tractor 3", "Box 5")
    app.press("enter")
    for wanted, said in (
        ("engine oil", "Picked 7.00 L"),
        ("hydraulic oil", "Picked 5.00 L"),
        ("pump inlet", "O-ring AS568 214"),
        ("rags", "Picked 4 "),
        (RING, f"Picked 2 O-ring {RING}"),
    ):
        go_to(app, rf"need[^▏\n]*{wanted}")
        app.press("p")
        app.wait_for("Picked", said)
    app.wait_for("PICKED", f"{JOB} on Orchard tractor 3")
    # The oil goes in and is tallied in several pours.
    app.press("home")
    app.wait(lambda shown: highlighted(shown, "need.*engine oil"), "the engine oil")
    app.press("r")
    app.wait_for("Log pours: engine oil", "Nothing noted yet.")
    for poured, said in (
        ("5", "Below the low mark. Pour 2.00 L"),
        ("2", "At the low mark."),
    ):
        app.type(poured)
        app.press("enter")
        app.wait_for(said)
    app.press("escape")
    app.wait_gone("Log pours")
    # The job is done; what fitted goes on record with the readings it was accepted on.
    app.press("x")
    app.wait_for(f"Close “{JOB}”?")
    app.press("enter")
    app.wait_for("How did the old ring hold up?", "pump inlet flange ring")
    app.press("space")
    app.press("enter")
    app.wait_for("Did this ring fit on Orchard tractor 3?", f"{RING} NBR 70")
    app.press("enter")
    app.wait_for("On record: 1 ring.")

    # The next service: the answer stands there before anything is measured.
    app.press("f2")
    app.wait_for("At: suction strainer cover ring", "Fitted last: JIS G40")
    app.press("ctrl+o")
    app.wait(lambda shown: highlighted(shown, PLACE), PLACE)
    app.wait_for(RING, "NBR", "Noted by", "Read then", "39.30 mm")
    app.press("f7")
    app.wait_for(f"{RING}: for which job?")
    app.type("Next service")
    app.press("enter")
    # Of the four that came one went into the tractor, its spare went back, two are promised to the pump.
    app.wait_for("“Next service”: ", "SHORT 1")
    app.press("f10")
    assert app.wait_end() == 0
