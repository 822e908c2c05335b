"""A fluid judged by what was measured of it, for `kitwright fluid --figures …`."""

from __future__ import annotations

import argparse
from typing import Any

from catalog.fluids.by_figures import Figured, Measured, judge_needs
from catalog.fluids.grade_check import Verdict
from tui.answers.advice import ADVICE
from tui.commands.fluid_stand_in import MOST_CLASSES, SCHEMA, because_object, why_lines
from tui.commands.judging import naming, word
from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError
from tui.exit_codes import ExitCode


def answer_figures(arguments: argparse.Namespace) -> ExitCode:
    """Judge the figures and print."""
    if arguments.have:
        raise UsageError("--figures judges what was measured; ask --have in a question of its own")
    if len(arguments.need) > MOST_CLASSES:
        raise UsageError(f"--need was given {len(arguments.need)} times; give it {MOST_CLASSES} times at most")
    needs = [word("--need", text) for text in arguments.need]
    from tui.fields.units import kept

    with naming("--figures"):
        found = judge_needs(" ".join(arguments.figures), needs, bare_temperature=kept().temperature)
    if arguments.json:
        say_json(_object(found))
    else:
        for line in _lines(found):
            say(line)
    return ExitCode.NOTHING if found.verdict is Verdict.NO else ExitCode.FOUND


def _object(found: Figured) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "asked": "figures",
        "subject": found.subject,
        "need": found.required or None,
        "verdict": found.verdict.value,
        "reason": found.reason,
        "conditions": list(found.conditions),
        "figures": [_figure(one) for one in found.measured],
        "reaches": list(found.reaches),
        "because": because_object(found.because),
        "caution": ADVICE,
    }


def _figure(one: Measured) -> dict[str, Any]:
    return {
        "name": one.name,
        "words": one.words,
        "value": round(one.value, 4),
        "unit": one.unit,
        "least": one.least,
        "most": one.most,
        "holds": one.holds,
    }


def _lines(found: Figured) -> list[str]:
    head = f"{found.verdict.value.capitalize()}: {found.reason}"
    signs = {True: "ok", False: "OUT", None: "-"}
    lines = [head, *(f"  {signs[one.holds]:<4}{one.sentence}" for one in found.measured)]
    lines += [f"  note: {one}" for one in found.conditions]
    return [*lines, *why_lines(found.because), "", ADVICE]
