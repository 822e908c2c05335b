"""The old ring measured beside its groove: which standard size it was, and whether that size seals here."""

from __future__ import annotations

import argparse
from typing import Any

from catalog.orings.evidence import Condition, Dimension, Evidence, Tool
from catalog.orings.figures import Service
from catalog.orings.groove import Groove
from catalog.orings.instruments import reading
from catalog.orings.joint import JointRanking, with_groove
from catalog.orings.match import rank
from catalog.orings.sizes import Series
from catalog.orings.verdict import Verdict
from catalog.quantity import both_units
from tui.commands.judging import length, naming, one_of
from tui.commands.output import table
from tui.commands.ring_text import percent
from tui.commands.size_object import size_object

LIKELY = 0.01


def identity(
    arguments: argparse.Namespace, groove: Groove, service: Service | None, only: tuple[Series, ...] | None
) -> JointRanking:
    """Rank what the measured ring can be, the groove being evidence too. Readings are a caliper's unless a ± says."""
    readings = []
    for option, dimension, text in (
        ("--ring-id", Dimension.ID, arguments.ring_id),
        ("--ring-width", Dimension.WIDTH, arguments.ring_width),
    ):
        value, plus_minus = length(option, text, arguments.unit)
        with naming(option):
            readings.append(reading(dimension, value, Tool.CALIPER, plus_minus))
    known = [one.value for one in Condition]
    word = "new" if arguments.condition is None else one_of("--condition", arguments.condition, known)
    with naming("the ring"):
        return with_groove(rank(Evidence(tuple(readings), Condition(word)), series=only), groove, service=service)


def identity_object(found: JointRanking, limit: int) -> dict[str, Any]:
    """What the ring can be, as JSON."""
    return {
        "matches": [
            {
                "size": size_object(one.match.size),
                "probability": round(one.probability, 6),
                "probability_by_readings": round(one.match.probability, 6),
                "verdict": one.sealing.verdict.value,
            }
            for one in found.joints[:limit]
        ],
        "none_probability": round(found.none_probability, 6),
        "told_apart": found.told_apart,
    }


def identity_lines(found: JointRanking, limit: int, unit: str) -> list[str]:
    """What the ring can be, in words: sizes with how sure and whether they seal here."""
    words = {Verdict.SEALS: "seals", Verdict.MARGINAL: "marginal", Verdict.WILL_NOT: "will not seal"}
    likely = [one for one in found.joints if one.probability >= LIKELY or one.match.probability >= LIKELY][:limit]
    rows = [
        (
            one.match.size.label,
            percent(one.match.probability),
            words[one.sealing.verdict],
            percent(one.probability),
            both_units(one.match.size.id_mm, first=unit),
            both_units(one.match.size.cross_section_mm, first=unit),
        )
        for one in likely
    ]
    header = ("it can be", "by readings", "here", "with the groove", "ID", "width")
    return [found.told_apart, *table(header, rows, right=(1, 3)), f"none of these: {percent(found.none_probability)}"]
