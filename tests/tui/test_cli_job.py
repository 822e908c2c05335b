"""`kitwright job`: open, need, close, keep, templates; what is typed wrong is told in a sentence."""

from __future__ import annotations

import unicodedata
from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms
from tests.tui.counter import HOSTILE, STORABLE
from tests.tui.seed import seed
from tui.fields.units import Units, keep


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


@pytest.fixture
def data(tmp_path: Path) -> tuple[str, str]:
    return ("--data", str(seed(tmp_path / "workshop.sqlite3")))


def test_a_job_opened_on_a_machine_is_listed_with_its_day(kitwright: CommandLine, data: tuple[str, str]) -> None:
    words = ("--title", "Reseal the lift", "--machine", "sprayer  2", "--due", "2026-12-04")
    opened = kitwright("job", "open", *words, *data, "--json")
    assert opened.code == 0
    conforms("job", opened.json)
    assert (opened.json["machine"], opened.json["due_on"], opened.json["need_count"]) == ("Sprayer 2", "2026-12-04", 0)
    jobs = kitwright("jobs", *data, "--json").json["jobs"]
    assert opened.json["job"] in [job["job"] for job in jobs]


def test_a_ring_needed_is_promised_and_what_lacks_is_short(kitwright: CommandLine, data: tuple[str, str]) -> None:
    words = ("--ring", "AS568-214", "--rubber", "nbr", "--count", "9", "--spares", "4")
    added = kitwright("job", "need", "2", *words, *data, "--json")
    conforms("job", added.json)
    # Of 14 in bin B3, 3 are promised to the other job.
    need = added.json["added"]
    assert (added.code, need["wanted"], need["short"], need["size"]) == (1, 13, 2, "as568:214")
    assert [(line["state"], line["quantity"]) for line in need["lines"]] == [("have", 11), ("short", 2)]
    again = kitwright("kit", "2", *data, "--json").json["needs"][0]
    assert (again["wanted"], again["short"]) == (13, 2)


def test_a_ring_needed_by_its_readings_carries_the_decision(kitwright: CommandLine, data: tuple[str, str]) -> None:
    readings = ("--id", "53mm", "--width", "3.5mm", "--condition", "used")
    ring = kitwright("ring", *readings, *data, "--json").json
    added = kitwright("job", "need", "2", *readings, "--rubber", "NBR", *data, "--json")
    conforms("job", added.json)
    need, best = added.json["added"], ring["to_fit"][0]
    assert (need["size"], need["seals"]) == (f"{best['standard']}:{best['designation']}", best["seals"])
    assert (need["why"], need["others"], need["rubbers"]) == ("measured", "would-do", ["NBR"])
    # The others within ten points of the best (DESIGN, "Deciding"), with the chance that the ring's answer gives.
    others = {f"{one['standard']}:{one['designation']}": one["seals"] for one in need["would_do"]}
    wanted = {f"{one['standard']}:{one['designation']}": one["seals"] for one in ring["to_fit"][1:]}
    assert others
    assert others == {key: seals for key, seals in wanted.items() if seals >= best["seals"] - 0.1}
    # Named beside the readings it is taken as named, with its own chance.
    key = max(others, key=lambda one: others[one])
    named = kitwright("job", "need", "2", *readings, "--ring", key, *data, "--json").json["added"]
    assert (named["size"], named["seals"]) == (key, others[key])
    assert "undoing" not in kitwright("undo", *data).err
    assert [one["size"] for one in kitwright("kit", "2", *data, "--json").json["needs"]] == [need["size"]]


