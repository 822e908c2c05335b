"""What each sheet says, on paper and in its text copy: the two are made from the same blocks and must agree."""

from __future__ import annotations

import re
import unicodedata

import pytest

from catalog.cautions import DEFERS, TORQUE_DEFERS, Step, for_step
from tests.tui.sheets import drawn
from tests.tui.sheets.examples import DAY, FLOWING, HOSTILE, TEXTS, job, order, picking
from tui.sheets import job_sheet, order_list, pick_list
from tui.sheets.letters import LOST_NOTE
from tui.sheets.paper import A4
from tui.sheets.plain import WIDE, columns
from tui.sheets.records import JobSheet, OrderList, PickLine, PickList, Tally
from tui.sheets.walking import walked


def flat(text: str) -> str:
    return " ".join(text.split())


def test_the_job_sheet_says_all_of_it() -> None:
    text = job_sheet.as_text(job())
    said = flat(text)
    for sentence in (
        "500 h service",
        "Tractor 2",
        "Ilse",
        "2026-11-25",
        DEFERS,
        TORQUE_DEFERS,
        "Low mark at 10.41 L (11.00 US qt, 2.75 US gal).",
        "Full mark at 11.36 L (12.00 US qt, 3.00 US gal).",
        "Flange sealant, side cover: sealed 2026-11-25 16:00, may be filled 2026-11-26 16:00.",
        "Flange sealant, top cover: may be filled 1 h 30 min after sealing.",
        "Drawer F1 holds",
        "Measure again before closing",
    ):
        assert sentence in said
    # A torque in both units: 25 N·m ÷ 1.355 817 9 = 18.4 lbf·ft (NIST SP 811, Appendix B.8).
    assert "25.0 N·m" in said
    assert "(18.4 lbf·ft)" in said
    assert "oiled" in said
    # A box for each of 3 picks, 3 steps, 1 torque, 1 measurement; blanks for 6 pours and what is measured now.
    assert text.count("[ ] ") == 8
    assert len([line for line in text.splitlines() if re.match(r"[1-6]  +_+", line)]) == 6


def test_the_pick_list_walks_the_bins_in_order_with_numbers_as_numbers() -> None:
    text = pick_list.as_text(picking())
    assert [line[4:10].strip() for line in text.splitlines() if line.startswith("[ ]")] == ["Box 2", "Box 10", "Drum 1"]
    paper = drawn.text(FLOWING["pick list"](None, A4))
    assert "9.46 L (picked)" in paper
    assert "lot H-26, expires 2031-05-31" in paper


def test_walking_order_is_the_order_of_a_shelf() -> None:
    codes = ["R-10", "r-2", "R-02-11", "R-02-9", "Émile 1", "Box", "10", "9", "Box 1"]
    lines = [PickLine(code, "x", "1") for code in codes]
    assert [line.bin_code for line in walked(lines)] == [
        "9", "10", "Box", "Box 1", "Émile 1", "r-2", "R-02-9", "R-02-11", "R-10",
    ]  # fmt: skip
    assert walked(reversed(lines)) == walked(lines)


def test_cautions_stand_at_their_step_once_each() -> None:
    text = flat(job_sheet.as_text(job()))
    for step in (Step.ANY, Step.WORK_UNDER, Step.OPEN_PRESSURE, Step.DRAIN, Step.USED_OIL, Step.OLD_SEAL, Step.CLEAN):
        for caution in for_step(step):
            assert text.count(caution.text) == 1, caution.key
    drain, stands = text.index("Drain the transmission."), text.index("Raise the rear axle.")
    assert stands < text.index("Never work under a load") < drain < text.index("Relieve the pressure")
    # What the needs bring and no step names comes last, under its own heading.
    assert text.index("If you open the cooling system:") > text.index("Take out the flange ring.")


def test_a_job_with_no_written_steps_still_carries_the_cautions_of_its_needs() -> None:
    bare = JobSheet("ring", "Sprayer 1", "Ilse", DAY, needed=(Step.ANY, Step.OPEN_PRESSURE, Step.FIND_LEAK))
    text = flat(job_sheet.as_text(bare))
    assert "Nothing to pick." in text
    for step in (Step.ANY, Step.OPEN_PRESSURE, Step.FIND_LEAK):
        assert all(one.text in text for one in for_step(step))
    assert "Torques" not in text


