"""A workshop written by another hand: whatever stands in its texts, no command prints what could steer a terminal."""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path

import pytest
from sqlalchemy import Enum

from models.tables import Table
from tests.models.full import full_copy
from tests.tui.command_line import CommandLine

HOSTILE = "\x1b]0;owned\x07\x1b[2J\x9b31m\x7f\u202egnp\u2066\u2028\ufeff\xad\ud7ff\ufdd0"
FORBIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff\xad\ufdd0-\ufdef]"
)
KEEPS = {
    *("key", "what", "currency", "said", "layout", "groove", "housing", "element", "spec", "breaks", "gtin", "words"),
    *("size_key", "compact", "folded", "class_folded", "grade_folded", "code_folded", "thread", "rubber"),
}
"""Columns that hold no words of a person: what stands there otherwise is read, or refused, before it is shown."""
READING = (
    *(
        ("shelf", "list"),
        ("shelf", "round"),
        ("shelf", "low"),
        ("jobs",),
        ("list", "suppliers"),
        ("buy", "list", "--all"),
    ),
    *(("buy", "plan"), ("buy", "short"), ("fits",), ("check",), ("item", "list"), ("bin", "list"), ("machine", "list")),
    *(("find", "a"), ("find", "ring"), ("job", "templates"), ("job", "template", "list"), ("undo", "--dry-run")),
    *(("fluid", "rules", "list"), ("fluid", "rules", "export", "-"), ("fits", "--export", "-"), ("shelf", "reorder")),
    *(
        ("kit", "1"),
        ("kit", "2"),
        ("kit", "3"),
        ("sheet", "1"),
        ("sheet", "2"),
        ("buy", "text", "1"),
        ("shelf", "show", "a"),
    ),
    *(("shelf", "round", "--as", "csv"), ("list", "row", "x", "y"), ("item", "show", "x"), ("machine", "show", "x")),
)


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = full_copy(tmp_path_factory.mktemp("hostile") / "w.sqlite3")
    by_hand = sqlite3.connect(file)
    by_hand.execute("PRAGMA ignore_check_constraints = ON")
    for (name,) in by_hand.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        by_hand.execute(f"DROP TRIGGER {name}")
    for table in Table.metadata.sorted_tables:
        for column in table.columns:
            if getattr(column.type, "length", None) and not isinstance(column.type, Enum) and column.name not in KEEPS:
                by_hand.execute(
                    f'UPDATE {table.name} SET "{column.name}" = ? || "{column.name}" WHERE "{column.name}" <> \'\'',
                    (HOSTILE,),
                )
    by_hand.commit()
    by_hand.close()
    return file


@pytest.mark.parametrize("words", READING, ids=" ".join)
def test_nothing_that_steers_is_printed(
    hostile: Path, words: tuple[str, ...], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kitwright = CommandLine(capsys, monkeypatch)
    for more in ((), ("--json",)):
        ended = kitwright(*words, *more, "--data", str(hostile))
        assert FORBIDDEN.search(ended.out + ended.err) is None, ended
        assert "\\u001b" not in ended.out
        assert "\\u202e" not in ended.out
        assert "Traceback" not in ended.err


def test_the_workshop_is_hostile_and_its_words_are_shown(
    hostile: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    out = CommandLine(capsys, monkeypatch)("shelf", "list", "--data", str(hostile)).out
    assert "owned" in out
    assert "\N{REPLACEMENT CHARACTER}" in out


def test_a_word_that_was_typed_steers_nothing_either(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    kitwright = CommandLine(capsys, monkeypatch)
    monkeypatch.chdir(tmp_path)
    for words in (
        (HOSTILE,),
        ("check", HOSTILE),
        ("check", "--data", f"{tmp_path}/{HOSTILE}/x"),
        ("kit", HOSTILE),
        ("find", HOSTILE),
        ("backup", f"none/{HOSTILE}"),
        ("restore", HOSTILE, "--to", "x"),
        ("list", "columns", HOSTILE),
        ("fits", HOSTILE),
        ("fits", "--import", HOSTILE),
        ("ring", "--id", HOSTILE),
        ("machine", "add", HOSTILE),
        (f"--{HOSTILE}",),
    ):
        ended = kitwright(*words)
        assert FORBIDDEN.search(ended.out + ended.err) is None, (words, ended)
