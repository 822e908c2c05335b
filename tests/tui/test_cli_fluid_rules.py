"""`kitwright fluid rules`: what this shop says itself, from the command line into the answers."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.command_line import CommandLine
from tests.tui.conforming import conforms


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    """The command line with the streams caught."""
    return CommandLine(capsys, monkeypatch)


def test_rules_and_classes_are_said_used_shared_and_withdrawn(
    kitwright: CommandLine, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("KITWRIGHT_DATA", str(tmp_path / "mine"))
    ask = ("fluid", "--have", "orchard 1", "--need", "UTTO")
    assert kitwright(*ask).code == 1
    # A question makes no workshop.
    assert not (tmp_path / "mine").exists()
    assert kitwright("fluid", "rules", "list").code == 1

    said = kitwright(
        "fluid", "rules", "add", "--need", "utto", "--have", "ORCHARD-1", "--kind", "caution", "--if", "sprayers only",
        "--json",
    ).json  # fmt: skip
    conforms("fluid", said)
    assert said["rule"]["standing"] == "shop"
    named = kitwright("fluid", "rules", "class", "ORCHARD-1", "--says", "the co-op's own mix", "--json").json
    conforms("fluid", named)

    answer = kitwright(*ask)
    assert answer.code == 0
    assert answer.out.startswith("With care: ORCHARD-1 may be used where UTTO is asked. This rests on this shop's own")
    assert "orchard 1: the co-op's own mix [this shop's own class]" in answer.out
    judged = kitwright(*ask, "--json").json
    conforms("fluid", judged)
    assert judged["answers"][0]["standing"] == judged["answers"][0]["steps"][0]["standing"] == "shop"
    found = kitwright("fluid", "--class", "orchard", "--json").json
    conforms("fluid", found)
    assert found["classes"][-1]["standing"] == "shop"

    # FMVSS 116 keeps silicone brake fluid apart from glycol: no rule of a shop's own lifts a never of the tables.
    kitwright("fluid", "rules", "add", "--need", "DOT 4", "--have", "DOT 5", "--kind", "allowed")
    assert kitwright("fluid", "--have", "DOT 5", "--need", "DOT 4").code == 1

    file = tmp_path / "rules.csv"
    assert kitwright("fluid", "rules", "export", str(file)).out == f"3 rows written to {file}.\n"
    # The same file serves --rules, and another shop.
    other = ("--data", str(tmp_path / "other.sqlite3"))
    assert kitwright(*ask, *other, "--rules", str(file)).code == 0
    taken = kitwright("fluid", "rules", "import", str(file), *other, "--json").json
    conforms("fluid", taken)
    assert (taken["rules"], taken["classes"]) == (2, 1)
    assert kitwright(*ask, *other).code == 0
    listed = kitwright("fluid", "rules", "list", *other, "--json").json
    conforms("fluid", listed)
    assert [one["have"] for one in listed["rules"]] == ["ORCHARD-1", "DOT 5"]
    assert "sprayers only" in kitwright("fluid", "rules", "list", *other).out

    assert kitwright("fluid", "rules", "remove", "1").out == "Withdrawn: ORCHARD-1 where UTTO is asked: caution.\n"
    assert kitwright("fluid", "rules", "remove", "orchard-1").code == 0
    assert kitwright(*ask).code == 1
    for words, problem in (
        (("remove", "1"), "was withdrawn already"),
        (("remove", "77"), "There is no rule of the shop's own 77"),
        (("remove", "plum"), "This shop has no class 'plum'"),
        (("add", "--need", "UTTO", "--have", "X", "--kind", "maybe"), "'maybe' is not known"),
        (("class", "UTTO", "--says", "x"), "in the tables already"),
        (("import", str(tmp_path / "none.csv")), "can't be read"),
        (("import", str(tmp_path)), "is a folder"),
        (("export", str(tmp_path / "no" / "such.csv")), "can't be written"),
    ):
        ended = kitwright("fluid", "rules", *words)
        assert ended.code == 2, words
        assert problem in ended.err
        assert ended.err.count("\n") == 1
