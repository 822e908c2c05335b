"""What is done with a need and its lines, and how long it takes, driven by keys."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from textual.widgets import Static

from tests.models.shop import ring_spec
from tests.tui.buy.opened import short_shop
from tests.tui.counter import Shown, keys, settle, shown, toasts, write
from tests.tui.seed import NOON
from tui.app import KitwrightApp
from tui.buying import Buying
from tui.kitting import Kitting
from tui.screens.kits.tally import TallyScreen


def _kit(app: KitwrightApp, job_id: int) -> dict[str, list[tuple[str, int, str, bool]]]:
    """By need: each line's state, quantity, bin, whether it is pinned."""
    kit = app.workshop.kit(job_id)
    return {
        need.title: [(str(line.state), line.quantity, line.bin_code, line.pinned) for line in need.lines]
        for need in kit.needs
    }


def said(app: KitwrightApp, where: str) -> str:
    """What a widget says, however it is broken into lines on screen."""
    return str(app.screen.query_one(where, Static).content)


async def test_offers_name_the_shelf_first_then_suppliers_each_with_its_reason(tmp_path: Path) -> None:
    app = Shown(data=str(short_shop(tmp_path)))
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        app.workshop.open().clock = lambda: NOON
        await keys(pilot, "f4", "down")
        assert "Pump inlet leaks" in shown(pilot)
        # Nothing is on order: nobody knows the day.
        assert "Earliest finish not known" in shown(pilot)
        await keys(pilot, "w")
        assert "its arrival is not known: order it." in shown(pilot)
        await keys(pilot, "escape", "enter", "o")
        text = shown(pilot)
        for words in ("What could fill", "First supp", "Free, pack", "Enter pins it", "buy, "):
            assert words in text, words
        await keys(pilot, "end")
        assert "from First supplier" in shown(pilot) or "from Second supplier" in shown(pilot)
        assert " a pack of " in shown(pilot)
        await keys(pilot, "enter")
        assert app.current_mode == "buy"
        # Ordered, the supplier takes two days: 25 November 2026 is a Wednesday (ISO 8601 calendar).
        buying = Buying(app.workshop)
        kept = buying.accept(buying.work_out(buying.gather()), looked_at=True)
        buying.place([order.order_id for order in kept])
        await keys(pilot, "f4", "w")
        assert "arrives Friday." in shown(pilot)


