"""Every case of the audit's table holds, in the answer that a person gets."""

from __future__ import annotations

import re
import shlex
from collections import defaultdict
from operator import ge, gt, le, lt
from typing import Any

import pytest

from tests.audit.cases import FOLDER, Case, cases
from tests.tui.command_line import CommandLine, Ended

CASES = cases()
COMPARISONS = {"<=": le, ">=": ge, "<": lt, ">": gt}
TOPICS = sorted({case.topic for case in CASES})


@pytest.fixture
def kitwright(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> CommandLine:
    return CommandLine(capsys, monkeypatch)


def at(answer: Any, path: str) -> Any:
    """The value at a path; `*` gives a list, `#` a count. Raises KeyError, IndexError or TypeError."""
    for place, part in enumerate(parts := path.split(".")):
        if part == "#":
            return len(answer)
        if part == "*":
            return [at(one, ".".join(parts[place + 1 :])) for one in answer] if parts[place + 1 :] else list(answer)
        answer = answer[int(part)] if isinstance(answer, list) else answer[part]
    return answer


def agrees(value: Any, expected: str, tolerance: str) -> bool:
    """Whether a value of the answer is what the table expects."""
    if isinstance(value, list):
        wanted = expected.split("|") if expected else []
        return len(wanted) == len(value) and all(agrees(*pair, tolerance) for pair in zip(value, wanted, strict=True))
    if compared := re.fullmatch(r"(<=|>=|<|>)\s*(\S+)", expected):
        return value is not None and bool(COMPARISONS[compared[1]](float(value), float(compared[2])))
    if value is None or isinstance(value, bool):
        return str(value).lower().replace("none", "null") == expected
    if tolerance:
        return bool(abs(float(value) - float(expected)) <= float(tolerance) * (1 + 1e-9))
    if isinstance(value, int | float):
        return float(value) == float(expected)
    return str(value) == expected


def fails(case: Case, plain: Ended, told: Ended) -> str:
    """What is wrong with a case, or nothing."""
    if case.ask == "exit":
        return "" if str(plain.code) == case.expected else f"exit code {plain.code}"
    if case.ask == "text":
        printed = " ".join((plain.out + " " + plain.err).split())
        piece = case.expected.removeprefix("!")
        return "" if (piece in printed) is not case.expected.startswith("!") else f"it says: {printed}"
    try:
        value = at(told.json, case.ask)
    except (KeyError, IndexError, TypeError, ValueError) as problem:
        return f"no such place in the answer ({problem!r}); {(told.out or told.err)[:600]}"
    return "" if agrees(value, case.expected, case.tolerance) else f"it says {value!r}"


@pytest.mark.parametrize("topic", TOPICS)
def test_every_case_of_the_topic_holds(kitwright: CommandLine, topic: str) -> None:
    by_input: dict[str, list[Case]] = defaultdict(list)
    for case in CASES:
        if case.topic == topic:
            by_input[case.input].append(case)
    wrong = []
    for words, asked in by_input.items():
        plain = kitwright(*shlex.split(words))
        told = (
            plain if all(case.ask in ("exit", "text") for case in asked) else kitwright(*shlex.split(words), "--json")
        )
        wrong += [
            f"{case.name}: expected {case.expected}; {problem}"
            for case in asked
            if (problem := fails(case, plain, told))
        ]
    assert wrong == [], "\n".join(wrong)


def test_every_case_names_its_source() -> None:
    assert [case.name for case in CASES if not case.source.strip() or not case.expected.strip()] == []
    assert [case.name for case in CASES if re.fullmatch(r"[A-Z]*\d+|memory", case.source)] == []


def test_a_file_holds_its_own_topic_and_no_case_twice() -> None:
    assert {case.topic for case in CASES} == {path.stem for path in FOLDER.glob("*.csv")}
    seen = [(case.input, case.ask, case.expected) for case in CASES]
    assert [one for one in seen if seen.count(one) > 1] == []


def test_the_check_can_fail() -> None:
    assert not agrees(5.31, "5.3", "0.001")
    assert not agrees(["a", "b"], "a", "")
    assert not agrees("seals", "will_not", "")
    assert agrees(-0.7, "<0", "")
    assert agrees(None, "null", "")
