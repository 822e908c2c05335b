"""The cases that once got an answer that leaks, strips a thread or ruins a pump, asked in the app at both sizes.

What the command and its JSON say of them stands in `tests/audit`, each with its source; here the screens must say it
too. Sources: as there, named beside each case where it is not that table's.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from tests.tui.counter import keys, make_app, settle, shown, write
from tests.tui.groove.opened import at_groove
from tests.tui.groove.opened import fill as fill_groove
from tests.tui.judge.opened import LARGE, LETTERS, SMALL, fill, judging, panel

SIZES = pytest.mark.parametrize("size", [SMALL, LARGE], ids=["80x24", "120x40"])
DIVIDER = "▏"

JUDGED: tuple[tuple[str, dict[str, str], tuple[str, ...], tuple[str, ...]], ...] = (
    # What is judged, the fields, what the answer must say, what it may not.
    # Two cautions never add up to a permission.
    ("fluid", {"have": "ATF", "need": "NLGI 00"}, ("✗ NO", "never one for the other"), ("WITH CARE",)),
    ("fluid", {"have": "API FA-4", "need": "hydrostatic"}, ("✗ NO",), ("✓ YES", "WITH CARE")),
    # API SA has no anti-wear additive (SAE J183); HM relies on one (ISO 11158).
    ("fluid", {"have": "API SA", "need": "ISO-L-HM"}, ("✗ NO", "no anti-wear additive"), ("WITH CARE",)),
    # These stay a plain yes.
    ("fluid", {"have": "ISO-L-HV", "need": "ISO-L-HL"}, ("✓ YES",), ("WITH CARE",)),
    ("fluid", {"have": "HVLP", "need": "HLP"}, ("✓ YES",), ("WITH CARE",)),
    ("fluid", {"have": "API CK-4", "need": "API CD"}, ("✓ YES",), ("WITH CARE",)),
    ("fluid", {"have": "DOT 5.1", "need": "DOT 3"}, ("✓ YES",), ("WITH CARE",)),
    # FMVSS 116: DOT 5 is silicone and nothing else.
    ("fluid", {"have": "DOT 5", "need": "DOT 4"}, ("✗ NO", "silicone does not mix with glycol fluid"), ()),
    ("rubber", {"fluid": "DOT 5"}, ("silicone brake fluid DOT 5",), ("could be several",)),
    # FMVSS 116 names the rubbers its fluids are tested on.
    ("rubber", {"fluid": "DOT 4", "family": "VMQ"}, ("✗ NEVER USE IT HERE",), ("WITH CARE",)),
    ("rubber", {"fluid": "DOT 4", "family": "EPDM"}, ("✓ EPDM",), ("NEVER", "CARE")),
    # A printed gap of 0.016 in is allowed where the row holds it; 100 bar on 70 Shore A is another row.
    ("rubber", {"fluid": "HLP", "family": "NBR", "gap": "0.016 in", "pressure": "30 bar"}, ("✓ NBR",), ("CARE",)),
    # Greases by a published chart; when unsure, purge.
    ("fluid", {"have": "lithium complex grease", "need": "cup grease"}, ("✓ YES", "November 1990", "purge"), ()),
    ("fluid", {"have": "polyurea grease", "need": "lithium complex grease"}, ("✗ NO", "Clean all the old grease"), ()),
    # By figures: FMVSS 116 boiling points, ISO 22241-1 for the reagent.
    ("fluid", {"need": "DOT 4", "figures": "dry=160C state=used"}, ("! WITH CARE", "taken up water"), ("✓ YES",)),
    ("fluid", {"need": "DOT 4", "figures": "dry=230C wet=154C"}, ("✗ NO",), ()),
    ("fluid", {"figures": "urea=32.5 density=1090"}, ("✓ YES", "AUS 32"), ()),
    # One identification of a thread; 9.45 mm x 16 at 55 degrees is Whitworth (BS 84).
    ("thread", {"diameter": "9.45", "tpi": "16", "flank": "55"}, ("BSW 3/8 89 %",), ("✓ 3/8-16",)),
    ("thread", {"diameter": "20.9", "tpi": "14"}, ("G 1/2 55 %",), ("NPT 1/2 55 %",)),
    ("port", {"diameter": "20.9", "tpi": "14"}, ("HOW DOES IT SEAL?", "G 1/2 (55 %)", "no ring is certain"), ()),
    ("port", {"seal": "cone", "diameter": "19.05", "tpi": "16"}, ("37° FLARE", "no O-ring"), ("? HOW",)),
    # Three figures, lbf·in below 20 N·m (NIST SP 811); the printed proof load is the one used (ISO 898-1).
    ("torque", {"thread": "M4", "strength": "4.8"}, ("1.63 N·m (14.4 lbf·in)",), ()),
    ("torque", {"thread": "M6", "strength": "8.8", "torque": "40 in-lb"}, ("4.52 N·m (40.0 lbf·in)",), ()),
    ("torque", {"thread": "M14x2", "strength": "8.8"}, ("66.7 kN",), ("67.0 kN",)),
    # A plug's washer and a shaft's seal are known (DIN 7603, ISO 6194-1).
    ("seal", {"seal": "washer", "thread": "M14x1.5"}, ("14 × 18 × 1.5", "M14x1.5"), ()),
    ("seal", {"seal": "shaft seal", "shaft": "25", "bore": "47", "width": "7"}, ("25 × 47 × 7", "ISO 6194-1"), ()),
)


def answer(pilot: Pilot[Any]) -> str:
    """What stands in the answer's band and right of the fields, as one line."""
    lines = shown(pilot).splitlines()
    band = lines[1 : next((i for i, line in enumerate(lines) if "Viscosity" in line), 1)]
    right = band + [line.rpartition(DIVIDER)[2] for line in lines if DIVIDER in line]
    return re.sub(r"\s+", " ", " ".join(right))


