"""A measured ring on a kit: another that would do is taken where the shelf lacks it, and the line says why."""

from __future__ import annotations

from pathlib import Path

from catalog.chances import percent
from catalog.orings.decide import ALIKE
from models.acts import by
from tests.models.shop import ring
from tests.tui.conforming import conforms
from tests.tui.counter import keys, make_app, settle, shown, toasts, write
from tests.tui.seed import NOON
from tui.answers.kits import NeedAdded, kit_of, need_of
from tui.app import KitwrightApp
from tui.screens.choose_job import ChooseJob


def on_the_shelf(app: KitwrightApp, size_key: str, bin_code: str) -> int:
    """So many more rings of a size in a bin; the stock row's number."""
    with app.workshop.open().write() as session:
        return ring(session, 6, size_key=size_key, bin_code=bin_code).stock_id


async def test_the_best_is_not_there_and_an_equal_one_is(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    # 53 × 3.55 and AS568-227 seal as surely as each other where an old ring reads 53 × 3.5, used.
    on_the_shelf(app, "as568:227", "D9")
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        await write(pilot, "53")
        await keys(pilot, "tab", "tab")
        await write(pilot, "3.5")
        await keys(pilot, "ctrl+n", "ctrl+n")
        assert "[used]" in shown(pilot)
        first, second = (one.title for one in app.screen._candidates[:2])  # type: ignore[attr-defined]
        assert (first, second) == ("AS568-227", "53 × 3.55"), "of equal ones the one that is there goes first"
        chance = percent(app.screen._candidates[0].seals or 0)  # type: ignore[attr-defined]
        # Whoever asks for the other still gets a ring that seals as surely, and is told.
        await keys(pilot, "down")
        assert app.screen.chosen.title == "53 × 3.55"  # type: ignore[attr-defined]
        await keys(pilot, "enter")
        assert isinstance(app.screen, ChooseJob)
        await write(pilot, "Ram drips")
        await keys(pilot, "enter")
        told = f"AS568-227 in place of 53 × 3.55: seals whichever it was, {chance}"
        assert f"53 × 3.55 on “Ram drips”: have 2 in bin D9 ({told}" in toasts(pilot)
        job = app.workshop.jobs()[-1]
        kit = app.workshop.kit(job.job_id)
        (line,) = kit.needs[0].lines
        assert (line.bin_code, line.quantity, line.in_place) == ("D9", 2, True)
        # On the kit: the bin, the item that lies there, why; on the need what else would do.
        app.clear_notifications()
        await keys(pilot, "f4", "down", "down", "enter")
        assert "Ram drips" in shown(pilot)
        assert f"also suitable: AS568-227 ({chance})" in shown(pilot)
        await keys(pilot, "down")
        assert "D9" in shown(pilot)
        assert "AS568-227 in place of 53 × 3.55" in shown(pilot)
        # Every answer tells the same of it.
        told_need = need_of(kit.needs[0])
        assert told_need.others == "would-do"
        assert [(one.standard, one.designation, one.name) for one in told_need.would_do] == [
            ("as568", "227", "AS568-227")
        ]
        assert abs(told_need.would_do[0].seals - (told_need.seals or 0)) <= ALIKE
        assert told_need.would_do[0].why.startswith("goes where ")
        assert kit_of(kit, None).needs == (told_need,) == (NeedAdded(job.job_id, told_need).added,)
        # What is undone is gone whole.
        await keys(pilot, "f9")
        assert "Undone: accepting the match." in toasts(pilot)
        assert app.workshop.kit(job.job_id).needs == ()
        assert [row.free for row in app.workshop.stock_of_sizes(["as568:227"])] == [6]


async def test_one_that_seals_less_surely_is_told_with_its_chance(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    with app.workshop.open().write() as session:
        from models import shelf

        # No AS568-214 is left free: the seed holds 14 of them and 3 are promised.
        row = shelf.stock_rows(session, "214").rows[0]
        shelf.scrap(session, by("tess", clock=lambda: NOON), stock_id=row.stock_id, quantity=row.free, reason="swollen")
    on_the_shelf(app, "jis:P25", "C1")
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        await write(pilot, "24.9")
        await keys(pilot, "tab", "tab")
        await write(pilot, "3.5")
        await keys(pilot, "ctrl+n", "ctrl+n")
        assert app.screen.chosen.title == "AS568-214"  # type: ignore[attr-defined]
        by_title = {one.title: one.seals for one in app.screen._candidates}  # type: ignore[attr-defined]
        assert by_title["JIS P25"] < by_title["AS568-214"] - ALIKE
        await keys(pilot, "enter")
        await write(pilot, "Pump leaks")
        await keys(pilot, "enter")
        told = f"JIS P25 in place of AS568-214: seals whichever it was, {percent(by_title['JIS P25'])}"
        assert f"have 2 in bin C1 ({told}" in toasts(pilot)


def test_a_kit_tells_what_would_do_as_its_schema_says(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    with app.workshop.open().write() as session:
        from models import kits
        from models.words import Others
        from tests.models.test_would_do import accepted, spec

        forbidden = accepted(session, spec(others=Others.NEVER))
        allowed = accepted(session, spec())
        whole = [kit_of(kits.view(session, need.job_id), None) for need in (forbidden, allowed)]
    for answer in whole:
        conforms("kit", answer.as_json())
    words = ["\n".join(answer.words()) for answer in whole]
    assert "no other ring may go in" in words[0]
    assert "also suitable: JIS P25 (86 %), JIS P24 (78 %)" in words[1]