async def test_a_partial_pick_a_pin_and_what_was_used(tmp_path: Path) -> None:
    from tests.tui.test_kits_sheet import with_fluid

    app = with_fluid(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        app.workshop.open().clock = lambda: NOON
        job = app.workshop.jobs()[0].job_id
        before = _kit(app, job)
        assert before["AS568-214"] == [("have", 3, "B3", False)]
        # A: two of the three; the third stays promised.
        await keys(pilot, "f4", "enter", "down", "e")
        assert "3 promised in bin B3" in shown(pilot)
        await write(pilot, "0")
        await keys(pilot, "enter")
        assert "'0' is not a whole number from 1 up; type for example 12." in shown(pilot)
        await write(pilot, "2")
        await keys(pilot, "enter")
        assert _kit(app, job)["AS568-214"] == [("picked", 2, "B3", False), ("have", 1, "B3", False)]
        # E: one of the two was used, the other is back on the shelf and the line stays picked.
        await keys(pilot, "e")
        await write(pilot, "3")
        await keys(pilot, "enter")
        assert "Only 2 is out. Type that or less." in shown(pilot)
        await write(pilot, "1")
        await keys(pilot, "enter")
        assert "Used 1; 1 O-ring AS568-214 NBR 70 is back in bin B3." in toasts(pilot)
        assert "1 of it given back" in said(app, "#line-detail")
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 13
        # B: what is out goes back too.
        await keys(pilot, "b")
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 14
        await keys(pilot, "f9", "f9")
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 12
        # B: all of it goes back; the need is open again.
        await keys(pilot, "b")
        assert "its need is open again" in toasts(pilot)
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 14
        await keys(pilot, "f9", "f9")
        assert _kit(app, job) == before
        # O and Enter: two of the three pinned by hand; H lets go of it.
        await keys(pilot, "o")
        assert "11 free of 14" in said(app, "#choices-words")
        assert "The need names no rubber" in said(app, "#choices-words")
        await keys(pilot, "enter")
        await write(pilot, "2")
        await keys(pilot, "enter")
        assert ("have", 2, "B3", True) in _kit(app, job)["AS568-214"]
        at = next(i for i, row in enumerate(app.screen._lines) if row.line and row.line.pinned)  # type: ignore[attr-defined]
        app.screen.rows.move_to(at)  # type: ignore[attr-defined]
        await settle(pilot)
        assert app.screen._row(at).cells[0] == " ● pinned"  # type: ignore[attr-defined]
        assert "unpin" in said(app, "#line-keys")
        assert "pinned by" in said(app, "#line-detail")
        await app.screen.run_action("operate('unpin', 'kit')")
        await settle(pilot)
        assert ", and filled from the shelf again." in toasts(pilot)
        assert not any(pinned for *_, pinned in _kit(app, job)["AS568-214"])
        await keys(pilot, "f9", "f9")
        assert _kit(app, job) == before
        # S: one of them is torn; it is thrown away with the reason, and another looked for.
        app.screen.rows.move_to(1)  # type: ignore[attr-defined]
        await keys(pilot, "s")
        await write(pilot, "1")
        await keys(pilot, "enter")
        await write(pilot, "torn")
        await keys(pilot, "enter")
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 13
        assert sum(quantity for _, quantity, _, _ in _kit(app, job)["AS568-214"]) == 3
        await keys(pilot, "f9")
        assert app.workshop.stock_of_sizes(["as568:214"])[0].on_hand == 14
        # Every promise is let go of and filled from the shelf again.
        await app.screen.run_action("operate('afresh', 'kit')")
        await settle(pilot)
        assert "Refilled everything from the shelf." in toasts(pilot)
        await keys(pilot, "f9")
        assert _kit(app, job) == before
        # P on the need takes all that is promised to it.
        app.screen.rows.move_to(0)  # type: ignore[attr-defined]
        await keys(pilot, "p")
        assert _kit(app, job)["AS568-214"] == [("picked", 3, "B3", False)]
        await keys(pilot, "f9")
        assert _kit(app, job) == before


async def test_the_tally_is_kept_when_the_terminal_closes_and_reused_fluid_counts(tmp_path: Path) -> None:
    from models import kits
    from tests.tui.test_kits_sheet import says, with_fluid

    app = with_fluid(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "down", "r")
        for field, typed in (("drained", "10 qt"), ("reused", "5 qt"), ("poured", "6 qt")):
            app.screen.query_one(f"#{field}").focus()
            await settle(pilot)
            await write(pilot, typed)
            await keys(pilot, "enter")
        # 5 back in + 6 fresh = 11 US quarts: the low mark.
        assert "At the low mark." in says(app)
        assert "poured back, clean 5 US qt" in shown(pilot)
        # Ten came out, five went back in: five quarts, 4.73 L, are waste oil.
        assert "4.73 L that came out goes to disposal" in said(app, "#tally-rests")
        app.screen.query_one("#reused").focus()
        await settle(pilot)
        await write(pilot, "6 qt")
        await keys(pilot, "enter")
        assert "More was poured back than was drained" in said(app, "#pour-error")
        assert app.screen.query_one("#reused").value == "6 qt"  # type: ignore[attr-defined]
        await keys(pilot, "f9")
        assert "Below the low mark" in says(app)
        await write(pilot, "-")
        await keys(pilot, "enter")
        assert "poured back" not in shown(pilot)
        await keys(pilot, "f9")
        assert "poured back, clean 5 US qt" in shown(pilot)
    again = Shown(data=str(tmp_path / "workshop.sqlite3"))
    async with again.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "down", "r")
        assert isinstance(again.screen, TallyScreen)
        assert "drained 10 US qt" in shown(pilot)
        # What was done before the window opened stays, whatever F9 says in it.
        await keys(pilot, "escape")
        job = again.workshop.jobs()[0].job_id
        again.workshop.change(lambda session, act: kits.add_need(session, act, job, ring_spec("as568:214")))
        needs = len(again.workshop.kit(job).needs)
        await keys(pilot, "r", "f9")
        assert isinstance(again.screen, TallyScreen)
        assert "Nothing to undo here" in toasts(pilot)
        assert len(again.workshop.kit(job).needs) == needs
        assert "poured back, clean 5 US qt" in shown(pilot)


