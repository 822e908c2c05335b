"""What a job takes besides rings, told by keys in Kits."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual import events
from textual.widgets import Input, Static

from models import jobs, machines
from models.storage.check import check
from models.words import Kind
from tests.tui.counter import STORABLE, keys, make_app, settle, shown, toasts
from tui.fields.field import Asked
from tui.fields.units import Units
from tui.needing import FIELDS, KINDS, Needed, read
from tui.screens.kits.lines import KitLine
from tui.screens.kits.new_need import NewNeed
from tui.screens.kits.screen import KitsScreen
from tui.widgets.judge.ask_field import PickField


def test_what_the_fields_tell() -> None:
    # 1 US quart is 0.946352946 L, 1 US pint half of that (NIST Handbook 44, Appendix C).
    oil, wrong = read(
        "fluid",
        {"class": " UTTO ", "grade": "10W-30", "low": "2 qt", "full": "5 pt", "asks": "API GL-4; JASO MA"},
        Asked(),
    )
    assert not wrong
    assert (oil.spec_class, oil.low_ul, oil.full_ul, oil.asks) == (
        "UTTO", 1_892_706, 2_365_882, ("API GL-4", "JASO MA"),
    )  # fmt: skip
    # One mark alone is both, and what another kind asks is passed over.
    one, wrong = read("fluid", {"class": "HM", "full": "1.9 L", "count": "many"}, Asked())
    assert (one.low_ul, one.full_ul, one.pieces, wrong) == (1_900_000, 1_900_000, 1, {})
    glue = {"class": "flange sealant", "asks": "oil", "cure": "1.5 h", "count": "2", "spares": "1"}
    told = Needed("sealant", 2, 1, "", "flange sealant", cure_minutes_at_most=90, asks=("oil",))
    assert read("sealant", glue, Asked()) == (told, {})


@pytest.mark.parametrize(
    ("typed", "grade", "kept"),
    [
        # ISO 6743-4 names the oil HM, ISO 3448 its grade VG 46; at a counter they are said as one.
        ("HM 46", "", ("HM", "ISO VG 46")),
        ("hydraulic oil HM", "", ("HM", None)),
        ("Hydraulic oil HM VG 46", "", ("HM", "ISO VG 46")),
        # Two grades that differ, a figure that is none, a word that is not known: nothing is dropped.
        ("HM 46", "ISO VG 68", ("HM 46", "ISO VG 68")),
        ("HM 47", "", ("HM 47", None)),
        ("HM 46 zinc-free", "", ("HM 46 zinc-free", None)),
        ("DOT 4", "", ("DOT 4", None)),
    ],
)
def test_an_oil_is_known_as_it_is_said_at_the_counter(typed: str, grade: str, kept: tuple[str, str | None]) -> None:
    told, wrong = read("fluid", {"class": typed, "grade": grade, "full": "2 L"}, Asked())
    assert not wrong
    assert (told.spec_class, told.spec_grade or None) == kept


def test_a_bare_mark_is_in_the_benchs_unit_whatever_lengths_are_read_in() -> None:
    for units in (Units(), Units(length="in")):
        assert read("fluid", {"class": "HM", "full": "2"}, Asked(units))[0].full_ul == 2_000_000
    told = read("fluid", {"class": "HM", "full": "2"}, Asked(Units(volume="US qt")))[0]
    assert told.full_ul == 1_892_706  # NIST Handbook 44, Appendix C


def test_the_size_of_a_ring_as_fitted_is_the_models_word() -> None:
    from models.qualify.wanted import AS_FITTED
    from tui.needing import FITTED

    assert FITTED == AS_FITTED


@pytest.mark.parametrize(
    ("kind", "values", "field", "said"),
    [
        ("fluid", {"low": "1 L"}, "class", "Class: Nothing is typed; type its class as on the shelf."),
        ("fluid", {"class": "UTTO"}, "low", "Low mark: Say what the system holds"),
        ("fluid", {"class": "UTTO", "low": "0"}, "low", "Low mark: A mark must be above zero; type for example 11 qt"),
        ("fluid", {"class": "UTTO", "full": "2 ft"}, "full", "Full mark: 'ft' is a unit of length, not of volume;"),
        ("fluid", {"class": "UTTO", "low": "2 L", "full": "1 qt"}, "low", "Low mark: It is more than the full mark;"),
        ("filter", {"class": "cartridge", "count": "0"}, "count", "Pieces: '0' is not a whole number from 1 to 1000"),
        ("fastener", {"class": "M8", "spares": "x"}, "spares", "Spares: 'x' is not a whole number from 0 to 1000000;"),
        ("sealant", {"class": "s", "cure": "soon"}, "cure", "Cure at most: 'soon' is not a time;"),
        ("sealant", {"class": "s", "asks": "a," * 13}, "asks", "Also required: That is 13 words"),
    ],
)  # fmt: skip
def test_a_wrong_field_is_named_in_a_sentence(kind: str, values: dict[str, str], field: str, said: str) -> None:
    wrong = read(kind, values, Asked())[1]
    assert list(wrong) == [field]
    assert wrong[field].startswith(said)
    assert wrong[field].endswith(".")
    assert ".." not in wrong[field]


async def test_needs_of_every_kind_by_keys_looked_for_found_and_undone(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await settle(pilot)
        workshop = app.workshop
        job = workshop.jobs()[0]
        machine = job.machine_id
        assert machine is not None
        # The place an element goes into, on the job's own machine.
        workshop.change(
            lambda session, act: machines.add_position(
                session, act, machine_id=machine, name="tank filter", takes=Kind.FILTER
            )
        )

        def entry() -> KitLine:
            assert isinstance(app.screen, KitsScreen)
            assert app.screen.entry is not None
            return app.screen.entry

        async def typed(**values: str) -> None:
            for key, value in values.items():
                app.screen.query_one(f"#need-{key}", Input).value = value
            await settle(pilot)

        await keys(pilot, "f4", "i")
        assert isinstance(app.screen, NewNeed)
        assert "On the shelf: UTTO." in shown(pilot)
        # Letters go into the first field, wherever the focus is among the words to pick.
        await keys(pilot, *"UTTO")
        assert app.screen.query_one("#need-class", Input).value == "UTTO"
        # A mistake names its field and puts the cursor there; nothing typed is lost.
        await typed(**{"grade": "10W-30", "low": "2 ft"})
        await keys(pilot, "tab", "enter")
        assert "! Low mark: 'ft' is a unit of length" in shown(pilot)
        assert app.screen.focused.id == "need-low"  # type: ignore[union-attr]
        # A bare number is in the bench's unit, and both are said.
        await typed(low="2")
        assert "= 2.00 L (2.11 US qt)" in shown(pilot)
        await keys(pilot, "end", *" qt")
        assert "= 1.89 L (2.00 US qt)" in shown(pilot)
        await keys(pilot, "tab", *"2.5 qt")
        # Enter again and Esc while it is being added neither add it twice nor close the form on it.
        form = app.screen
        assert isinstance(form, NewNeed)
        form.action_accept()
        form.action_accept()
        form.action_cancel()
        assert "Adding it" in str(form.query_one("#need-adding", Static).content)
        await settle(pilot)
        # The cursor stands on the need, and the drum on the shelf is promised at once.
        assert entry().need.title == "UTTO 10W-30"
        assert entry().line is None
        (need,) = [one for one in workshop.kit(job.job_id).needs if one.title == "UTTO 10W-30"]
        assert (need.low_ul, need.full_ul, need.missing) == (1_892_706, 2_365_882, 0)
        assert len(workshop.kit(job.job_id).needs) == 3
        assert "On the kit. F9 takes it back." in toasts(pilot)

        # An element for a position, from the top of the form: the kind, then the fields.
        await keys(pilot, "i", "right")
        assert {one.name for one in FIELDS["fluid"] if app.screen.query_one(f"#line-{one.name}").display} == {
            "class", "grade", "title",
        }  # fmt: skip
        await typed(**{"class": "cartridge", "title": STORABLE[0]})
        app.screen.query_one("#at-filter").focus()
        await keys(pilot, "right")
        app.screen.query_one("#need-title").focus()
        await keys(pilot, "enter")
        assert entry().need.title == STORABLE[0]
        assert entry().need.position_name == "tank filter"
        for steps, kind in enumerate(KINDS[2:], 2):
            await keys(pilot, "i", *["right"] * steps)
            await typed(**{"class": f"some {kind}", "count": "3", "spares": "1"})
            await keys(pilot, "tab", "enter")
            assert (entry().need.title, entry().need.wanted) == (f"some {kind}", 4)
        # The workshop's own refusal leaves the form open with all that was typed; Esc adds nothing.
        await keys(pilot, "i")
        await typed(**{"class": "HM", "low": "1 L", "title": "w" * 200})
        workshop.change(lambda session, act: jobs.close(session, act, job.job_id))
        await keys(pilot, "tab", "enter")
        assert "is closed" in toasts(pilot)
        assert app.screen.query_one("#need-class", Input).value == "HM"
        workshop.undo()
        await keys(pilot, "escape")
        assert len(workshop.kit(job.job_id).needs) == 7
        for left in (6, 5, 4, 3, 2):
            await keys(pilot, "f9")
            assert len(workshop.kit(job.job_id).needs) == left
        assert workshop.read(check).ok


async def test_what_is_typed_fast_on_the_kind_row_keeps_its_spaces(tmp_path: Path) -> None:
    app = make_app(tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "i")
        kind = app.screen.query_one("#need-kind", PickField)
        for sign in "spin-on 1-12 UNF, 10 um":  # all of it is there before the focus has moved
            kind.post_message(events.Key("space" if sign == " " else sign, sign))
        await settle(pilot)
        assert kind.answer == KINDS[0]
        assert app.screen.query_one("#need-class", Input).value == "spin-on 1-12 UNF, 10 um"
        # Back on the Kind a space takes the next one.
        await keys(pilot, "shift+tab", "space")
        assert kind.answer == KINDS[1]
