"""Fluid classes and grades by a piece of their name or their use, for `kitwright fluid --class …`."""

from __future__ import annotations

from catalog.fluids.classes import FluidClass, find
from catalog.fluids.tables import Standing
from tui.commands.fluid_stand_in import SCHEMA
from tui.commands.judging import ADVICE, word
from tui.commands.output import say, say_json
from tui.exit_codes import ExitCode

MOST_SHOWN = 20


def answer_classes(text: str, *, as_json: bool) -> ExitCode:
    """Look the text up and print what was found, best first."""
    clean = word("--class", text)
    found = find(clean)
    if as_json:
        say_json(
            {
                "schema": SCHEMA,
                "asked": "class",
                "text": clean,
                "classes": [
                    {
                        "code": one.code,
                        "family": one.family,
                        "description": one.description,
                        "limits": one.limits,
                        "status": one.status,
                        "aliases": list(one.aliases),
                        "source": one.source,
                        "standing": one.standing.value,
                    }
                    for one in found
                ],
            }
        )
    elif found:
        for one in found[:MOST_SHOWN]:
            for line in _lines(one):
                say(line)
        if len(found) > MOST_SHOWN:
            say(f"{MOST_SHOWN} of {len(found)} shown; type more words.")
        say(ADVICE)
    else:
        say(f"No class or grade goes by {clean}. Try a piece of its name or its use: kitwright fluid --class hydraulic")
    return ExitCode.FOUND if found else ExitCode.NOTHING


def _lines(one: FluidClass) -> list[str]:
    status = "" if one.status in ("", "active") else f" ({one.status})"
    lines = [f"{one.code}{status}: {one.description} [{one.family}]"]
    if one.limits:
        lines.append(f"  limits: {one.limits}")
    if one.aliases:
        lines.append(f"  also: {', '.join(one.aliases)}")
    memory = "" if one.standing is Standing.PUBLISHED or one.source == "memory" else f", {one.standing.words}"
    lines.append(f"  from: {one.standing.words if one.source == 'memory' else one.source}{memory}")
    return lines
