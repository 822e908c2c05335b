"""`kitwright buy keep-sizes`."""

from __future__ import annotations

import argparse
from fractions import Fraction

from tui.buying import Buying
from tui.commands.buy_words import SCHEMA
from tui.commands.output import say, say_json, table
from tui.commands.parsing import UsageError, shown
from tui.commands.workshop import opened
from tui.exit_codes import ExitCode


def keep(arguments: argparse.Namespace) -> ExitCode:
    """Which ring sizes to keep."""
    share = _share(arguments.share)
    with opened(arguments) as workshop:
        found = Buying(workshop).keeping(share, boxes=arguments.boxes)
    kept = found.kept
    if arguments.json:
        say_json(
            {
                "schema": SCHEMA,
                "share": float(share),
                "keep": list(kept.packs),
                "covered": kept.covered,
                "needs": kept.needs,
                "proven": kept.is_proven,
                "curve": [{"kept": len(point.packs), "covered": point.covered} for point in found.curve],
                "sizes": [
                    {"size": row.size_key, "needs": row.needs, "on_hand": row.on_hand, "keep": row.kept}
                    for row in found.sizes
                ],
            }
        )
        return ExitCode.FOUND
    percent = float(kept.share) * 100
    proven = "no fewer do" if kept.is_proven else "fewer may do"
    say(f"Keep {len(kept.packs)}: {kept.covered} of {kept.needs} needs ({percent:.0f} %), {proven}.")
    cells = [("keep" if row.kept else "", row.label, str(row.needs), str(row.on_hand)) for row in found.sizes]
    for line in table(("", "size", "needs", "on hand"), cells, (2, 3)):
        say(line)
    say("Kept, and needs covered: " + ", ".join(f"{len(point.packs)}: {point.covered}" for point in found.curve))
    return ExitCode.FOUND


def _share(text: str) -> Fraction:
    clean = text.strip().removesuffix("%").strip().replace(",", ".")
    try:
        percent = Fraction(clean[:20])
    except (ValueError, ZeroDivisionError):
        percent = Fraction(-1)
    if not 0 <= percent <= 100:
        raise UsageError(f"--share: {shown(text)} is not a percentage from 0 to 100; write it like 90")
    return percent / 100
