"""What a medium is rated by, converted: mesh and opening, beta and share held back, counts and cleanliness code."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any

from catalog.filters.cleanliness import SIZES, CountRange, cleanliness_code, code_counts
from catalog.filters.media import efficiency_pct, nearest_sieve, opening_um
from tui.commands.filter_answer import SCHEMA
from tui.commands.judging import length, naming, number, word
from tui.commands.output import say, say_json
from tui.commands.parsing import UsageError
from tui.exit_codes import ExitCode


def convert(arguments: argparse.Namespace, asked: Sequence[str]) -> ExitCode:
    """Answer one conversion."""
    if len(asked) > 1:
        raise UsageError(f"--{asked[0]} and --{asked[1]} are two questions; ask one at a time")
    value, line = _CONVERSIONS[asked[0]](arguments)
    if arguments.json:
        say_json({"schema": SCHEMA, "asked": asked[0], **value})
    else:
        say(line)
    return ExitCode.FOUND


def _mesh(arguments: argparse.Namespace) -> tuple[dict[str, Any], str]:
    mesh = word("--mesh", arguments.mesh)
    with naming("--mesh"):
        opening = opening_um(mesh)
    said = f"{mesh} mesh: {_opening(opening)} opening (ASTM E11). Mesh alone says nothing of the wire."
    return {"mesh": mesh, "opening_um": opening}, said


def _nearest(arguments: argparse.Namespace) -> tuple[dict[str, Any], str]:
    opening = length("--opening", arguments.opening, "um")[0] * 1000
    with naming("--opening"):
        sieve, off = nearest_sieve(opening)
    text = (
        f"{_opening(opening)}: nearest is {sieve.mesh} mesh, {_opening(sieve.opening_um)} ({off:+.1f} % off, ASTM E11)"
    )
    return {
        "opening_um": round(opening, 3),
        "mesh": sieve.mesh,
        "mesh_opening_um": sieve.opening_um,
        "off_pct": round(off, 3),
    }, text


def _beta(arguments: argparse.Namespace) -> tuple[dict[str, Any], str]:
    beta = number("--beta", arguments.beta, "200")
    with naming("--beta"):
        share = efficiency_pct(beta)
    text = f"Beta {beta:g}: holds back {share:.2f} % of particles of its size and larger (ISO 16889). "
    text += "A nominal rating cannot be turned into a beta ratio."
    return {"beta": beta, "held_back_pct": round(share, 4)}, text


def _counts(arguments: argparse.Namespace) -> tuple[dict[str, Any], str]:
    counts = [None if text.strip() == "-" else number("--counts", text, "1800") for text in arguments.counts]
    with naming("--counts"):
        code = cleanliness_code(*counts)
    return {"code": code, "per_ml": counts}, f"ISO 4406 code {code} (particles per mL at 4, 6 and 14 µm(c))"


def _code(arguments: argparse.Namespace) -> tuple[dict[str, Any], str]:
    code = word("--code", arguments.code)
    with naming("--code"):
        ranges = code_counts(code)
    rows = [None if one is None else {"over": one.over, "up_to": one.up_to, "at_least": one.at_least} for one in ranges]
    told = "; ".join(f"{size} {_range(one)}" for size, one in zip(SIZES, ranges, strict=True))
    return {"code": code, "per_ml": rows}, f"{code}, particles per mL: {told} (ISO 4406)"


def _range(one: CountRange | None) -> str:
    if one is None:
        return "not stated"
    if one.up_to is None:
        return f"more than {one.over:,g}"
    return f"{'at least ' if one.at_least else ''}{one.over:,g} to {one.up_to:,g}"


def _opening(micrometres: float) -> str:
    from catalog.quantity import format_length

    return f"{micrometres:g} µm ({format_length(micrometres / 1000, 'in')})"


_CONVERSIONS = {"mesh": _mesh, "opening": _nearest, "beta": _beta, "counts": _counts, "code": _code}