def test_at_a_place_the_need_goes_by_what_is_known_there(kitwright: CommandLine, data: tuple[str, str]) -> None:
    kitwright("machine", "add", "Press", *(word for name in "ab" for word in ("--position", f"{name}=ring")), *data)
    job = str(kitwright("job", "open", "--title", "Reseal", "--machine", "Press", *data, "--json").json["job"])
    readings = ("--id", "24.99mm", "--width", "3.53mm")
    usual = kitwright("job", "need", job, *readings, "--at", "a", *data, "--json").json["added"]
    assert (usual["size"], usual["position"]) == ("as568:214", "a")
    kitwright("fits", "add", "Press", "a", "AS568-214", *data)
    kitwright("fits", "went", "Press", "a", "leaked", *data)
    after = kitwright("job", "need", job, *readings, "--at", "a", *data)
    assert (after.code, after.out) == (2, "")
    named = kitwright("job", "need", job, *readings, "--at", "b", "--ring", "AS568-214", *data, "--json").json["added"]
    assert named["seals"] == usual["seals"], "it leaked at the other place"
    # A critical place takes a ring only by name, and then no other in its stead.
    kitwright("machine", "critical", "Press", "b", *data)
    large = ("--id", "110.5mm", "--width", "5.33mm", "--condition", "new")
    refused = kitwright("job", "need", job, *large, "--at", "b", *data)
    assert refused.code == 2
    assert "critical place: AS568-348 (over 99 %) is likeliest to seal; to take it, name it with --ring" in refused.err
    never = kitwright("job", "need", job, *readings, "--at", "b", "--ring", "AS568-214", *data, "--json").json["added"]
    assert (never["others"], never["size"]) == ("never", "as568:214")


def test_a_fluid_is_needed_by_its_marks(kitwright: CommandLine, data: tuple[str, str]) -> None:
    words = ("--fluid", "UTTO", "--grade", "10W-30", "--low", "11 qt", "--full", "12 qt")
    added = kitwright("job", "need", "2", *words, *data, "--json")
    conforms("job", added.json)
    # 12 US quarts of 57.75 in³, 1 in = 25.4 mm (NIST SP 811): 11,356,235.4 mm³.
    assert (added.code, added.json["added"]["wanted"]) == (0, round(12 * 57.75 * 25.4**3))


@pytest.mark.parametrize(("unit", "microlitres"), [("L", 12_000_000), ("US qt", round(12 * 57.75 * 25.4**3))])
def test_a_bare_mark_is_in_the_benchs_unit(
    kitwright: CommandLine, data: tuple[str, str], unit: str, microlitres: int
) -> None:
    keep(Units(volume=unit))
    added = kitwright("job", "need", "2", "--fluid", "UTTO", "--low", "12", *data, "--json").json["added"]
    # One mark alone is both. A US quart is 57.75 in³ of 25.4³ mm³ (NIST SP 811).
    assert (added["low_ul"], added["full_ul"], added["wanted"]) == (microlitres,) * 3


def test_one_need_looks_the_same_in_every_answer(kitwright: CommandLine, data: tuple[str, str]) -> None:
    words = ("--ring", "AS568-214", "--rubber", "NBR", "--hardness", "70", "--count", "2", "--spares", "1")
    added = kitwright("job", "need", "2", *words, *data, "--json").json["added"]
    (shown,) = kitwright("kit", "2", *data, "--json").json["needs"]
    assert added == shown
    (kept,) = kitwright("job", "keep", "2", "--as", "Lift", *data, "--json").json["needs"]
    # A template's need is the same without what is found for it; its number is its place.
    assert kept == {key: shown[key] for key in kept} | {"need": 1}
    told, *need = kitwright("job", "need", "1", *words, *data).out.splitlines(keepends=True)
    assert told == "2 needs on this kit are for AS568-214, kept apart: another rubber and hardness.\n"
    assert "".join(need) in kitwright("kit", "1", *data).out


def test_text_says_the_bin(kitwright: CommandLine, data: tuple[str, str]) -> None:
    ended = kitwright("job", "need", "2", "--ring", "P25", *data)
    assert ended.code == 1
    assert "1 × JIS P25" in ended.out
    assert "short 1" in ended.out
    ended = kitwright("job", "need", "2", "--consumable", "Rags", "--count", "2", *data)
    assert "2 × Rags" in ended.out


