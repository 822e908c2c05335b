"""The installed command as a shell runs it: streams that are no terminal, closed pipes, Ctrl+C."""

from __future__ import annotations

import json
import signal
import subprocess
from pathlib import Path

import pytest

from tests.end_to_end.conftest import KITWRIGHT
from tests.end_to_end.terminal import Terminal, clean_environment
from tests.signals import heeding_ctrl_c


def run(home: Path, *words: str, stdin: str | None = None, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [str(KITWRIGHT), *words],
        input=stdin,
        stdin=subprocess.DEVNULL if stdin is None else None,
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=clean_environment(home, **environment),
        cwd=home,
        timeout=60,
    )


@pytest.mark.parametrize("words", [(), ("--demo",)])
def test_without_a_terminal_the_app_gives_a_hint_and_paints_nothing(home: Path, words: tuple[str, ...]) -> None:
    ended = run(home, *words)
    assert (ended.returncode, ended.stdout) == (2, "")
    assert "kitwright ring --id" in ended.stderr
    assert "\x1b" not in ended.stderr
    assert list(home.iterdir()) == []


@pytest.mark.parametrize("kind", ["dumb", ""])
def test_a_terminal_that_cannot_be_drawn_on_gets_the_hint(home: Path, kind: str) -> None:
    with Terminal([str(KITWRIGHT), "--demo"], env=clean_environment(home, TERM=kind)) as terminal:
        assert terminal.wait_end() == 2
        assert "kitwright ring --id" in terminal.text
        assert b"\x1b[" not in terminal.raw


def test_ring_answers_json_through_a_pipe(home: Path) -> None:
    ended = run(home, "ring", "--id", "24.99", "--width", "3.53", "--series", "as568", "--json")
    assert ended.returncode == 0
    assert json.loads(ended.stdout)["matches"][0]["designation"] == "214"


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("ring", "--id", "24.9", "--width", "3.5"), 0),
        (("ring", "--id", "777.7", "--width", "19.3"), 1),
        (("ring", "--id", "12 bananas"), 2),
        (("ring", "--nothing"), 2),
        (("sizes", "AS568-214"), 0),
        (("sizes", "no such size"), 1),
    ],
)
def test_exit_codes(home: Path, words: tuple[str, ...], code: int) -> None:
    assert run(home, *words).returncode == code


def test_nothing_is_written_to_disk_by_help_version_and_look_ups(home: Path) -> None:
    for words in (("--help",), ("--version",), ("ring", "--id", "25"), ("sizes", "P22A")):
        assert run(home, *words).returncode == 0
    assert list(home.iterdir()) == []


def test_a_reader_that_goes_away_ends_it_without_a_word(home: Path) -> None:
    """As in `| head`."""
    with subprocess.Popen(
        [str(KITWRIGHT), "sizes"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=clean_environment(home)
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.readline()
        process.stdout.close()
        assert process.wait(60) == 141
        assert process.stderr.read() == b""


def test_a_batch_answers_each_row_before_the_next_is_written(home: Path) -> None:
    with subprocess.Popen(
        [str(KITWRIGHT), "ring", "--batch", "-", "--json"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env=clean_environment(home),
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write(b"id,width\n")
        for line, inside in ((2, "24.9"), (3, "30")):
            process.stdin.write(f"{inside},3.5\n".encode())
            process.stdin.flush()
            assert json.loads(process.stdout.readline())["line"] == line
        process.stdin.close()
        assert process.wait(60) == 0


def test_ctrl_c_ends_a_batch_with_one_line_and_130(home: Path) -> None:
    with subprocess.Popen(
        [str(KITWRIGHT), "ring", "--batch", "-", "--json"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=clean_environment(home),
        preexec_fn=heeding_ctrl_c,
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdin.write(b"id,width\n24.9,3.5\n")
        process.stdin.flush()
        process.stdout.readline()
        process.send_signal(signal.SIGINT)
        assert process.wait(60) == 130
        assert process.stderr.read().rstrip() == b"kitwright ring: stopped. Nothing was changed."


RING = "O-ring AS568 214 NBR 70"


@pytest.mark.parametrize("target", ["/dev/full", "closed"])
@pytest.mark.parametrize("json_too", [(), ("--json",)])
def test_an_answer_that_can_t_be_written_says_whether_the_change_is_booked(
    home: Path, target: str, json_too: tuple[str, ...]
) -> None:
    data = ("--data", str(home / "shop.sqlite3"))
    book = ("shelf", "receive", RING, "--bin", "A1", "--quantity", "3", *data, *json_too)
    for words, said in ((book, "The change is booked."), (("shelf", "list", *data, *json_too), "Nothing was changed.")):
        to = ">&-" if target == "closed" else f"> {target}"
        ended = subprocess.run(
            ["sh", "-c", f'"$0" "$@" {to}', str(KITWRIGHT), *words],
            capture_output=True, text=True, env=clean_environment(home), cwd=home, timeout=60,
        )  # fmt: skip
        assert ended.returncode == 2, ended
        assert ended.stderr.count("\n") == 1, ended
        assert "the answer could not be written" in ended.stderr
        assert ended.stderr.rstrip().endswith(said), ended
    held = run(home, "shelf", "list", *data, "--json")
    assert json.loads(held.stdout)["stock"][0]["on_hand"] == 3


def test_help_into_a_full_target_is_told_too(home: Path) -> None:
    ended = subprocess.run(
        ["sh", "-c", '"$0" --help > /dev/full', str(KITWRIGHT)],
        capture_output=True, text=True, env=clean_environment(home), cwd=home, timeout=60,
    )  # fmt: skip
    assert (ended.returncode, ended.stderr.count("\n")) == (2, 1), ended


def test_output_that_the_terminal_cannot_write_is_replaced_not_a_crash(home: Path) -> None:
    ended = run(home, "sizes", "25x3.55", PYTHONUTF8="0", PYTHONIOENCODING="ascii", LC_ALL="C")
    assert (ended.returncode, ended.stderr) == (0, "")
    assert "25 ? 3.55" in ended.stdout
