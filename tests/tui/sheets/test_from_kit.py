"""A kit out of the demo workshop's own database, printed."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from catalog.cautions import Step
from models import jobs, kits
from models.database import Workshop
from models.demo.orchard import open_demo
from models.kitting.kit_view import KitView
from models.words import LineState
from tests.tui.sheets import drawn
from tui.sheets import job_sheet, pick_list
from tui.sheets.from_kit import job_sheet_of, pick_list_of, picks_of, shorts_of, steps_of

DAY = date(2026, 3, 5)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    file: Path = tmp_path_factory.mktemp("demo") / "demo.sqlite3"
    opened = open_demo(file)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def all_kits(demo: Workshop) -> dict[str, KitView]:
    with demo.read() as session:
        return {one.title: kits.view(session, one.job_id, on=DAY) for one in jobs.listed(session)}


def test_every_line_of_every_demo_kit_is_on_its_sheet(all_kits: dict[str, KitView]) -> None:
    assert len(all_kits) >= 3
    for kit in all_kits.values():
        sheet = job_sheet_of(kit, who="Bench 1", written_on=DAY)
        lines = [line for need in kit.needs for line in need.lines]
        assert len(sheet.picks) == sum(line.state is not LineState.SHORT for line in lines)
        assert len(sheet.shorts) == sum(line.state is LineState.SHORT for line in lines)
        paper, text = drawn.text(job_sheet.as_pdf(sheet)), " ".join(job_sheet.as_text(sheet).split())
        for line in lines:
            assert line.bin_code in paper
            assert line.bin_code in text
        assert kit.machine_name in text


def test_the_leaking_pump_brings_its_cautions_marks_cure_and_readings(all_kits: dict[str, KitView]) -> None:
    kit = all_kits["Pump inlet leaks"]
    sheet = job_sheet_of(kit, who="Bench 1", written_on=DAY)
    assert {Step.ANY, Step.OPEN_PRESSURE, Step.DRAIN, Step.USED_OIL, Step.OLD_SEAL, Step.SEALANT} <= set(steps_of(kit))
    (tally,) = sheet.tallies
    # 44 and 48 US quarts of 946.352 946 ml (NIST SP 811).
    assert (tally.low_ul, tally.full_ul) == (round(44 * 946_352.946), round(48 * 946_352.946))
    (cure,) = sheet.cures
    assert cure.minutes == 24 * 60
    assert {one.what for one in sheet.again} == {"ring, ID", "ring, width"}
    assert "Low mark at 41.64 L (44.00 US qt, 11.00 US gal)." in " ".join(job_sheet.as_text(sheet).split())


def test_one_walk_for_several_kits_names_the_job_of_each_line(all_kits: dict[str, KitView]) -> None:
    chosen = [all_kits["Pump inlet leaks"], all_kits["Pump rebuild"]]
    made = pick_list_of(chosen, who="Stores", written_on=DAY)
    assert made.title == "Pump inlet leaks, Pump rebuild"
    assert len(made.lines) == len(picks_of(chosen)) > 4
    assert len(made.shorts) == len(shorts_of(chosen))
    text = pick_list.as_text(made)
    assert "Pump" in text
    assert {line.job for line in made.lines} == {"Pump inlet leaks", "Pump rebuild"}
