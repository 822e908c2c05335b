"""May an item with these claims be used where the manual asks for that? For `kitwright fluid --have … --need …`."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from catalog.because import Because
from catalog.fluids.ambiguous import which
from catalog.fluids.classes import get, key
from catalog.fluids.grade_check import Verdict
from catalog.fluids.rules import Rule
from catalog.fluids.shop_rules import ShopRulesError, read_shop_rules
from catalog.fluids.stand_in import Answer, meets
from catalog.standing import Standing
from tui.answers.advice import ADVICE
from tui.commands.judging import naming, plain, word
from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError, shown
from tui.exit_codes import ExitCode

SCHEMA = "kitwright.fluid/1"
MOST_CLASSES = 12
MOST_BYTES = 2_000_000


def answer_stand_in(arguments: argparse.Namespace) -> ExitCode:
    """Judge and print. Every requirement gets its own answer; the worst is the item's."""
    from tui.commands.fluid_own import own_book

    have, need = arguments.have, arguments.need
    if not have or not need:
        raise UsageError("give both sides: --have UTTO (what the label claims) and --need ISO-L-HM (what is asked)")
    for option, given in (("--have", have), ("--need", need)):
        if len(given) > MOST_CLASSES:
            raise UsageError(f"{option} was given {len(given)} times; give it {MOST_CLASSES} times at most")
    claims = [word("--have", text) for text in have]
    wanted = [word("--need", text) for text in need]
    for option, texts in (("--have", claims), ("--need", wanted)):
        for text in texts:
            _ask_which(option, text)
    book = own_book(arguments)
    own = book.rules + (() if arguments.rules is None else _own(arguments.rules))
    named = {key(one.code): one.description for one in book.classes}
    with naming("--have or --need"):
        verdict, answers = meets(claims, wanted, own_rules=own)
    if arguments.json:
        say_json(
            {
                "schema": SCHEMA,
                "asked": "stand_in",
                "have": claims,
                "need": wanted,
                "verdict": verdict.value,
                "answers": [_object(answer) for answer in answers],
                "caution": ADVICE,
            }
        )
    else:
        for line in _lines(verdict, claims, answers, own, named):
            say(line)
    return ExitCode.NOTHING if verdict is Verdict.NO else ExitCode.FOUND


def _own(path: str) -> tuple[Rule, ...]:
    file = Path(path)
    try:
        if file.is_file() and file.stat().st_size > MOST_BYTES:
            raise UsageError(
                f"--rules: {shown(path, 200)} is larger than {MOST_BYTES // 1_000_000} MB; that is no rules file"
            )
        return read_shop_rules(file)
    except ShopRulesError as problem:
        more = f" ({len(problem.problems) - 1} more)" if len(problem.problems) > 1 else ""
        raise UsageError(f"--rules: {plain(problem.problems[0])}{more}") from problem
    except (OSError, ValueError) as problem:
        raise UsageError(f"--rules: {shown(path, 200)} cannot be read") from problem


def _object(answer: Answer) -> dict[str, Any]:
    return {
        "verdict": answer.verdict.value,
        "have": answer.offered,
        "need": answer.required,
        "reason": answer.reason,
        "conditions": list(answer.conditions),
        "steps": [
            {
                "use": rule.offered,
                "where": rule.required,
                "kind": rule.kind.value,
                "condition": rule.condition,
                "source": rule.source,
                "standing": rule.standing.value,
            }
            for rule in answer.steps
        ],
        "source": answer.source,
        "standing": None if answer.standing is None else answer.standing.value,
        "refusal": None if answer.refusal is None else answer.refusal.value,
        "because": because_object(answer.because),
        "per_claim": [_object(one) for one in answer.per_claim],
    }


def because_object(because: Sequence[Because]) -> list[dict[str, str]]:
    """The deciding rules as JSON."""
    return [{"rule": one.rule, "source": one.source, "standing": one.standing.value} for one in because]


def why_lines(because: Sequence[Because]) -> list[str]:
    """The deciding rules as printed, each with its source and how far it is trusted."""
    return [f"  why: {one.rule} [{_trusted(one.source, one.standing)}]" for one in because]


def _trusted(source: str, standing: Standing) -> str:
    return source if standing is Standing.PUBLISHED or source == standing.words else f"{source}, {standing.words}"


def _ask_which(option: str, text: str) -> None:
    """A word with several meanings is asked back, never guessed."""
    found = which(text)
    if found is not None:
        raise UsageError(f"{option}: {found.question}")


def _lines(
    verdict: Verdict, claims: Sequence[str], answers: Sequence[Answer], own: Sequence[Rule], named: Mapping[str, str]
) -> list[str]:
    lines = []
    if len(answers) > 1:
        lines += [f"{verdict.value.capitalize()}, for an item that claims {', '.join(claims)}:", ""]
    for answer in answers:
        lines.append(_headline(answer))
        said = {rule.condition for rule in answer.steps}
        lines += [f"  if: {condition}" for condition in answer.conditions if condition not in said]
        for rule in answer.steps:
            how = f": {rule.condition}" if rule.condition else ""
            lines.append(f"  step: {rule.offered} where {rule.required} is asked, {rule.kind}{how} [{_from(rule)}]")
        if not answer.steps:
            lines += why_lines(answer.because)
        lines.append("")
    known = {key(code) for rule in own for code in (rule.offered, rule.required)}
    for name in dict.fromkeys((*claims, *(answer.required for answer in answers))):
        if key(name) in named:
            lines.append(f"{name}: {named[key(name)]} [this shop's own class]")
        elif get(name) is None and key(name) not in known:
            lines.append(f"{name} is no class in the tables. Look for its name: kitwright fluid --class WORD")
    lines.append("Never mix what you drain with what you fill, unless the manual says the two may be mixed.")
    return [*lines, ADVICE]


def _headline(answer: Answer) -> str:
    lead = answer.verdict.value.capitalize()
    if answer.reason.casefold().startswith((answer.verdict.value, "never", "no ")):
        return answer.reason
    return f"{lead}: {answer.offered} where {answer.required} is asked. {answer.reason}"


def _from(rule: Rule) -> str:
    return rule.standing.words if rule.source == "memory" else _trusted(rule.source, rule.standing)