def test_a_single_mark_is_not_called_two() -> None:
    bare = JobSheet("oil", "", "Ilse", DAY, tallies=(Tally("sump", "UTTO", 5_000_000, 5_000_000),))
    text = flat(job_sheet.as_text(bare))
    assert "To the mark: 5.00 L" in text
    assert "Low mark at" not in text
    assert "none: work on the bench" in text


def test_the_order_adds_up() -> None:
    text = flat(order_list.as_text(order()))
    # 2 × 4.15 + 1 × 18.90 = 27.20; with 9.50 freight 36.70.
    for words in ("8.30 EUR", "18.90 EUR", "Goods: 27.20 EUR", "Freight: 9.50 EUR", "ask"):
        assert words in text
    assert "2 × bag of 25" in drawn.text(FLOWING["order list"](None, A4))
    assert "Total: 36.70 EUR; 1 without a price" in text
    unknown = order_list.as_text(order()._replace(freight=None))
    assert "27.20 EUR; 1 without a price; freight not known" in flat(unknown)
    empty = order_list.as_text(OrderList("Nobody", "Ilse", DAY, "JPY", ()))
    assert "Nothing to order." in empty
    assert "Total:" in empty
    assert "0 JPY" in empty


@pytest.mark.parametrize("sheet", ["job sheet", "pick list", "order list"])
def test_paper_and_text_copy_say_the_same(sheet: str) -> None:
    def words(text: str) -> set[str]:
        return set(re.findall(r"\w+", text.casefold()))

    on_paper, in_text = words(drawn.text(FLOWING[sheet](None, A4))), words(TEXTS[sheet](None))
    assert in_text - {one for one in in_text if set(one) == {"_"}} <= on_paper
    assert on_paper - in_text <= {"page", "of", "1", "2", "3", "4"}


@pytest.mark.parametrize("words", [None, *HOSTILE], ids=range(len(HOSTILE) + 1))
@pytest.mark.parametrize("sheet", list(TEXTS))
def test_text_copies_keep_their_width_and_hold_nothing_a_terminal_obeys(sheet: str, words: str | None) -> None:
    text = TEXTS[sheet](words)
    assert text.endswith("\n")
    assert text.encode("utf-8")
    for line in text.splitlines():
        assert columns(line) <= WIDE
    assert not [one for one in text if one != "\n" and (unicodedata.category(one) in {"Cc", "Cs"} or one == "\u202e")]


def test_the_text_copy_keeps_letters_that_paper_lacks_and_paper_says_so() -> None:
    words = HOSTILE[2]
    assert words.replace(" ", "")[:8] in TEXTS["pick list"](words).replace(" ", "").replace("\n", "")
    assert LOST_NOTE in drawn.text(FLOWING["pick list"](words, A4))
    assert LOST_NOTE in drawn.text(FLOWING["ring sheet"](words, A4))
    assert LOST_NOTE not in drawn.text(FLOWING["ring sheet"](None, A4))
    assert LOST_NOTE not in drawn.text(FLOWING["pick list"](None, A4))


def test_brackets_and_entities_are_only_text() -> None:
    assert "[/foo] x [red] <b>&amp;</b> $pn {0} %s" in drawn.text(FLOWING["pick list"](HOSTILE[0], A4)).replace(
        "  ", " "
    )


def test_nothing_of_a_long_note_is_lost_over_the_pages() -> None:
    lines = (PickLine("Box 1", "W" * 10_000, "1"),)
    pages = drawn.read(pick_list.as_pdf(PickList("long", "Ilse", DAY, lines)))
    assert len(pages) >= 3
    assert sum(page.text.count("W") for page in pages) == 10_000 + sum("Written" in page.text for page in pages) + sum(
        page.text.count("Who") + page.text.count("What") for page in pages
    )
    assert f"page {len(pages)} of {len(pages)}" in pages[-1].text