async def test_the_finish_says_cure_and_arrival_and_a_job_is_kept_as_a_template(tmp_path: Path) -> None:
    from models import kits, machines, shelf
    from models.inventory import bins, items
    from models.kitting.needs import NeedSpec
    from models.words import Kind
    from tests.tui.seed import act
    from tests.tui.test_kits_sheet import with_fluid

    app = with_fluid(tmp_path)
    with app.workshop.open().write() as session:
        place = bins.page(session, "C1")[0].bin_id
        tube = items.add(
            session, act(), kind=Kind.SEALANT, name="Flange sealant", spec_class="flange sealant", cure_minutes=24 * 60
        )
        shelf.receive(session, act(), item_id=tube.item_id, bin_id=place, quantity=2)
        kits.add_need(session, act(), 2, NeedSpec(Kind.SEALANT, spec_class="flange sealant", title="housing sealant"))
        kits.allocate(session, act(), 2)
        machines.add(session, act(), name="Shop press")
    async with app.run_test(size=(120, 40), notifications=True) as pilot:
        await settle(pilot)
        now = NOON.astimezone()
        app.workshop.open().clock = lambda: NOON
        await keys(pilot, "f4", "down")
        # 24 h of cure from now: tomorrow at the same hour.
        words = said(app, "#kit-finish")
        assert f"Earliest finish {now + timedelta(days=1):%a %d %b %H:%M}." in words
        assert f"Housing sealant: if sealed today {now:%H:%M}, may be filled tomorrow {now:%H:%M}." in words
        await app.screen.run_action("operate('keep', 'job')")
        await settle(pilot)
        await write(pilot, "Lift valve, reseal")
        await keys(pilot, "enter")
        assert "Kept “Lift valve, reseal”, version 1." in toasts(pilot)
        await app.screen.run_action("operate('keep', 'job')")
        await settle(pilot)
        await write(pilot, "lift valve, reseal")
        await keys(pilot, "enter", "enter")
        assert "version 2" in toasts(pilot)
        # A job from the template, on a machine: its needs are there and looked for.
        await keys(pilot, "n")
        assert "Lift valve, reseal" in shown(pilot)
        await keys(pilot, "enter")
        assert "Type what is to be done." in shown(pilot)
        await keys(pilot, "tab", "down", "tab", "down", "down", "enter")
        job = app.screen.job  # type: ignore[attr-defined]
        assert (job.title, job.machine_name) == ("Lift valve, reseal", "Sprayer 2")
        assert [need.title for need in Kitting(app.workshop).standing(job.job_id).kit.needs] == [
            "Transmission oil", "housing sealant",
        ]  # fmt: skip
        assert "● have" in shown(pilot)
        # Each of it goes back: the job with its promises, then the template's second version, then the template.
        await keys(pilot, "f9")
        assert "Undone: opening the job." in toasts(pilot)
        assert all(one.job_id != job.job_id for one in app.workshop.jobs())
        await keys(pilot, "f9")
        assert "Undone: the template's new version." in toasts(pilot)
        await keys(pilot, "f9")
        assert "Undone: the template." in toasts(pilot)
        assert Kitting(app.workshop).templates() == ()