@SIZES
async def test_what_is_judged_is_judged_so_on_the_screen(tmp_path: Path, size: tuple[int, int]) -> None:
    wrong: list[str] = []
    async with judging(tmp_path, size=size) as pilot:
        for subject, fields, says, never in JUDGED:
            await keys(pilot, f"alt+{LETTERS[subject]}")
            await fill(pilot, **{ask.key: ask.words[0] if ask.words else "" for ask in panel(pilot).ASKS})
            await fill(pilot, **fields)
            told = answer(pilot)
            wrong += [f"{subject} {fields}: no {text!r} in: {told}" for text in says if text not in told]
            wrong += [f"{subject} {fields}: {text!r} in: {told}" for text in never if text in told]
    assert not wrong, "\n".join(wrong)


@SIZES
async def test_a_part_pushed_over_will_not_seal_and_unknown_play_says_so(tmp_path: Path, size: tuple[int, int]) -> None:
    # MIL-G-5514 3.6.2: tolerances, clearances, eccentricities and side loads count.
    async with at_groove(tmp_path, ("32.92", "3.53"), size=size) as pilot:
        await fill_groove(pilot, root="34", bore="40.3", width="4.8")
        assert "AS568-219" in answer(pilot)
        assert "taken as centred" in answer(pilot)
        await fill_groove(pilot, clearance="0.4")
        told = answer(pilot)
        assert re.search(r"AS568-219\S* ✗ (does not seal|will not)", told), told
        assert "Pushed over by 0.2 mm" in told


@SIZES
async def test_a_trade_fraction_names_its_ring_and_a_gap_in_the_tables_denies_none(
    tmp_path: Path, size: tuple[int, int]
) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        # An AS568 chart's fractions: 5 × 5-1/2 × 1/4 in is -429.
        for text in ("5in", "5-1/2in", "1/4in"):
            await write(pilot, text)
            await keys(pilot, "tab")
        assert "AS568-429" in shown(pilot)
        await keys(pilot, "f8")
        await write(pilot, "58")
        await keys(pilot, "tab", "tab")
        await write(pilot, "1.8")
        told = " ".join(shown(pilot).split())
        assert "No standard size > 99 %" not in told
        assert "58" in told
