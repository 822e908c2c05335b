"""Fluid classes and grades by a piece of their name or their use, for `kitwright fluid --class …`."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from catalog.fluids.ambiguous import which
from catalog.fluids.classes import FluidClass, find, get, key
from catalog.standing import Standing
from tui.answers.advice import ADVICE
from tui.commands.fluid_stand_in import SCHEMA
from tui.commands.judging import word
from tui.commands.output import say, say_json
from tui.exit_codes import ExitCode

if TYPE_CHECKING:
    from catalog.fluids.shop_rules import ShopBook

MOST_SHOWN = 20


def answer_classes(arguments: argparse.Namespace) -> ExitCode:
    """Look the text up and print what was found, best first; the shop's own classes after those of the tables."""
    from tui.commands.fluid_own import own_book

    clean = word("--class", arguments.lookup)
    asked = which(clean)
    # Of a word with several meanings those come first that it may be.
    may_be = tuple(one for one in map(get, asked.codes) if one is not None) if asked else ()
    listed = (*may_be, *(one for one in find(clean) if one not in may_be))
    found = (*listed, *_own(own_book(arguments), clean))
    if arguments.json:
        say_json(
            {
                "schema": SCHEMA,
                "asked": "class",
                "text": clean,
                "which": None if asked is None else asked.question,
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
        if asked is not None:
            say(asked.question)
        for one in found[:MOST_SHOWN]:
            for line in _lines(one):
                say(line)
        if len(found) > MOST_SHOWN:
            say(f"{MOST_SHOWN} of {len(found)} shown; type more words.")
        say(ADVICE)
    else:
        say(f"No class or grade goes by {clean}. Try a piece of its name or its use: kitwright fluid --class hydraulic")
    return ExitCode.FOUND if found else ExitCode.NOTHING


def _own(book: ShopBook, text: str) -> list[FluidClass]:
    """The shop's own classes whose code or description holds every word."""
    words = [key(word) for word in text.split()]
    return [
        FluidClass(one.code, "this shop's own class", one.description, "", "active", (), (), "shop", Standing.SHOP)
        for one in book.classes
        if all(word in key(f"{one.code}{one.description}") for word in words)
    ]


def _lines(one: FluidClass) -> list[str]:
    status = "" if one.status in ("", "active") else f" ({one.status})"
    lines = [f"{one.code}{status}: {one.description} [{one.family}]"]
    if one.limits:
        lines.append(f"  limits: {one.limits}")
    if one.aliases:
        lines.append(f"  also: {', '.join(one.aliases)}")
    if one.standing is Standing.SHOP:
        return [*lines, "  from: this shop itself"]
    memory = "" if one.standing is Standing.PUBLISHED or one.source == "memory" else f", {one.standing.words}"
    lines.append(f"  from: {one.standing.words if one.source == 'memory' else one.source}{memory}")
    return lines
