"""`kitwright job template …`: show, copy, add, change, drop, retire; a job keeps the version it was made from."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from models import machines, templates
from models.database import open_workshop
from models.kits import NeedSpec
from models.templates import TemplateNeedRow, as_fitted
from models.words import Kind
from tests.models.shop import act
from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms

LITRE = 1_000_000
NAME = "Sprayer, 50 h"


@pytest.fixture(scope="module")
def pattern(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One template of three needs, and job 1 made from its first version."""
    file = tmp_path_factory.mktemp("template") / "workshop.sqlite3"
    workshop = open_workshop(file)
    with workshop.write() as session:
        sprayer = machines.add(session, act(), name="Sprayer").machine_id
        machines.add_position(session, act(), machine_id=sprayer, name="pump ring")
        made = templates.add(
            session,
            act(),
            NAME,
            [
                TemplateNeedRow(
                    NeedSpec(Kind.FLUID, spec_class="UTTO", low_ul=2 * LITRE, full_ul=3 * LITRE, title="gear oil")
                ),
                as_fitted("pump ring", spares=1, rubbers=("NBR",)),
                TemplateNeedRow(NeedSpec(Kind.CONSUMABLE, 4, spec_class="rags", title="rags")),
            ],
        )
        templates.open_job(session, act(), made.template_id, machine_id=sprayer)
    workshop.close()
    return file


@pytest.fixture
def job(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, pattern: Path, tmp_path: Path) -> Any:
    """`kitwright job …`; JSON is held against its schema and given as it is."""
    command = CommandLine(capsys, monkeypatch)
    file = shutil.copy(pattern, tmp_path / "workshop.sqlite3")

    def run(*words: str, code: int = 0, json: bool = True, name: str = "job") -> Any:
        ended = command(name, *words, "--data", str(file), *(("--json",) if json else ()))
        assert ended.code == code, ended.out + ended.err
        if not json or not ended.out:
            return ended
        conforms(name, ended.json)
        return ended.json

    return run


def needs(told: Any) -> list[tuple[str, int | None]]:
    return [(need["title"], need["pieces"]) for need in told["needs"]]


def test_an_edit_is_a_version_and_the_old_job_keeps_its_own(job: Any) -> None:
    before = job("1", code=1, name="kit")
    assert before["made_from"] == "Sprayer, 50 h, version 1"
    more = job("template", "add", NAME, "--consumable", "gloves", "--count", "2", "--note", "cold hands")
    need = more["needs"][3]
    assert (more["version"], need["spec_class"], need["pieces"]) == (2, "gloves", 2)
    changed = job("template", "change", "sprayer,  50 H", "--need", "RAGS", "--count", "6", "--spares", "1")
    assert (changed["version"], needs(changed)[2]) == (3, ("rags", 6))
    ring = job("template", "change", "1", "--need", "2", "--rubber", "FKM", "--rubber", "hnbr", "--hardness", "75")
    need = ring["needs"][1]
    assert (need["rubbers"], need["hardness_shore_a"], need["as_fitted"], need["size"]) == (
        ["FKM", "HNBR"],
        75,
        True,
        None,
    )
    sized = job("template", "change", "1", "--need", "2", "--ring", "AS568-214", "--rubber", "any")
    need = sized["needs"][1]
    assert (need["size"], need["as_fitted"], need["rubbers"], need["spares"]) == ("as568:214", False, [], 1)
    marks = job("template", "change", "1", "--need", "gear oil", "--full", "4 L", "--asks", "API GL-4")
    need = marks["needs"][0]
    assert (need["low_ul"], need["full_ul"], need["asks"]) == (2 * LITRE, 4 * LITRE, ["API GL-4"])
    fewer = job("template", "drop", NAME, "--need", "rags")
    assert [title for title, _ in needs(fewer)] == ["gear oil", "AS568-214", "gloves"]
    shown = job("template", "show", NAME)
    assert [one["version"] for one in shown["versions"]] == [7, 6, 5, 4, 3, 2, 1]
    assert shown["versions"][5]["note"] == "cold hands"
    assert needs(job("template", "show", NAME, "--version", "1"))[2] == ("rags", 4)
    assert "version 2, 4 needs: cold hands" in job("template", "show", NAME, json=False).out
    after = job("1", code=1, name="kit")
    before.pop("finish")
    after.pop("finish")
    assert after == before


def test_a_copy_stands_alone_and_a_retired_one_is_off_the_list(job: Any) -> None:
    copied = job("template", "copy", NAME, "--as", "Sprayer, 100 h")
    assert copied["note"] == "copied from Sprayer, 50 h, version 1"
    job("template", "change", "Sprayer, 100 h", "--need", "3", "--count", "9")
    assert needs(job("template", "show", NAME))[2] == ("rags", 4)
    assert job("template", "retire", NAME)["retired"] is True
    assert [one["name"] for one in job("templates")["templates"]] == ["Sprayer, 100 h"]
    assert [one["name"] for one in job("templates", "--retired")["templates"]] == [NAME]
    assert "off the list" in job("template", "show", NAME, json=False).out
    assert "there is no job template" in job("open", "--template", NAME, code=2).err
    assert job("template", "retire", NAME, "--back")["retired"] is False


def test_a_ring_as_it_was_fitted_is_needed_by_its_position(job: Any) -> None:
    told = job("need", "1", "--fitted", "--at", "pump ring", code=1)
    assert (told["added"]["position"], told["added"]["size"], told["added"]["short"]) == ("pump ring", None, 1)
    assert "No fit record at this position" in told["added"]["lines"][0]["reason"]
    cured = job("need", "1", "--sealant", "oil-proof", "--cure", "1,5 h", "--asks", "oil", code=1)
    assert cured["added"]["wanted"] == 1


def test_closed_jobs_are_listed_apart(job: Any) -> None:
    assert [one["job"] for one in job(name="jobs")["jobs"]] == [1]
    assert job("--closed", name="jobs", code=1)["jobs"] == []
    job("close", "1")
    assert job("--closed", name="jobs")["jobs"][0]["kit"] == "done"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("show", "Sprayr, 50 h"), "did you mean 'Sprayer, 50 h'?"),
        (("show", NAME, "--version", "9"), "no version 9"),
        (("copy", NAME, "--as", NAME), "already a job template"),
        (("change", NAME, "--need", "9", "--count", "2"), "from 1 to 3"),
        (("change", NAME, "--need", "rag", "--count", "2"), "did you mean 'rags'?"),
        (("change", NAME, "--need", "rags"), "nothing is changed"),
        (("change", NAME, "--need", "rags", "--low", "2 L"), "--low does not apply"),
        (("change", NAME, "--need", "rags", "--ring", "214"), "is a consumable"),
        (("change", NAME, "--need", "2", "--at", ""), "position"),
        (("change", NAME, "--need", "1", "--low", "5 L"), "type both"),
        (("change", NAME, "--need", "1", "--count", "5"), "--count does not apply"),
        (("add", NAME, "--fitted"), "--at"),
        (("add", NAME, "--sealant", "x", "--cure", "soon"), "24 h"),
        (("add", NAME), "--ring"),
        (("retire", NAME, "--back"), "off the list"),
        ((), "WHAT"),
    ],
)
def test_what_cannot_be_is_told(job: Any, words: tuple[str, ...], said: str) -> None:
    ended = job("template", *words, code=2)
    assert said in ended.err
    assert (ended.out, "Traceback" in ended.err) == ("", False)