def test_closing_gives_the_promise_back(kitwright: CommandLine, data: tuple[str, str]) -> None:
    closed = kitwright("job", "close", "1", *data, "--json")
    conforms("job", closed.json)
    assert (closed.code, closed.json["closed"], closed.json["kit"]) == (0, True, "done")
    assert kitwright("shelf", "list", "214", *data, "--json").json["stock"][0]["free"] == 14
    again = kitwright("job", "close", "1", *data)
    assert (again.code, again.out) == (2, "")
    assert "closed already" in again.err


def test_a_job_is_kept_as_a_template_and_opened_from_it(kitwright: CommandLine, data: tuple[str, str]) -> None:
    assert kitwright("job", "templates", *data).code == 1
    kept = kitwright("job", "keep", "1", "--as", "Pump reseal", *data, "--json")
    conforms("job", kept.json)
    listed = kitwright("job", "templates", *data, "--json")
    conforms("job", listed.json)
    assert [need["size"] for need in listed.json["templates"][0]["needs"]] == ["as568:214", "jis:P25"]
    assert "Pump reseal" in kitwright("job", "templates", *data).out
    for name in ("pump RESEAL", "1"):
        opened = kitwright("job", "open", "--template", name, "--machine", "Sprayer 2", *data, "--json")
        assert (opened.json["title"], opened.json["need_count"]) == ("Pump reseal", 2)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("open",), "--title"),
        (("open", "--title", ""), "title"),
        (("open", "--title", "x", "--machine", "Spryer 2"), "did you mean 'Sprayer 2'?"),
        (("open", "--title", "x", "--machine", "nowhere at all"), "'Sprayer 2'"),
        (("open", "--title", "x", "--template", "Service"), "no job template"),
        (("open", "--title", "x", "--due", "4.12.26"), "2029-06-30 (year, month, day) or 30.6.2029"),
        (("open", "--title", "x", "--due", "4/12/2026"), "Type 2026-12-04 for 4 December 2026, or 2026-04-12 for"),
        (("open", "--title", "x", "--due", "2026-02-30"), "is not a day"),
        (("close", "99"), "job"),
        (("close", "²"), "kitwright jobs"),
        (("need", "2"), "--ring"),
        (("need", "2", "--ring", "9999x"), "kitwright sizes"),
        (("need", "2", "--ring", "214", "--count", "0"), "--count"),
        (("need", "2", "--ring", "214", "--low", "3 qt"), "--low"),
        (("need", "2", "--fluid", "UTTO"), "--low"),
        (("need", "2", "--fluid", "UTTO", "--full", "12 ft"), "is a unit of length"),
        (("need", "2", "--fluid", "UTTO", "--low", "9 L", "--full", "3 L"), "smaller"),
        (("need", "2", "--fluid", "UTTO", "--full", "0 L"), "above zero"),
        (("need", "2", "--fluid", "UTTO", "--full", "3 L", "--count", "2"), "--count"),
        (("need", "2", "--ring", "214", "--at", "gland"), "on the bench"),
        (("need", "1", "--ring", "214", "--at", "gland"), "no position"),
        (("need", "99", "--ring", "214"), "job"),
        (("need", "2", "--id", "24.9mm"), "not sure which ring seals; "),
        (("need", "2", "--id", "24.9mm", "--width", "3.5mm", "--ring", "P30"), "leave the readings out"),
        (("need", "2", "--id", "24.9mm", "--od", "60mm", "--width", "3.5mm"), "can't be of one ring"),
        (("need", "2", "--ring", "214", "--tool", "rule"), "--tool: tells of a measured ring"),
        (("need", "2", "--ring", "214", "--joint", "plug"), "--joint: tells of a measured ring"),
        (("need", "2", "--consumable", "Rags", "--id", "24.9mm"), "--id: is of a ring"),
        (("keep", "2", "--as", "x"), "nothing to keep"),
        (("opne",), "did you mean open?"),
    ],
)
def test_what_cannot_be_is_told(
    kitwright: CommandLine, data: tuple[str, str], words: tuple[str, ...], said: str
) -> None:
    ended = kitwright("job", *words, *data)
    assert (ended.code, ended.out) == (2, "")
    assert said in ended.err
    assert "Traceback" not in ended.err


