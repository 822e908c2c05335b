"""The verdict on a rubber in what it meets is one sentence, the same in the app, from the command and on the sheet."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from models import kits, machines
from models.words import Kind
from tests.models.shop import ring
from tests.tui.command_line import CommandLine
from tests.tui.counter import keys, make_app, settle, shown
from tests.tui.seed import act
from tui import sheets
from tui.answers.kits import need_of
from tui.answers.to_fit import in_service
from tui.app import KitwrightApp
from tui.screens.kits.lines import KitLine, explain

SAID = "NBR 70: will not do in UTTO to 140 °C (284 °F) –"


@pytest.mark.parametrize(
    ("rubber", "fluid", "hottest", "verdict"),
    [
        # By the tables of `catalog`, each row of which has its source.
        ("NBR", "UTTO", 80, "NBR 70: good in UTTO to 80 °C (176 °F)"),
        ("EPDM", "UTTO", 80, "EPDM 70: will not do in UTTO to 80 °C (176 °F) – EPDM swells and softens in mineral oil "
                             "and grease"),
        ("NBR", "UTTO", 110, "NBR 70: with care in UTTO to 110 °C (230 °F) – NBR serves -30 to 100 °C, 120 °C for a "
                             "short time; 20 to 110 °C is asked: only for a short time"),
        ("FKM", "water", 150, "FKM 70: doubtful in hot water over 80 °C, steam to 150 °C (302 °F) – FKM in hot water "
                              "over 80 °C, steam is rated 3 of 4, doubtful"),
        ("", "UTTO", 80, "a rubber not stated: not judged in UTTO to 80 °C (176 °F); ask the ring's maker"),
    ],
)  # fmt: skip
def test_each_verdict_is_a_sentence(rubber: str, fluid: str, hottest: float, verdict: str) -> None:
    found = in_service(rubber, 70, fluid, hottest)
    assert found.verdict == verdict
    assert found.words.startswith(f"{verdict} [")


def test_not_known_is_no_permission() -> None:
    found = in_service("CR", None, "UTTO", 110)
    assert found.verdict == "CR: not known in UTTO to 110 °C (230 °F); ask the ring's maker"
    assert found.suitability == "not known"


def at_work(folder: Path) -> KitwrightApp:
    """A kit with an NBR ring promised to a place that is too hot for it."""
    app = make_app(folder)
    with app.workshop.open().write() as session:
        (sprayer,) = machines.listed(session)
        place = machines.add_position(session, act(), machine_id=sprayer.machine_id, name="brake").position_id
        machines.set_meets(session, act(), place, fluid="UTTO", hottest_c=140)
        ring(session, 3)
        kits.accept_match(
            session, act(), 1, kits.NeedSpec(Kind.RING, 1, 0, "brake ring", "as568:214", position_id=place)
        )
    return app


async def test_the_app_the_command_and_the_sheet_say_the_same(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    app = at_work(tmp_path)
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(pilot)
        await keys(pilot, "f4", "enter", "end")
        assert SAID in " ".join(shown(pilot).split())
    kit = app.workshop.kit(1)
    sheet = sheets.from_kit.job_sheet_of(kit, who="Ada", written_on=date(2026, 11, 30))
    assert any(SAID in pick.reason for pick in sheet.picks)
    file = app.workshop.file
    app.workshop.close()
    assert SAID in CommandLine(capsys, monkeypatch)("kit", "1", "--data", str(file)).out


def test_a_rubber_that_nobody_asked_for_is_never_taken_in_silence(tmp_path: Path) -> None:
    # It lies there in NBR and in FKM (common practice, no source: the fluid decides the rubber).
    app = make_app(tmp_path)
    with app.workshop.open().write() as session:
        ring(session, 3)
        ring(session, 3, rubber="FKM", bin_code="Box 1")
        open_, asked, short = (
            kits.accept_match(session, act(), 1, kits.NeedSpec(Kind.RING, 1, 0, name, size, rubbers=rubbers))
            for name, size, rubbers in (
                ("any", "as568:214", ()), ("named", "as568:214", ("FKM",)), ("none there", "as568:345", ()),
            )
        )  # fmt: skip
    told = [need_of(one).rubber_open for one in (open_, asked, short)]
    assert told == ["NBR 70 taken; rubber not judged: which fluid?", None, None]
    assert "    ! NBR 70 taken; rubber not judged: which fluid?" in need_of(open_).words()
    assert "the need names no rubber: check that this one stands the fluid" in explain(KitLine(open_, open_.lines[0]))
    assert "! NBR 70 taken; rubber not judged: which fluid?" in explain(KitLine(open_, None))
    # Where a fluid is said of its position, the line's own verdict stands instead.
    need = open_._replace(meets="UTTO")
    assert need_of(need).rubber_open is None
    assert need_of(need).lines[0].rubber_here is not None
