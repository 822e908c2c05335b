"""Five old rings measured in the demo workshop by keys alone, each ending on a kit line with the right bin."""

from __future__ import annotations

from typing import NamedTuple

import pytest

from tests.end_to_end.conftest import Opener
from tests.end_to_end.terminal import Terminal
from tests.end_to_end.test_a_day import go_to, highlighted

LOOKS = ("?", "new", "used", "flat", "swollen")
"""How a ring looks, in the order of its key; what is longer where there is room begins so."""
FIELDS = ("ID", "OD", "Width", "Width 2", "Inside tape", "Cut length")


class Old(NamedTuple):
    """A ring on the bench: what is read of it, how it looks, what goes in, and the bin on the kit's line."""

    readings: dict[str, str]
    look: str
    ring: str
    bin_code: str
    reason: str = ""


# What lies where is the demo's own: `models.demo.stock`.
RINGS = (
    Old({"ID": "24.9", "Width": "3.5"}, "used", "AS568-214", "Box 1"),
    # AS568-222 is 37.69 × 3.53 mm: 44.75 mm outside.
    Old({"OD": "44.8", "Width": "3.5"}, "used", "AS568-222", "Box 1"),
    # AS568-325 is 37.47 × 5.33 mm: π·(37.47 + 5.33) = 134.5 mm on the mean line.
    Old({"Width": "5.3", "Cut length": "134.5"}, "used", "AS568-325", "Box 1"),
    # JIS P18 is 17.8 × 2.4 mm. By the readings AS568-909 is likelier; it is not there, and P18 would do.
    Old({"ID": "17.8", "Width": "2.4"}, "used", "AS568-909", "Box 4", "JIS P18 in place of AS568-909: goes where"),
    # AS568-116 is 18.64 × 2.62 mm; swollen by 4 to 5 %.
    Old({"ID": "19.4", "Width": "2.75"}, "swollen", "AS568-116", "Box 1"),
)


def measure(app: Terminal, old: Old, job: str, look_before: str) -> None:
    """Type what was read and how it looks, take the ring that is named first to a job of its own."""
    at = 0
    for name, text in old.readings.items():
        for _ in range(FIELDS.index(name) - at):
            app.press("tab")
        at = FIELDS.index(name)
        app.type(text)
        app.wait_for(f"= {float(text):g}")
    for look in LOOKS[LOOKS.index(look_before) + 1 : LOOKS.index(old.look) + 1]:
        app.press("ctrl+n")
        app.wait_for(f"[{look}")
    app.wait(lambda shown: highlighted(shown, rf"{old.ring}\b"), f"{old.ring} to stand first")
    app.press("enter")
    app.wait_for(f"{old.ring}: for which job?")
    app.type(job)
    app.press("enter")
    app.wait_for(f"“{job}”: have 2 in bin")


def told(app: Terminal) -> str:
    """What the kit's side of the screen says, its lines joined."""
    return " ".join(" ".join(line.rpartition("▏")[2] for line in app.lines).split())


def look_at_its_kit(app: Terminal, old: Old, job: str) -> None:
    """The job's kit has one need, and its line says from which bin, and why another ring where it is one."""
    app.press("f4")
    app.wait_for("Open jobs")
    app.wait_for(job)
    app.press("end")
    while app.read(0.3):
        pass
    go_to(app, job)
    app.wait_for(f"READY  {job}", f"{old.ring}, 1 spare")
    app.press("enter")
    app.wait(lambda shown: highlighted(shown, "need"), "the need")
    go_to(app, rf"● have\s+2\s+{old.bin_code}")
    if old.reason:
        app.wait(lambda shown: old.reason in told(shown), old.reason)
    else:
        assert "in place of" not in app.text
    app.press("tab", "f2")
    app.wait(lambda shown: highlighted(shown, rf"{old.ring}\b"), old.ring)
    app.press("f8")
    app.wait_for("Measure the ring.")


@pytest.mark.parametrize(("columns", "rows"), [(80, 24), (120, 40)])
def test_five_rings_end_on_a_kit_line_with_the_right_bin(open_app: Opener, columns: int, rows: int) -> None:
    app = open_app("--demo", columns=columns, rows=rows)
    app.wait_for("F2 Measure", "which machine is it from", "Accept")
    for number, old in enumerate(RINGS, 1):
        measure(app, old, f"Ring {number}", LOOKS[0])  # a new ring forgets how the last one looked
        look_at_its_kit(app, old, f"Ring {number}")
    app.press("f10")
    assert app.wait_end() == 0