@pytest.mark.parametrize("text", HOSTILE)
def test_any_title_is_kept_or_refused_in_a_sentence(kitwright: CommandLine, data: tuple[str, str], text: str) -> None:
    ended = kitwright("job", "open", f"--title={text}", *data, "--json")
    if text in STORABLE:
        assert (ended.code, ended.json["title"]) == (0, unicodedata.normalize("NFC", text))
    elif text == "a\nb":
        # White space of any kind is one space, as in every field.
        assert (ended.code, ended.json["title"]) == (0, "a b")
    else:
        assert (ended.code, ended.out) == (2, "")
    for option in ("--machine", "--template", "--due"):
        ended = kitwright("job", "open", "--title", "x", f"{option}={text}", *data)
        assert (ended.code, ended.out) == (2, "")
        assert "\x1b" not in ended.err


def test_hours_are_kept_with_a_job_and_told_in_the_machines_history(
    kitwright: CommandLine, data: tuple[str, str]
) -> None:
    words = ("--title", "250 h", "--machine", "Sprayer 2", "--hours", "249.5")
    opened = kitwright("job", "open", *words, *data, "--json").json
    conforms("job-opened", opened)
    assert opened["meter_h"] == 249.5
    fewer = kitwright("job", "close", str(opened["job"]), "--hours", "24.9", *data)
    assert (fewer.code, "if it was changed, say so with --yes" in fewer.err) == (2, True)
    closed = kitwright("job", "close", str(opened["job"]), "--hours", "251,25", *data)
    assert closed.out.startswith(f"Closed job {opened['job']}: 250 h on Sprayer 2 at 251.25 h.")
    kitwright("job", "open", "--title", "Look at the pump", "--machine", "Sprayer 2", *data)
    told = kitwright("machine", "history", "Sprayer 2", *data)
    assert "at 251.25 h  job" in told.out
    assert "Look at the pump  open since then" in told.out
    answer = kitwright("machine", "history", "Sprayer 2", *data, "--json").json
    conforms("machine-history", answer)
    assert [(one["closed_at"] is None, one["meter_h"]) for one in answer["jobs"]][-1] == (False, 251.25)
    bench = kitwright("job", "open", "--title", "Bench", "--hours", "1", *data)
    assert (bench.code, "where there is no hour meter" in bench.err) == (2, True)
    refused = kitwright("job", "open", "--title", "X", "--machine", "Sprayer 2", "--hours", "1,234.5", *data)
    assert (refused.code, "--hours" in refused.err) == (2, True)


def test_the_same_ring_again_is_more_of_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kitwright, data = CommandLine(capsys, monkeypatch), ("--data", str(tmp_path / "workshop.sqlite3"))
    kitwright("job", "open", "--title", "A leak", *data)
    words = ("job", "need", "1", "--ring", "AS568-214", *data)
    assert "on the kit now" not in kitwright(*words).out
    assert kitwright(*words).out.startswith("2 of AS568-214 on the kit now.\n")
    answer = kitwright(*words, "--json").json
    assert (answer["added"]["again"], answer["added"]["pieces"]) == ("3 of AS568-214 on the kit now", 3)
    assert "kept apart: another rubber" in kitwright(*words, "--rubber", "FKM").out
    kitwright("undo", *data)
    kitwright("undo", *data)
    assert [one["pieces"] for one in kitwright("kit", "1", *data, "--json").json["needs"]] == [2]
